"""What is in season, and when something is."""

from __future__ import annotations

from collections.abc import Sequence

from helper.acts.house import House
from helper.acts.wording import listed
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.seasons import (
    ALL_YEAR,
    DEFAULT_REGION,
    Season,
    Seasons,
    months_written,
    regions,
)
from helper.kitchen.words import Word, key, words
from helper.reading.reading import Reading
from helper.reading.spelling import respelt
from helper.reading.vocabulary import phrase_from

_SEASON_LONG = 3  # months
_DOUBTFUL = frozenset({"may", "march"})  # verbs as well as months
_BEFORE_MONTHS = frozenset({"in", "for", "this", "next", "during", "of", "early", "late", "by"})


def season(reading: Reading, house: House) -> Answer:
    """Foods in season now or in some month; or the months of foods asked about."""
    book = Seasons(house.foods, _region(reading, house))
    months, when = _months(reading, house)
    told = [(food, book.of(food)) for food in reading.foods]
    known = [one for _, one in told if one is not None]
    kind = next((food for food, one in told if one is None and book.within(ALL_YEAR, food)), None)
    if reading.foods and kind is None:
        return _of_foods(reading, told, known, months, when)
    return _within(reading, book, book.within(months, kind), months, when, kind)


def _region(reading: Reading, house: House) -> str:
    """The region said, or else the household's own."""
    said = key(reading.said)
    for region in sorted(regions(), key=lambda one: -len(key(one))):
        words_ = key(region)
        if words_ != key(DEFAULT_REGION) and any(
            said[at : at + len(words_)] == words_ for at in range(len(said))
        ):
            return region
    return str(house.books.settings.get("region", DEFAULT_REGION))


def _months(reading: Reading, house: House) -> tuple[tuple[int, ...], str]:
    """The months spoken of and how they are called; the present month where none is."""
    found, _ = respelt(words(reading.said), house.names.speller)
    for at in range(len(found)):
        hit = phrase_from(found, at, "season")
        if hit is not None:
            start = int(hit[0])
            months = tuple((start - 1 + step) % 12 + 1 for step in range(_SEASON_LONG))
            return months, f"in {found[at].text}"
    month = reading.date.month if reading.date else _month(found) or house.today.month
    now = month == house.today.month
    return (month,), "now" if now else f"in {months_written((month,))}"


def _month(found: Sequence[Word]) -> int | None:
    """The month named; "may" and "march" only where a month can stand."""
    for at in range(len(found)):
        hit = phrase_from(found, at, "month")
        small = found[at].text in _DOUBTFUL
        if hit is not None and (not small or (at and found[at - 1].text in _BEFORE_MONTHS)):
            return int(hit[0])
    return None


def _row(one: Season) -> dict[str, object]:
    return {
        "food": one.asked,
        "months": list(one.months),
        "region": one.region,
        "source": one.source,
    }


def _of_foods(
    reading: Reading,
    told: Sequence[tuple[str, Season | None]],
    known: Sequence[Season],
    months: Sequence[int],
    when: str,
) -> Answer:
    blocks: list[Block] = []
    for food, one in told:
        name = food[0].upper() + food[1:]
        if one is None:
            blocks.append(Say(f"The book of seasons does not tell of {food}."))
            continue
        inside = bool(set(months) & set(one.months))
        state = "in season" if inside else "not in season"
        by = f", going by {one.food}" if one.food != food else ""
        blocks.append(
            Say(
                f"{name} is in season {months_written(one.months)} ({one.region}){by};"
                f" {when} it is {state}."
            )
            if len(one.months) < 12 or by
            else Say(f"{name} is there all year ({one.region}).")
        )
    return Answer(
        reading,
        {
            "foods": [one.asked for one in known],
            "months": list(known[0].months) if known else [],
            "in_season": [bool(set(months) & set(one.months)) for one in known],
            "seasons": [_row(one) for one in known],
        },
        tuple(blocks),
        because=tuple(_because(one) for one in known),
        foods=reading.foods,
    )


def _within(
    reading: Reading,
    book: Seasons,
    found: Sequence[Season],
    months: Sequence[int],
    when: str,
    kind: str | None,
) -> Answer:
    short = [one for one in found if len(one.months) < 12]
    always = [one.food for one in found if len(one.months) == 12]
    blocks: list[Block] = []
    what = f"of that sort ({kind})" if kind else ""
    if not found:
        blocks.append(Say(f"The book of seasons names nothing {what or 'there'} {when}."))
    else:
        names = [one.food for one in short[:4]] or always[:4]
        first = ", ".join(names) if len(found) > 4 else listed(names)
        blocks.append(
            Say(
                f"In season {when} ({book.region}): {first}{' and more' if len(found) > 4 else ''}."
            )
        )
    if len(short) > 4:
        rows = tuple((one.food, months_written(one.months)) for one in short)
        blocks.append(Table((Column("food"), Column("in season")), rows))
    if always and len(found) > 4:
        blocks.append(Items((f"All year: {listed(always)}",)))
    offered = tuple(one.food for one in found)
    return Answer(
        reading,
        {"foods": list(offered), "months": list(months), "seasons": [_row(one) for one in found]},
        tuple(blocks),
        because=tuple(_because(one) for one in found),
        offered=offered,
        foods=reading.foods,
    )


def _because(one: Season) -> Because:
    return Because(f"{one.food}: {months_written(one.months)} in {one.region}", source=one.source)

"""How long something keeps, and whether it is still good."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import cache

import msgspec

from helper.acts.house import House
from helper.acts.spans import span_written
from helper.acts.wording import in_place
from helper.answers import Answer, Because, Block, Column, Say, Table, asking
from helper.kitchen.keeping import Kept
from helper.kitchen.lots import Lot
from helper.kitchen.words import Word, key, words
from helper.reading.reading import Reading
from helper.reading.spelling import respelt
from helper.reading.when import spot_times
from rules.tables import rows

_DOUBT = "In doubt, throw it out: what makes people ill can be neither seen nor smelt."


class _Asked(msgspec.Struct, frozen=True):
    """What is asked about: `name` as the person calls it, `food` as the book knows it.

    `days` since it was bought, made or opened; `ahead` True where they are still to come.
    """

    name: str
    food: str
    place: str | None
    state: str
    days: int | None = None
    ahead: bool = False
    lot: Lot | None = None


def keeps(reading: Reading, house: House) -> Answer:
    """How long a food or a dish keeps in each place; still good after so many days or not."""
    asked = _asked(reading, house)
    if asked is None:
        return asking(reading, "How long does what keep?", about="foods")
    times = house.keeping.times(asked.food, asked.place, asked.state)
    other_state = not times and bool(asked.state)
    if other_state:
        times = house.keeping.times(asked.food, asked.place)
    verdict, blocks = _verdict(asked, times)
    if not times:
        blocks = [_unknown(asked)]
    elif not blocks:
        blocks = [_first(asked, times, other_state)]
    if len(times) > 1 or (times and verdict):
        blocks.append(_table(times))
    states = {one for one in (asked.state, *(kept.state for kept in times[:1])) if one}
    cooked = states & {"cooked", "leftover"}
    cautions = house.cautions.about(
        [asked.food],
        states | ({"cooked", "leftover"} if cooked else set()),
        ["store"],
        reading.said,
        least="caution" if times else "info",
        most=1,
    )
    reply = {
        "times": [_row(kept) for kept in times],
        "food": asked.name,
        "verdict": verdict,
        "days": asked.days,
    }
    foods = () if reading.recipes else (asked.food,)
    return Answer(
        reading,
        reply,
        tuple(blocks),
        cautions=cautions,
        because=(_because(asked, times),),
        foods=foods,
        recipes=reading.recipes[:1],
    )


# -- what is asked -----------------------------------------------------------------------------


def _asked(reading: Reading, house: House) -> _Asked | None:
    found, _ = respelt(words(reading.said), house.names.speller)
    place = reading.place or _named("place", found) or None
    state = _named("state", found) or ("opened" if "opened" in reading.marks else "")
    days, ahead = _days(reading, found, house)
    if reading.recipes:
        recipe = house.books.recipe_titled(reading.recipes[0])
        if recipe is not None:
            food = house.keeping.dish(recipe)
            return _Asked(recipe.title, food, place, "leftover", days, ahead)
    if not reading.foods:
        return None
    food = reading.foods[0]
    lot = None
    if days is None and _named("verdict", found):
        lot = _lot(food, place, house)
    if lot is not None:
        place = place or lot.place
        since = lot.opened or lot.bought
        state = state or ("opened" if lot.opened else "leftover" if lot.made_from else "")
        days = (house.today - since).days if since else None
    return _Asked(food, food, place, state, days, ahead, lot)


def _days(reading: Reading, found: list[Word], house: House) -> tuple[int | None, bool]:
    """Days that have gone by, or that are to come; None where none are spoken of."""
    if reading.days is not None:
        return reading.days, False
    if reading.until is not None:
        return max(0, (reading.until - house.today).days), True
    day = reading.date
    for span in spot_times(found, house.today):
        if span.kind == "days":
            return int(span.value), False
        if span.kind == "date":
            # a weekday may be the last or the next: something to eat up is from the last
            day = span.value[1] if isinstance(span.value, tuple) else span.value
    if day is None:
        return None, False
    apart = (house.today - day).days
    return abs(apart), apart < 0


def _lot(food: str, place: str | None, house: House) -> Lot | None:
    """The lot of the house that is meant: the one opened or bought longest ago."""
    alike = [
        lot
        for lot in house.lots
        if (lot.food == food or lot.food in house.foods.family(food))
        and (place is None or lot.place == place)
        and (lot.opened or lot.bought)
    ]
    return min(alike, key=lambda lot: lot.opened or lot.bought or dt.date.max, default=None)


def _named(sort: str, found: Sequence[Word]) -> str:
    """The state or place that words tell of; the longest phrase wins."""
    text = tuple(word.key for word in found if word.is_name)
    hits = [
        (len(phrase), name)
        for name, phrases in _phrases()[sort]
        for phrase in phrases
        if any(text[at : at + len(phrase)] == phrase for at in range(len(text)))
    ]
    return max(hits, key=lambda hit: hit[0])[1] if hits else ""


@cache
def _phrases() -> dict[str, list[tuple[str, list[tuple[str, ...]]]]]:
    found: dict[str, list[tuple[str, list[tuple[str, ...]]]]] = {}
    for row in rows("books/keeping_words.csv"):
        phrases = [key(words_) for words_ in row["words"].split(";")]
        found.setdefault(row["sort"], []).append((row["name"], phrases))
    return found


# -- what is said ------------------------------------------------------------------------------


def _row(kept: Kept) -> dict[str, object]:
    return {
        "place": kept.place,
        "state": kept.state,
        "days_min": kept.days_min,
        "days_max": kept.days_max,
        "kind": kept.basis,
        "source": kept.source,
        "note": kept.note,
        "goes_by": kept.food if kept.borrowed else None,
    }


def _unknown(asked: _Asked) -> Say:
    return Say(
        f"The book has no keeping time for {asked.name}. Go by the date and the storage line on"
        f" its label. {_DOUBT}",
        "warn",
    )


def _first(asked: _Asked, times: Sequence[Kept], other_state: bool) -> Say:
    kept = times[0]
    lacking = f"There is no figure for it {asked.state}. " if other_state else ""
    name = asked.name[0].upper() + asked.name[1:]
    if asked.place and kept.place != asked.place:
        return Say(
            f"{lacking}The book does not tell of {asked.name} {in_place(asked.place)}; it"
            f" does for the {kept.place}.",
            "warn",
        )
    if kept.never:
        return Say(f"{lacking}{name}: {kept.note}.", "warn")
    note = f" ({kept.note})" if kept.note and len(times) == 1 else ""
    state = f", {kept.state}" if kept.state not in asked.name else ""
    return Say(f"{lacking}{name}{state}: {_long(kept)} {in_place(kept.place)}{note}.")


def _long(kept: Kept) -> str:
    return "not at all" if kept.never else span_written(kept.days_min, kept.days_max)


def _table(times: Sequence[Kept]) -> Table:
    columns = (Column("where"), Column("how it is"), Column("keeps"), Column("for"), Column("note"))
    cells = tuple(
        (
            kept.place,
            kept.state,
            "do not" if kept.never else _long(kept),
            kept.basis,
            "; ".join(
                one for one in (f"as {kept.food}" if kept.borrowed else "", kept.note) if one
            ),
        )
        for kept in times
    )
    return Table(columns, cells)


def _verdict(asked: _Asked, times: Sequence[Kept]) -> tuple[str | None, list[Block]]:
    """yes, soon, no or check, and the sentences for it; None where no days are spoken of."""
    if asked.days is None or not times:
        return None, []
    kept = _shortest(asked, times)
    if kept is None:
        return "check", []
    keeps_for = f"it keeps {_long(kept)} {in_place(kept.place)}"
    if kept.state not in ("fresh", "raw"):
        keeps_for = f"{kept.state}, {keeps_for}"
    gone = _gone(asked)
    if kept.never:
        return "no", [Say(f"No: {kept.note}.", "bad")]
    if asked.days <= kept.days_min:
        return "yes", [
            Say(f"Yes, {asked.name} should be good: {keeps_for}, and {gone}.", "good"),
            Say("That is if it was kept cold or dry all the while.", "quiet"),
        ]
    if asked.days <= kept.days_max:
        return "soon", [
            Say(f"Just about: {keeps_for}, and {gone}. Use it today.", "warn"),
            Say(_DOUBT),
        ]
    if kept.basis == "safety":
        return "no", [Say(f"No: {keeps_for}, and {gone}. Throw it out.", "bad"), Say(_DOUBT)]
    return "check", [
        Say(
            f"Past its best: {keeps_for}, and {gone}. It may still do if it looks, smells and"
            " feels right.",
            "warn",
        ),
        Say(_DOUBT),
    ]


def _shortest(asked: _Asked, times: Sequence[Kept]) -> Kept | None:
    """The row a verdict goes by: where the place or state was not told, the shortest there is."""
    for place in (asked.place,) if asked.place else ("fridge", "shelf", "freezer"):
        here = [kept for kept in times if kept.place == place]
        if here:
            return min(here, key=lambda kept: (kept.never and not asked.place, kept.days_max))
    return None


def _gone(asked: _Asked) -> str:
    days = f"{asked.days} day{'' if asked.days == 1 else 's'}"
    if asked.ahead:
        return f"that is {days} from now"
    return (
        "it is from today"
        if asked.days == 0
        else f"{days} have gone by"
        if asked.days != 1
        else "1 day has gone by"
    )


def _because(asked: _Asked, times: Sequence[Kept]) -> Because:
    reasons = [
        Because(
            f"{kept.food}, {kept.state}, {in_place(kept.place)}: {_long(kept)} ({kept.basis})",
            "keeping time",
            kept.source,
        )
        for kept in times
    ]
    if asked.lot is not None and (since := asked.lot.opened or asked.lot.bought):
        word = "opened" if asked.lot.opened else "in the house"
        reasons.append(
            Because(
                f"{asked.lot.food} {word} since {since:%d %b %Y}", source="the household's books"
            )
        )
    return Because(f"how long {asked.name} keeps", "book of keeping times", because=tuple(reasons))

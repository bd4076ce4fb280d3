"""The act that looks back: what was cooked, bought, wasted and spent, told from the sums."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.ledger import Span, Sums, day_of, summed_up, touches_stock
from helper.acts.looking_back import about, deeper, focus, headline
from helper.acts.menu_wishes import said_in
from helper.acts.periods import titles_made
from helper.acts.wording import day_written, listed
from helper.answers import Answer, Bars, Because, Block, Column, Say, Table
from helper.household.journal import Event
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, plain, written
from helper.kitchen.words import words
from helper.reading.acts import acts
from helper.reading.reading import Reading
from helper.reading.vocabulary import holds_phrase

_USUAL_DAYS = 30
_LONG_BACK = 365
_SHOWN = 12
_SHOWN_FOODS = 8


def history(reading: Reading, house: House) -> Answer:
    """What was cooked, bought and wasted over some days, or with one food or dish, and the money.

    Thirty days unless said; a year where a food or dish is named ("when did we last have …").
    """
    span = _span(reading, house.today)
    sums = _narrowed(summed_up(house.books, span), reading)
    kind = focus(reading)
    told = headline(kind, sums, house)
    first = f"{_days(span, house.today)}: {told}." if told else None
    blocks: list[Block] = [Say(first or _headline(reading, sums, span, house))]
    shown = tuple(event for event in sums.events if about(event, kind))
    further: dict[str, object] = {}
    if not _named(reading):
        more, further = deeper(reading, house, sums, span)
        blocks += more
    if shown:
        blocks.append(_table(shown[:_SHOWN], house.currency))
        if len(shown) > _SHOWN:
            blocks.append(Say(f"and {len(shown) - _SHOWN} changes before that", "quiet"))
    elif not _named(reading):
        blocks.append(Say("Nothing else is written down for those days.", "quiet"))
    if kind in (None, "bought", "spent") and len(by_food := _by_food(sums.bought)) > 1:
        bars = [(food, float(cost), written(cost, house.currency)) for food, cost in by_food]
        blocks.append(Bars(tuple(bars), "Where the money went"))
    reply = {
        "events": [_event_json(event) for event in sums.events],
        "spent": plain(sums.spent),
        "wasted": plain(sums.wasted),
        "from": span.first.isoformat(),
        "to": span.last.isoformat(),
        **further,
    }
    return Answer(reading, reply, tuple(blocks), because=_sums_because(sums, house.currency))


def _span(reading: Reading, today: dt.date) -> Span:
    """The days asked about: a day or a month that was said, else so many days up to today."""
    calendar = said_in(words(reading.said), "look_span")
    if calendar is not None:
        return _calendar(calendar[0], today)
    if reading.date is not None:
        month = _is_month(reading)
        first = reading.date.replace(day=1) if month else reading.date
        return Span(first, min(reading.date, today) if month else reading.date)
    usual = _LONG_BACK if _named(reading) else _USUAL_DAYS
    days = min(reading.days or usual, (today - dt.date.min).days)
    return Span(today - dt.timedelta(days=days - 1), today)


def _is_month(reading: Reading) -> bool:
    """True where a month alone was said: "in november". It is read as the month's last day."""
    said = [word for one in reading.evidence if one.kind == "date" for word in words(one.words)]
    return holds_phrase(said, "month") and not any(word.text[0].isdigit() for word in said)


def _calendar(span: str, today: dt.date) -> Span:
    """This week or the one before, from Monday; this month or year, or the one before."""
    monday = today - dt.timedelta(days=today.weekday())
    first = today.replace(day=1)
    year = today.replace(month=1, day=1)
    day = dt.timedelta(days=1)
    return {
        "week": Span(monday, today),
        "last week": Span(monday - 7 * day, monday - day),
        "month": Span(first, today),
        "last month": Span((first - day).replace(day=1), first - day),
        "year": Span(year, today),
        "last year": Span((year - day).replace(month=1, day=1), year - day),
    }[span]


def _named(reading: Reading) -> frozenset[str]:
    return frozenset(name.casefold() for name in (*reading.recipes, *reading.foods))


def _narrowed(sums: Sums, reading: Reading) -> Sums:
    """What has to do with the foods and dishes named, or with food at all if none is."""
    named = _named(reading)
    if not named:
        return replace(sums, events=tuple(filter(touches_stock, sums.events)))
    return Sums(
        tuple(event for event in sums.events if _concerns(event, reading)),
        tuple(one for one in sums.bought if one[0].food in named),
        tuple(one for one in sums.thrown if one[0].food in named),
    )


def _concerns(event: Event, reading: Reading) -> bool:
    """Whether a change moved a food named, or has to do with a dish named."""
    foods = {food.casefold() for food in reading.foods}
    if foods & {lot.food for lot in _lots_of(event)}:
        return True
    dishes = {title.casefold() for title in reading.recipes}
    about = f"{event.summary} {event.said}".casefold()
    made = {title.casefold() for title in titles_made(event)}
    return bool(dishes & made) or any(title in about for title in dishes)


def _headline(reading: Reading, sums: Sums, span: Span, house: House) -> str:
    spent, wasted = (
        written(money, house.currency) if money else "nothing"
        for money in (sums.spent, sums.wasted)
    )
    money = f"{spent} spent, {wasted} thrown out"
    if not _named(reading):
        return f"{_days(span, house.today)}: {money}."
    names = listed((*reading.recipes, *reading.foods))
    days = _days(span, house.today)
    if not sums.events:
        kept = f"{days}: {money}" if sums.bought else f"nothing written down for {days}"
        return f"{names.capitalize()}: {kept}."
    made = [one for one in sums.events if _lots_of(one) or titles_made(one)]
    if not made:
        return f"{names.capitalize()}: nothing is down as made in {days}."
    last = f"{names.capitalize()}: last {day_written(day_of(made[0]), house.today)}"
    return f"{last}. {days}: {money}." if reading.foods else f"{last}."


def _table(events: Sequence[Event], currency: str) -> Table:
    rows = [(_short(day_of(one)), one_sentence(one), _worth(one, currency)) for one in events]
    columns = (Column("Day"), Column("What was done"), Column("Worth", right=True))
    return Table(columns, tuple(rows))


def _days(span: Span, today: dt.date) -> str:
    if span.first == span.last:
        said = day_written(span.first, today)
        return said[:1].upper() + said[1:]
    year = f" {span.first.year}" if span.first.year != span.last.year else ""
    return f"{_short(span.first)}{year} to {_short(span.last)}"


def _short(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _lots_of(event: Event) -> list[Lot]:
    found = [
        change.record_before() or change.record_after()
        for change in event.changes
        if change.table == "stock"
    ]
    return [lot for lot in found if lot is not None]


def one_sentence(event: Event) -> str:
    """A change as it is told: its summary, or what its act does."""
    return event.summary or (acts()[event.act].wants if event.act in acts() else event.act)


def _event_json(event: Event) -> dict[str, object]:
    return {
        "date": day_of(event).isoformat(),
        "act": event.act,
        "said": event.said,
        "summary": event.summary,
        "recipe": event.meta.get("recipe"),
        "servings": event.meta.get("servings"),
        "cost": _cost(event),
    }


def _cost(event: Event) -> str | None:
    """What the change's food was worth, as its act noted it."""
    cost = event.meta.get("cost", event.meta.get("spent"))
    return cost if isinstance(cost, str) else None


def _worth(event: Event, currency: str) -> str:
    cost = _cost(event)
    return "" if cost is None else written(Decimal(cost), currency)


def _by_food(bought: Iterable[tuple[Lot, Decimal]]) -> list[tuple[str, Decimal]]:
    """What was spent on each food, the most first."""
    sums: dict[str, Decimal] = {}
    for lot, cost in bought:
        sums[lot.food] = sums.get(lot.food, NOTHING) + cost
    return sorted(sums.items(), key=lambda one: -one[1])[:_SHOWN_FOODS]


def _sums_because(sums: Sums, currency: str) -> tuple[Because, ...]:
    """Each total opened into the lots it is made of."""
    return tuple(
        Because(
            f"{written(total, currency)} {word}",
            because=tuple(
                Because(f"{lot.food}: {written(cost, currency)}", source=_paid(lot))
                for lot, cost in lots
            ),
        )
        for word, total, lots in (
            ("spent", sums.spent, sums.bought),
            ("thrown out", sums.wasted, sums.thrown),
        )
        if lots
    )


def _paid(lot: Lot) -> str:
    when = f"bought {lot.bought.isoformat()}" if lot.bought else "on the books"
    return f"{when}, {lot.shop}" if lot.shop else when

"""The act that looks back: what was cooked, bought, wasted and spent, told from the sums."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from helper.acts.house import House
from helper.acts.ledger import Span, Sums, summed_up
from helper.acts.wording import day_written
from helper.answers import Answer, Bars, Because, Block, Column, Say, Table
from helper.household.journal import Event
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, plain, written
from helper.reading.acts import acts
from helper.reading.reading import Reading

_USUAL_DAYS = 30
_SHOWN = 12
_SHOWN_FOODS = 8


def history(reading: Reading, house: House) -> Answer:
    """What was cooked, bought and wasted over some days (thirty unless said), and the money."""
    span = _span(reading, house.today)
    sums = summed_up(house.books, span)
    events = [event for event in sums.events if _concerns(event, reading)]
    spent, wasted = (
        written(money, house.currency) if money else "nothing"
        for money in (sums.spent, sums.wasted)
    )
    days = _days(span, house.today)
    blocks: list[Block] = [Say(f"{days}: {spent} spent, {wasted} thrown out.")]
    if events:
        shown = [(_short(event.day), one_sentence(event)) for event in events[:_SHOWN]]
        blocks.append(Table((Column("Day"), Column("What was done")), tuple(shown)))
        if len(events) > _SHOWN:
            blocks.append(Say(f"and {len(events) - _SHOWN} changes before that", "quiet"))
    else:
        blocks.append(Say("Nothing else is written down for those days.", "quiet"))
    if len(by_food := _by_food(sums.bought)) > 1:
        bars = [(food, float(cost), written(cost, house.currency)) for food, cost in by_food]
        blocks.append(Bars(tuple(bars), "Where the money went"))
    reply = {
        "events": [_event_json(event) for event in events],
        "spent": plain(sums.spent),
        "wasted": plain(sums.wasted),
        "from": span.first.isoformat(),
        "to": span.last.isoformat(),
    }
    return Answer(reading, reply, tuple(blocks), because=_sums_because(sums, house.currency))


def _span(reading: Reading, today: dt.date) -> Span:
    """The days asked about: one day if a date was said, else so many days up to today."""
    if reading.date is not None:
        return Span(
            reading.date, min(reading.date, today) if reading.date > today else reading.date
        )
    days = min(reading.days or _USUAL_DAYS, (today - dt.date.min).days)
    return Span(today - dt.timedelta(days=days - 1), today)


def _days(span: Span, today: dt.date) -> str:
    if span.first == span.last:
        return day_written(span.first, today).capitalize()
    return f"{_short(span.first)} to {_short(span.last)}"


def _short(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _concerns(event: Event, reading: Reading) -> bool:
    """Whether a change has to do with what was named; everything has, if nothing was."""
    named = {name.casefold() for name in (*reading.recipes, *reading.foods)}
    if not named:
        return True
    text = f"{event.summary} {event.said}".casefold()
    touched = {record.food for record in _lots_of(event)}
    return any(name in text or name in touched for name in named)


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
        "date": event.day.isoformat(),
        "act": event.act,
        "said": event.said,
        "summary": event.summary,
    }


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

"""What the journal adds up to: what was cooked, bought and wasted over some days, and the money.

Money spent is what was paid for lots bought in those days, whether they are still here or not;
the journal alone would miss what a file brought in. Money wasted is the share of each lot's price
that was thrown out, as the journal shows it before and after.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from decimal import Decimal

import msgspec

from helper.household.books import UNDO, Household
from helper.household.journal import Event
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, share

THROWN = "thrown"


class Span(msgspec.Struct, frozen=True):
    """Days from `first` to `last`, both counted."""

    first: dt.date
    last: dt.date

    def __contains__(self, day: object) -> bool:
        return isinstance(day, dt.date) and self.first <= day <= self.last


class Sums(msgspec.Struct, frozen=True):
    """A span of days summed up; `bought` and `thrown` hold what the sums are made of."""

    events: tuple[Event, ...]
    bought: tuple[tuple[Lot, Decimal], ...]
    thrown: tuple[tuple[Lot, Decimal], ...]

    @property
    def spent(self) -> Decimal:
        """Paid for everything bought, as far as prices are known."""
        return sum((cost for _, cost in self.bought), NOTHING)

    @property
    def wasted(self) -> Decimal:
        """Worth of everything thrown out, as far as prices are known."""
        return sum((cost for _, cost in self.thrown), NOTHING)


def summed_up(books: Household, span: Span) -> Sums:
    """What happened in the span; changes taken back never happened."""
    stands = tuple(standing(books.events(since=span.first)))
    return Sums(
        events=tuple(event for event in stands if day_of(event) in span),
        bought=tuple(_bought(books, stands, span)),
        thrown=tuple(
            found for event in stands if day_of(event) in span for found in _thrown_in(event)
        ),
    )


def day_of(event: Event) -> dt.date:
    """The day a change speaks of: "made it last night" is written down a day later."""
    said = event.meta.get("date")
    return dt.date.fromisoformat(said) if isinstance(said, str) else event.day


def touches_stock(event: Event) -> bool:
    """Whether food came in, went out or was counted; rules and remarks are no events of that."""
    return any(change.table == "stock" for change in event.changes)


def standing(events: Iterable[Event]) -> Iterator[Event]:
    """Events that were not taken back, newest first."""
    undone: set[int] = set()
    for event in events:
        if event.act == UNDO:
            undone.add(event.meta["undoes"])
        elif event.seq not in undone and event.changes:
            yield event


def _bought(
    books: Household, standing: Iterable[Event], span: Span
) -> Iterator[tuple[Lot, Decimal]]:
    """Lots bought in the span, with what they cost; those used up since are in the journal."""
    lots: dict[int, Lot] = {lot.id: lot for lot in books.lots()}
    for event in standing:
        for change in event.changes:
            if change.table == "stock" and change.id not in lots:
                lot = change.record_before()
                if lot is not None:
                    lots[lot.id] = lot
    for lot in lots.values():
        if lot.bought in span and lot.price is not None and lot.made_from is None:
            yield lot, lot.price * Decimal(repr(lot.packages))


def _thrown_in(event: Event) -> Iterator[tuple[Lot, Decimal]]:
    """Lots a change threw something out of, with what that was worth."""
    if event.meta.get("fate") != THROWN:
        return
    for change in event.changes:
        if change.table != "stock":
            continue
        before, after = change.record_before(), change.record_after()
        if before is None or before.size.number <= 0:
            continue
        gone = before.left.number - (after.left.number if after is not None else 0)
        if gone > 0:
            worth = NOTHING if before.price is None else before.price
            yield before, share(worth, gone, before.size.number)

"""What should be used first: lots with a date, by the days left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import msgspec

from helper.kitchen.lots import Lot
from helper.kitchen.stock import drawing_order

SOON = 7


class Due(msgspec.Struct, frozen=True):
    """A lot to be used. `days_left` below nothing: past its date; None: opened, undated."""

    lot: Lot
    days_left: int | None

    @property
    def past(self) -> bool:
        """True when the date on it is over; whether it is still good is another question."""
        return self.days_left is not None and self.days_left < 0


def days_left(lot: Lot, today: dt.date) -> int | None:
    """Days to the best-by date, today 0; None for an undated lot."""
    return None if lot.best_by is None else (lot.best_by - today).days


def due(
    lots: Iterable[Lot], today: dt.date, within: int = SOON, place: str | None = None
) -> tuple[Due, ...]:
    """Lots due within so many days, the most pressing first, past dates before all."""
    found = []
    for lot in lots:
        left = days_left(lot, today)
        if lot.left.number <= 0 or left is None or left > within:
            continue
        if place is None or lot.place == place:
            found.append(Due(lot, left))
    return tuple(sorted(found, key=_pressing))


def opened(lots: Iterable[Lot], place: str | None = None) -> tuple[Lot, ...]:
    """Opened lots with something left, in drawing order."""
    found = [
        lot
        for lot in lots
        if lot.opened and lot.left.number > 0 and (place is None or lot.place == place)
    ]
    return tuple(sorted(found, key=drawing_order))


def _pressing(due: Due) -> tuple[int, tuple[bool, dt.date, dt.date, int]]:
    return due.days_left or 0, drawing_order(due.lot)

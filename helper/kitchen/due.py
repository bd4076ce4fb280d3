"""What should be used first: lots by the days left.

A package once open keeps as long as the book of keeping says, whatever the date on it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import msgspec

from helper.kitchen.keeping import Keeping
from helper.kitchen.lots import Lot
from helper.kitchen.stock import drawing_order

SOON = 7
# Where an open package goes that does not keep where it stood.
_COLD = ("fridge",)


class Due(msgspec.Struct, frozen=True):
    """A lot to be used. `days_left` below nothing: past its date; None: opened, undated."""

    lot: Lot
    days_left: int | None

    @property
    def past(self) -> bool:
        """True when the date on it is over; whether it is still good is another question."""
        return self.days_left is not None and self.days_left < 0


def once_open(lot: Lot, keeping: Keeping) -> tuple[str, dt.date] | None:
    """Where an open lot keeps, and until when; None for a shut one, or where nothing is known."""
    if lot.opened is None:
        return None
    for place in (lot.place, *_COLD):
        until = keeping.best_by(lot.food, place, "opened", lot.opened)
        if until is not None:
            return place, until
    return None


def use_by(lot: Lot, keeping: Keeping | None = None) -> dt.date | None:
    """The date on a lot, or the end of what it keeps once open, whichever comes first."""
    kept = once_open(lot, keeping) if keeping is not None else None
    dates = [one for one in (lot.best_by, kept[1] if kept else None) if one is not None]
    return min(dates, default=None)


def days_left(lot: Lot, today: dt.date, keeping: Keeping | None = None) -> int | None:
    """Days a lot is still to be used in, today 0; None for one without any date."""
    until = use_by(lot, keeping)
    return None if until is None else (until - today).days


def due(
    lots: Iterable[Lot],
    today: dt.date,
    within: int = SOON,
    place: str | None = None,
    keeping: Keeping | None = None,
) -> tuple[Due, ...]:
    """Lots due within so many days, the most pressing first, past dates before all.

    With `keeping` open packages are due by the book, too.
    """
    found = []
    for lot in lots:
        left = days_left(lot, today, keeping)
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

"""Where foods stand when nobody said so: told from the book of keeping."""

from __future__ import annotations

from helper.kitchen.keeping import Keeping, Kept

_FREEZER, _FROZEN = "freezer", "frozen"
# States in which a food comes into the house, by how much they say of its place.
_STATES = ("unopened", "fresh", "raw", "opened", "cooked", "leftover", "cut")
# A place where a food keeps no longer than this, in days, is not where it is kept.
_HARDLY = 2
# Where the book is silent, and among places where a food keeps, the first of these.
_ORDER = ("shelf", "fridge", "freezer")


def usual_place(food: str, form: str, keeping: Keeping) -> str | None:
    """Where a food of that form is kept when it comes home; None where the book is silent.

    What can be frozen need not be: the freezer counts for frozen food, and where there is no
    other place.
    """
    found = (keeping.time(food, place) for place in _ORDER)
    rows = [row for row in found if row is not None and row.state in _STATES and not row.never]
    if form == _FROZEN and any(row.place == _FREEZER for row in rows):
        return _FREEZER
    warm = [row for row in rows if row.place != _FREEZER]
    for fitting in ([row for row in warm if row.days_max > _HARDLY], warm, rows):
        if fitting:
            return min(fitting, key=_rank).place
    return None


def _rank(row: Kept) -> tuple[int, int]:
    return _STATES.index(row.state), _ORDER.index(row.place)

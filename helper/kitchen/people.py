"""Who eats here, how much, what they keep away from, and when they are not here or visit."""

from __future__ import annotations

import datetime as dt

import msgspec


class Stay(msgspec.Struct, frozen=True, array_like=True):
    """Days, both counted, on which somebody is not where they usually are.

    `home` True: here on a visit; False: away. `last` None: nobody knows yet till when.
    """

    first: dt.date
    last: dt.date | None
    home: bool

    def __contains__(self, day: dt.date) -> bool:
        return self.first <= day and (self.last is None or day <= self.last)


class Person(msgspec.Struct, frozen=True, omit_defaults=True):
    """One person at the table.

    `avoids` holds allergen ids, diet ids or canonical food names; `severity` is allergy,
    intolerance or choice; `portion` 1.0 for one adult serving; `home` False for a visitor;
    `stays` when that is otherwise, the newest last.
    """

    id: int
    name: str
    avoids: tuple[str, ...] = ()
    severity: str = "allergy"
    portion: float = 1.0
    home: bool = True
    note: str | None = None
    stays: tuple[Stay, ...] = ()

    def eats_on(self, day: dt.date) -> bool:
        """Whether they are at the table on a day."""
        for stay in reversed(self.stays):
            if day in stay:
                return stay.home
        return self.home

"""Who sits at the table on the days planned for: everybody on some, fewer on others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import msgspec

from helper.acts.dishes import sound_servings
from helper.acts.gaps import Ask
from helper.acts.house import House
from helper.kitchen.people import Person
from helper.kitchen.table import Diner, diet_diner, person_diner
from helper.reading.reading import Reading


class Sitting(msgspec.Struct, frozen=True):
    """The diners of some days and how many adult portions they eat."""

    eaters: tuple[Diner, ...]
    portions: float


class Sittings(msgspec.Struct, frozen=True):
    """The sittings there are, the days with somebody at the table, and which of them each has."""

    all: tuple[Sitting, ...]
    days: Mapping[dt.date, int]
    nobody: tuple[dt.date, ...] = ()

    @property
    def head_days(self) -> float:
        """Portions of one day, over all days."""
        return sum(self.all[place].portions for place in self.days.values())


def sittings(
    dates: Sequence[dt.date],
    reading: Reading,
    house: House,
    portions: Mapping[dt.date, float] | None = None,
) -> Sittings:
    """Those named, or whoever is at home on each day; `portions` where they are settled already.

    Raises Ask where nobody is known to eat.
    """
    named = tuple(one for name in reading.people if (one := house.person(name)) is not None)
    said = sound_servings(reading.servings)
    found: dict[tuple[tuple[str, ...], float], int] = {}
    ones: list[Sitting] = []
    days: dict[dt.date, int] = {}
    nobody = []
    for date in dates:
        people = named or house.at_table(date)
        count = (portions or {}).get(date) or said or sum(one.portion for one in people)
        if not count:
            nobody.append(date)
            continue
        key = (tuple(one.name for one in people), count)
        if key not in found:
            found[key] = len(ones)
            ones.append(Sitting(_diners(people, reading, house), count))
        days[date] = found[key]
    if not ones:
        raise Ask("For how many is it?", about="servings")
    return Sittings(tuple(ones), days, tuple(nobody))


def _diners(people: Sequence[Person], reading: Reading, house: House) -> tuple[Diner, ...]:
    diets = (diet_diner(diet) for diet in reading.diets)
    return (*(person_diner(one, house.safety) for one in people), *diets)

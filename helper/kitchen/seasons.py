"""What is in season when: the book of seasons, by food, month and region."""

from __future__ import annotations

import calendar
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_sort
from helper.kitchen.words import key
from rules.tables import rows

DEFAULT_REGION = "US"
ALL_YEAR = tuple(range(1, 13))


class Season(msgspec.Struct, frozen=True):
    """The months (1 to 12) in which a food is in season in one region.

    `food` is the food of the row, `asked` the one asked about, which may go by it.
    """

    asked: str
    food: str
    months: tuple[int, ...]
    region: str
    source: str


class Seasons:
    """The book of seasons over one household's foods, for the region it lives in."""

    def __init__(self, foods: Foods, region: str = DEFAULT_REGION) -> None:
        self._foods = foods
        self.region = region

    def of(self, food: str) -> Season | None:
        """The season of a food: of this region, a wider one, or else the one there is."""
        for name in self._names(food):
            found = _book().get(name)
            if found:
                best = min(found, key=lambda row: self._distance(row.region))
                return msgspec.structs.replace(best, asked=food)
        return None

    def within(self, months: Iterable[int], kind: str | None = None) -> list[Season]:
        """What is in season in any of the months, the shortest seasons first.

        Foods that the book tells only of another region are left out. `kind` narrows it down to
        vegetables, berries and so on.
        """
        wanted = set(months)
        found = []
        for name in _book():
            row = self.of(name)
            if row is None or self._distance(row.region) >= _FAR or not wanted & set(row.months):
                continue
            if kind is None or kind in self._foods.kinds(name):
                found.append(row)
        return sorted(found, key=lambda row: (len(row.months), row.food))

    def _names(self, food: str) -> Iterator[str]:
        foods = self._foods
        yield food
        if base := foods[food].base:
            yield base
        wide = (name for name in _book() if is_sort(foods, name, food))
        yield from sorted(wide, key=lambda name: -len(key(name)))
        yield from foods.kinds(food)

    def _distance(self, region: str) -> int:
        """0 for this region, more for wider ones, `_FAR` for others."""
        if region == self.region:
            return 0
        if self.region.startswith(f"{region} "):
            return 1
        return 2 if region == DEFAULT_REGION else _FAR


_FAR = 3


@cache
def _book() -> dict[str, tuple[Season, ...]]:
    found: defaultdict[str, tuple[Season, ...]] = defaultdict(tuple)
    for row in rows("books/seasons.csv"):
        told = row["months"]
        months = ALL_YEAR if told == "all" else tuple(int(one) for one in told.split(";"))
        found[row["food"]] += (
            Season(row["food"], row["food"], months, row["region"], row["source"]),
        )
    return found


def regions() -> tuple[str, ...]:
    """Every region the book tells of."""
    return tuple(dict.fromkeys(row.region for found in _book().values() for row in found))


def months_written(months: Iterable[int]) -> str:
    """Months in words, runs drawn together over the turn of the year: "September to February"."""
    there = sorted(set(months))
    if len(there) == len(ALL_YEAR):
        return "all year"
    starts = [month for month in there if (month - 2) % 12 + 1 not in there]
    runs = []
    for start in starts:
        end = start
        while end % 12 + 1 in there:
            end = end % 12 + 1
        first, last = calendar.month_name[start], calendar.month_name[end]
        runs.append(first if start == end else f"{first} to {last}")
    return " and ".join(runs)

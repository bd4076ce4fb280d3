"""What a menu is chosen from and what comes of it, as plain numbers: stores, packages, needs,
dishes, days and wishes; and the choice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import msgspec


class Store(msgspec.Struct, frozen=True):
    """A food as it lies in the house or the shop, in a unit of its own.

    `here` is on hand; `cents` what one unit of that cost; `due` how much of it is due, and
    `saved` what using one unit of that is worth, in cents.
    """

    name: str
    here: float = 0.0
    cents: float = 0.0
    due: float = 0.0
    saved: float = 0.0


class Pack(msgspec.Struct, frozen=True):
    """A package that can be bought: what it holds of a store and its price, None = not known."""

    store: int
    holds: float
    cents: int | None


class Need(msgspec.Struct, frozen=True):
    """Something dishes need: the stores that meet it and how much of each meets one unit."""

    name: str
    sources: tuple[tuple[int, float], ...]


class Dish(msgspec.Struct, frozen=True):
    """A dish: what one cooking for the table takes of every need.

    `table` is who it is cooked for, where days differ in that; equal names are one dish. `traits`
    are what the wishes look at; `tier` 0 for a dish without fault, higher for one that
    is taken only where nothing else is left.
    """

    name: str
    uses: Mapping[int, float]
    traits: frozenset[str] = frozenset()
    tier: int = 0
    most: int = 1
    table: int = 0


class Days(msgspec.Struct, frozen=True):
    """So many days that ask for the same: all of `wanted`, nothing of `refused`, for a `table`."""

    count: int
    wanted: frozenset[str] = frozenset()
    refused: frozenset[str] = frozenset()
    name: str = ""
    table: int = 0

    def welcomes(self, dish: Dish) -> bool:
        """Whether a dish does for these days."""
        fits = self.wanted <= dish.traits and not self.refused & dish.traits
        return fits and self.table == dish.table

    @property
    def plain(self) -> bool:
        """True for days that ask for nothing."""
        return not self.wanted and not self.refused


class Count(msgspec.Struct, frozen=True):
    """A wish over all days: at least, or at most, so many dishes with a trait."""

    trait: str
    least: int = 0
    most: int | None = None
    name: str = ""


class Problem(msgspec.Struct, frozen=True):
    """Everything the choice rests on. `budget` in cents: due food may cost no more than that."""

    stores: Sequence[Store]
    packs: Sequence[Pack]
    needs: Sequence[Need]
    dishes: Sequence[Dish]
    days: Sequence[Days]
    counts: Sequence[Count] = ()
    budget: int | None = None

    @property
    def meals(self) -> int:
        """How many dinners are asked for."""
        return sum(one.count for one in self.days)


class Missed(msgspec.Struct, frozen=True):
    """A wish or limit that could not be kept, by how many meals. `kind`: missing, tier, again,
    wish."""

    kind: str
    name: str
    by: int


class Choice(msgspec.Struct, frozen=True):
    """The dishes chosen.

    `taken` gives for each group of days the dishes and how often; the last groups, one a table,
    hold plain days and those whose wishes had to be given up. `cents` is what it comes to at the
    till, `least` the least there is, without regard to due food. `proved` True when no menu comes
    cheaper, the due food it uses counted; `gap` how far below it a cheaper one might still lie,
    as a part of the till cost.
    """

    taken: tuple[Mapping[int, int], ...]
    packs: Mapping[int, int]
    cents: int
    proved: bool
    gap: float
    missed: tuple[Missed, ...] = ()
    least: int = 0

    def times(self) -> dict[int, int]:
        """How often each dish is cooked."""
        total: defaultdict[int, int] = defaultdict(int)
        for group in self.taken:
            for dish, count in group.items():
                total[dish] += count
        return dict(total)

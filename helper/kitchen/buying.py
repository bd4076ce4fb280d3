"""What to buy: whole packages that meet what is short, at known prices and sizes where there are.

Packages the household has bought or seen come first, the cheapest way to meet the need among
them; then the usual package of the food. What no package is known for is bought as it is short.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal

import msgspec

from helper.kitchen.amounts import Amount, written
from helper.kitchen.facts import state
from helper.kitchen.forms import across
from helper.kitchen.matching import MISSING, PART, LineMatch, detail_of
from helper.kitchen.measures import Measures
from helper.kitchen.money import NOTHING
from helper.kitchen.prices import Prices
from helper.kitchen.units import units

# What a scale or a spoon cannot tell apart does not open another package.
_HAIR = 1e-6
# More packages of one size than this are not tried beside another size.
_MOST_MIXED = 50


class Need(msgspec.Struct, frozen=True):
    """An amount of a food that is short. `amount` None where nobody said how much."""

    food: str
    amount: Amount | None
    detail: str = ""
    size: Amount | None = None


class Buy(msgspec.Struct, frozen=True):
    """One line of a shopping list.

    `packages` packages of `size`; None where no package is known, then `short` alone says what is
    needed. `cost` is for all of them, None where no price is known. `food` is what to buy: for a
    cooked food, its uncooked form. `wanted` are the amounts in the recipes' words.
    """

    food: str
    packages: int | None
    package: str | None
    size: Amount | None
    cost: Decimal | None
    wanted: tuple[Need, ...]
    basis: tuple[str, ...] = ()


class Till(msgspec.Struct, frozen=True):
    """What the till takes: the sum of the priced lines, and the foods no price is known for."""

    total: Decimal
    buys: tuple[Buy, ...]
    unpriced: tuple[str, ...]

    @property
    def known(self) -> Decimal | None:
        """The total; None where there is something to buy and no price is known for any of it."""
        nothing = self.buys and all(buy.cost is None for buy in self.buys)
        return None if nothing else self.total


class _Way(msgspec.Struct, frozen=True):
    """One package a need could be met with, and how many of it."""

    food: str
    package: str | None
    size: Amount
    price: Decimal | None
    count: float
    basis: tuple[str, ...]


def needs(lines: Iterable[LineMatch], optional: bool = False) -> tuple[Need, ...]:
    """What lines are short of, the optional ones only when asked for."""
    return tuple(
        Need(line.food, line.short if line.amount else None, detail_of(line.line), line.line.size)
        for line in lines
        if line.food and line.state in (MISSING, PART) and (optional or line.needed)
    )


def to_buy(wanted: Iterable[Need], prices: Prices, measures: Measures) -> Till:
    """Whole packages for everything short; needs of one food are added before rounding up."""
    by_food: dict[str, list[Need]] = {}
    for need in wanted:
        by_food.setdefault(need.food, []).append(need)
    buys = tuple(
        buy
        for food, short in by_food.items()
        for buy in _buys(food, tuple(short), prices, measures)
    )
    total = sum((buy.cost for buy in buys if buy.cost is not None), NOTHING)
    return Till(total, buys, tuple(buy.food for buy in buys if buy.cost is None))


def _buys(
    food: str, wanted: tuple[Need, ...], prices: Prices, measures: Measures
) -> tuple[Buy, ...]:
    """The packages for one food: several sizes of it where that costs least."""
    ways = _known_ways(food, wanted, prices, measures) or _usual_ways(food, wanted, measures)
    if all(_any_size(need) for need in wanted):
        # "milk", "3 cans of tomatoes": the package bought last is meant, not the smallest one
        ways = ways[:1]
    if not ways:
        return (Buy(food, None, None, None, None, wanted),)
    return tuple(
        Buy(
            way.food,
            count,
            way.package,
            way.size,
            None if way.price is None else way.price * count,
            wanted,
            way.basis,
        )
        for way, count in _cheapest(ways)
    )


def _cheapest(ways: list[_Way]) -> list[tuple[_Way, int]]:
    """Packages that together meet the need for the least money, the fewest of them among equals.

    Tried are one size alone and any two sizes together.
    """
    priced = [way for way in ways if way.price is not None]
    if not priced:
        way = ways[0]
        return [(way, _whole(way.count))]
    best = min(([(way, _whole(way.count))] for way in priced), key=_comes_to)
    for one in priced:
        for other in priced:
            if one is other or one.count * other.count <= 0:
                continue
            for number in range(1, min(_whole(one.count), _MOST_MIXED)):
                rest = _whole(other.count * (1 - number / one.count))
                mixed = [(one, number), (other, rest)]
                if _comes_to(mixed) < _comes_to(best):
                    best = mixed
    return best


def _any_size(need: Need) -> bool:
    """True where nobody said how much, or only how many packages."""
    if need.amount is None:
        return True
    unit = need.amount.unit
    return need.size is None and unit is not None and units()[unit].dimension == "package"


def _whole(count: float) -> int:
    return max(1, math.ceil(count - _HAIR))


def _comes_to(packages: list[tuple[_Way, int]]) -> tuple[Decimal, int]:
    cost = sum(((way.price or NOTHING) * count for way, count in packages), NOTHING)
    return cost, sum(count for _, count in packages)


def _known_ways(
    food: str, wanted: tuple[Need, ...], prices: Prices, measures: Measures
) -> list[_Way]:
    """The newest price of every package size the household knows for the nearest food."""
    ways: dict[tuple[str, str | None, Amount], _Way] = {}
    for known in prices.candidates(food):
        key = (known.food, known.package, known.size)
        if key in ways or (ways and known.food != next(iter(ways))[0]):
            continue
        counted = _count(wanted, known.food, known.package, known.size, measures)
        if counted is not None:
            ways[key] = _Way(
                known.food,
                known.package,
                known.size,
                known.price,
                counted[0],
                (f"latest price: {known}", *counted[1]),
            )
    return list(ways.values())


def _usual_ways(food: str, wanted: tuple[Need, ...], measures: Measures) -> list[_Way]:
    """The usual package; of the uncooked food where the one wanted is never sold."""
    base = measures.foods[food].base
    sold = [food]
    if base and state(measures.foods[food].form) == "cooked":
        sold = [base, food]
    for name in sold:
        for package in measures.packages(name):
            counted = _count(wanted, name, package.package, package.amount, measures)
            if counted is not None:
                said = f"a usual package of {name} is {written(package.amount)} ({package.source})"
                return [
                    _Way(
                        name, package.package, package.amount, None, counted[0], (said, *counted[1])
                    )
                ]
    return []


def _count(
    wanted: tuple[Need, ...], food: str, package: str | None, size: Amount, measures: Measures
) -> tuple[float, tuple[str, ...]] | None:
    """How many packages all needs come to, not rounded; None where one cannot be measured."""
    total = 0.0
    basis: list[str] = []
    for need in wanted:
        if need.amount is None:
            total = max(total, _HAIR)
            continue
        if need.amount.unit is not None and need.amount.unit == package and need.size is None:
            total += need.amount.number
            continue
        met = across(measures, need.food, need.amount, food, size.unit, need.detail, need.size)
        if met is None or not size.number:
            return None
        total += met.amount.number / size.number
        basis += met.basis
    return total, tuple(dict.fromkeys(basis))

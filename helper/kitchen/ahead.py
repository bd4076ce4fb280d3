"""What to do before the day itself: soak, thaw; with the safe way, from `rules/books/ahead.csv`."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from functools import cache

import msgspec
from msgspec.structs import replace

from helper.kitchen.amounts import Amount, written
from helper.kitchen.facts import state
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.kitchen.matching import Match
from helper.kitchen.measures import Measures
from rules.tables import rows

_POUND = 453.59237


class Ahead(msgspec.Struct, frozen=True):
    """Something to do on a day, for a dish of a later one: `way` with a gap for `foods`."""

    date: dt.date
    way: str
    source: str
    foods: tuple[tuple[str, Amount], ...]
    late: bool = False

    @property
    def text(self) -> str:
        """What to do, in a sentence."""
        told = [f"{written(near_eighth(amount))} {food}" for food, amount in self.foods]
        last = f" and {told[-1]}" if len(told) > 1 else told[-1]
        return self.way.format(food=", ".join(told[:-1]) + last)


class _Way(msgspec.Struct, frozen=True):
    """A row of the table. `pounds`: so many take `hours`; None where weight does not matter."""

    of: tuple[str, ...]
    form: str
    place: str
    hours: float
    pounds: float | None
    text: str
    source: str


@cache
def _ways() -> tuple[_Way, ...]:
    return tuple(
        _Way(
            tuple(row["of"].split(";")),
            row["form"],
            row["place"],
            float(row["hours"]),
            float(row["per_hours_lb"]) if row["per_hours_lb"] else None,
            row["text"],
            row["source"],
        )
        for row in rows("books/ahead.csv")
    )


def ahead(date: dt.date, dish: Match, measures: Measures, today: dt.date) -> tuple[Ahead, ...]:
    """What the lots a dish draws on ask for beforehand; `late` where the time is too short."""
    totals: dict[tuple[str, str, str | None], list[tuple[Lot, Amount]]] = {}
    for draw in dish.draws:
        if draw.amount.number > 0:
            key = (draw.lot.food, draw.lot.place, draw.lot.left.unit)
            totals.setdefault(key, []).append((draw.lot, draw.amount))
    found = []
    for (food, place, unit), draws in totals.items():
        amount = Amount(sum(one.number for _, one in draws), unit)
        way = _way_for(food, place, measures.foods)
        if way is not None:
            found.append(_on(date, food, amount, way, measures, today))
    return tuple(found)


def _way_for(food: str, place: str, foods: Foods) -> _Way | None:
    kinds = {food, *foods.kinds(food)}
    form = state(foods[food].form)
    for way in _ways():
        fits = way.place == place if way.place else way.form == form
        if fits and (kinds & set(way.of) or any(foods.covers(one, food) for one in way.of)):
            return way
    return None


def _on(
    date: dt.date, food: str, amount: Amount, way: _Way, measures: Measures, today: dt.date
) -> Ahead:
    hours = way.hours
    if way.pounds is not None:
        weighed = measures.grams(food, amount)
        if weighed is not None:
            hours *= max(1, math.ceil(weighed.grams / _POUND / way.pounds))
    day = date - dt.timedelta(days=max(1, math.ceil(hours / 24)))
    return Ahead(max(day, today), way.text, way.source, ((food, amount),), day < today)


def near_eighth(amount: Amount) -> Amount:
    """To the nearest eighth: closer is not weighed for a soak."""
    return Amount(max(1, round(amount.number * 8)) / 8, amount.unit)


def by_day(found: Iterable[Ahead]) -> tuple[Ahead, ...]:
    """In the order of the days; what is done alike on one day is told together."""
    together: dict[tuple[dt.date, str, bool], Ahead] = {}
    for one in found:
        key = (one.date, one.way, one.late)
        before = together.get(key)
        foods = one.foods if before is None else _added(before.foods, one.foods)
        together[key] = replace(one, foods=foods)
    return tuple(sorted(together.values(), key=lambda one: one.date))


def _added(
    foods: tuple[tuple[str, Amount], ...], more: tuple[tuple[str, Amount], ...]
) -> tuple[tuple[str, Amount], ...]:
    """Both together, the amounts of one food added where one unit measures them."""
    sums = list(foods)
    for food, amount in more:
        for at, (name, there) in enumerate(sums):
            also = amount.to(there.unit) if name == food else None
            if also is not None:
                sums[at] = (food, Amount(there.number + also.number, there.unit))
                break
        else:
            sums.append((food, amount))
    return tuple(sums)

"""What to do before the day itself: soak, thaw; with the safe way, from `rules/books/ahead.csv`."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from functools import cache

import msgspec

from helper.kitchen.amounts import Amount, written
from helper.kitchen.facts import state
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.kitchen.matching import Match
from helper.kitchen.measures import Measures
from rules.tables import rows

_POUND = 453.59237


class Ahead(msgspec.Struct, frozen=True):
    """Something to do on a day, for a dish of a later one."""

    date: dt.date
    text: str
    source: str
    late: bool = False


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
    near = Amount(max(1, round(amount.number * 8)) / 8, amount.unit)
    what = f"{written(near)} {food}"
    return Ahead(max(day, today), way.text.format(food=what), way.source, day < today)


def by_day(found: Iterable[Ahead]) -> tuple[Ahead, ...]:
    """In the order of the days, none twice."""
    return tuple(sorted(dict.fromkeys(found), key=lambda one: one.date))

"""The levels to be held in the house: all of them beside what is there, and what they now cost."""

from __future__ import annotations

from typing import Any

from helper.acts.house import House
from helper.acts.pricing import rates
from helper.acts.wording import amount_json, listed
from helper.answers import Answer, Column, Say, Table
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.lots import Level
from helper.kitchen.money import plain
from helper.kitchen.money import written as money
from helper.reading.reading import Reading

# The fields for one level, which this answer is not about.
_NO_ONE: dict[str, Any] = {"food": None, "level": None}


def all_levels(reading: Reading, house: House) -> Answer:
    """Every level, what is under it first, with the latest price and whether that is a low one."""
    levels = house.books.levels()
    if not levels:
        text = 'No level is held yet. Say one: "always keep 10 lb of flour in the house".'
        return Answer(reading, {**_NO_ONE, "levels": []}, (Say(text),))
    held = [(_short(one, house), one) for one in levels]
    held.sort(key=lambda pair: -pair[0] / _size(pair[1]))
    under = [one.food for short, one in held if short > 0]
    first = f"Under level: {listed(under)}." if under else "Nothing is under its level."
    rows = tuple(
        (one.food, written(one.amount), _there(one, short), _lacking(one, short),
         _price(one.food, house))
        for short, one in held
    )  # fmt: skip
    columns = (Column("Food"), Column("Level", right=True), Column("There is", right=True),
               Column("Short", right=True), Column("Last price"))  # fmt: skip
    reply = {**_NO_ONE, "levels": [_json(one, short, house) for short, one in held]}
    return Answer(reading, reply, (Say(first, "warn" if under else "good"), Table(columns, rows)),
                  foods=tuple(under), offered=tuple(under))  # fmt: skip


def _size(level: Level) -> float:
    return level.amount.number or 1.0


def _short(level: Level, house: House) -> float:
    """How much is lacking, in the level's unit; below nothing where there is more."""
    there = 0.0
    for lot in house.stock.by_food.get(level.food, ()):
        left = house.measures.convert(lot.food, lot.left, level.amount.unit)
        there += left.amount.number if left else 0.0
    return level.amount.number - there


def _there(level: Level, short: float) -> str:
    there = level.amount.number - short
    return written(Amount(there, level.amount.unit)) if there > 0 else number_written(0)


def _lacking(level: Level, short: float) -> str:
    return written(Amount(short, level.amount.unit)) if short > 0 else ""


def _price(food: str, house: House) -> str:
    """ "$2.69 at the market hall, the lowest known"."""
    known = rates(food, house.prices.history(food), house)
    if not known:
        return ""
    latest = known[0]
    where = f" at the {latest.known.shop}" if latest.known.shop else ""
    low = ", a low one" if _low(food, house) else ""
    return f"{money(latest.known.price, house.currency)}{where}{low}"


def _low(food: str, house: House) -> bool:
    """Whether the latest price is the lowest of several."""
    each = [one.each for one in rates(food, house.prices.history(food), house) if one.each]
    return len(each) > 1 and each[0] == min(each) and max(each) > each[0]


def _json(level: Level, short: float, house: House) -> dict[str, Any]:
    latest = house.prices.latest(level.food)
    unit = level.amount.unit
    return {
        "food": level.food,
        "level": amount_json(level.amount),
        "there": amount_json(Amount(level.amount.number - short, unit)),
        "short": amount_json(Amount(max(0.0, short), unit)),
        "latest": plain(latest.price) if latest else None,
        "low": _low(level.food, house),
    }

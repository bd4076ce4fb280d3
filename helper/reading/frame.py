"""A Reading in the form that programs get: the contract's `reading` object."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from helper.kitchen.money import plain
from helper.reading.reading import Reading, Said


def frame(reading: Reading, currency: str = "USD") -> dict[str, Any]:
    """The contract's fields; what was not said is empty or null. Numbers are JSON numbers."""
    reading = _only(reading)
    return {
        "act": reading.act,
        "recipes": list(reading.recipes),
        "foods": list(reading.foods),
        "without": list(reading.without),
        "people": list(reading.people),
        "diets": list(reading.diets),
        "amounts": [_amount(said) for said in reading.amounts],
        "money": None
        if reading.money is None
        else {"amount": plain(reading.money), "currency": currency},
        "servings": number(reading.servings),
        "days": reading.days,
        "place": reading.place,
        "date": None if reading.date is None else reading.date.isoformat(),
        "minutes": reading.minutes,
    }


def _only(reading: Reading) -> Reading:
    """Of a request done again with one thing put right in it: that thing."""
    if not reading.only:
        return reading
    amounts = tuple(one for one in reading.amounts if one.food in reading.only)
    prices = [one.price for one in amounts if one.price is not None]
    money = prices[0] if len(prices) == 1 else reading.money
    return replace(reading, foods=reading.only, amounts=amounts, money=money)


def _amount(said: Said) -> dict[str, Any]:
    return {"amount": number(said.amount.number), "unit": said.amount.unit, "food": said.food}


def number(value: float | None) -> int | float | None:
    """A number without false precision: whole numbers whole, others to six digits."""
    if value is None:
        return None
    rounded = float(f"{value:.6g}")
    return int(rounded) if rounded == int(rounded) else rounded

"""A Reading in the form that programs get: the contract's `reading` object."""

from __future__ import annotations

from typing import Any

from helper.kitchen.money import plain
from helper.reading.reading import Reading, Said


def frame(reading: Reading, currency: str = "USD") -> dict[str, Any]:
    """The contract's fields; what was not said is empty or null. Numbers are JSON numbers."""
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


def _amount(said: Said) -> dict[str, Any]:
    return {"amount": number(said.amount.number), "unit": said.amount.unit, "food": said.food}


def number(value: float | None) -> int | float | None:
    """A number without false precision: whole numbers whole, others to six digits."""
    if value is None:
        return None
    rounded = float(f"{value:.6g}")
    return int(rounded) if rounded == int(rounded) else rounded

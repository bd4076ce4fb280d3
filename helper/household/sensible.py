"""What no household can mean: limits to amounts and sums, the same wherever they come from."""

from __future__ import annotations

import math
from decimal import Decimal

from helper.kitchen.amounts import Amount, written
from helper.kitchen.units import factor, units

# A ton, a thousand liters, ten thousand pieces or packages, a hundred thousand in money.
_MOST = {"mass": (1000.0, "kg"), "volume": (1000.0, "l")}
_MOST_COUNTED = 10_000.0
_MOST_MONEY = Decimal(100_000)


def odd_amount(amount: Amount, nothing: bool = False) -> str:
    """What is wrong with an amount, or ""; `nothing` True where none at all is an answer too."""
    number = amount.number
    if not math.isfinite(number):
        return "that is no amount"
    if number < 0 or (number == 0 and not nothing):
        return f"{written(amount)} cannot be"
    measure = units()[amount.unit or "piece"]
    most = _MOST_COUNTED
    if measure.dimension in _MOST:
        most, unit = _MOST[measure.dimension]
        number *= factor(amount.unit, unit) or 1.0
    return "" if number <= most else f"{written(amount)} is more than any kitchen holds"


def odd_money(money: Decimal) -> str:
    """What is wrong with a price, or ""."""
    if not money.is_finite():
        return "that is no sum of money"
    if money < 0:
        return f"a price of {money} cannot be"
    return "" if money <= _MOST_MONEY else f"a price of {money} cannot be right"

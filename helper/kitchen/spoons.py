"""Amounts as spoons and cups hold them: 6 tsp is 2 tbsp, 0.28 cup is 4 1/2 tbsp."""

from __future__ import annotations

from fractions import Fraction

from helper.kitchen.amounts import Amount

# Measures of a drawer, largest first: the least that is measured with each, and the parts of one
# that there are spoons or marks for.
_DRAWER = (("cup", 0.25, (2, 3, 4)), ("tbsp", 1.0, (2,)), ("tsp", 0.125, (2, 4, 8)))
_NEAR = 0.02


def handy(amount: Amount) -> Amount:
    """The same amount in the largest measure that holds it in whole or usual parts.

    Exact: only the unit changes. Weights, pieces and packages stay as they are.
    """
    if all(amount.unit != unit for unit, *_ in _DRAWER):
        return amount
    for unit, least, parts in _DRAWER:
        found = amount.to(unit)
        if found is not None and found.number >= least * (1 - 1e-9) and _even(found.number, parts):
            return found
    return amount


def _even(number: float, parts: tuple[int, ...]) -> bool:
    return any(
        abs(float(Fraction(round(number * part), part)) - number) <= _NEAR * number
        for part in parts
    )

"""Amounts as spoons and cups hold them: 6 tsp is 2 tbsp, 0.28 cup is 4 1/2 tbsp."""

from __future__ import annotations

import math
from fractions import Fraction

from helper.kitchen.amounts import Amount, written

# Measures of a drawer, largest first: the most and (below) the least that is measured with each,
# and the parts of one that there are spoons or marks for.
_DRAWER = (("cup", math.inf, (2, 3, 4)), ("tbsp", 8.0, (2,)), ("tsp", 3.0, (2, 4, 8)))
_LEAST = {"cup": 0.25, "tbsp": 1.0, "tsp": 0.125}
_STEPS = (("cup", 0.25), ("tbsp", 1.0), ("tsp", 0.25), ("tsp", 0.125))
_NEAR = 0.02
_CRUMB = 0.06
_LARGE_SPOON = 3.0  # teaspoons


def handy(amount: Amount) -> Amount:
    """The same amount in the largest measure that holds it in whole or usual parts.

    What none holds so stays in the largest it fills. Exact: only the unit changes. Weights,
    pieces and packages stay as they are.
    """
    if all(amount.unit != unit for unit, *_ in _DRAWER):
        return amount
    for unit, most, parts in _DRAWER:
        found = amount.to(unit)
        if found is None or not _LEAST[unit] * (1 - 1e-9) <= found.number <= most:
            continue
        if _even(found.number, parts):
            return found
    wholes = (amount.to(unit) for unit, *_ in _DRAWER)
    return next((one for one in wholes if one is not None and one.number >= 1), amount)


def _even(number: float, parts: tuple[int, ...]) -> bool:
    return abs(_nearest(number, parts) - number) <= _NEAR * number


def _nearest(number: float, parts: tuple[int, ...]) -> float:
    """The nearest number that there are measures for."""
    fits = (float(Fraction(round(number * part), part)) for part in parts)
    return min(fits, key=lambda one: abs(one - number))


def spooned(amount: Amount) -> str:
    """An amount in words that a drawer of measures can meet: "2 tbsp + 3/4 tsp".

    What no single measure holds is put together from the largest ones; a crumb of the whole
    is not worth another spoon.
    """
    found = handy(amount)
    left = amount.to("tsp")
    if left is None:
        return written(amount)
    for unit, most, parts in _DRAWER:
        if found.unit == unit and found.number <= most:
            near = _nearest(found.number, parts)
            if abs(near - found.number) <= _NEAR * found.number:
                return written(Amount(near, unit))
    told, rest = [], left.number
    for unit, part in _STEPS:
        size = Amount(part, unit).to("tsp")
        assert size is not None  # all of these are volumes
        count = math.floor(rest / size.number + _NEAR)
        if count:
            told.append(written(Amount(count * part, unit)))
            rest -= count * size.number
        if rest < _CRUMB * left.number:
            break
    return " + ".join(told) or written(amount)


def by_the_spoon(amount: Amount) -> str:
    """As `spooned`, and less than a tablespoon to the nearest quarter teaspoon: near enough for
    an amount that was worked out. Weights and pieces stay as they are."""
    if all(amount.unit != unit for unit, *_ in _DRAWER):
        return written(amount)
    small = amount.to("tsp")
    if small is None or small.number >= _LARGE_SPOON:
        return spooned(amount)
    return written(Amount(max(0.125, round(small.number * 4) / 4), "tsp"))

"""The one amount type, and how amounts are printed: as cooks write them."""

from __future__ import annotations

import math
from fractions import Fraction

import msgspec

from helper.kitchen.units import factor, units

# The fractions a set of measuring cups and spoons knows. Others print as decimals.
_SPOON_FRACTIONS = (2, 3, 4, 8)


class Amount(msgspec.Struct, frozen=True, array_like=True):
    """A number of some unit.

    `unit` is a name of the units table, or None for counted pieces. `high` is the upper end of a
    range ("2 to 3 carrots"); `about` marks measures no spoon holds exactly (a pinch, a heaping
    spoon). Numbers are plain floats: definitions are exact to the last bit a kitchen could weigh.
    """

    number: float
    unit: str | None = None
    high: float | None = None
    about: bool = False

    def times(self, ratio: float) -> Amount:
        """The same amount, scaled."""
        high = None if self.high is None else self.high * ratio
        return Amount(self.number * ratio, self.unit, high, self.about)

    def to(self, unit: str | None) -> Amount | None:
        """In another unit of the same dimension, or None where only the food could tell."""
        ratio = factor(self.unit, unit)
        if ratio is None:
            return None
        return Amount(self.number * ratio, unit, self.high and self.high * ratio, self.about)

    def __str__(self) -> str:
        return written(self)


def number_written(number: float) -> str:
    """A number as cooks write it: 1 1/2, 1/3, 12, 2.35."""
    whole = math.floor(number + 1e-9)
    rest = number - whole
    if rest < 0.005 and whole:
        return f"{whole:,}"
    for denominator in _SPOON_FRACTIONS:
        part = Fraction(round(rest * denominator), denominator)
        if part and abs(float(part) - rest) < 0.005:
            if part == 1:
                return f"{whole + 1:,}"
            return f"{whole} {part}" if whole else str(part)
    if number >= 100:
        return f"{round(number):,}"
    return f"{number:.3g}" if number < 10 else f"{number:.1f}".rstrip("0").rstrip(".")


def written(amount: Amount) -> str:
    """An amount as cooks write it: "2 to 3 cups", "1 1/2 tsp", "4" for counted pieces.

    Weights in metric stay decimal; everything that a spoon or a hand measures gets fractions.
    """
    metric = amount.unit is not None and units()[amount.unit].kind == "metric"
    shown = _decimal if metric else number_written
    text = shown(amount.number)
    if amount.high is not None:
        text = f"{text} to {shown(amount.high)}"
    if amount.unit is None:
        return text
    return f"{text} {unit_written(amount.unit, amount.high or amount.number)}"


def _decimal(number: float) -> str:
    return f"{number:,.0f}" if number >= 20 else f"{number:.2f}".rstrip("0").rstrip(".")


def unit_written(unit: str, number: float) -> str:
    """The unit word, plural where it takes one: "3 cups", "2 cans"; but "3 tbsp", "5 lb"."""
    return unit if number <= 1 else units()[unit].plural

"""Temperatures in words: "350 F", "180 degrees celsius", "gas mark 4", "a moderate oven"."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

import msgspec

from helper.kitchen.words import key, plain
from rules.tables import rows

_DEGREES = re.compile(r"(-?\d+(?:\.\d+)?)\s*(?:degrees?|degs?\.?|°|º)?\s*([a-z]+)?")


class Scale(msgspec.Struct, frozen=True):
    """A temperature scale: its name, its sign and where its definition stands."""

    name: str
    sign: str
    source: str


class Heat(msgspec.Struct, frozen=True):
    """A temperature, or a range of them, on a scale. `words` where it was said without degrees."""

    low: float
    high: float
    scale: str
    words: str = ""
    source: str = ""

    def to(self, scale: str) -> Heat:
        """The same heat on another scale, by way of the units registry."""
        from helper.kitchen.units import registry

        quantity = registry().Quantity
        low, high = (
            float(quantity(one, self.scale).to(scale).magnitude) for one in (self.low, self.high)
        )
        return Heat(low, high, scale, self.words, self.source)

    def __str__(self) -> str:
        sign = scales()[self.scale].sign
        if self.low == self.high:
            return f"{self.low:.0f} {sign}"
        return f"{self.low:.0f} to {self.high:.0f} {sign}"


@cache
def scales() -> dict[str, Scale]:
    """The scales by name."""
    return {
        row["scale"]: Scale(row["scale"], row["sign"], row["source"])
        for row in rows("reference/temperature_scales.csv")
    }


@cache
def _spellings() -> dict[str, str]:
    return {
        word: row["scale"]
        for row in rows("reference/temperature_scales.csv")
        for word in row["words"].split(";")
    }


def scales_named(text: str) -> list[str]:
    """The scales a text names, in the order of their first mention; lone letters count."""
    found = [
        _spellings()[word] for word in re.findall(r"[a-z]+", plain(text)) if word in _spellings()
    ]
    return list(dict.fromkeys(found))


def read_heat(text: str) -> Heat | None:
    """The temperature a text names, or None. A number counts only with a scale behind it."""
    said = plain(text)
    for found in _DEGREES.finditer(said):
        scale = _spellings().get(found[2] or "")
        if scale is not None:
            degrees = float(found[1])
            return Heat(degrees, degrees, scale)
    return _oven(text)


class Mark(msgspec.Struct, frozen=True):
    """A number on a cooker's own dial: "gas mark 5", what it is called and the oven it means."""

    name: str
    number: float
    heat: Heat


def mark_asked(text: str, heat: Heat) -> Mark | None:
    """The mark nearest to a heat, where a text names such a dial without a number of its own."""
    if heat.words:
        return None
    said, near = key(text), heat.to("fahrenheit").low
    found = [
        mark
        for mark in _marks()
        if any(said[at : at + 1] == key(mark.name)[:1] for at in range(len(said)))
    ]
    return min(found, key=lambda mark: abs(mark.heat.low - near)) if found else None


@cache
def _marks() -> tuple[Mark, ...]:
    marks = []
    for row in rows("reference/oven_heats.csv"):
        name, _, figure = row["words"].split(";")[0].rpartition(" ")
        if figure[0].isdigit():
            words = f"{name} {figure}"
            low, high = float(row["low_f"]), float(row["high_f"])
            heat = Heat(low, high, "fahrenheit", words, row["source"])
            marks.append(Mark(name, float(Fraction(figure)), heat))
    return tuple(marks)


def _oven(text: str) -> Heat | None:
    """What cooks call an oven or a burner's mark; the longest name that fits."""
    said = key(text)
    best: tuple[int, Heat] | None = None
    for row in rows("reference/oven_heats.csv"):
        for words in row["words"].split(";"):
            wanted = key(words)
            inside = any(said[at : at + len(wanted)] == wanted for at in range(len(said)))
            if inside and (best is None or len(wanted) > best[0]):
                heat = Heat(
                    float(row["low_f"]), float(row["high_f"]), "fahrenheit", words, row["source"]
                )
                best = (len(wanted), heat)
    return best[1] if best else None

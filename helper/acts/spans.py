"""How long a span of days is, in words."""

from __future__ import annotations

from typing import NamedTuple


class _Unit(NamedTuple):
    word: str
    days: float
    least: int  # days from which the unit is used
    slack: float  # how far from a whole number it may be and still be called one


_UNITS = (
    _Unit("year", 365, 365, 0.01),
    _Unit("month", 30.42, 30, 0.1),
    _Unit("week", 7, 14, 0.01),
    _Unit("day", 1, 0, 0.0),
)


def span_written(least: int, most: int) -> str:
    """A range of days as people say it: "3 to 4 days", "2 to 3 months", "1 year"."""
    unit = next(one for one in _UNITS if least >= one.least and _whole(one, least, most))
    low, high = round(least / unit.days), round(most / unit.days)
    shown = str(low) if low == high else f"{low} to {high}"
    return f"{shown} {unit.word}{'' if high == 1 else 's'}"


def _whole(unit: _Unit, *spans: int) -> bool:
    return all(abs(days / unit.days - round(days / unit.days)) <= unit.slack for days in spans)

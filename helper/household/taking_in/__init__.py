"""Files taken into the books: stock and people as tables, recipes as JSON-LD, pages or text."""

from __future__ import annotations

from helper.household.taking_in.report import CannotTakeIn, Progress, Refused, Report
from helper.household.taking_in.taking import SUFFIXES, keep_recipes, line_reader, take_in

__all__ = [
    "SUFFIXES",
    "CannotTakeIn",
    "Progress",
    "Refused",
    "Report",
    "keep_recipes",
    "line_reader",
    "take_in",
]

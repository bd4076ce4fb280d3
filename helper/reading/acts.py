"""The acts a request may be, and what each takes: read from `acts.csv`, the one list of them."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import msgspec


class Act(msgspec.Struct, frozen=True):
    """One thing a person may want.

    `changes`: it writes in the books. `looks` back or ahead: which Friday "friday" is. `avoids`:
    foods named are what somebody keeps away from. `lists`: "beans and ham" are two foods here,
    not the dish of that name. `names_things`: it means nothing without a thing named.
    `prefers`: whether words that name both a dish and a food mean the recipe or the food here.
    `takes`: the fields of a Reading it uses; others are dropped.
    """

    name: str
    changes: bool
    looks: str
    avoids: bool
    lists: bool
    names_things: bool
    prefers: str
    takes: frozenset[str]
    wants: str
    example: str


@cache
def acts() -> dict[str, Act]:
    """Every act by name, in the order of the table."""
    with (Path(__file__).parent / "acts.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["act"]: Act(
                row["act"],
                row["changes"] == "yes",
                row["looks"],
                row["avoids"] == "yes",
                row["lists"] == "yes",
                row["names"] == "yes",
                row["prefers"],
                frozenset(row["takes"].split()),
                row["wants"],
                row["example"],
            )
            for row in csv.DictReader(file)
        }

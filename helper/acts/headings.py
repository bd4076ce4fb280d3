"""All acts by what they are about: one grouping for help, `--help` and the README."""

from __future__ import annotations

import csv
from pathlib import Path

from helper.acts import FAMILIES
from helper.reading.acts import Act, acts


def grouped() -> dict[str, list[Act]]:
    """Heading → acts, in the order people are told of them."""
    with (Path(__file__).parent / "help_groups.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["heading"]: [acts()[name] for name in FAMILIES[row["family"]] if name in acts()]
            for row in csv.DictReader(file)
        }

"""Reading the CSV tables that lie in this package: facts with their sources, one row each."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent


def rows(name: str) -> Iterator[dict[str, str]]:
    """The rows of one table, named by its path inside `rules/`, as dicts of text."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)

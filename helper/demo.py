"""The demo household: invented people, stock, prices and recipes, for a look around.

Every call gives a fresh private copy in memory; nothing of it is kept. Its dates are written
around one day, and are moved so that this day is today. Reading the files takes a moment, so the
books as read are kept for the next start (`rules.prepared`).
"""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Iterator
from pathlib import Path

from msgspec.structs import replace

from helper.household.books import Household
from helper.household.journal import Change
from helper.household.records import written
from rules.prepared import prepared

# The day the dates of the demo files are written around.
NOMINAL_DAY = dt.date(2026, 11, 25)

_HERE = Path(__file__).parent


class NoDemo(FileNotFoundError):
    """The demo's files are not where they belong."""


def demo_folder() -> Path:
    """The folder of the demo's files: inside the installed package, or beside it in a checkout."""
    for folder in (_HERE / "demo_household", _HERE.parent / "demo_household"):
        if (folder / "stock.csv").is_file():
            return folder
    raise NoDemo("The files of the demo household are missing from this installation.")


def demo_books(today: dt.date) -> Household:
    """A fresh copy of the demo household, its dates moved to today."""
    books = _laid_out(today)
    shift = today - NOMINAL_DAY
    if shift:
        _move(books, shift)
    return books


def _laid_out(today: dt.date) -> Household:
    """The demo's books as read once from its files."""
    made = prepared("demo", bytes, [*_files(), *_readers()], lambda: read_demo().prepare())
    try:
        return Household.scratch(prepared=made, today=lambda: today)
    except ValueError:  # garbled on the disk
        return Household.scratch(prepared=read_demo().prepare(), today=lambda: today)


def _files() -> Iterator[Path]:
    folder = demo_folder()
    yield folder / "stock.csv"
    yield folder / "people.csv"
    yield folder / "visitors.txt"
    yield from sorted((folder / "recipes").glob("*.txt"))


def _readers() -> Iterator[Path]:
    """What the reading depends on beside the files: how lines and foods are read."""
    yield from sorted((_HERE / "household" / "taking_in").glob("*.*"))
    for name in ("lines.py", "foods.py", "quantities.py", "numbers.py", "words.py"):
        yield _HERE / "kitchen" / name
    yield from sorted((_HERE.parent / "rules" / "reference").glob("*words.csv"))
    for name in ("avoid_words.csv", "claims.csv", "keeping.csv"):
        yield _HERE.parent / "rules" / "books" / name
    yield from sorted((_HERE.parent / "rules" / "reference" / "foods").glob("*.csv"))


def read_demo() -> Household:
    """The demo's books read from its files, with the dates as written there."""
    from helper.household.taking_in import keep_recipes, line_reader, take_in
    from helper.household.taking_in.files import read_text
    from helper.household.taking_in.recipe_text import recipe_from_text
    from helper.kitchen.foods import Foods

    books = Household.scratch(today=lambda: NOMINAL_DAY)
    foods = Foods()
    folder = demo_folder()
    for name in ("stock.csv", "people.csv"):
        take_in(folder / name, books, foods, NOMINAL_DAY)
    read = line_reader(foods)
    recipes = [
        recipe
        for path in sorted((folder / "recipes").glob("*.txt"))
        if (recipe := recipe_from_text(read_text(path), foods, read=read)) is not None
    ]
    keep_recipes(recipes, "recipes", books)
    visitors = frozenset(read_text(folder / "visitors.txt").split("\n"))
    books.apply(
        [
            Change(
                "people", one.id, books.paper("people", one.id), written(replace(one, home=False))
            )
            for one in books.people()
            if one.name in visitors
        ]
    )
    return books


def _move(books: Household, shift: dt.timedelta) -> None:
    """Moves every date of the stock and the price book; no change that could be taken back."""

    def moved(day: dt.date | None) -> dt.date | None:
        with contextlib.suppress(OverflowError):
            return None if day is None else day + shift
        return day

    changes = []
    for lot in books.lots():
        days = {name: moved(getattr(lot, name)) for name in ("bought", "best_by", "opened")}
        paper = written(replace(lot, **days))
        changes.append(Change("stock", lot.id, books.paper("stock", lot.id), paper))
    for price in books.prices():
        paper = written(replace(price, date=moved(price.date)))
        changes.append(Change("prices", price.id, books.paper("prices", price.id), paper))
    books.apply(changes)

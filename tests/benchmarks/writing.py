"""One durable change of the books beside one durable commit of SQLite on the same disk."""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from pathlib import Path

from msgspec.structs import replace

from helper.household.books import Household
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount
from tests.benchmarks.houses import lots
from tests.benchmarks.timing import in_turns, told

CHANGES = 200


def main() -> None:
    """`--disk FOLDER` puts the files on another disk than that of temporary files."""
    folder = sys.argv[sys.argv.index("--disk") + 1] if "--disk" in sys.argv else None
    with tempfile.TemporaryDirectory(dir=folder) as where:
        measure(Path(where))


def measure(folder: Path) -> None:
    books = Household.open(folder / "household")
    lot = next(iter(lots(1)))
    books.change(lambda draft: draft.add("stock", lot), act="add-stock", summary="one lot")
    left = 0.0

    def ours() -> None:
        nonlocal left
        left += 0.01

        def draw(draft: Draft) -> None:
            draft.put("stock", replace(lot, left=Amount(left, "oz")))

        books.change(draw, act="use-stock", said="used some", summary="used some")

    base = _database(folder)

    def theirs() -> None:
        nonlocal left
        left += 0.01
        with base:
            base.execute("update lot set left = ? where id = 1", (left,))
            base.execute("insert into event (said) values ('used some')")

    beside = in_turns(ours, theirs, CHANGES)
    told("one durable change", beside, "one SQLite commit (WAL, synchronous=FULL)", 1.5)
    books.close()


def _database(folder: Path) -> sqlite3.Connection:
    base = sqlite3.connect(folder / "baseline.sqlite")
    base.execute("pragma journal_mode=wal")
    base.execute("pragma synchronous=full")
    base.executescript(
        "create table lot (id integer primary key, left real);"
        "create table event (id integer primary key, said text);"
        "insert into lot values (1, 16);"
    )
    return base


if __name__ == "__main__":
    main()

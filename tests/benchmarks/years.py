"""Ten years of one household, 100,000 events and 5,000 recipes: opened, asked, changed."""

from __future__ import annotations

import datetime as dt
import sqlite3
import tempfile
import time
from pathlib import Path

import msgspec
from msgspec.structs import replace

from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.journal import Change, Event, line_written
from helper.kitchen.amounts import Amount
from tests.benchmarks.houses import DAY, LOTS, lots
from tests.benchmarks.memory import fill
from tests.benchmarks.timing import figure, in_turns, median_of, timed, told, written

EVENTS, RECIPES, YEARS = 100_000, 5_000, 10


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder) / "household"
        with Household.open(where) as books:
            fill(books, RECIPES)
        _live(where)
        size = (where / "journal.jsonl").stat().st_size / 1e6
        figure(f"journal of {EVENTS:,} events", f"{size:.0f} MB")
        first = timed(lambda: _opened(where))
        figure("first opening, nothing summed up", f"{first:.2f} s")
        Household.open(where).close()
        base = _snapshot_in_sqlite(Path(folder), where)
        beside = in_turns(lambda: _opened(where), lambda: _read(base), 7)
        told("opening after ten years", beside, "reading the same tables out of SQLite")
        _talk(where)


def _live(where: Path) -> None:
    """Ten years of draws and purchases, put behind the journal as the books would write them."""
    with Household.open(where) as books:
        seq, papers = books.version, dict(books.papers("stock"))
    shelf = {lot.id: lot for lot in lots()}
    begin = DAY - dt.timedelta(days=365 * YEARS)
    encode = msgspec.json.Encoder(decimal_format="string").encode
    with (where / "journal.jsonl").open("ab") as journal:
        for at in range(EVENTS):
            number = at % LOTS + 1
            lot = replace(shelf[number], left=Amount(1 + at % 15, "oz"))
            paper = msgspec.Raw(encode(lot))
            day = begin + dt.timedelta(days=365 * YEARS * at // EVENTS)
            event = Event(
                seq + at + 1,
                f"{day}T18:00:00+00:00",
                "use-stock",
                f"used some {lot.food}",
                f"Used 1 oz {lot.food}",
                {},
                (Change("stock", number, papers[number], paper),),
            )
            papers[number] = paper
            journal.write(line_written(event))


def _opened(where: Path) -> int:
    return Household.open(where, today=lambda: DAY).version


def _snapshot_in_sqlite(folder: Path, where: Path) -> Path:
    path = folder / "baseline.sqlite"
    books = Household.open(where)
    with sqlite3.connect(path) as base:
        base.execute("create table record (kind text, id integer, paper blob)")
        for table, papers in books.tables().items():
            base.executemany(
                "insert into record values (?, ?, ?)",
                ((table, number, bytes(paper)) for number, paper in papers.items()),
            )
    return path


def _read(path: Path) -> dict[tuple[str, int], bytes]:
    with sqlite3.connect(path) as base:
        rows = base.execute("select kind, id, paper from record")
        return {(kind, number): paper for kind, number, paper in rows}


def _talk(where: Path) -> None:
    books = Household.open(where, today=lambda: DAY)
    talk = Conversation(books, DAY)
    for words in (
        "what can I make with beans and ham",
        "got 2 lb of butter for 7.00",
        "undo that",
        "what did we use this week",
    ):
        start = time.perf_counter()
        talk.say(words)
        first = time.perf_counter() - start
        later = median_of([lambda words=words: talk.say(words)] * 5)  # type: ignore[misc]
        figure(f'  "{words}"', written(first), f"- ; said again {written(later)}")


if __name__ == "__main__":
    main()

"""Reading one request, with the titles of a small household and of a large one."""

from __future__ import annotations

import itertools
import json
import statistics
from pathlib import Path

from helper.kitchen.foods import Foods
from helper.reading.names import Names
from helper.reading.phrasebook import phrasebook
from helper.reading.reader import Reader
from tests.benchmarks.houses import DAY, recipes
from tests.benchmarks.timing import Beside, figure, in_turns, timed, told, written

SMALL, LARGE = 25, 10_000
SAID = Path(__file__).parent.parent / "understanding" / "requests_look.jsonl"
MOST = 200


def main() -> None:
    said = [json.loads(line)["say"] for line in SAID.read_text().splitlines()][:MOST]
    small, large = _reader(SMALL), _reader(LARGE)
    first, second = itertools.cycle(said), itertools.cycle(said)
    beside = in_turns(
        lambda: large.read(next(first), DAY), lambda: small.read(next(second), DAY), len(said)
    )
    figure(f"reading one request, {SMALL} titles", written(beside.other), "5 ms")
    told(f"reading one request, {LARGE:,} titles", beside, f"{SMALL} titles", 2.0)
    made = Beside(
        statistics.median(timed(lambda: _reader(LARGE)) for _ in range(3)),
        statistics.median(timed(lambda: _keyed(LARGE)) for _ in range(3)),
    )
    told(f"names of {LARGE:,} titles made ready", made, "lower-casing and splitting them")


def _titles(count: int) -> list[str]:
    return [recipe.title for recipe in recipes(count)]


_KNOWN: dict[int, list[str]] = {}


def _reader(count: int) -> Reader:
    titles = _KNOWN.setdefault(count, _KNOWN.get(count) or _titles(count))
    book = phrasebook()
    names = Names(Foods(), titles, ["Orla", "Bram"], (), book.vocabulary, book.strange)
    return Reader(names, book)


def _keyed(count: int) -> dict[str, list[str]]:
    return {title: title.lower().split() for title in _KNOWN[count]}


if __name__ == "__main__":
    main()

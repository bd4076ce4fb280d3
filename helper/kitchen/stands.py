"""How every listed food stands to allergens and diets, worked out by the rules once and kept.

The rules decide; this only spares a start the work of asking them again for the same foods. It is
made anew when a book, a table, or the code that judges changes (`rules.prepared`).
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

import msgspec

from rules.judge import Judge, Part, Stand
from rules.prepared import prepared
from rules.tables import HERE


class _Told(msgspec.Struct, frozen=True, array_like=True):
    """Many foods stand alike: each way of standing once (ruled out, unsure), and whose it is."""

    ways: list[tuple[list[str], list[str]]]
    foods: dict[str, int]


def listed_stands(judge: Judge, names: Iterable[str]) -> dict[str, Stand]:
    """The stand of each food named so and no more: not labelled, not guessed at."""
    told = prepared("stands", _Told, _sources(), lambda: _judged(judge, names))
    ways = [Stand(frozenset(out), frozenset(unsure)) for out, unsure in told.ways]
    return {food: ways[way] for food, way in told.foods.items()}


def _judged(judge: Judge, names: Iterable[str]) -> _Told:
    places: dict[Stand, int] = {}
    foods = {name: places.setdefault(judge.of(Part(name)), len(places)) for name in names}
    ways = [(sorted(stand.ruled_out), sorted(stand.unsure)) for stand in places]
    return _Told(ways, foods)


@cache
def _sources() -> tuple[Path, ...]:
    here = Path(__file__).parent
    return (
        *sorted((HERE / "books").glob("*.*")),
        *sorted((HERE / "reference").glob("*.csv")),
        *sorted((HERE / "reference/foods").glob("*.csv")),
        *sorted(HERE.glob("*.py")),
        *(here / name for name in ("foods.py", "kin.py", "safety.py", "stands.py", "words.py")),
    )

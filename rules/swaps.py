"""The book of swaps: what stands in for a food, how much of it, where it works and where it fails.

A row of `books/swaps.csv` speaks of one amount of one food: "1 cup buttermilk: 1 tbsp lemon juice
+ 0.94 cup milk". `roles` says which parts in a dish it can take over, `works_in` and `fails_in`
name sorts of dish; `reasons` says when one wants it (out-of-stock, gluten-free, cheaper …).
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from rules.tables import rows

BOOK = "books/swaps.csv"
ANYWHERE = "any"

# Cups and spoons come in quarters, thirds, sixths, eighths; a tablespoon is a sixteenth of a cup.
_MEASURED_PARTS = (4, 3, 8, 6, 16)
_ROUNDING = 0.005001

# What follows the place itself: "dressing, where the vinegar is tasted", "salad unless drained".
_AFTERTHOUGHT = re.compile(r"[,:(]| unless | until | where | without ")
_AT_MOST = re.compile(r"more than (\d+(?:\.\d+)?)\b")


class Part(NamedTuple):
    """One thing to take. `unit` is a name of the units table, "" for counted pieces."""

    number: float
    unit: str
    food: str


class Swap(NamedTuple):
    """One row of the book. `amount` of `food` in `unit` ("" = pieces) becomes all of `use`."""

    id: str
    food: str
    amount: float
    unit: str
    use: tuple[Part, ...]
    works_in: tuple[str, ...]
    fails_in: tuple[str, ...]
    roles: tuple[str, ...]
    method: str
    reasons: tuple[str, ...]
    source: str
    line: int

    @property
    def at_most(self) -> float | None:
        """The largest amount, in the swap's own unit, that it still holds for; None = any."""
        told = [float(m[1]) for place in self.fails_in if (m := _AT_MOST.match(place))]
        return min(told, default=None)

    @property
    def foods(self) -> tuple[str, ...]:
        """Everything it takes."""
        return tuple(part.food for part in self.use)


class Fault(NamedTuple):
    """One thing wrong in the book. `str()` gives `file:line: reason`."""

    line: int
    reason: str

    def __str__(self) -> str:
        return f"rules/{BOOK}:{self.line}: {self.reason}"


def place_of(text: str) -> str:
    """The sort of dish that `works_in` or `fails_in` names, without what is said about it."""
    return _AFTERTHOUGHT.split(text, maxsplit=1)[0].strip()


@cache
def swaps() -> tuple[Swap, ...]:
    """The whole book in its order."""
    return tuple(_read(row, line) for line, row in enumerate(rows(BOOK), 2))


@cache
def swaps_by_food() -> Mapping[str, tuple[Swap, ...]]:
    """Canonical food → its rows, in the order of the book."""
    found: defaultdict[str, list[Swap]] = defaultdict(list)
    for swap in swaps():
        found[swap.food].append(swap)
    return {food: tuple(listed) for food, listed in found.items()}


def faults(foods: Collection[str], units: Collection[str], roles: Collection[str]) -> list[Fault]:
    """Everything wrong with the book, given the names of all foods, units and roles."""
    found = []
    seen: dict[str, int] = {}
    for swap in swaps():
        if swap.id in seen:
            found.append(Fault(swap.line, f"the id {swap.id} is taken at line {seen[swap.id]}"))
        seen[swap.id] = swap.line
        found += [Fault(swap.line, reason) for reason in _wrong(swap, foods, units, roles)]
    return found


def _wrong(
    swap: Swap, foods: Collection[str], units: Collection[str], roles: Collection[str]
) -> Iterator[str]:
    if swap.amount <= 0:
        yield "the amount swapped must be more than nothing"
    if not swap.use:
        yield 'cannot read what to use; write "0.94 cup milk + 1 tbsp lemon juice"'
    for food in (swap.food, *swap.foods):
        if food not in foods:
            yield f"unknown food {food!r}"
    for unit in (swap.unit, *(part.unit for part in swap.use)):
        if unit and unit not in units:
            yield f"unknown unit {unit!r}"
    for role in sorted(set(swap.roles) - set(roles)):
        yield f"unknown role {role!r}"
    for name in ("works_in", "roles", "method", "source"):
        if not getattr(swap, name):
            yield f"it has no {name}"


def _read(row: Mapping[str, str], line: int) -> Swap:
    return Swap(
        row["id"],
        row["for_food"],
        _number(row["for_amount"]),
        row["for_unit"],
        _parts(row["use"]),
        _listed(row["works_in"]),
        _listed(row["fails_in"]),
        _listed(row["roles"]),
        row["method"],
        _listed(row["reasons"]),
        row["source"],
        line,
    )


def _listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _parts(text: str) -> tuple[Part, ...]:
    """ "0.94 cup milk + 1 tbsp lemon juice" as parts; () where any part cannot be read."""
    parts = []
    for piece in text.split(" + "):
        number, _, rest = piece.strip().partition(" ")
        if not re.fullmatch(r"\d+(?:\.\d+)?", number) or not rest:
            return ()
        unit = next((unit for unit in _units() if rest.startswith(f"{unit} ")), "")
        parts.append(Part(_number(number), unit, rest[len(unit) :].strip()))
    return tuple(parts)


def _number(text: str) -> float:
    """The number; two decimals that round a part of a measuring set (0.33, 0.94) mean that part."""
    number = float(text)
    if len(text.partition(".")[2]) == 2:
        for parts in _MEASURED_PARTS:
            part = round(number * parts) / parts
            if abs(part - number) <= _ROUNDING:
                return part
    return number


@cache
def _units() -> tuple[str, ...]:
    """Names of the units, longest first, so that "fl oz" is not taken for something else."""
    return tuple(sorted((row["unit"] for row in rows("reference/units.csv")), key=len)[::-1])

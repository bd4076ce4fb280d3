"""What the reference tables say of foods: weights, trim, packages, yields, states.

Each table is read once, when first asked, and indexed by food; figures stay text until needed,
so that looking up one food costs nothing for the other two thousand. Tests and other tables may
hand in rows of their own instead of the files.
"""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import cache, cached_property
from typing import NamedTuple

from helper.kitchen.amounts import Amount
from helper.kitchen.units import UnknownUnit, unit_named
from rules.tables import HERE

Row = Sequence[str]

# "15.5 oz can; 258 g drained": how the yields table tells the size of the package it starts from.
_TOLD_SIZE = re.compile(r"(\d+(?:\.\d+)?) (oz|fl oz|g) (\w+)")

# The tables and the files they lie in; a later file adds to an earlier one.
FILES = {
    "weights": ("reference/weights.csv", "reference/weights_more.csv"),
    "trim": ("reference/trim.csv",),
    "packages": ("reference/packages.csv",),
    "yields": ("reference/yields.csv",),
    "volumes": ("reference/volumes.csv",),
}


class Weight(NamedTuple):
    """Grams of one household measure of a food, edible part only."""

    grams: float
    source: str


class Volume(NamedTuple):
    """How much room one household measure of a food takes, where trade fixes it."""

    amount: Amount
    source: str


class Trim(NamedTuple):
    """The part of a food as bought that is thrown away, from 0 to 1."""

    part: float
    what: str
    source: str


class Package(NamedTuple):
    """A usual package: its contents, and what is left of them when drained."""

    package: str | None
    amount: Amount
    drained: Amount | None
    note: str
    source: str


class Yield(NamedTuple):
    """So much of a food in one state makes so much of it in another."""

    food: str
    have: str
    have_amount: Amount
    need: str
    need_amount: Amount
    note: str
    source: str


class Facts:
    """The tables, indexed by food. `given` replaces whole tables by rows in column order."""

    def __init__(self, given: Mapping[str, Iterable[Row]] | None = None) -> None:
        self._given = given
        self._weights: dict[str, dict[tuple[str, str], Weight]] = {}

    def _rows(self, table: str) -> Iterator[Row]:
        if self._given is not None:
            yield from self._given.get(table, ())
            return
        for name in FILES[table]:
            path = HERE / name
            if path.exists():
                with path.open(encoding="utf-8", newline="") as file:
                    reader = csv.reader(file)
                    next(reader, None)
                    yield from reader

    def _by_food(self, table: str) -> dict[str, list[Row]]:
        found: defaultdict[str, list[Row]] = defaultdict(list)
        for row in self._rows(table):
            found[row[0]].append(row)
        return found

    @cached_property
    def _weight_rows(self) -> dict[str, list[Row]]:
        return self._by_food("weights")

    @cached_property
    def _volumes(self) -> dict[tuple[str, str], Volume]:
        return {
            (food, unit): Volume(Amount(float(number), of), source)
            for food, unit, number, of, source in self._rows("volumes")
        }

    @cached_property
    def _trim_rows(self) -> dict[str, list[Row]]:
        return self._by_food("trim")

    @cached_property
    def _package_rows(self) -> dict[str, list[Row]]:
        return self._by_food("packages")

    @cached_property
    def _yield_rows(self) -> dict[str, list[Row]]:
        return self._by_food("yields")

    def volume(self, food: str, unit: str | None) -> Volume | None:
        """The room one measure of a food takes by trade, whatever it weighs; None as a rule."""
        return self._volumes.get((food, unit or ""))

    def weights(self, food: str) -> dict[tuple[str, str], Weight]:
        """Weights of one food by (unit, detail); pieces are unit "piece", the usual detail ""."""
        found = self._weights.get(food)
        if found is None:
            found = {}
            for _, unit, detail, grams, source, *_rest in self._weight_rows.get(food, ()):
                found.setdefault((unit, detail), Weight(float(grams), source))
            self._weights[food] = found
        return found

    def trim(self, food: str) -> Trim | None:
        """What is thrown away of a food as bought; None where nothing is on record."""
        for _, percent, what, source, *_rest in self._trim_rows.get(food, ()):
            return Trim(float(percent) / 100, what, source)
        return None

    def packages(self, food: str) -> list[Package]:
        """Usual packages of a food, most usual first."""
        found = []
        for (
            _,
            package,
            number,
            unit,
            drained,
            drained_unit,
            note,
            source,
            *_rest,
        ) in self._package_rows.get(food, ()):
            amount = _amount(number, unit)
            if amount is None:
                continue
            left = _amount(drained, drained_unit) if drained else None
            found.append(Package(_package(package), amount, left, note, source))
        return found

    def yield_foods(self) -> Iterable[str]:
        """Every food that has a yield on record."""
        return self._yield_rows.keys()

    def yields(self, food: str) -> list[Yield]:
        """Yields between two different states of a food, drained packages among them."""
        found = []
        for (
            _,
            have,
            number,
            unit,
            need,
            into,
            into_unit,
            note,
            source,
            *_rest,
        ) in self._yield_rows.get(food, ()):
            one, other = state_in_words(have), state_in_words(need)
            before, after = _sized(have, note, number, unit), _amount(into, into_unit)
            if one and other and one != other and before and after:
                found.append(Yield(food, one, before, other, after, note, source))
        for package in self.packages(food):
            if package.drained is not None:
                found.append(
                    Yield(
                        food,
                        "canned",
                        package.amount,
                        "drained",
                        package.drained,
                        package.note,
                        package.source,
                    )
                )
        return found


@cache
def states() -> dict[str, str]:
    """A form of the forms table → the state that yields speak of; other forms are their own."""
    return {
        form: row[0]
        for row in _table("reference/states.csv")
        for form in row[1].split(";")
        if form or row[0] == "plain"
    }


def state(form: str) -> str:
    """The state of a form: "leftover" is cooked, "" and "fresh" are plain."""
    return states().get(form, form)


@cache
def _state_words() -> list[tuple[str, str]]:
    return [(word, row[0]) for row in _table("reference/states.csv") for word in row[2].split(";")]


@cache
def state_in_words(text: str) -> str | None:
    """The state a yields table names in words ("raw 85% lean patty" → plain), or None."""
    padded = f" {text.replace(',', ' ')} "
    for word, found in _state_words():
        if word and f" {word} " in padded:
            return found
    return None


class Change(NamedTuple):
    """From a state one has to a state a recipe asks for: what to do, and whether amounts stay.

    Food of one `kind` may need something else done to it.
    """

    like_for_like: bool
    do: str
    source: str
    kind: str = ""
    kind_do: str = ""

    def doing(self, kinds: Collection[str]) -> str:
        """What to do with a food of these kinds."""
        return self.kind_do if self.kind in kinds else self.do


@cache
def changes() -> dict[tuple[str, str], Change]:
    """(state in the house, state asked for) → what that takes."""
    return {
        (have, need): Change(like == "yes", do, source, kind, kind_do)
        for have, need, like, do, kind, kind_do, source in _table("reference/form_changes.csv")
    }


def _table(name: str) -> list[list[str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        reader = csv.reader(file)
        next(reader)
        return [row for row in reader if row]


def _unit(word: str) -> str | None:
    """The unit's name; None for counted pieces. Raises UnknownUnit."""
    if not word:
        return None
    name = unit_named(word).name
    return None if name == "piece" else name


def _amount(number: str, unit: str) -> Amount | None:
    """An amount out of two cells, or None where the table uses a unit we do not know."""
    try:
        return Amount(float(number), _unit(unit))
    except (UnknownUnit, ValueError):
        return None


def _package(words: str) -> str | None:
    """The package word among a trade name's words: "No. 300 can" is a can."""
    for word in reversed(words.replace("(", " ").replace(")", " ").split()):
        try:
            return _unit(word)
        except UnknownUnit:
            continue
    return None


def _sized(words: str, note: str, number: str, unit: str) -> Amount | None:
    """The amount a yield starts from; one can whose size is told ("15 oz can") is that size."""
    amount = _amount(number, unit)
    told = _TOLD_SIZE.match(words) or _TOLD_SIZE.match(note)
    if amount is not None and told is not None and told[3] == amount.unit:
        inner = _amount(told[1], told[2])
        return inner and inner.times(amount.number)
    return amount

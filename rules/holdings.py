"""What the books say a food holds, as facts for the rules: its own row, or the nearest there is.

The nearest row to a food without one is that of the plain food it is a form of, and then that of
its kind (rows named `kind:…`). Whether a form may speak for the plain food is for the rules.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from rules.avoids import avoids
from rules.facts import Given, given
from rules.tables import rows

ALLERGENS = "allergens"
OWN_BOOKS = "the books of this program"
_TABLE = "the table of foods"
PLAIN = "plain"  # the form of a food that is in none: a sort of its plain food
_KIND = "kind:"
_DIET_RELATIONS = {"yes": "clashes-with", "may": "may-clash-with"}


class Described(NamedTuple):
    """A food as the table of foods has it: its kinds, narrowest first, its form and plain food.

    `known` is False for a name that only this household uses.
    """

    food: str
    kinds: tuple[str, ...] = ()
    form: str = ""
    base: str = ""
    known: bool = True


class Row(NamedTuple):
    """One statement of a book: (relation, id) pairs, why, and who says so."""

    says: tuple[tuple[str, str], ...]
    why: str
    source: str


class Holdings:
    """The books of allergens and diets by food. A book is named by what it settles."""

    def __init__(self, books: Mapping[str, Mapping[str, Row]]) -> None:
        self._books = books

    def givens(self, food: Described) -> list[Given]:
        """All that is on record of the food, and where each record came from."""
        facts = [given(food.food, "of-kind", kind, _TABLE) for kind in food.kinds]
        if food.known and food.kinds:
            facts.append(given(food.food, "listed-in", "foods", _TABLE))
        for book, listed in self._books.items():
            facts += self._nearest(book, listed, food)
        return facts

    def row(self, book: str, name: str) -> Row | None:
        """The row of a food or a `kind:…` itself."""
        return self._books[book].get(name)

    def _nearest(self, book: str, listed: Mapping[str, Row], food: Described) -> list[Given]:
        if food.food in listed:
            return list(_stated(book, food.food, listed[food.food]))
        facts: list[Given] = []
        counted = "counts-as"
        if food.base in listed:
            counted = "may-count-as"  # only where the plain food cannot speak for this form
            facts += [
                given(food.food, "formed-from", food.base, _TABLE),
                given(food.food, "in-form", food.form or PLAIN, _TABLE),
                *_stated(book, food.base, listed[food.base]),
            ]
        kind = next((kind for kind in food.kinds if _KIND + kind in listed), None)
        if kind is not None:
            facts.append(given(food.food, counted, f"any {kind}", _TABLE))
            facts += _stated(book, f"any {kind}", listed[_KIND + kind])
        return facts


def _stated(book: str, name: str, row: Row) -> Iterator[Given]:
    source = f"{row.source} ({row.why})" if row.why else row.source
    yield given(name, "listed-in", book, source)
    for relation, id in row.says:
        yield given(name, relation, id, source)


def settled() -> list[Given]:
    """Which book tells about which id: diets have a book each, unless allergens make them up."""
    groups = avoids()
    own = diet_rows()
    facts = [given(ALLERGENS, "settles", id, OWN_BOOKS) for id in groups.allergens]
    facts += [
        given(diet if diet in own else ALLERGENS, "settles", diet, OWN_BOOKS)
        for diet in groups.diets
    ]
    return facts


@cache
def holdings() -> Holdings:
    """The books, read once."""
    return Holdings({ALLERGENS: allergen_rows(), **diet_rows()})


@cache
def allergen_rows() -> dict[str, Row]:
    """Food or `kind:…` → what it contains and may contain."""
    return {
        row["food"]: Row(
            (*_pairs("holds", row["contains"]), *_pairs("may-hold", row["may_contain"])),
            row["why"],
            row["source"],
        )
        for row in rows("books/allergens.csv")
    }


@cache
def diet_rows() -> dict[str, dict[str, Row]]:
    """Diet → food or `kind:…` → whether it stands against the diet."""
    found: defaultdict[str, dict[str, Row]] = defaultdict(dict)
    for row in rows("books/diets.csv"):
        relation = _DIET_RELATIONS.get(row["conflict"])
        says = ((relation, row["diet"]),) if relation else ()
        found[row["diet"]][row["food"]] = Row(says, row["why"], row["source"])
    return dict(found)


def _pairs(relation: str, cell: str) -> Iterable[tuple[str, str]]:
    return ((relation, id) for id in cell.split(";") if id)

"""What people keep away from: allergens, diets that leave allergens out, and words for groups.

Read from `books/allergen_groups.csv`. An avoid is an allergen id, a diet id or the name of a food.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from rules.facts import Given, given
from rules.tables import rows


class Group(NamedTuple):
    """One row: `kind` is allergen, diet or group; `members` are the ids it takes in."""

    id: str
    kind: str
    members: tuple[str, ...]
    note: str
    source: str


class Avoids:
    """The ids that can be minded, and what each of them takes in."""

    def __init__(self, groups: Iterable[Group]) -> None:
        self.groups = {group.id: group for group in groups}
        self.allergens = self._of("allergen")
        self.diets = self._of("diet")
        self.ids = frozenset((*self.allergens, *self.diets))

    def _of(self, kind: str) -> tuple[str, ...]:
        return tuple(group.id for group in self.groups.values() if group.kind == kind)

    def expanded(self, avoids: Iterable[str]) -> tuple[str, ...]:
        """The avoids with words for groups replaced by their members: "nut" is two allergens."""
        out: dict[str, None] = {}
        for avoid in avoids:
            group = self.groups.get(avoid)
            for id in group.members if group and group.kind == "group" else (avoid,):
                out[id] = None
        return tuple(out)

    def givens(self) -> list[Given]:
        """The facts about ids that the rules need: which is an allergen, what a diet leaves out."""
        facts = [given(id, "taken-as", "allergen", self.groups[id].source) for id in self.allergens]
        facts += [
            given(diet, "leaves-out", member, self.groups[diet].source)
            for diet in self.diets
            for member in self.groups[diet].members
        ]
        return facts


@cache
def avoids() -> Avoids:
    """The groups of the book, read once."""
    return Avoids(
        Group(
            row["id"],
            row["kind"],
            tuple(member for member in row["members"].split(";") if member),
            row["note"],
            row["source"],
        )
        for row in rows("books/allergen_groups.csv")
    )

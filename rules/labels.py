"""Words on a label: what they clear, and what they warn of. Read from `books/claims.csv`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import NamedTuple

from rules.facts import Given, given
from rules.tables import rows

# Stands in a row of the book for whatever the label names there: "may contain X".
_BLANK = "X"


class Claim(NamedTuple):
    """One way of wording a label: the ids it clears, and those it leaves open all the same."""

    id: str
    clears: tuple[str, ...]
    leaves_open: tuple[str, ...]
    note: str
    source: str


class Labels:
    """Label words by every wording the book has. `allergens` are what a warning may name."""

    def __init__(
        self, rows_: Iterable[Mapping[str, str]], allergens: Mapping[str, Iterable[str]]
    ) -> None:
        self._claims: dict[str, Claim] = {}
        self._warnings: dict[str, Claim] = {}
        self._named = {_plain(word): id for id, words in allergens.items() for word in (id, *words)}
        for row in rows_:
            claim = Claim(
                row["claim"], _ids(row["clears"]), _ids(row["not_clears"]), row["note"],
                row["source"],
            )  # fmt: skip
            for words in (row["claim"], *row["aliases"].split(";")):
                if _BLANK in words.split():
                    self._warnings[_plain(words.replace(_BLANK, ""))] = claim
                elif words:
                    self._claims.setdefault(_plain(words), claim)

    def claim(self, words: str) -> Claim | None:
        """The claim these words make, or None for words no book knows: those clear nothing."""
        return self._claims.get(_plain(words)) or self._claims.get(_plain(words + " free"))

    def clearing(self, id: str) -> str | None:
        """The label words that clear an id, the first of the book."""
        return next((c.id for c in self._claims.values() if id in c.clears), None)

    def givens(self, words: str) -> list[Given]:
        """What the words clear or warn of, as facts."""
        claim = self.claim(words)
        facts = []
        if claim is not None:
            source = f"{claim.source} ({claim.note})"
            facts = [given(words, "clears", id, source) for id in claim.clears]
        plain = _plain(words)
        for start, warning in self._warnings.items():
            if plain.startswith(start) and plain != start:
                facts += [
                    given(words, "warns-of", id, warning.source)
                    for named, id in self._named.items()
                    if re.search(rf"\b{re.escape(named)}s?\b", plain[len(start) :])
                ]
        return facts


def _ids(cell: str) -> tuple[str, ...]:
    return tuple(id for id in cell.split(";") if id)


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("-", " ").split())


@cache
def labels() -> Labels:
    """The claims of the book, read once."""
    named = {
        row["id"]: [word for word in row["covers_words"].split(";") if word]
        for row in rows("books/allergen_groups.csv")
        if row["kind"] == "allergen"
    }
    return Labels(rows("books/claims.csv"), named)

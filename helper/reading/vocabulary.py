"""The small words a reader must know besides names: places, days, "each", "threw out", "please".

They stand in `vocabulary.csv`, one meaning a row, so that a new word is one edit in that table;
those by which a talk goes on ("same for", "it was") in `talk.csv`, written alike. What is said of
people (`people_words.csv`) and sayings made of foods (`idioms.csv`) tell the speller nothing.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from helper.kitchen.words import Word, key, singular

HERE = Path(__file__).parent
_TABLES = ("vocabulary.csv", "talk.csv")


@cache
def meanings(kind: str) -> dict[tuple[str, ...], str]:
    """Phrases of one kind → the value they stand for."""
    return _all().get(kind, {})


@cache
def _all() -> dict[str, dict[tuple[str, ...], str]]:
    tables: dict[str, dict[tuple[str, ...], str]] = {}
    for row in (*_rows(), *read_words("people_words"), *read_words("idioms")):
        table = tables.setdefault(row["kind"], {})
        for phrase in row["words"].split(";"):
            table.setdefault(key(phrase), row["value"])
    return tables


@cache
def _rows() -> list[dict[str, str]]:
    rows: list[dict[str, str]] = []
    for name in _TABLES:
        with (HERE / name).open(encoding="utf-8", newline="") as file:
            rows += csv.DictReader(file)
    return rows


@cache
def spelt(kind: str) -> dict[str, str]:
    """Single words of one kind, as they are typed → the value they stand for."""
    return {
        word: row["value"]
        for row in _rows()
        if row["kind"] == kind
        for word in row["words"].split(";")
    }


@cache
def vocabulary_words() -> frozenset[str]:
    """Every single word the table uses: words that are spelt right."""
    return frozenset(
        word for row in _rows() for phrase in row["words"].split(";") for word in key(phrase)
    )


@cache
def word_classes() -> dict[str, tuple[str, ...]]:
    """Words that mean much the same → the names of their classes, marked with @."""
    table: dict[str, tuple[str, ...]] = {}
    with (HERE / "word_classes.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for word in row["words"].split(";"):
                for form in {word, singular(word)}:
                    table[form] = (*table.get(form, ()), f"@{row['class']}")
    return table


@cache
def _openings(kind: str) -> frozenset[str]:
    """The words that phrases of a kind begin with: most words of a request begin none."""
    return frozenset(phrase[0] for phrase in meanings(kind) if phrase)


@cache
def openings(*kinds: str) -> frozenset[str]:
    """The words that phrases of any of these kinds begin with."""
    return frozenset().union(*(_openings(kind) for kind in kinds))


@cache
def _longest(kind: str) -> int:
    return max((len(phrase) for phrase in meanings(kind)), default=0)


def phrase_from(found: Sequence[Word], at: int, kind: str) -> tuple[str, int] | None:
    """The value and end of the longest phrase of a kind at word `at`; signs are passed over."""
    if not 0 <= at < len(found) or found[at].key not in _openings(kind):
        return None
    table = meanings(kind)
    keys: list[str] = []
    ends: list[int] = []
    for i in range(at, len(found)):
        text = found[i].text
        if not text[0].isalnum():
            if text in ("-", "/", ".", "'") and keys:
                continue
            break
        keys.append(found[i].key)
        ends.append(i + 1)
        if len(keys) >= _longest(kind):
            break
    for length in range(len(keys), 0, -1):
        if tuple(keys[:length]) in table:
            return table[tuple(keys[:length])], ends[length - 1]
    return None


def read_words(name: str) -> list[dict[str, str]]:
    """The rows of another table of words of this folder, which tell the speller nothing."""
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def english() -> dict[str, int]:
    """The commonest words of the language, each with its place among them: 0 is the commonest."""
    lines = (HERE / "english.txt").read_text(encoding="utf-8").splitlines()
    said = " ".join(line for line in lines if not line.startswith("#")).split()
    return {word: place for place, word in enumerate(said)}


def text_at(found: Sequence[Word], at: int) -> str:
    """The word at an index as typed, in lower case; empty beyond either end."""
    return found[at].text if 0 <= at < len(found) else ""


def holds_phrase(found: Sequence[Word], kind: str) -> bool:
    """True where a phrase of a kind stands anywhere among the words."""
    return any(phrase_from(found, at, kind) is not None for at in range(len(found)))


def ended_by(found: Sequence[Word], at: int, kind: str) -> bool:
    """True where a phrase of a kind stands just before word `at`."""
    return any(
        (hit := phrase_from(found, start, kind)) is not None and hit[1] == at
        for start in range(max(0, at - _longest(kind) - 1), at)
    )

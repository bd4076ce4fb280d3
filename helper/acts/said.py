"""Words of a request looked up in small tables of meanings that lie beside the acts."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from helper.kitchen.avoiding import ids_of
from helper.kitchen.foods import Foods
from helper.kitchen.words import key, words
from helper.reading.reading import Reading
from helper.reading.vocabulary import meanings
from rules.avoids import avoids

_HERE = Path(__file__).parent
_NAME = re.compile(r"\b[A-Z][a-z]+(?:[-'][A-Z][a-z]+)?\b")


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a table of this folder."""
    with (_HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


@cache
def _meanings(name: str, meaning: str) -> tuple[tuple[tuple[str, ...], str], ...]:
    found = [
        (key(phrase), row["value"])
        for row in table(name)
        if row["meaning"] == meaning
        for phrase in row["words"].split(";")
        if phrase
    ]
    return tuple(sorted(found, key=lambda pair: -len(pair[0])))


def meant(said: str, name: str, meaning: str) -> str | None:
    """The value of the longest phrase with that meaning in what was said, or None."""
    hit = place(said, name, meaning)
    return None if hit is None else hit[0]


def all_meant(said: str, name: str, meaning: str) -> tuple[str, ...]:
    """The values of all phrases with that meaning in what was said, each once."""
    keys = [word.key for word in words(said) if word.text[0].isalnum()]
    hits = (value for phrase, value in _meanings(name, meaning) if _at(keys, phrase) is not None)
    return tuple(dict.fromkeys(hits))


def place(said: str, name: str, meaning: str) -> tuple[str, int, int] | None:
    """As `meant`, with the characters where the phrase begins and ends."""
    found = [word for word in words(said) if word.text[0].isalnum()]
    keys = [word.key for word in found]
    for phrase, value in _meanings(name, meaning):
        at = _at(keys, phrase)
        if at is not None:
            return value, found[at].start, found[at + len(phrase) - 1].end
    return None


def _at(keys: Sequence[str], phrase: Sequence[str]) -> int | None:
    size = len(phrase)
    spots = (at for at in range(len(keys) - size + 1) if tuple(keys[at : at + size]) == phrase)
    return next(spots, None)


def names_said(
    said: str, known: frozenset[str], spelt: frozenset[str] = frozenset()
) -> tuple[str, ...]:
    """Words written as names, in order, that are no known words.

    `known` words count in their key form, `spelt` ones only just as they stand: Nils is no nil.
    """
    return tuple(
        dict.fromkeys(
            name
            for name in _NAME.findall(said)
            if not any(word in known for word in key(name))
            and not any(word.text in spelt for word in words(name))
        )
    )


def said_here(reading: Reading, meaning: str) -> bool:
    """Whether the sentence itself named that, and it is not carried over from the talk before.

    What somebody avoids is only ever changed by what was said of them.
    """
    if not reading.evidence:
        return True
    return any(meaning in one.meaning.split(", ") for one in reading.evidence)


def _stands(id: str, typed: str, reading: Reading) -> bool:
    """False for what only the question before this one spoke of, and is asked about no more."""
    before, _, now = reading.said.casefold().rpartition(";")
    if typed not in before or typed in now:
        return True
    diet = meanings("diet_of").get(key(id), id)
    named = (*reading.diets, *reading.without, *reading.foods)
    return diet in named or meanings("food_of").get(key(diet), id) in named


def avoids_said(reading: Reading, foods: Foods) -> tuple[str, ...]:
    """Everything a sentence names to be kept away from: ids, or canonical foods.

    What stands in `without` may be a food's name for an allergen ("allergic to soy"); the words
    themselves tell.
    """
    worded = [
        id
        for one in reading.evidence
        if one.kind == "diet"
        for id in one.meaning.split(", ")
        if _stands(id, one.words, reading)
    ]
    diets = [diet for diet in reading.diets if said_here(reading, diet)]
    # "Allergic to milk" may have been read as dairy-free: then milk itself is said already.
    groups = avoids().groups
    told = {member for diet in diets if diet in groups for member in groups[diet].members}
    worded = [id for id in worded if id not in told]
    left_out = [
        id for food in reading.without if said_here(reading, food) for id in ids_of(food, foods)
    ]
    return tuple(dict.fromkeys((*diets, *worded, *left_out)))

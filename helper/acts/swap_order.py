"""Which of two foods gives way and which comes in: told by the words around them.

"Use oil instead of butter" and "swap butter for oil" name them the other way round; the ways of
saying it stand in `swap_order.csv`, the more telling ones first.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from helper.kitchen.foods import Foods
from helper.kitchen.words import words
from helper.reading.reading import Reading

_TABLE = Path(__file__).with_name("swap_order.csv")
_PLACE = "place"


class Pair(NamedTuple):
    """`old` gives way to `new`, which may be several foods together."""

    old: str
    new: tuple[str, ...]


class _Mention(NamedTuple):
    food: str
    start: int
    end: int


def pair(reading: Reading, foods: Foods) -> Pair | None:
    """The swap a request proposes, or None where it names fewer than two foods."""
    if len(reading.foods) < 2:
        return None
    lacking = [one.meaning for one in reading.evidence if one.kind == "without"]
    gone = next((food for food in lacking if food in reading.foods), None)
    if gone is not None:  # "I have no butter, can I use oil"
        return Pair(gone, tuple(food for food in reading.foods if food != gone))
    said = [word.text for word in words(reading.said)]
    every = _mentions(reading, foods, said)
    found = [one for one in every if not _is_place(said, one.start)]
    if len(found) < 2:
        return None if len(every) > 1 else Pair(reading.foods[-1], reading.foods[:-1])
    for before, between, first in _ways():
        pair = _by(said, found, before, between, first)
        if pair is not None:
            return pair
    return Pair(found[-1].food, tuple(dict.fromkeys(one.food for one in found[:-1])))


def _by(
    said: Sequence[str],
    found: Sequence[_Mention],
    before: tuple[str, ...],
    between: tuple[str, ...],
    first: str,
) -> Pair | None:
    """The pair, if the request is worded this way."""
    if before and not _within(said[: found[0].start], before):
        return None
    if not between:
        return _pair(found, 1, first)
    for at in range(1, len(found)):
        if _within(said[found[at - 1].end : found[at].start], between):
            return _pair(found, at, first)
    return None


def _pair(found: Sequence[_Mention], at: int, first: str) -> Pair | None:
    """The foods before and after place `at`, as old and new. The old one is always a single food:

    what stands next to the words that tell.
    """
    ahead, behind = [one.food for one in found[:at]], [one.food for one in found[at:]]
    old, new = (ahead[-1], behind) if first == "old" else (behind[0], ahead)
    rest = tuple(dict.fromkeys(food for food in new if food != old))
    return Pair(old, rest) if rest else None


def _is_place(said: Sequence[str], start: int) -> bool:
    """True for a food that is the dish the swap is for: "milk in a custard"."""
    return any(tuple(said[:start][-len(before) :]) == before for before in _into())


def _within(words_: Sequence[str], phrase: tuple[str, ...]) -> bool:
    return any(
        tuple(words_[at : at + len(phrase)]) == phrase
        for at in range(len(words_) - len(phrase) + 1)
    )


def _mentions(reading: Reading, foods: Foods, said: Sequence[str]) -> list[_Mention]:
    """Where each food of the reading stands in the request, in the order they were said."""
    told = [(one.words.split(), one.meaning) for one in reading.evidence if one.kind == "food"]
    found: dict[str, _Mention] = {}
    for typed, meaning in told:
        for at in range(len(said) - len(typed) + 1):
            if list(said[at : at + len(typed)]) == typed and meaning in reading.foods:
                found.setdefault(meaning, _Mention(meaning, at, at + len(typed)))
                break
    if len(found) < len(reading.foods):
        for spot in foods.spot(words(reading.said)):
            if spot.food in reading.foods:
                found.setdefault(spot.food, _Mention(spot.food, spot.start, spot.end))
    return sorted(found.values(), key=lambda one: one.start)


@cache
def _ways() -> tuple[tuple[tuple[str, ...], tuple[str, ...], str], ...]:
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(
            (_cut(row["before"]), _cut(row["between"]), row["first"])
            for row in csv.DictReader(file)
            if row["first"] != _PLACE
        )


@cache
def _into() -> tuple[tuple[str, ...], ...]:
    """The words right before a food that make it a dish the swap is for."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file)
        return tuple(_cut(row["before"]) for row in rows if row["first"] == _PLACE)


def _cut(text: str) -> tuple[str, ...]:
    return tuple(word.text for word in words(text))

"""What becomes of leftovers, scraps and failures: the book of rescues, asked with foods and words.

A row is met by its food, by one of its phrases ("stale bread"), or by words of its trouble
("salty"). Where a trouble is told, only rows for that trouble answer; where none is, the rows for
troubles keep quiet.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_sort
from helper.kitchen.words import key
from rules.tables import rows

_Key = tuple[str, ...]
_PHRASE, _TROUBLE = 10, 6
_EXACT, _NEAR, _WIDE, _ANY_DISH = 5, 4, 3, 1


class Rescue(msgspec.Struct, frozen=True):
    """One way out: what it `becomes`, `how`, and within how many days (None: not told)."""

    left_over: str
    state: str
    becomes: str
    how: str
    within_days: int | None
    caution: str
    source: str


class _Row(msgspec.Struct, frozen=True):
    rescue: Rescue
    phrases: tuple[frozenset[str], ...]


class Rescues:
    """The book of rescues over one household's foods."""

    def __init__(self, foods: Foods) -> None:
        self._foods = foods

    def ideas(self, subjects: Iterable[str], said: str, dish: bool = False) -> list[Rescue]:
        """Ideas for foods as spoken of in words, the closest first.

        `dish` True lets in the rows that hold for any dish at all.
        """
        named = tuple(subjects)
        text = frozenset(key(_in_full(said))) | {word for name in named for word in key(name)}
        troubles = troubles_told(said)
        scored: list[tuple[int, int, Rescue]] = []
        for at, row in enumerate(_book()):
            score = self._score(row, named, text, troubles, dish)
            if score:
                scored.append((-score, at, row.rescue))
        own = [one for one in scored if one[2].left_over in self._foods]
        # what holds for any dish is for those that have no rescue of their own
        return [rescue for *_, rescue in sorted((named and own) or scored, key=lambda one: one[:2])]

    def _score(
        self,
        row: _Row,
        named: Collection[str],
        text: frozenset[str],
        troubles: frozenset[str],
        dish: bool,
    ) -> int:
        food = max((self._food_score(row.rescue.left_over, one) for one in named), default=0)
        trouble = row.rescue.state in troubles
        if trouble and not food and row.rescue.left_over not in self._foods and (dish or not named):
            food = _ANY_DISH
        names = frozenset(word for name in named for word in key(name))
        phrase = max(
            (
                len(one)
                for one in row.phrases
                if one <= text and (food or not named or len(one) > 1 or one <= names)
            ),
            default=0,
        )
        if row.rescue.state in _trouble_words() and not (trouble or phrase):
            return 0
        if troubles and not (trouble or phrase):
            return 0
        if not (food or phrase):
            return 0
        return food + (_PHRASE + phrase if phrase else 0) + (_TROUBLE if trouble else 0)

    def _food_score(self, left_over: str, food: str) -> int:
        foods = self._foods
        if left_over == food:
            return _EXACT
        if left_over in foods.family(food) or left_over == foods[food].base:
            return _NEAR
        if left_over in foods.kinds(food) or is_sort(foods, left_over, food):
            return _WIDE
        return 0


def _in_full(said: str) -> str:
    """ "didn't" as "did not", so that phrases need not be told twice."""
    return said.replace("’", "'").replace("n't", " not")


def troubles_told(said: str) -> frozenset[str]:
    """The troubles that a sentence tells of, as the book names them: "salty" is over-salted."""
    text = key(_in_full(said))
    return frozenset(
        state
        for state, phrases in _trouble_words().items()
        if any(text[at : at + len(one)] == one for one in phrases for at in range(len(text)))
    )


@cache
def _trouble_words() -> dict[str, tuple[_Key, ...]]:
    return {
        row["state"]: tuple(key(words) for words in row["words"].split(";"))
        for row in rows("books/rescue_words.csv")
    }


@cache
def _book() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            Rescue(
                row["left_over"],
                row["state"],
                row["becomes"],
                row["how"],
                int(row["within_days"]) if row["within_days"] else None,
                row["caution"],
                row["source"],
            ),
            tuple(frozenset(key(one)) for one in row["words"].split(";") if key(one)),
        )
        for row in rows("books/rescues.csv")
    )

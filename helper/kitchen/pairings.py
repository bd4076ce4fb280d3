"""What goes beside what: the book of pairings, asked for a dish or a food.

A row speaks of a main: a food, or a sort of dish told by the words of its title ("cream soup").
Rows out of season, and sides that only repeat what the dish is made of, are left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_sort
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key
from rules.tables import rows

_Key = tuple[str, ...]
_NAMED, _TITLED, _SORT, _HOLDS = 8, 6, 4, 2
_ENOUGH = 3
_MAIN_LINES = 4  # a dish is made of what its first lines name

# Months in which a season of the book holds, northern half of the earth.
SEASONS = {"spring": (3, 4, 5), "summer": (6, 7, 8), "fall": (9, 10, 11), "winter": (12, 1, 2)}


class Side(msgspec.Struct, frozen=True):
    """One thing to serve beside a main: `food` is its listed name where it has one."""

    main: str
    side: str
    food: str | None
    why: str
    seasons: tuple[str, ...]
    source: str
    score: int = 0


class Main(msgspec.Struct, frozen=True):
    """What is to be served with something: what it is called, is, and is made of."""

    words: _Key
    foods: tuple[str, ...]
    made_of: tuple[str, ...] = ()


class Pairings:
    """The book of pairings over one household's foods."""

    def __init__(self, foods: Foods) -> None:
        self._foods = foods

    def of_recipe(self, recipe: Recipe, sort: str) -> Main:
        """A recipe as a main. `sort` is the food it goes by: soup, stew, lasagna …"""
        hit = self._foods.find(recipe.title)
        own = tuple(dict.fromkeys((*((hit.food,) if hit else ()), sort)))
        lines = [line.food for line in recipe.lines if line.food and not line.optional]
        return Main(key(recipe.title), own, tuple(lines[:_MAIN_LINES]))

    def of_food(self, food: str, said: str = "") -> Main:
        """A food as a main, with the words it was asked in ("cold ham")."""
        return Main((*key(food), *key(said)), (food,), (food,))

    def beside(self, main: Main, month: int) -> list[Side]:
        """Sides that fit, the closest first, each named once."""
        found: dict[str, Side] = {}
        for row in _book():
            score = self._score(row.main, main)
            if not score or not _now(row, month) or self._repeats(row, main):
                continue
            known = found.get(row.side)
            if known is None or known.score < score:
                food = row.side if row.side in self._foods else None
                found[row.side] = msgspec.structs.replace(row, score=score, food=food)
        sides = sorted(found.values(), key=lambda side: -side.score)
        close = [side for side in sides if side.score > _HOLDS]
        # what merely goes with one of its ingredients counts only where little else is known
        return close if len(close) >= _ENOUGH else sides

    def _score(self, name: str, main: Main) -> int:
        foods = self._foods
        if name in main.foods:
            return _NAMED
        if _holds(main.words, key(name)):
            return _TITLED
        if any(is_sort(foods, name, food) or foods[food].base == name for food in main.foods):
            return _TITLED
        if any(name in foods.kinds(food) for food in main.foods) or self._of_sort(name, main):
            return _SORT
        made = any(is_sort(foods, name, food) or foods[food].base == name for food in main.made_of)
        return _HOLDS if made else 0

    def _of_sort(self, name: str, main: Main) -> bool:
        """True where the title has a word of that sort of dish, or its food is of the kind."""
        words, kinds = _sorts().get(name, ((), ()))
        if any(_holds(main.words, phrase) for phrase in words):
            return True
        own = {kind for food in main.foods for kind in self._foods.kinds(food)}
        return bool(own & set(kinds))

    def _repeats(self, row: Side, main: Main) -> bool:
        """True for a side that the dish is called after or made of already."""
        foods = self._foods
        food = row.side
        if food not in foods or food == row.main:
            return False
        plain = foods[food].base or food
        there = (*main.foods, *main.made_of)
        return any(plain in (one, foods[one].base) or is_sort(foods, plain, one) for one in there)


def _now(row: Side, month: int) -> bool:
    return not row.seasons or any(month in SEASONS[season] for season in row.seasons)


def _holds(text: _Key, phrase: _Key) -> bool:
    size = len(phrase)
    return size > 0 and any(text[at : at + size] == phrase for at in range(len(text) - size + 1))


def _each(cell: str) -> Iterator[str]:
    return (one for one in cell.split(";") if one)


def _names(cells: Iterable[str]) -> tuple[_Key, ...]:
    return tuple(key(cell) for cell in cells)


@cache
def _sorts() -> dict[str, tuple[tuple[_Key, ...], tuple[str, ...]]]:
    """A sort of dish → the phrases in a title that tell of it, and the kinds that are of it."""
    return {
        row["sort"]: (_names(_each(row["words"])), tuple(_each(row["kinds"])))
        for row in rows("books/dish_sorts.csv")
    }


@cache
def _book() -> tuple[Side, ...]:
    return tuple(
        Side(
            main,
            side,
            None,
            row["why"],
            () if row["season"] == "any" else tuple(_each(row["season"])),
            row["source"],
        )
        for row in rows("books/pairings.csv")
        for main in _each(row["main"])
        for side in _each(row["side"])
    )

"""A recipe without what somebody does not want in it, as far as the dish can do without.

What only gives taste is left out; what the dish is built on stays, for a swap to take its place.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from helper.kitchen.foods import Foods
from helper.kitchen.measures import Measures
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import surroundings
from helper.kitchen.words import key
from rules.roles import names as dish_words
from rules.roles import spare


def without(
    recipe: Recipe, unwanted: Iterable[str], measures: Measures
) -> tuple[Recipe, tuple[str, ...]]:
    """The recipe with the unwanted lines gone that it can do without, and the foods of those."""
    foods = frozenset(unwanted)
    if not any(holds(recipe, food, measures.foods) for food in foods):
        return recipe, ()
    kept: list[Line] = []
    gone: list[str] = []
    for line, around in zip(recipe.lines, surroundings(recipe, measures), strict=True):
        meant = any(_is_of(line, food, measures.foods) for food in foods)
        if meant and (line.optional or set(around.roles) & spare()):
            gone.append(line.food or line.text)
        else:
            kept.append(line)
    return replace(recipe, lines=tuple(kept)), tuple(gone)


def holds(recipe: Recipe, food: str, foods: Foods) -> bool:
    """Whether a line of the recipe is that food or a sort of it."""
    return any(_is_of(line, food, foods) for line in recipe.lines)


def is_called(recipe: Recipe, unwanted: str, foods: Foods) -> bool:
    """True where what is not wanted is the dish itself: "without the bean soup", "no soup".

    A single food in a title tells nothing by itself: "chili without meat".
    """
    name = set(key(unwanted))
    dish = len(name) > 1 or not foods[unwanted].known or bool(name & dish_words())
    return dish and name <= set(key(recipe.title))


def _is_of(line: Line, food: str, foods: Foods) -> bool:
    return line.food is not None and (line.food == food or foods.covers(food, line.food))

"""What a dish is like: its course (dinner, side, bread …) and the traits that wishes look at.

Both are told from tables (`rules/books/courses.csv`, `menu_traits.csv`): by words of the title,
kinds of the foods it needs, its time, and whether it wants the oven.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from helper.kitchen.foods import Foods
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key
from rules.tables import rows

Phrase = tuple[str, ...]

_OTHER = "side"  # what is beside a meal, where nothing tells more
_OVEN = "oven"


class Trait(NamedTuple):
    """One row of the table: what it is called in words, and how a recipe shows it."""

    name: str
    words: tuple[Phrase, ...]
    by: str
    values: tuple[str, ...]
    source: str


@cache
def traits() -> tuple[Trait, ...]:
    """Every trait of the table."""
    return tuple(
        Trait(
            row["trait"],
            tuple(key(word) for word in row["words"].split(";")),
            row["by"],
            tuple(row["values"].split(";")),
            row["source"],
        )
        for row in rows("books/menu_traits.csv")
    )


@cache
def _courses() -> tuple[dict[Phrase, str], dict[str, str], frozenset[str]]:
    """Courses by words of the title and by kinds of food; and the words that begin what a dish
    only goes with."""
    by_title: dict[Phrase, str] = {}
    by_kind: dict[str, str] = {}
    joins: set[str] = set()
    for row in rows("books/courses.csv"):
        for word in row["words"].split(";"):
            if row["by"] == "title":
                by_title.setdefault(key(word), row["course"])
            elif row["by"] == "kind":
                by_kind.setdefault(word, row["course"])
            elif row["by"] == "join":
                joins.add(word)
    return by_title, by_kind, frozenset(joins)


@cache
def courses_for(meal: str) -> tuple[frozenset[str], frozenset[str]]:
    """The courses that make a meal (dinner, lunch, breakfast), and those that only will do where
    none of them is left."""
    found = {
        row["by"]: frozenset(row["words"].split(";"))
        for row in rows("books/courses.csv")
        if row["course"] == meal and row["by"] in ("fits", "stopgap")
    }
    return found.get("fits", frozenset({meal})), found.get("stopgap", frozenset())


def _phrases_in(title: Phrase, phrases: Sequence[Phrase]) -> list[tuple[int, int]]:
    """Where phrases stand in a title: (length, place)."""
    return [
        (len(phrase), at)
        for phrase in phrases
        for at in range(len(title) - len(phrase) + 1)
        if title[at : at + len(phrase)] == phrase
    ]


def course_of(recipe: Recipe, foods: Foods) -> str:
    """The course of a dish: the longest words of its title that tell, the last of equals.

    Where the title tells nothing, a dish with something filling in it makes a dinner.
    """
    by_title, by_kind, joins = _courses()
    title = key(recipe.title)
    cut = next((at for at, word in enumerate(title) if at and word in joins), len(title))
    for words in (title[:cut], title, key(recipe.category)):
        told = [
            (length, at, course)
            for phrase, course in by_title.items()
            for length, at in _phrases_in(words, [phrase])
        ]
        if told:
            return max(told)[2]
    kinds = kinds_of(recipe, foods)
    return next((course for kind, course in by_kind.items() if kind in kinds), _OTHER)


def kinds_of(recipe: Recipe, foods: Foods) -> frozenset[str]:
    """Kinds, wide and narrow, of all the foods a dish cannot do without."""
    return frozenset(
        kind
        for line in recipe.lines
        if line.food and not line.optional
        for kind in foods.kinds(line.food)
    )


def traits_of(recipe: Recipe, foods: Foods) -> frozenset[str]:
    """The traits of the table that a dish has."""
    kinds = kinds_of(recipe, foods)
    title = key(recipe.title)
    return frozenset(one.name for one in traits() if _has(one, recipe, kinds, title))


def _has(trait: Trait, recipe: Recipe, kinds: frozenset[str], title: Phrase) -> bool:
    if trait.by == "title":
        return bool(_phrases_in(title, [key(value) for value in trait.values]))
    if trait.by == "kind":
        return not kinds.isdisjoint(trait.values)
    if trait.by == "no kind":
        return kinds.isdisjoint(trait.values)
    if trait.by == "oven":
        return needs_oven(recipe)
    if trait.by == "no oven":
        return not needs_oven(recipe)
    if trait.by == "minutes":
        return recipe.minutes is not None and recipe.minutes <= int(trait.values[0])
    return recipe.minutes is not None and recipe.minutes > int(trait.values[0])


def needs_oven(recipe: Recipe) -> bool:
    """True where a temperature is given for it, or the steps name the oven."""
    return recipe.oven_f is not None or any(_OVEN in key(step) for step in recipe.steps)


def holds(recipe: Recipe, food: str, foods: Foods) -> bool:
    """Whether a dish needs a food, a sort of it or another form of it."""
    family = set(foods.family(food)) | {food}
    return any(
        line.food in family or foods.covers(food, line.food)
        for line in recipe.lines
        if line.food and not line.optional
    )

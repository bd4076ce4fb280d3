"""What each line of a recipe does in the dish: the recipe's words and amounts, put to the rules.

The rules stand in `rules/books/roles.toml`; here a recipe becomes the facts they ask for.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

from helper.kitchen.foods import Foods
from helper.kitchen.matching import detail_of
from helper.kitchen.measures import Measures
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.words import key
from rules.roles import (
    Dish,
    Ingredient,
    Roles,
    names,
    places,
    raised_by,
    roles_of,
    sorts_named,
    tells,
    wetting,
)
from rules.swaps import place_of, swaps

_CLAUSE = re.compile(r"[.;:!?]\s")
_TBSP_A_CUP = 16
# The top of the kinds tree ("food") is no word a recipe uses of one line.
_TOP_KINDS = 1


class Surroundings(NamedTuple):
    """Where a line stands: its roles, the sorts of its dish and what is done with it, and the

    words of places in the dish's name. `label` is what the line is called in reasons.
    """

    label: str
    roles: tuple[str, ...]
    sorts: frozenset[str]
    named: frozenset[str]
    found: Roles | None = None


NOWHERE = Surroundings("", (), frozenset(), frozenset())


def surroundings(recipe: Recipe, measures: Measures) -> tuple[Surroundings, ...]:
    """Where each line of a recipe stands, in the order of its lines."""
    dish = dish_of(recipe, measures)
    found = roles_of(dish)
    named = places_named(recipe.title)
    around = []
    for one in dish.ingredients:
        roles = found.of(one.id)
        sorts = found.sorts | found.acts(one.id) | set(roles)
        around.append(Surroundings(one.id, roles, sorts, named, found))
    return tuple(around)


def named_surroundings(text: str) -> Surroundings:
    """What a few words tell of a dish that is no recipe of the house: "in a white sauce"."""
    words = _spotted(key(text), _places())
    sorts = {sort for word in words for sort in places().get(word, ())}
    sorts |= {sort for word in _spotted(key(text), _names()) for sort in sorts_named(word)}
    return Surroundings("", (), frozenset(sorts), frozenset(words))


def coarse_surroundings(recipe: Recipe, foods: Foods) -> Surroundings:
    """What a dish's title and what raises it tell, without looking at its lines one by one."""
    sorts = {sort for word in _spotted(key(recipe.title), _names()) for sort in sorts_named(word)}
    kinds = {kind for line in recipe.lines if line.food for kind in foods.kinds(line.food)}
    sorts |= raised_by(kinds)
    return Surroundings("", (), frozenset(sorts), places_named(recipe.title))


def places_named(title: str) -> frozenset[str]:
    """The places of the book of swaps that a title names outright."""
    return frozenset(_spotted(key(title), _places()))


def dish_of(recipe: Recipe, measures: Measures) -> Dish:
    """The recipe as the rules see it."""
    clauses = [key(clause) for step in recipe.steps for clause in _CLAUSE.split(step)]
    told = [(frozenset(words), _spotted(words, _tells())) for words in clauses]
    cups = [_cups(line, measures) for line in recipe.lines]
    kinds = [measures.foods.kinds(line.food) if line.food else () for line in recipe.lines]
    wet = sum(
        cup for cup, of in zip(cups, kinds, strict=True) if cup is not None and wetting() & set(of)
    )
    ingredients = []
    labels: set[str] = set()
    for line, cup, of in zip(recipe.lines, cups, kinds, strict=True):
        label = line.food or line.text
        while label in labels:
            label += " again"
        labels.add(label)
        ratio = cup * _TBSP_A_CUP / wet if cup is not None and wet else None
        words = _handled(line, of, told)
        ingredients.append(Ingredient(label, line.food or "", of, cup, ratio, words))
    title = f"{recipe.title} {recipe.category}"
    everywhere = dict.fromkeys(word for _, words in told for word in words)
    return Dish(recipe.title, _spotted(key(title), _names()), tuple(everywhere), tuple(ingredients))


def _handled(
    line: Line, kinds: Sequence[str], told: Iterable[tuple[frozenset[str], tuple[str, ...]]]
) -> tuple[str, ...]:
    """The words of steps that name the line, by its last word or its kind's, and of its note."""
    called = {key(name)[-1] for name in (line.food or "", *kinds[:-_TOP_KINDS]) if key(name)}
    found = dict.fromkeys(_spotted(key(f"{line.preparation} {line.section}"), _tells()))
    for clause, words in told:
        if called & clause:
            found.update(dict.fromkeys(words))
    return tuple(found)


def _cups(line: Line, measures: Measures) -> float | None:
    if line.food is None or line.amount is None:
        return None
    found = measures.convert(line.food, line.amount, "cup", detail_of(line), line.size)
    return round(found.amount.number, 3) if found else None


# -- finding phrases ------------------------------------------------------------------------------

_Phrases = dict[str, list[tuple[tuple[str, ...], str]]]


def _spotted(words: Sequence[str], phrases: _Phrases) -> tuple[str, ...]:
    """The phrases found, each once; a longer one hides the shorter ones inside it."""
    found: dict[str, None] = {}
    at = 0
    while at < len(words):
        step = 1
        for keys, phrase in phrases.get(words[at], ()):
            if tuple(words[at : at + len(keys)]) == keys:
                found[phrase] = None
                step = len(keys)
                break
        at += step
    return tuple(found)


def _by_first(phrases: Iterable[str]) -> _Phrases:
    table: _Phrases = {}
    for phrase in sorted(phrases):
        if keys := key(phrase):
            table.setdefault(keys[0], []).append((keys, phrase))
    for listed in table.values():
        listed.sort(key=lambda entry: -len(entry[0]))
    return table


@cache
def _names() -> _Phrases:
    return _by_first(names())


@cache
def _tells() -> _Phrases:
    return _by_first(tells())


@cache
def _places() -> _Phrases:
    told = {place_of(place) for swap in swaps() for place in (*swap.works_in, *swap.fails_in)}
    return _by_first(told | set(places()))

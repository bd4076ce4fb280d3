"""What a question about swaps is about: the food that shall give way, where it stands, for whom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from helper.acts.diners import at_home, named_diners, swapping
from helper.acts.gaps import sound_amount
from helper.acts.house import House
from helper.acts.swap_order import Pair
from helper.acts.swap_words import option_json
from helper.acts.wording import amount_json, of_food
from helper.answers import Caution
from helper.kitchen.amounts import Amount
from helper.kitchen.kin import is_sort
from helper.kitchen.matching import scale
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import NOWHERE, Surroundings, named_surroundings, surroundings
from helper.kitchen.swaps import Option, Swapping
from helper.kitchen.words import words
from helper.reading.reading import Reading

# What is done here, as the book of cautions calls it.
_TECHNIQUE = "substitute"


class Case(NamedTuple):
    """A food that shall give way: where it stands, how much of it, and for whom.

    `named` True: people or diets were named, so what harms them is no answer at all.
    """

    food: str
    amount: Amount | None
    around: Surroundings
    line: Line | None
    recipe: Recipe | None
    ways: Swapping
    named: bool

    @property
    def what(self) -> str:
        """ "1 cup buttermilk", or the food alone."""
        return of_food(self.amount, self.food) if self.amount else self.food

    @property
    def where(self) -> str:
        """ " in the pancakes"."""
        return f" in the {self.recipe.title.lower()}" if self.recipe else ""


def recipe_meant(reading: Reading, house: House) -> Recipe | None:
    """The dish that is named, at the servings asked for; None where none is."""
    if not reading.recipes:
        return None
    found = house.books.recipe_titled(reading.recipes[0])
    if found is not None and reading.servings:
        return scale(found, reading.servings) or found
    return found


def foods_meant(reading: Reading, house: House, recipe: Recipe | None) -> tuple[str, ...]:
    """The foods named; those that were taken for part of a title count if the dish has them."""
    if reading.foods or recipe is None:
        return reading.foods
    held = {line.food for line in recipe.lines}
    spots = house.foods.spot(words(reading.said))
    return tuple(spot.food for spot in spots if spot.food in held)


def case_of(
    reading: Reading, house: House, food: str, recipe: Recipe | None, proposed: Pair | None
) -> Case:
    """All that the answer depends on. Raises Refuse for amounts that cannot be."""
    swapped = (proposed.old, *proposed.new) if proposed else (food,)
    line, around = _place(reading, house, food, recipe, swapped)
    amount = _amount(reading, food) or (_written(line, food) if line else None)
    named = named_diners(reading, house)
    ways = swapping(house, named or at_home(house))
    if not named:
        held = [one.food for one in recipe.lines if one.food] if recipe else []
        ways = ways.at(ways.table.without([food, *held]))
    return Case(food, amount, around, line, recipe, ways, bool(named))


def _amount(reading: Reading, food: str) -> Amount | None:
    """The amount said of the food that gives way, or said alone."""
    for said in reading.amounts:
        if said.food in (food, None):
            return sound_amount(said.amount, food)
    return None


def _written(line: Line, food: str) -> Amount | None:
    """How much of a food a line asks for; a choice may tell its own amount."""
    own = (choice.amount for choice in line.choices if choice.food == food)
    return next((amount for amount in own if amount), line.amount)


def _place(
    reading: Reading, house: House, food: str, recipe: Recipe | None, swapped: Sequence[str]
) -> tuple[Line | None, Surroundings]:
    """The line of the dish that is meant, and where it stands."""
    if recipe is None:
        spots = [spot for spot in house.foods.spot(words(reading.said)) if spot.food in swapped]
        inside = {at for spot in spots for at in range(spot.start, spot.end)}
        rest = [word.text for at, word in enumerate(words(reading.said)) if at not in inside]
        return None, named_surroundings(" ".join(rest))
    around = surroundings(recipe, house.measures)
    for same in (lambda one: one == food, lambda one: akin(house, one, food)):
        for line, place in zip(recipe.lines, around, strict=True):
            named = (line.food, *(choice.food for choice in line.choices), *line.mentions)
            if any(same(one) for one in named if one):
                return line, place
    dish = around[0]._replace(label="", roles=(), found=None) if around else NOWHERE
    return None, dish


def akin(house: House, one: str, other: str) -> bool:
    """True where one of two foods is a sort of the other."""
    return is_sort(house.foods, one, other) or is_sort(house.foods, other, one)


def cautions(house: House, options: Sequence[Option]) -> tuple[Caution, ...]:
    """What to be careful of in what comes in, and in putting one thing for another."""
    foods = [food for one in options for food in one.foods]
    return house.cautions.about(foods, techniques=(_TECHNIQUE,)) if foods else ()


def reply(case: Case, good: Sequence[Option], failing: Sequence[Option]) -> dict[str, Any]:
    """The contract's fields, and the swaps that fail here beside them."""
    return {
        "for": case.food,
        **amount_json(case.amount),
        "recipe": case.recipe.title if case.recipe else None,
        "roles": list(case.around.roles),
        "swaps": [option_json(one) for one in good],
        "fails": [option_json(one) for one in failing],
    }

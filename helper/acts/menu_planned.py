"""What is planned for a day: "what's for dinner on friday", told from the menu that is kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from msgspec.structs import replace

from helper.acts.diners import diners, swapping
from helper.acts.finding import each_written, kitchen_for, meal_json, state_written
from helper.acts.fitting import fitted
from helper.acts.house import House
from helper.acts.menu_wishes import said_in, says
from helper.acts.stand_ins import fitting_for, stand_ins
from helper.acts.wishes import wish_of
from helper.acts.wording import day_written, listed
from helper.answers import Answer, Block, Items, Say
from helper.household.records import Meal as Planned
from helper.kitchen.amounts import number_written
from helper.kitchen.matching import scale
from helper.kitchen.ranking import Meal, looked_at
from helper.kitchen.safety import CHECK
from helper.kitchen.swaps import Swapping
from helper.kitchen.table import Diner
from helper.kitchen.words import words
from helper.reading.reading import Reading

# Fields of a request that ask for more than what a day brings, and so for ideas.
_IDEAS = ("foods", "without", "people", "diets", "recipes", "minutes", "money", "servings", "place")


class Looked(NamedTuple):
    """A planned dish looked at today, with its swaps in it, and for whom a label decides."""

    planned: Planned
    meal: Meal
    swaps: tuple[str, ...]
    checks: tuple[str, ...]
    eaters: Sequence[Diner]


def planned_dishes(reading: Reading, house: House) -> Answer | None:
    """The dishes planned for the day asked about.

    None where nothing is planned then, or where the request asks for ideas.
    """
    if not says(reading.said, "menu_day") or any(getattr(reading, one) for one in _IDEAS):
        return None
    day = reading.date or house.today
    slot = said_in(words(reading.said), "slot")
    found = [
        looked
        for menu in house.books.menus()
        for one in menu.meals
        if one.date == day and not one.done and (slot is None or slot[0] == one.slot)
        if (looked := _looked(one, menu.people, menu.diets, house)) is not None
    ]
    if not found:
        return None
    titles = tuple(one.planned.recipe for one in found)
    blocks = [block for one in found for block in _blocks(one, house)]
    blocks.append(Say('So the menu has it; ask "what can I make" for other dishes.', "quiet"))
    return Answer(
        reading,
        {"meals": [_json(one, house) for one in found]},
        tuple(blocks),
        offered=titles,
        recipes=titles[:1],
    )


def _looked(
    planned: Planned, people: tuple[str, ...], diets: tuple[str, ...], house: House
) -> Looked | None:
    """The dish as it is to be cooked; None where its recipe is no longer in the books."""
    recipe = house.books.recipe_titled(planned.recipe)
    if recipe is None:
        return None
    table = Reading("", people=people, diets=diets)
    eaters = diners(table, house)
    kitchen = kitchen_for(table, house, eaters)
    wish = replace(wish_of(table, house, strict=False), servings=planned.servings or None)
    ways: Swapping = swapping(house, eaters)
    fit = fitted(scale(recipe, planned.servings) or recipe, ways)
    meal = looked_at(fit.recipe, wish, replace(kitchen, fits=None))
    meal = replace(meal, fits=looked_at(recipe, wish, kitchen).fits)
    checks = tuple(dict.fromkeys(one.diner for one in fit.against)) if fit.verdict == CHECK else ()
    return Looked(planned, meal, fit.swaps, checks, eaters)


def _blocks(one: Looked, house: House) -> list[Block]:
    facts = (each_written(one.meal, house.currency), state_written(one.meal))
    heads = number_written(one.planned.servings)
    day = day_written(one.planned.date, house.today)
    blocks: list[Block] = [
        Say(f"{one.planned.recipe} for {heads}, {one.planned.slot} {_on(day)}: {'; '.join(facts)}.")
    ]
    if one.swaps:
        blocks += [Say("With swaps:"), Items(one.swaps)]
    if one.checks:
        blocks.append(Say(f"Read the labels first, for {listed(one.checks)}.", "warn"))
    barred = [name for name, verdict in one.meal.fits.items() if verdict == "no"]
    if barred:
        blocks.append(Say(f"Not for {listed(barred)}.", "warn"))
    return blocks


def _on(day: str) -> str:
    """ "on Fri 27 Nov", but "today"."""
    return day if day.isalpha() else f"on {day}"


def _json(one: Looked, house: House) -> dict[str, object]:
    swaps = stand_ins(one.meal.match, fitting_for(house, one.eaters))
    return {**meal_json(one.meal, swaps), "planned": one.planned.date.isoformat()}

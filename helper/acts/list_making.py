"""What stands on the shopping list now: from the menu, recipes, levels, and what was put on it."""

from __future__ import annotations

import datetime as dt

from helper.acts.diners import named_diners, swapping
from helper.acts.dishes import recipes_meant
from helper.acts.fitting import Fitted, fitted
from helper.acts.house import House
from helper.household.records import Meal, Menu
from helper.kitchen.buying import Need, needs
from helper.kitchen.matching import match_all, scale
from helper.kitchen.shopping import ShoppingList, Wish, below, listed
from helper.kitchen.swaps import Swapping
from helper.kitchen.table import Diner, person_diner
from helper.reading.reading import Reading

# The note of a line that says "not this one, whatever the menu asks for".
OFF = "off"


def whole_list(house: House, reading: Reading) -> ShoppingList:
    """The list; only the days asked about where the request names a span."""
    until = None
    if reading.days is not None:
        until = house.today + dt.timedelta(days=reading.days - 1)
    return list_now(house, until)


def list_now(house: House, until: dt.date | None = None) -> ShoppingList:
    """Everything wanted, less what was taken off."""
    kept = house.books.shopping()
    off = {line.food for line in kept if line.note == OFF}
    wishes = [
        Wish(Need(line.food, line.amount), f"for {line.recipe}" if line.recipe else "")
        for line in kept
        if not line.ticked
    ]
    wishes += _for_menu(house, until)
    wishes += below(house.books.levels(), house.stock, house.measures)
    wishes = [one for one in wishes if one.need.food not in off]
    return listed(wishes, house.prices, house.measures)


def _for_menu(house: House, until: dt.date | None) -> list[Wish]:
    """What the meals planned are short of, each drawing on what those before it left."""
    recipes = [dish.recipe for _, dish in planned(house, until)]
    return [
        Wish(need, f"for {found.recipe.title}")
        for found in match_all(recipes, house.stock)
        for need in needs(found.lines)
    ]


def planned(house: House, until: dt.date | None = None) -> list[tuple[Meal, Fitted]]:
    """The meals still to come with their dishes as they will be cooked, in the order of days."""
    found: list[tuple[Meal, Fitted]] = []
    for menu in house.books.menus():
        meals = [one for one in menu.meals if one.date >= house.today and not one.done]
        ways: dict[tuple[str, ...], Swapping] = {}
        for meal in meals:
            recipe = house.books.recipe_titled(meal.recipe)
            if recipe is not None and (until is None or meal.date <= until):
                eaters = _eaters(menu, meal.date, house)
                table = tuple(one.name for one in eaters)
                if table not in ways:
                    ways[table] = swapping(house, eaters)
                scaled = scale(recipe, meal.servings) or recipe
                found.append((meal, fitted(scaled, ways[table])))
    return sorted(found, key=lambda one: one[0].date)


def _eaters(menu: Menu, day: dt.date, house: House) -> tuple[Diner, ...]:
    """Who a menu was made for, on a day of it."""
    named = named_diners(Reading("", people=menu.people, diets=menu.diets), house)
    if menu.people:
        return named
    return (*(person_diner(one, house.safety) for one in house.at_table(day)), *named)


def missing_for(reading: Reading, house: House) -> ShoppingList:
    """What the recipes of a request lack together."""
    recipes = recipes_meant(reading, house)
    wishes = [
        Wish(need, f"for {found.recipe.title}")
        for found in match_all(recipes, house.stock)
        for need in needs(found.lines)
    ]
    return listed(wishes, house.prices, house.measures)

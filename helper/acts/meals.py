"""Dishes: which can be cooked, how one is made, and what is missing for it."""

from __future__ import annotations

from collections.abc import Callable

from helper.acts import finding, lacking, recipe_page
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.answers import Answer
from helper.reading.reading import Reading


def find_meals(reading: Reading, house: House) -> Answer:
    """What can be cooked from what is here; or what is planned, where that is asked."""
    day = reading.date or house.today
    if any(meal.date == day for menu in house.books.menus() for meal in menu.meals):
        from helper.acts.menu_planned import planned_dishes  # the planner's tables take a moment

        if (planned := planned_dishes(reading, house)) is not None:
            return planned
    return _done(finding.find_meals, reading, house)


def show_recipe(reading: Reading, house: House) -> Answer:
    """One recipe, scaled and marked with what is in the house."""
    return _done(recipe_page.show_recipe, reading, house)


def missing(reading: Reading, house: House) -> Answer:
    """What is not in the house for a recipe or several."""
    return _done(lacking.missing, reading, house)


def _done(do: Callable[[Reading, House], Answer], reading: Reading, house: House) -> Answer:
    """Does it, or asks for what is lacking in the request."""
    try:
        return do(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)

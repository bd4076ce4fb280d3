"""What to do with leftovers, scraps and failures."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.lore import rescue
from helper.household.books import Household
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.recipes import Recipe
from helper.reading.reading import Reading
from rules.tables import rows

TODAY = dt.date(2026, 11, 25)
BOOK = list(rows("books/rescues.csv"))


def recipe(number: int, title: str, *lines: str) -> Recipe:
    return Recipe(number, title, tuple(read_lines(lines, Foods())))


@pytest.fixture(scope="module")
def house() -> House:
    recipes = [
        recipe(1, "Bread pudding", "6 slices stale bread", "2 cups milk", "2 eggs"),
        recipe(2, "Bean and ham soup", "1 lb navy beans", "1 ham bone"),
        recipe(3, "Tofu skillet", "1 block tofu", "1 onion"),
    ]
    return House(Household.scratch({"recipes": recipes}), TODAY)


@pytest.mark.parametrize(
    "row", BOOK, ids=[f"{row['left_over']} {row['state']}: {row['becomes']}" for row in BOOK]
)
def test_every_row_of_the_book_can_be_asked_for(house: House, row: dict[str, str]) -> None:
    said = row["words"].split(";")[0]
    hit = house.foods.find(said)
    reading = Reading(said, "rescue", foods=(hit.food,) if hit else ())
    ideas = rescue(reading, house).reply["ideas"]
    found = next(
        one for one in ideas if (one["becomes"], one["how"]) == (row["becomes"], row["how"])
    )
    assert found["source"] == row["source"]
    if row["within_days"]:
        assert found["within_days"] == int(row["within_days"])


def test_an_idea_is_linked_with_the_recipe_that_the_house_has(house: House) -> None:
    reading = Reading("what can I do with stale bread", "rescue", foods=("stale bread",))
    linked = {one["becomes"]: one["recipe"] for one in rescue(reading, house).reply["ideas"]}
    assert linked["bread pudding"] == "Bread pudding"


def test_own_recipes_use_what_the_book_has_no_idea_for(house: House) -> None:
    reading = Reading("leftover tofu", "rescue", foods=("leftover", "tofu"))
    ideas = rescue(reading, house).reply["ideas"]
    assert [one["recipe"] for one in ideas] == ["Tofu skillet"]
    assert ideas[0]["within_days"] == 3


def test_a_dish_that_went_wrong(house: House) -> None:
    reading = Reading(
        "the bean and ham soup is too salty", "rescue", recipes=("Bean and ham soup",)
    )
    ideas = rescue(reading, house).reply["ideas"]
    assert ideas[0]["becomes"] == "milder soup"
    assert all(one["recipe"] is None for one in ideas)


@pytest.mark.parametrize("food", ["stale bread", "ham bone", "tofu", "gravy", "cooked rice"])
def test_every_idea_carries_its_keeping_limit(house: House, food: str) -> None:
    reading = Reading(f"what can I do with {food}", "rescue", foods=(food,))
    for one in rescue(reading, house).reply["ideas"]:
        assert one["within_days"] is not None or one["caution"]


def test_nothing_named_is_asked_back(house: House) -> None:
    assert rescue(Reading("what do I do with it", "rescue"), house).question is not None


def test_where_something_went_wrong_other_recipes_are_no_help() -> None:
    home = House(Household.scratch({"recipes": [recipe(1, "Fried rice", "4 cups rice")]}), TODAY)
    reading = Reading("my rice came out gummy", "rescue", foods=("rice",))
    assert [one["recipe"] for one in rescue(reading, home).reply["ideas"]] == [None, None]

"""What to serve beside something."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.lore import goes_with
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.lots import Lot
from helper.kitchen.pairings import SEASONS
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe
from helper.reading.reading import Reading
from rules.tables import rows

BOOK = [
    (row, main, side)
    for row in rows("books/pairings.csv")
    for main in row["main"].split(";")
    for side in row["side"].split(";")
]


def recipe(number: int, title: str, *lines: str) -> Recipe:
    return Recipe(number, title, tuple(read_lines(lines, Foods())))


RECIPES = [
    recipe(1, "Bean and ham soup", "1 lb navy beans", "1 lb cooked ham", "1 onion"),
    recipe(2, "Corn bread", "1 cup cornmeal", "1 cup flour", "1 cup milk", "1 egg"),
    recipe(3, "Cabbage slaw", "1 head cabbage", "1/4 cup vinegar"),
    recipe(4, "Banana bread", "3 bananas", "2 cups flour"),
    recipe(5, "Meat loaf", "1 lb ground beef", "1 egg"),
    recipe(6, "Mashed potatoes", "2 lb potatoes", "1/2 cup milk", "2 tbsp butter"),
]


def house(day: dt.date = dt.date(2026, 11, 25), *lots: Lot) -> House:
    people = [Person(1, "Ada", ("milk",))]
    return House(Household.scratch({"recipes": RECIPES, "stock": lots, "people": people}), day)


@pytest.fixture(scope="module")
def bare() -> dict[str, House]:
    days = {name: dt.date(2026, months[0], 15) for name, months in SEASONS.items()}
    return {name: House(Household.scratch({}), day) for name, day in days.items()}


@pytest.mark.parametrize(
    ("row", "main", "side"), BOOK, ids=[f"{main}: {side}" for _, main, side in BOOK]
)
def test_every_row_of_the_book_can_be_asked_for(
    bare: dict[str, House], row: dict[str, str], main: str, side: str
) -> None:
    season = "fall" if row["season"] == "any" else row["season"].split(";")[0]
    home = bare[season]
    food = home.foods.named(main)
    reading = Reading(f"what goes with {main}", "goes-with", foods=(food,) if food else ())
    found = {one["side"]: one for one in goes_with(reading, home).reply["dishes"]}
    assert side in found
    assert found[side]["why"]


def served(reading: Reading, home: House) -> list[str]:
    return [one["recipe"] or one["food"] for one in goes_with(reading, home).reply["dishes"]]


SOUP = Reading("what goes with it", "goes-with", recipes=("Bean and ham soup",))


def test_own_recipes_come_first() -> None:
    assert served(SOUP, house())[:2] == ["Corn bread", "Cabbage slaw"]


def test_what_is_in_the_dish_already_is_not_served_beside_it() -> None:
    winter = house(dt.date(2026, 1, 10))
    assert "ham" not in served(SOUP, winter)


def test_stock_goes_before_what_has_to_be_bought() -> None:
    apples = Lot(1, "apple", Amount(3), Amount(3))
    sides = served(SOUP, house(dt.date(2026, 11, 25), apples))
    assert sides[2] == "apple"


def test_out_of_season_sides_are_left_out() -> None:
    ham = Reading("what goes with ham", "goes-with", foods=("ham",))
    assert "spinach" in served(ham, house(dt.date(2026, 4, 10)))
    assert "spinach" not in served(ham, house(dt.date(2026, 11, 10)))


def test_what_somebody_cannot_have_is_left_out() -> None:
    loaf = Reading("a side for Ada", "goes-with", recipes=("Meat loaf",), people=("Ada",))
    assert "Mashed potatoes" not in served(loaf, house())
    assert "Mashed potatoes" in served(Reading("", "goes-with", recipes=("Meat loaf",)), house())


def test_diets_named_are_kept() -> None:
    reading = Reading("gluten free", "goes-with", recipes=SOUP.recipes, diets=("gluten-free",))
    dishes = goes_with(reading, house()).reply["dishes"]
    assert "Corn bread" not in [one["recipe"] for one in dishes]
    assert all(one["fits"] in ("yes", "check") for one in dishes)


def test_what_was_said_to_be_left_out_is() -> None:
    reading = Reading("but no apple", "goes-with", recipes=SOUP.recipes, without=("apple",))
    assert "apple" not in served(reading, house())


def test_banana_bread_is_no_bread_for_soup() -> None:
    assert "Banana bread" not in served(SOUP, house())


def test_nothing_named_is_asked_back() -> None:
    assert goes_with(Reading("what goes with it", "goes-with"), house()).question is not None


@pytest.mark.parametrize("row", list(rows("books/dish_sorts.csv")), ids=lambda row: row["sort"])
def test_every_sort_of_dish_is_a_main_of_the_book(row: dict[str, str]) -> None:
    assert row["sort"] in {main for _, main, _ in BOOK}

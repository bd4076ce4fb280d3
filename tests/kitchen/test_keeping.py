"""How long food keeps: every row of the book, and the foods that go by another's row."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.keeping import Keeping, best_by, keeping_time
from helper.kitchen.recipes import Recipe
from rules.tables import rows

BOOK = list(rows("books/keeping.csv"))
MONDAY = dt.date(2026, 3, 2)


@pytest.fixture(scope="module")
def keeping(foods: Foods) -> Keeping:
    return Keeping(foods)


@pytest.mark.parametrize("row", BOOK, ids=[f"{r['food']}-{r['state']}-{r['place']}" for r in BOOK])
def test_every_row_answers_for_its_food(keeping: Keeping, row: dict[str, str]) -> None:
    kept = keeping.time(row["food"], row["place"], row["state"])
    assert kept is not None
    assert (kept.food, kept.state) == (row["food"], row["state"])
    assert (kept.days_min, kept.days_max) == (int(row["days_min"]), int(row["days_max"]))
    assert kept.source == row["source"]


@pytest.mark.parametrize("row", BOOK, ids=[f"{r['food']}-{r['state']}-{r['place']}" for r in BOOK])
def test_every_row_is_well_formed(foods: Foods, row: dict[str, str]) -> None:
    assert row["food"] in foods
    assert 0 <= int(row["days_min"]) <= int(row["days_max"])
    assert row["basis_kind"] in ("safety", "quality")
    assert row["source"]


@pytest.mark.parametrize(
    "row", list(rows("books/keeping_goes_by.csv")), ids=lambda r: r["kind"] + "-" + r["food"]
)
def test_what_a_kind_goes_by_is_in_the_book(row: dict[str, str]) -> None:
    assert row["food"] in {one["food"] for one in BOOK}
    assert row["kind"] in {one["kind"] for one in rows("reference/kinds.csv")}
    assert row["source"]


@pytest.mark.parametrize(
    ("food", "place", "state", "goes_by", "days"),
    [
        ("cooked rice", "fridge", None, "rice", 3),
        ("cooked navy bean", "fridge", None, "cooked bean", 3),
        ("whole milk", "fridge", "opened", "milk", 5),
        ("chicken thigh", "fridge", None, "chicken piece", 1),
        ("trout", "fridge", None, "catfish", 1),
        ("cheddar cheese", "fridge", "opened", "hard cheese", 21),
        ("canned pear", "fridge", "opened", "canned fruit", 5),
        ("canned chickpea", "shelf", None, "canned bean", 730),
        ("vegetable soup", "fridge", "leftover", "soup", 3),
        ("frozen spinach", "freezer", None, "spinach", 243),
        ("hard-cooked egg", "fridge", None, "egg", 7),
        ("banana bread", "shelf", None, "quick bread", 2),
    ],
)
def test_a_food_without_a_row_goes_by_a_nearer_name(
    keeping: Keeping, food: str, place: str, state: str | None, goes_by: str, days: int
) -> None:
    kept = keeping.time(food, place, state)
    assert kept is not None
    assert (kept.food, kept.days_min) == (goes_by, days)
    assert kept.asked == food


@pytest.mark.parametrize(
    ("food", "place", "state"),
    [
        ("rice", "fridge", None),  # dry rice is not cooked rice
        ("cooked chicken", "shelf", None),
        ("lasagna", "shelf", "leftover"),
        ("evaporated milk", "freezer", "unopened"),
    ],
)
def test_no_state_is_crossed(keeping: Keeping, food: str, place: str, state: str | None) -> None:
    kept = keeping.time(food, place, state)
    assert kept is None or kept.never


def test_what_is_not_in_the_book_is_unknown(keeping: Keeping) -> None:
    assert keeping.time("grandmother's tonic", "shelf") is None
    assert keeping.times("grandmother's tonic") == ()
    assert keeping.best_by("grandmother's tonic", "shelf", None, MONDAY) is None


def test_a_date_is_the_short_end_of_the_range(foods: Foods) -> None:
    kept = keeping_time(foods, "cooked rice", "fridge")
    assert kept is not None
    assert (kept.days_min, kept.days_max) == (3, 4)
    assert best_by(foods, "cooked rice", "fridge", None, MONDAY) == dt.date(2026, 3, 5)


def test_what_should_not_be_frozen_gets_no_date(keeping: Keeping) -> None:
    assert keeping.best_by("mayonnaise", "freezer", None, MONDAY) is None


def test_where_the_state_is_not_told_the_shortest_is_taken(keeping: Keeping) -> None:
    kept = keeping.time("ham", "fridge")
    assert kept is not None
    assert kept.days_min == 5  # raw, not the fourteen days of a sealed ready-to-eat one


def test_the_place_asked_for_comes_first(keeping: Keeping) -> None:
    assert keeping.times("milk", "freezer")[0].place == "freezer"
    assert keeping.times("milk")[0].place == "fridge"
    assert keeping.times("banana")[0].place == "shelf"


@pytest.mark.parametrize(
    ("title", "food"),
    [
        ("Ham and potato soup", "soup"),
        ("Three bean chili", "chili"),
        ("Grandmother's Sunday thing", "leftover"),
    ],
)
def test_a_dish_goes_by_its_title(keeping: Keeping, title: str, food: str) -> None:
    assert keeping.dish(Recipe(1, title)) == food

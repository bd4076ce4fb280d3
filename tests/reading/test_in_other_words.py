"""Wordings that are easily taken for another thing: books, sorts of dish, sums, and new names."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.words import words
from helper.reading.acts import acts
from helper.reading.fields import fill
from helper.reading.frame import frame
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.spelling import respelt
from helper.reading.strangers import introduced

TODAY = dt.date(2026, 11, 25)
TITLES = ["Lentil stew", "Split pea stew", "Rye bread", "Beef stew", "Turnip carrot soup"]
NAMES = Names(Foods(), TITLES, ["Orla", "Bram"])


def read(act: str, said: str) -> Reading:
    found, _ = respelt(words(said), NAMES.speller)
    return Reading(
        said=said, act=act, **fill(acts()[act], found, NAMES.spot(found, TODAY), Foods())
    )


@pytest.mark.parametrize(
    ("act", "said", "stated"),
    [
        ("add-stock", "two tins of chopped toms", [(2, "can", "canned diced tomato")]),
        (
            "add-stock",
            "butter 2 packs 3.19 each. onions 6 lb.",
            [(2, "package", "butter"), (6, "lb", "onion")],
        ),
        ("recount", "three bags of rice out there, you have two", [(3, "bag", "rice")]),
        ("rescue", "quarter of a tray of porridge left", []),
        ("add-stock", "1 x swede", [(1, None, "rutabaga")]),
        ("convert", "cup of rice cooked is how many cups", [(1, "cup", "rice")]),
        (
            "cheaper",
            "potatoes at 1.20 for 2 kg versus rice at 2.10 for 1 kg",
            [(2, "kg", "potato"), (1, "kg", "rice")],
        ),
    ],
)
def test_what_is_counted(act: str, said: str, stated: list[Any]) -> None:
    told = frame(read(act, said))["amounts"]
    assert [(one["amount"], one["unit"], one["food"]) for one in told] == stated


@pytest.mark.parametrize(
    ("said", "money"),
    [("dinners for the week, 45 tops", "45"), ("teas till friday, twenty at the most", "20")],
)
def test_a_budget_may_be_said_behind_the_sum(said: str, money: str) -> None:
    assert read("menu", said).money == Decimal(money)


@pytest.mark.parametrize(
    ("act", "said", "recipes", "foods"),
    [
        ("cost", "my rye bread, what is that a loaf", ("Rye bread",), ()),
        ("cost", "the carrot and turnip soup", ("Turnip carrot soup",), ()),
        (
            "cheaper",
            "which stew, the split pea or the lentil",
            ("Split pea stew", "Lentil stew"),
            (),
        ),
        ("show-recipe", "never made a gravy, show me the beef stew", ("Beef stew",), ()),
        ("use-soon", "whatever's date runs out before friday", (), ()),
        ("menu", "snacks and lunches for the week", (), ()),
    ],
)  # fmt: skip
def test_dishes_and_no_foods_beside_them(
    act: str, said: str, recipes: tuple[str, ...], foods: tuple[str, ...]
) -> None:
    reading = read(act, said)
    assert (reading.recipes, reading.foods) == (recipes, foods)


def test_so_much_of_one_food_is_no_part_of_the_dish() -> None:
    assert read("remark", "beef stew, halve the pepper next time").scale is None
    assert read("show-recipe", "halve the beef stew").scale == 0.5


def test_a_vegetarian_meal_is_no_vegetable() -> None:
    assert read("find-meals", "supper for four, veggie please").diets == ("vegetarian",)
    assert read("find-meals", "we have rice, veggie").foods == ("rice", "vegetable")


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("new lad at table, Corwin, he's vegan", ("Corwin",)),
        ("our lodger can't have pork, he's called Ansgar", ("Ansgar",)),
        ("she is lactose intolerant", ()),
    ],
)
def test_a_new_name_is_heard(said: str, named: tuple[str, ...]) -> None:
    assert introduced(said, NAMES, TODAY) == named


def test_at_table_are_those_who_ate() -> None:
    assert read("cooked", "made the beef stew, we were nine at table").servings == 9

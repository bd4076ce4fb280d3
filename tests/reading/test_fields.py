"""What single requests state: foods, amounts, money, headcounts, days; the act is given."""

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
from helper.reading.spelling import not_taken, respelt

TODAY = dt.date(2026, 11, 25)  # a Wednesday
TITLES = ["Lentil stew", "Vegetable curry", "Sausage and cabbage skillet", "Gingerbread cake"]
NAMES = Names(Foods(), TITLES, ["Orla", "Bram"])


def read(act: str, said: str) -> Reading:
    found, _ = respelt(words(said), NAMES.speller)
    return Reading(
        said=said, act=act, **fill(acts()[act], found, NAMES.spot(found, TODAY), Foods())
    )


def amounts(act: str, said: str) -> list[tuple[float, str | None, str | None]]:
    return [(one["amount"], one["unit"], one["food"]) for one in frame(read(act, said))["amounts"]]


@pytest.mark.parametrize(
    ("said", "stated"),
    [
        ("bought a pound and a half of bacon", [(1.5, "lb", "bacon")]),
        ("2 14oz cans of chickpeas", [(2, "can", "canned chickpea")]),
        ("3x400g tins tomatoes", [(3, "can", "canned tomato")]),
        ("three-quarters of a pound of gruyere", [(0.75, "lb", "gruyere cheese")]),
        ("three heads of garlic", [(3, "head", "garlic")]),
        ("a loaf of bread and six rolls", [(1, "loaf", "bread"), (6, None, "roll")]),
        ("2 brown loaves", [(2, "loaf", "whole wheat bread")]),
        ("2 sticks butter", [(2, "stick", "butter")]),
        ("chicken breasts x 4", [(4, None, "chicken breast")]),
        ("three of those big yellow onions", [(3, None, "onion")]),
        ("yeast exp 3/27 one jar 4.29", [(1, "jar", "yeast")]),
        ("bag of spuds 2.5kg 1.99", [(2.5, "kg", "potato")]),
        ("24 tins of paint and a bag of rice", [(24, "can", None), (1, "bag", "rice")]),
        ("pint and a half of milk", [(1.5, "pint", "milk")]),
        ("a bunch of coriander", [(1, "bunch", "cilantro")]),
        ("coriander, a jar", [(1, "jar", "ground coriander")]),
        ("a mouldy lemon and a new jar of jam", [(1, None, "lemon"), (1, "jar", "jam")]),
        ("milk, loaf of bread, clove of garlic", [(1, "loaf", "bread"), (1, "clove", "garlic")]),
        ("4 rashers of bacon, 2 bulbs of garlic", [(4, "slice", "bacon"), (2, "head", "garlic")]),
        ("home a head of lettuce", [(1, "head", "lettuce")]),
    ],
)
def test_amounts_belong_to_what_they_are_said_of(said: str, stated: list[Any]) -> None:
    assert amounts("add-stock", said) == stated


@pytest.mark.parametrize(
    ("said", "sum_", "per"),
    [
        ("two lb of butter at 3.49 each", "3.49", "each"),
        ("got spuds for three pound", "3", None),
        ("flour for thirteen dollars and fifty cents", "13.5", None),
        ("3 cans tuna 99c each", "0.99", "each"),
        ("leg of lamb, cost me a tenner", "10", None),
        ("coffee for five ninety nine", "5.99", None),
        ("limes 4 for $5", "5", None),
        ("leeks 75p each", "0.75", "each"),
        ("ham at a dollar and a half a pound", "1.5", "each"),
        ("three quarters of a dollar a pound", "0.75", "each"),
        ("eggs at three a dozen", "3", "each"),
        ("a sack of spuds, ten kilos, eight ninety nine", "8.99", None),
        ("cabbages go for a dollar fifty each", "1.5", "each"),
        ("milk was a dollar eighty nine the half gallon", "1.89", None),
    ],
)
def test_sums_of_money(said: str, sum_: str, per: str | None) -> None:
    reading = read("record-price", said)
    assert (reading.money, reading.per) == (Decimal(sum_), per)


def test_a_weight_is_no_money() -> None:
    assert read("add-stock", "got 3 pounds of potatoes").money is None
    assert read("record-price", "butter was 2.15 for half a pound").money == Decimal("2.15")


@pytest.mark.parametrize(
    ("said", "servings"),
    [
        ("lentil stew for the 4 of us", 4),
        ("lentil stew, feeds 8", 8),
        ("lentil stew for 2 adults and 3 kids", 5),
        ("lentil stew for 8-10 people", 10),
        ("lentil stew for about 10", 10),
        ("lentil stew just for me", 1),
        ("the lentil stew at 40", 40),
        ("we are six, lentil stew", 6),
    ],
)
def test_who_is_fed(said: str, servings: float) -> None:
    assert read("show-recipe", said).servings == servings


@pytest.mark.parametrize(
    ("said", "scale"),
    [
        ("lentil stew times three", 3),
        ("four times the recipe of lentil stew", 4),
        ("lentil stew but half of it", 0.5),
        ("1.5 batches of lentil stew", 1.5),
        ("lentil stew 4x", 4),
    ],
)
def test_how_often_it_is_made(said: str, scale: float) -> None:
    assert read("show-recipe", said).scale == scale


@pytest.mark.parametrize(
    ("act", "said", "day"),
    [
        ("add-stock", "milk best by march", "2027-03-31"),
        ("add-stock", "ham bb 12 dec", "2026-12-12"),
        ("add-stock", "cream good until december tenth", "2026-12-10"),
        ("add-stock", "ham bought last tues", "2026-11-24"),
        ("add-stock", "rice exp 03/2027", "2027-03-31"),
        ("find-meals", "eggs for friday week", "2026-12-04"),
        ("find-meals", "eggs for wednesday next week", "2026-12-02"),
        ("find-meals", "dinner tomorrow night", "2026-11-26"),
        ("lasts", "can we get by till the first of the month", "2026-12-01"),
        ("lasts", "will it do till hogmanay", "2026-12-31"),
        ("cooked", "made lentil stew for 4 last night", "2026-11-24"),
        ("menu", "plan thursday to sunday", "2026-11-26"),
    ],
)
def test_days_spoken_of(act: str, said: str, day: str) -> None:
    assert read(act, said).date == dt.date.fromisoformat(day)


def test_food_left_from_yesterday_names_no_day_to_cook_for() -> None:
    assert read("find-meals", "chicken left from yesterday").date is None


@pytest.mark.parametrize(
    ("said", "minutes"),
    [
        ("in 20 min", 20),
        ("half an hour", 30),
        ("20 to 30 minutes", 30),
        ("an hour and a half", 90),
        ("three quarters of an hour", 45),
        ("an hour and twenty", 80),
        ("1h30 at most", 90),
    ],
)
def test_how_long_it_may_take(said: str, minutes: int) -> None:
    assert read("find-meals", f"a dinner, {said}").minutes == minutes


@pytest.mark.parametrize(
    ("said", "left_out"),
    [
        ("dinner, hold the onions", ("onion",)),
        ("anything but fish", ("fish",)),
        ("a stew minus the nuts", ("nut",)),
        ("no fish or onions", ("fish", "onion")),
        ("somethin w/o eggs or milk", ("egg", "milk")),
        ("we do not feel like fish again, anything but fish", ("fish",)),
    ],
)
def test_what_is_said_no_to(said: str, left_out: tuple[str, ...]) -> None:
    reading = read("find-meals", said)
    assert reading.without == left_out
    assert not set(reading.foods) & set(left_out)


@pytest.mark.parametrize(
    ("said", "food"),
    [
        ("flouer", "all-purpose flour"),
        ("beens", "bean"),
        ("chese", "cheese"),
        ("egs", "egg"),
        ("tomatoe paste", "tomato paste"),
        ("kidneybeans", "kidney bean"),
        ("corn meal", "cornmeal"),
        ("pea nut", "peanut"),
        ("butter beas", "lima bean"),
        ("pepers", "bell pepper"),
        ("2 lb of flower", "all-purpose flour"),
        ("vegan mince", "meat substitute"),
    ],
)
def test_foods_by_other_spellings(said: str, food: str) -> None:
    assert read("add-stock", f"got {said}").foods == (food,)


def test_two_foods_side_by_side_stay_two() -> None:
    assert read("add-stock", "got butter milk eggs").foods == ("butter", "milk", "egg")


@pytest.mark.parametrize(
    ("act", "said", "recipe"),
    [
        ("show-recipe", "veg curry", "Vegetable curry"),
        ("cost", "the sausage and cabbage", "Sausage and cabbage skillet"),
        ("show-recipe", "gluten free lentil stew", "Lentil stew"),
    ],
)
def test_titles_said_in_part(act: str, said: str, recipe: str) -> None:
    assert read(act, said).recipes == (recipe,)


def test_any_dish_is_not_the_one_in_the_book() -> None:
    assert read("swap", "what instead of eggs in a cake").recipes == ()


def test_foods_listed_are_no_dish() -> None:
    assert read("find-meals", "use up sausage and cabbage").foods == ("sausage", "cabbage")


@pytest.mark.parametrize(
    ("said", "shown"),
    [("have we got zzucchinettes", ("zzucchinettes",)), ("the weather is fine", ())],
)
def test_what_looks_like_a_food_and_is_none_is_shown(said: str, shown: tuple[str, ...]) -> None:
    found, changed = respelt(words(said), NAMES.speller)
    assert not_taken(found, changed, NAMES.spot(found, TODAY), NAMES.speller) == shown


def test_what_lies_beside_a_dish_or_is_lacking_for_it_is_not_left_out() -> None:
    assert read("goes-with", "what to put beside roast pork").without == ()
    assert read("goes-with", "what goes with pork besides potatoes").without == ("potato",)
    assert read("missing", "what I don't have for the lentil stew").recipes == ("Lentil stew",)


def test_what_is_paid_for_a_purchase_is_no_headcount() -> None:
    reading = read("add-stock", "2 lb of butter for 7")
    assert (reading.money, reading.servings) == (Decimal(7), None)
    assert amounts("add-stock", "cheese at 4 a pound, got 2 pounds") == [(2, "lb", "cheese")]


def test_what_the_books_hold_is_no_count() -> None:
    assert amounts("recount", "it says 6 bananas but I see two") == [(2, None, "banana")]


def test_a_level_is_no_sum_of_money() -> None:
    assert amounts("keep-stocked", "warn me when butter drops below a pound") == [
        (1, "lb", "butter")
    ]


def test_a_rule_forbids_only_where_it_says_no() -> None:
    assert read("house-rule", "fish once a week").foods == ("fish",)
    assert read("house-rule", "never buy veal").without == ("veal",)


def test_one_shops_for_a_dish() -> None:
    assert read("shopping", "the list for the curry").recipes == ("Vegetable curry",)

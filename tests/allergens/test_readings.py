"""What a food's neighbours in a line make of it: names that overlap, and words that remake it."""

from __future__ import annotations

import pytest

from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.safety import Minded, Safety
from helper.kitchen.words import words
from rules.judge import YES
from tests.allergens.scoring import TODAY

FOODS = Foods()
SAFETY = Safety(FOODS)


def verdict(line: str, avoid: str) -> str:
    things = [SAFETY.thing(one) for one in read_line(line, FOODS)]
    return SAFETY.verdict(things, [Minded(avoid)])


@pytest.mark.parametrize(
    ("line", "food"),
    [
        ("2 c. leftover potato salad", "potato salad"),
        ("1 small white corn dog", "corn dog"),
        ("2 red onion rings", "onion ring"),
        ("4 oz. sweet pepper jack", "monterey jack cheese"),
    ],
)
def test_a_name_that_reaches_further_is_the_food(line: str, food: str) -> None:
    assert [one.food for one in read_line(line, FOODS)] == [food]


def test_joined_foods_stay_two() -> None:
    spots = FOODS.spot(words("green beans and rice"))
    assert [spot.food for spot in spots] == ["green bean", "rice"]


@pytest.mark.parametrize(
    ("line", "avoid"),
    [
        ("1 turkey loaf", "wheat"),
        ("12 potato balls", "egg"),
        ("8 lemon squares", "wheat"),
        ("1 lb. fried okra", "wheat"),
        ("deep-fried green tomatoes", "egg"),
        ("1 c. lemon filling", "milk"),
        ("floured liver", "wheat"),
        ("1 lb. lemon chicken", "soy"),
        ("orange beef", "wheat"),
    ],
)
def test_a_food_made_into_something_clears_nobody(line: str, avoid: str) -> None:
    assert verdict(line, avoid) != YES


@pytest.mark.parametrize(
    "line",
    [
        "1 lb. okra, fried",
        "2 potatoes, in a dish",
        "1 onion, fried",
        "2 celery sticks",
        "2 cloves garlic",
    ],
)
def test_a_food_then_cooked_is_still_that_food(line: str) -> None:
    assert verdict(line, "egg") == YES


@pytest.mark.parametrize(
    "food", ["salmon loaf", "fried okra", "lemon chicken", "potato balls", "lemon squares"]
)
def test_asked_about_in_words(food: str) -> None:
    talk = Conversation(Household.scratch(today=lambda: TODAY), TODAY)
    assert talk.say(f"is {food} safe for someone with an egg allergy?").reply["verdict"] != YES

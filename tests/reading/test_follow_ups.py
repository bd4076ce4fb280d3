"""Sentences that go on from another one, said to the program with the demo's foods and dishes."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from helper.conversation import Conversation
from helper.demo import demo_books
from helper.reading.frame import frame
from helper.reading.reading import Reading

TODAY = dt.date(2026, 11, 25)


def after(*sayings: str) -> Reading:
    """What the last of these sayings was read as."""
    talk = Conversation(demo_books(TODAY), TODAY)
    answers = [talk.say(one) for one in sayings]
    return answers[-1].reading


def told(reading: Reading) -> dict[str, Any]:
    return {name: value for name, value in frame(reading).items() if value not in (None, [])}


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (
            ("what can I make with ham", "under $8"),
            {"money": {"amount": "8.00", "currency": "USD"}},
        ),
        (("what can I make with ham", "no onions"), {"without": ["onion"]}),
        (("what can I make with ham", "and potatoes"), {"foods": ["ham", "potato"]}),
        (("what can I make with ham", "gluten free"), {"diets": ["gluten-free"]}),
        (("what can I make with ham", "for 4", "make it 6"), {"servings": 6}),
        (("what can I make with ham", "no onions", "what else"), {"without": ["onion"]}),
    ],
)
def test_one_condition_more(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    found = told(after(*sayings))
    assert found["act"] == "find-meals"
    assert {name: found.get(name) for name in means} == means
    assert "ham" in found["foods"]


@pytest.mark.parametrize(
    ("sayings", "act", "means"),
    [
        (("how much rice do we have", "and lentils?"), "stock", {"foods": ["lentil"]}),
        (("how many beans do we have", "no, I meant the tinned ones"), "stock",
         {"foods": ["canned bean"]}),
        (("how long does ham keep", "in the freezer"), "keeps",
         {"foods": ["ham"], "place": "freezer"}),
        (("how many cups in a pound of sugar", "two pounds"), "convert",
         {"amounts": [{"amount": 2, "unit": "lb", "food": "granulated sugar"}]}),
        (("show the corn bread", "without eggs", "for 12"), "show-recipe",
         {"recipes": ["Corn bread"], "without": ["egg"], "servings": 12}),
        (("show the corn bread for 8", "double it"), "show-recipe", {"servings": 16}),
        (("show the corn bread for 8", "what does it cost"), "cost",
         {"recipes": ["Corn bread"], "servings": 8}),
        (("show the corn bread", "I have no milk"), "swap",
         {"recipes": ["Corn bread"], "foods": ["milk"]}),
        (("show the corn bread", "gluten free?"), "show-recipe", {"diets": ["gluten-free"]}),
        (("is the corn bread ok for Idris", "make it for 12"), "show-recipe",
         {"recipes": ["Corn bread"], "servings": 12}),
        (("what can I use instead of buttermilk", "in the pancakes"), "swap",
         {"recipes": ["Pancakes"], "foods": ["buttermilk"]}),
        (("is margarine ok for Idris", "and for Tobin"), "safe-for",
         {"foods": ["margarine"], "people": ["Tobin"]}),
        (("plan dinners for the week", "no pork", "make it 5 days"), "menu",
         {"without": ["pork"], "days": 5}),
        (("any bananas left", "what about apples", "put both on the list"), "shopping",
         {"foods": ["banana", "apple"]}),
        (("what's in the freezer", "what's in it"), "stock", {"place": "freezer"}),
        (("corn bread for 12",), "show-recipe", {"recipes": ["Corn bread"], "servings": 12}),
    ],
)  # fmt: skip
def test_the_whole_request_it_stands_for(
    sayings: tuple[str, ...], act: str, means: dict[str, Any]
) -> None:
    found = told(after(*sayings))
    assert found["act"] == act
    assert {name: found.get(name) for name in means} == means


def test_a_dish_of_the_list_by_its_number_keeps_for_how_many() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    meals = talk.say("what can I make with ham for 5").reply["meals"]
    shown = talk.say("the second one").reading
    assert (shown.act, shown.recipes) == ("show-recipe", (meals[1]["recipe"],))
    assert shown.servings == 5


def test_a_dish_of_the_list_by_a_word_of_its_name() -> None:
    assert after("is the soup vegan", "the pea one").recipes == ("Split pea soup with ham",)


@pytest.mark.parametrize(
    ("sayings", "amounts"),
    [
        (("got milk", "half a gallon"), [(0.5, "gallon", "milk")]),
        (("bought some cheese", "cheddar", "a pound"), [(1, "lb", "cheddar cheese")]),
        (("got eggs 2.99", "how many", "a dozen"), [(12, None, "egg")]),
    ],
)
def test_an_answer_fills_what_was_asked(
    sayings: tuple[str, ...], amounts: list[tuple[float, str | None, str]]
) -> None:
    reading = after(*sayings)
    assert reading.act == "add-stock"
    assert [(one.amount.number, one.amount.unit, one.food) for one in reading.amounts] == amounts


def test_a_price_is_no_amount() -> None:
    reading = after("got milk", "2.29")
    assert str(reading.money) == "2.29"
    assert not reading.amounts


def test_an_unknown_thing_is_not_the_last_one() -> None:
    assert "carrot" not in after("bought 3 lb of carrots", "got 2 boxes of zorbles").foods

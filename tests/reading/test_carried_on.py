"""What a saying takes over from the talk before it, and what it does not."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from helper.answers import Answer
from helper.conversation import Conversation
from helper.demo import demo_books
from helper.reading.frame import frame

TODAY = dt.date(2026, 11, 25)
HAM = "what can I make with ham"


def talk(*sayings: str) -> list[Answer]:
    """The answers to the last of these sayings."""
    conversation = Conversation(demo_books(TODAY), TODAY)
    last = [conversation.say(one) for one in sayings][-1]
    return [last, *last.also]


def told(answer: Answer) -> dict[str, Any]:
    return {n: v for n, v in frame(answer.reading).items() if v not in (None, [])}


@pytest.mark.parametrize(
    ("sayings", "act", "means"),
    [
        # one of those that were shown
        ((HAM, "is the first one all right for Wren"), "safe-for", {"people": ["Wren"]}),
        ((HAM, "can Wren have the second one"), "safe-for", {"recipes": ["Bean and ham soup"]}),
        ((HAM, "go on then, how's the second one made"), "show-recipe",
         {"recipes": ["Bean and ham soup"]}),
        ((HAM, "third one then. what am I short of"), "missing",
         {"recipes": ["Split pea soup with ham"]}),
        ((HAM, "how much is number 1"), "cost", {"recipes": ["Ham and potato bake"]}),
        (("is the chili cheaper than the lentil stew", "how long does the lentil one keep"),
         "keeps", {"recipes": ["Lentil stew"]}),
        # where it is
        (("what's in the fridge", "how much butter is that", "how long is it good in there"),
         "keeps", {"foods": ["butter"], "place": "fridge"}),
        (("counted 9 eggs in the fridge", "what else is in there"), "stock",
         {"foods": None, "place": "fridge"}),
        # a number is of what it comes nearest to
        (("plan a week of dinners for 5 under $60", "make that 50"), "menu",
         {"money": {"amount": "50.00", "currency": "USD"}, "servings": 5, "days": 7}),
        (("plan dinners for 4 days", "starting friday actually"), "menu",
         {"days": 4, "date": "2026-11-27"}),
        (("cost of the chili for 16", "lentil stew, same number"), "cost",
         {"recipes": ["Lentil stew"], "servings": 16}),
        (("cost of the chili for 6", "made it. 9 ate"), "cooked",
         {"recipes": ["Beef and bean chili"], "servings": 9}),
        (("used 2 cans of tuna", "three. the kid had one"), "use-stock",
         {"amounts": [{"amount": 3, "unit": "can", "food": "canned tuna"}]}),
        (("always keep 3 jars of peanut butter", "nah 1"), "keep-stocked",
         {"amounts": [{"amount": 1, "unit": "jar", "food": "peanut butter"}]}),
        (("how many grams in one cup of flour", "and in ounces"), "convert",
         {"amounts": [{"amount": 1, "unit": "cup", "food": "all-purpose flour"}]}),
        # the hour somebody eats at counts nobody
        (("what can I cook with black beans", "the children must eat by six so 30 minutes"),
         "find-meals", {"foods": ["black bean"], "servings": None, "minutes": 30}),
        # beside what is named now
        (("what do we pay for butter", "is margarine cheaper than it"), "cheaper",
         {"foods": ["butter", "margarine"]}),
        (("what can I use instead of buttermilk in the pancakes", "no lemons in the house"),
         "swap", {"foods": ["buttermilk"], "without": ["lemon"], "recipes": ["Pancakes"]}),
        (("the lentil stew went down well, note that", "and that I'd use more vinegar next time"),
         "remark", {"recipes": ["Lentil stew"], "foods": ["vinegar"]}),
        (("used up the yeast", "on the list"), "shopping", {"foods": ["yeast"]}),
        # who no longer comes
        (("what can Marisol, Wren and Nico all eat", "scratch Wren, she's got a cold"),
         "find-meals", {"people": ["Marisol", "Nico"]}),
        # "and" opens what begins anew as well
        (("how much does the chili cost", "and what goes with it"), "goes-with",
         {"recipes": ["Beef and bean chili"]}),
        ((HAM, "and plan dinners for the next 3 days while you're at it"), "menu", {"days": 3}),
    ],
)  # fmt: skip
def test_it_is_read_with_what_was_said_before(
    sayings: tuple[str, ...], act: str, means: dict[str, Any]
) -> None:
    found = told(talk(*sayings)[0])
    assert found["act"] == act
    assert {name: found.get(name) for name in means} == means


def test_a_line_is_cut_although_a_question_waits() -> None:
    first, second = talk("cost of soup", "used up the lentils, put some on the list")
    assert (first.reading.act, second.reading.act) == ("use-stock", "shopping")
    assert first.changed
    assert second.changed


def test_a_recipe_is_written_out_without_what_it_can_do_without() -> None:
    (answer,) = talk("write out the chili", "and leave the onion out of it")
    ingredients, steps = answer.reply["document"].split("Steps")
    assert "onion" not in ingredients
    assert "without onion, whatever the steps say" in steps


def test_what_a_dish_is_built_on_is_said_to_stay() -> None:
    (answer,) = talk("write out the beef and bean chili without ground beef")
    assert "Still in it: ground beef" in str(answer.blocks[0])


def test_a_question_behind_an_allergy_is_no_part_of_it() -> None:
    noted, asked = talk("note that Anselm is allergic to mustard, and is the chili ok for him")
    assert told(noted)["without"] == ["mustard"]
    assert told(asked) == {
        "act": "safe-for", "recipes": ["Beef and bean chili"], "people": ["Anselm"],
    }  # fmt: skip


def test_a_question_at_the_end_tells_nothing_new_of_anybody() -> None:
    (answer,) = talk("show me the granola", "Wren won't be poorly from it will she, with her nuts")
    assert answer.reading.act == "safe-for"
    assert not answer.changed


@pytest.mark.parametrize(
    "said",
    [
        "Monday was the day she died and I still can't look at a rice pudding",
        "the smell of toast always makes me think of my aunt's hallway",
        "in the dream I had forty loaves and nobody came",
    ],
)
def test_what_is_hardly_a_request_changes_nothing_without_being_asked_about(said: str) -> None:
    (answer,) = talk(said)
    assert not answer.changed

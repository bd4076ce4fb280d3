"""The objects programs get: the contract's shape for every act, whatever was said."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest

from helper.acts.house import House
from helper.answers import Answer, Caution, Say
from helper.conversation import Conversation
from helper.demo import demo_books
from helper.household.books import Household
from helper.kitchen.recipes import Recipe
from helper.reading.acts import acts
from helper.reading.reading import Reading
from helper.showing.lines import json_line, record

TODAY = dt.date(2026, 11, 25)
FRAME = {
    "act", "recipes", "foods", "without", "people", "diets", "amounts", "money",
    "servings", "days", "place", "date", "minutes",
}  # fmt: skip

# What is said on the demo household (the last of several is looked at), and the contract's fields.
SAID: dict[str, tuple[str, str]] = {
    "find-meals": ("what can I make with beans and ham", "meals"),
    "show-recipe": ("show me the bean and ham soup for 4", "recipe servings lines steps"),
    "missing": ("what am I missing for the fish pie", "missing have to_buy"),
    "cost": (
        "what does the bean and ham soup cost a serving",
        "total per_serving till_cost servings lines unpriced",
    ),
    "swap": ("what can I use instead of buttermilk", "for swaps"),
    "safe-for": ("can Tobin have the cream gravy", "verdict reasons fixes"),
    "stock": ("how much flour do we have", "lots total"),
    "use-soon": ("what needs using up this week", "lots"),
    "menu": (
        "plan dinners for five days under $40",
        "days till_cost eaten_cost to_buy optimal prep",
    ),
    "shopping": ("what's on the shopping list", "to_buy till_cost unpriced"),
    "goes-with": ("what goes with split pea soup", "dishes"),
    "rescue": ("what can I do with stale bread", "ideas"),
    "keeps": ("how long does cooked rice keep in the fridge", "times"),
    "convert": ("how many cups in a pound of flour", "amount unit food basis"),
    "cheaper": ("is it cheaper to use dried or canned beans", "options cheapest saving"),
    "season": ("what is in season now", "foods months"),
    "price": ("what did we pay for butter", "latest lowest history"),
    "lasts": ("how long can we eat without shopping", "dinners days menu"),
    "why": ("how much flour do we have\nwhy", "because"),
    "history": ("what did we spend this month", "events spent wasted"),
    "help": ("help", "examples"),
    "add-stock": ("got 4 tins of tomatoes at 1.15 each", "lots"),
    "use-stock": ("used 2 cups of flour", "taken"),
    "cooked": (
        "made the bean and ham soup",
        "recipe servings taken short cost leftovers byproducts",
    ),
    "recount": ("I count 6 eggs", "before after"),
    "record-price": ("saw butter at 3.49 a pound at the corner shop", "price"),
    "set-person": ("Saskia can't have dairy", "person"),
    "keep-recipe": (
        "keep this recipe\nOat squares\n2 cups rolled oats\n1 egg\nMix and bake.",
        "recipe lines unread",
    ),
    "remark": ("Nico loved the bean and ham soup", "recipe remark verdict"),
    "house-rule": ("never put cilantro in anything", "rule"),
    "keep-stocked": ("always keep 10 lb of flour in the house", "food level"),
    "share": ("write out the bean and ham soup for my neighbour", "format document"),
    "undo": ("got 4 tins of tomatoes at 1.15 each\nundo that", "undone"),
}


def test_every_act_is_tried() -> None:
    assert set(SAID) == set(acts())


def said(act: str) -> dict[str, Any]:
    words, _ = SAID[act]
    talk = Conversation(demo_books(TODAY), TODAY)
    requests = [words] if act == "keep-recipe" else words.split("\n")
    for request in requests:
        line = json_line(request, talk.say(request), talk.house)
    assert line.endswith(b"\n")
    assert line.count(b"\n") == 1
    found: dict[str, Any] = json.loads(line)
    return found


@pytest.mark.parametrize("act", sorted(SAID))
def test_the_shape_is_the_contracts(act: str) -> None:
    found = said(act)
    assert {"request", "reading", "understood", "changed", "reply", "cautions", "text"} <= set(
        found
    )
    assert set(found["reading"]) == FRAME
    assert found["reading"]["act"] == act
    assert found["text"]
    assert found["understood"], found["text"]
    assert set(SAID[act][1].split()) <= set(found["reply"])
    for caution in found["cautions"]:
        assert set(caution) == {"id", "severity", "text", "source"}
    if not acts()[act].changes and act not in ("shopping", "menu"):
        assert not found["changed"]


def house() -> House:
    soup = Recipe(1, "Bean soup", servings=6)
    return House(Household.scratch({"recipes": [soup]}), TODAY)


def test_a_doubled_recipe_is_said_in_servings() -> None:
    reading = Reading(said="double it", act="show-recipe", recipes=("Bean soup",), scale=2.0)
    assert record("double it", Answer(reading, {}), house())["reading"]["servings"] == 12


def test_several_acts_are_one_object() -> None:
    caution = Caution("c", "caution", "Careful.", "common practice, no source")
    one = Answer(Reading(said="a", act="stock"), {"lots": []}, (Say("A."),), cautions=(caution,))
    two = Answer(
        Reading(said="b", act="undo"), {"undone": "x"}, (Say("B."),), changed=True,
        cautions=(caution,),
    )  # fmt: skip
    both = Answer(one.reading, one.reply, one.blocks, cautions=one.cautions, also=(two,))
    found = record("a and b", both, house())
    assert found["changed"] is True
    assert found["reading"]["act"] == "stock"
    assert [(each["reading"]["act"], each["changed"]) for each in found["also"]] == [("undo", True)]
    assert len(found["cautions"]) == 1
    assert "A." in found["text"]
    assert "B." in found["text"]


def test_a_question_back_changes_nothing_and_offers_choices() -> None:
    talk = Conversation(Household.scratch({}), TODAY)
    found = record("qwertz uiop asdfgh", talk.say("qwertz uiop asdfgh"), talk.house)
    assert found["understood"] is False
    assert found["changed"] is False
    assert set(found["reply"]) >= {"question", "choices"}


def test_no_control_character_stands_raw_in_a_line() -> None:
    evil = "ham\x1b[2J\x00\x7f\x9b\u202e"
    answer = Answer(Reading(said=evil), {"food": evil}, (Say(evil),))
    line = json_line(evil, answer, house())
    assert not [c for c in line.decode().rstrip("\n") if ord(c) < 32 or 0x7F <= ord(c) < 0xA0]
    assert json.loads(line)["request"] == evil


def test_half_characters_in_a_request_do_no_harm() -> None:
    line = json_line("ham \ud83d", Answer(Reading(said="x"), {}), house())
    assert json.loads(line)["request"] == "ham ?"

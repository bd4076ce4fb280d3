"""Words no table knows: names of people and measures, and what they must not be taken for."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.answers import Answer
from helper.conversation import Conversation
from helper.demo import demo_books

TODAY = dt.date(2026, 11, 25)


def say(*words: str) -> Answer:
    talk = Conversation(demo_books(TODAY), TODAY)
    return [talk.say(one) for one in words][-1]


@pytest.mark.parametrize("said", ["Bertil can't eat fish", "Lentis is allergic to fish"])
def test_a_name_like_a_food_is_not_kept_away_from(said: str) -> None:
    answer = say(said)
    assert answer.reply["person"]["name"] == said.split()[0]
    assert answer.reading.without == ("fish",)


def test_so_many_of_a_strange_measure_are_no_amount() -> None:
    answer = say("used 3 glorps of lentils")
    assert answer.reading.foods == ("lentil",)
    assert not answer.reading.amounts
    assert not answer.changed


def test_a_misspelt_measure_is_put_right() -> None:
    (said,) = say("used 2 cps of flour").reading.amounts
    assert said.amount.unit == "cup"


def test_what_is_pulled_from_the_freezer_does_not_come_in() -> None:
    assert say("pull 1 lb ground beef from the freezer").reading.act == "use-stock"
    assert say("got 2 lb of ham from the pantry").reading.act == "add-stock"


def test_a_dish_and_a_time_of_day_tell_of_nothing_made() -> None:
    answer = say("oat squares for breakfast")
    assert answer.reading.recipes == ("Oat squares with walnuts",)
    assert not answer.changed


def test_what_was_left_out_of_a_dish_is_not_taken() -> None:
    answer = say("made the pancakes without the butter, froze 2 portions")
    assert answer.reading.without == ("butter",)
    assert "butter" not in [one["food"] for one in answer.reply["taken"]]
    assert answer.reply["servings"] != 2


def test_a_rule_names_what_is_used_first() -> None:
    answer = say("use margarine for butter from now on")
    assert "margarine does for butter" in str(answer.blocks)


def test_a_thing_no_table_knows_is_not_everything() -> None:
    for said in ("how many zorkles do we have", "when is zorkle in season"):
        answer = say(said)
        assert not answer.understood
        assert "zorkle" in str(answer.blocks)


def test_add_may_mean_the_shelf_or_the_list() -> None:
    assert not say("add milk").understood
    assert say("add flour to the list", "add milk").reading.act == "shopping"


def test_a_whole_question_takes_nothing_over() -> None:
    assert say("how much flour do we have", "what's in the fridge").reading.foods == ()
    meals = say("how much flour do we have", "what can we make that Wren can eat")
    assert meals.reading.foods == ()
    diets = say("is the potato soup gluten free", "what in the soup is not vegan").reading.diets
    assert diets == ("vegan",)

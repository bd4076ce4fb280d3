"""Changes told more of or put right: done once, as corrected, and never by a word in passing."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.conversation import Conversation
from helper.demo import demo_books
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot

TODAY = dt.date(2026, 11, 25)
EGGS = Lot(1, "egg", Amount(12), Amount(12), place="fridge", best_by=TODAY + dt.timedelta(9))
MILK = Lot(2, "milk", Amount(1, "gallon"), Amount(1, "gallon"), place="fridge")


@pytest.fixture
def talk() -> Conversation:
    stock = {"stock": [EGGS, MILK]}
    return Conversation(Household.scratch(stock, today=lambda: TODAY), TODAY)


def left(talk: Conversation, food: str) -> list[str]:
    return [str(lot.left) for lot in talk.house.lots if lot.food == food]


@pytest.mark.parametrize(
    "correction", ["sorry, 2 lb", "no, 2 lb", "I meant 2 lb", "2 lb actually", "make it 2"]
)
def test_a_corrected_purchase_is_put_away_once(talk: Conversation, correction: str) -> None:
    talk.say("bought 3 lb of carrots")
    answer = talk.say(correction)
    assert answer.changed
    assert left(talk, "carrot") == [str(Amount(2, "lb"))]


def test_details_told_later_belong_to_the_same_purchase(talk: Conversation) -> None:
    for said in ("bought 3 lb of carrots", "2.49", "best by december 20", "in the freezer"):
        assert talk.say(said).changed
    (lot,) = [lot for lot in talk.house.lots if lot.food == "carrot"]
    assert (lot.place, str(lot.price), lot.best_by) == ("freezer", "2.49", dt.date(2026, 12, 20))


def test_a_further_thing_is_done_beside_it(talk: Conversation) -> None:
    talk.say("used 2 eggs")
    talk.say("and a quart of milk")
    assert left(talk, "egg") == [str(Amount(10))]
    assert left(talk, "milk") == [str(Amount(0.75, "gallon"))]


def test_one_of_several_is_put_right_and_the_others_stay(talk: Conversation) -> None:
    talk.say("used 2 eggs and a quart of milk")
    talk.say("actually it was 3 eggs")
    assert left(talk, "egg") == [str(Amount(9))]
    assert left(talk, "milk") == [str(Amount(0.75, "gallon"))]


def test_which_of_several_is_not_guessed(talk: Conversation) -> None:
    talk.say("used 2 eggs and a quart of milk")
    assert not talk.say("sorry, 3").changed
    assert left(talk, "egg") == [str(Amount(10))]


def test_a_correction_that_cannot_be_done_takes_nothing_back(talk: Conversation) -> None:
    talk.say("used 2 eggs")
    answer = talk.say("no, 400")
    assert (answer.understood, answer.changed) == (False, False)
    assert left(talk, "egg") == [str(Amount(10))]


def test_undo_takes_back_what_was_corrected(talk: Conversation) -> None:
    talk.say("bought 3 lb of carrots")
    talk.say("sorry, 2 lb")
    assert talk.say("undo that").changed
    assert left(talk, "carrot") == []


def test_a_dish_is_not_cooked_twice_for_being_told_more_of() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    talk.say("made the corn bread yesterday")
    before = talk.house.books.version
    assert talk.say("for 4").changed
    cooked = [one for one in talk.house.books.events(limit=3) if one.act == "cooked"]
    undone = [one for one in talk.house.books.events(limit=3) if one.act == "undo"]
    assert [one.meta["undoes"] for one in undone] == [before]
    assert len(cooked) == 2


def test_so_many_of_them_are_not_all_of_them(talk: Conversation) -> None:
    talk.say("how many eggs do we have")
    talk.say("used 2 of them")
    assert left(talk, "egg") == [str(Amount(10))]


def test_a_count_told_of_what_was_asked_for(talk: Conversation) -> None:
    talk.say("how many eggs do we have")
    assert talk.say("only 5 left").changed
    assert left(talk, "egg") == [str(Amount(5))]
    assert [lot.food for lot in talk.house.lots] == ["egg", "milk"]


def test_what_is_told_of_it_belongs_to_what_was_done(talk: Conversation) -> None:
    for said in ("bought 3 lb of carrots", "they're in the freezer", "it was 3.49"):
        assert talk.say(said).changed
    (lot,) = [lot for lot in talk.house.lots if lot.food == "carrot"]
    assert (lot.place, str(lot.price)) == ("freezer", "3.49")


def test_so_many_more_come_on_top(talk: Conversation) -> None:
    talk.say("used 2 eggs")
    talk.say("3 more")
    assert left(talk, "egg") == [str(Amount(7))]


def test_what_was_meant_for_another_is_not_told_of_the_first() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    before = talk.house.person("Idris")
    talk.say("Idris can't have eggs")
    answer = talk.say("sorry, Marisol")
    assert answer.changed
    assert answer.reading.people == ("Marisol",)
    assert talk.house.person("Idris") == before


def test_a_food_put_right_is_not_avoided_beside_the_wrong_one() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    talk.say("Idris can't have eggs")
    answer = talk.say("no, milk")
    assert answer.changed
    assert answer.reading.without == ("milk",)


CHANGES = (
    "used 2 eggs",
    "bought 3 lb of carrots for 2.50",
    "made the corn bread yesterday",
    "add flour to the list",
    "Idris can't have nuts",
    "threw out the spinach",
    "I count 6 onions",
    "butter is 3.59 a pound at the market",
    "never use cilantro",
)
IN_PASSING = (
    "5", "milk", "ok", "thanks", "no", "carrots", "what", "tomorrow", "vegan", "Idris", "and eggs?",
    "gluten free", "number 2", "the second one", "cheaper", "why", "what about milk", "for 8?",
    "in the freezer?", "are you sure", "never mind", "lol", "a hundred", "the pea one", "friday?",
    "no thanks", "half", "enough", "pick one", "all of it", "is that right?",
    "what's in the fridge", "never mind, what's in the fridge", "instead of the beef",
    "nothing fried", "3 more?", "with the ham?",
)  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_nothing_is_changed_in_passing(change: str) -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    assert talk.say(change).changed
    for said in IN_PASSING:
        version = talk.house.books.version
        answer = talk.say(said)
        assert not answer.changed, said
        assert talk.house.books.version == version

"""Open questions answered: the request is carried out as if it had been said whole."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from helper.acts import costs, counting, shelf
from helper.acts.filling import filled
from helper.acts.house import House
from helper.answers import Answer
from helper.household.books import Household
from helper.household.records import Wanted
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.reading.reading import Reading, Said

TODAY = dt.date(2026, 11, 25)
DOING = {
    "add-stock": shelf.add_stock,
    "use-stock": shelf.use_stock,
    "keep-stocked": counting.keep_stocked,
    "record-price": costs.record_price,
}


def house() -> House:
    lots = [
        Lot(1, "zorgle", Amount(1, "lb"), Amount(1, "lb"), price=Decimal(8)),
        Lot(2, "butter", Amount(1, "lb"), Amount(1, "lb"), price=Decimal(4), place="fridge"),
    ]
    return House(Household.scratch({"stock": lots}, today=lambda: TODAY), TODAY)


def talked(here: House, reading: Reading, *answers: str) -> Answer:
    """The request, then each answer given to the question that came back."""
    assert reading.act is not None
    answer = DOING[reading.act](reading, here)
    for words in answers:
        assert answer.question is not None, answer.reply
        whole = filled(answer.reading, words, here.foods)
        assert whole is not None, words
        answer = DOING[reading.act](whole, here)
    return answer


def test_the_size_of_a_jar() -> None:
    reading = Reading(
        "got 3 jars of gloop for 9",
        "add-stock",
        money=Decimal(9),
        amounts=(Said(Amount(3, "jar"), None),),
    )
    answer = talked(house(), reading, "8 oz")
    assert answer.reply["lots"][0]["amount"] == 24
    assert answer.reply["spent"] == "9.00"


def test_the_weight_of_a_cup_is_used_and_remembered() -> None:
    here = house()
    reading = Reading(
        "used 1 cup zorgle",
        "use-stock",
        foods=("zorgle",),
        amounts=(Said(Amount(1, "cup"), "zorgle"),),
    )
    answer = talked(here, reading, "it weighs about 4 oz")
    assert answer.reply["taken"][0]["cost"] == "2.00"
    assert here.measures.grams("zorgle", Amount(1, "cup")) is not None
    assert DOING["use-stock"](reading, here).changed  # not asked a second time


@pytest.mark.parametrize(
    ("words", "cost"),
    [
        ("all of it", "4.00"),
        ("half of it", "2.00"),
        ("4 oz", "1.00"),
        ("about 1/2 lb of butter", "2.00"),
    ],
)
def test_how_much_it_was(words: str, cost: str) -> None:
    reading = Reading("used the butter", "use-stock", foods=("butter",), fate="eaten")
    assert talked(house(), reading, words).reply["cost"] == cost


def test_how_much_there_should_always_be() -> None:
    reading = Reading("always keep butter", "keep-stocked", foods=("butter",))
    assert talked(house(), reading, "2 lb").reply["level"] == {"amount": 2, "unit": "lb"}


def test_for_how_much_a_price_was() -> None:
    reading = Reading("gloop is 3", "record-price", foods=("gloop",), money=Decimal(3))
    reply = talked(house(), reading, "8 oz").reply
    assert (reply["amount"], reply["unit"], reply["price"]) == (8, "oz", "3.00")


@pytest.mark.parametrize("words", ["what's for dinner", "used 2 eggs and a can of corn", "", "no"])
def test_a_new_request_is_no_answer(words: str) -> None:
    here = house()
    reading = Reading("used the butter", "use-stock", foods=("butter",), fate="eaten")
    asked = shelf.use_stock(reading, here)
    assert filled(asked.reading, words, here.foods) is None


def test_what_comes_home_is_ticked_off_the_list() -> None:
    lists = {"shopping": [Wanted(1, "butter"), Wanted(2, "egg")]}
    here = House(Household.scratch(lists, today=lambda: TODAY), TODAY)
    shelf.add_stock(Reading("got butter", amounts=(Said(Amount(1, "lb"), "butter"),)), here)
    assert [one.ticked for one in here.books.shopping()] == [True, False]

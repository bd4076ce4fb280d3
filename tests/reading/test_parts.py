"""Several requests in one sentence, and sentences that only look like several."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.conversation import Conversation
from helper.demo import demo_books
from helper.reading.parts import parts
from helper.reading.reading import Reading

TODAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def talk() -> Conversation:
    return Conversation(demo_books(TODAY), TODAY)


def read(talk: Conversation, said: str) -> list[Reading]:
    return parts(said, talk.reader, TODAY, talk.house.context)


@pytest.mark.parametrize(
    ("said", "acts"),
    [
        ("got two cans of salmon, what can I make with them?", ["add-stock", "find-meals"]),
        ("we ate the last of the eggs, put a dozen on the list", ["use-stock", "shopping"]),
        ("Wren has a nut allergy, can she have the pancakes?", ["set-person", "safe-for"]),
        ("plan four dinners and put what's missing on the list", ["menu", "shopping"]),
        ("used a pound of ground beef and we're down to one", ["use-stock"]),
        ("got 3 lb of flour, 2 lb of sugar and 1 lb of butter", ["add-stock"]),
        ("does worcestershire sauce have fish in it? Wren is coming.", ["safe-for"]),
    ],
)
def test_as_many_requests_as_are_meant(talk: Conversation, said: str, acts: list[str]) -> None:
    assert [one.act for one in read(talk, said)] == acts


def test_the_second_request_knows_what_the_first_was_about(talk: Conversation) -> None:
    _, wanted = read(talk, "we ate the last of the eggs, put a dozen on the list")
    assert wanted.foods == ("egg",)
    assert wanted.amounts[0].amount.number == 12


def test_who_comes_is_asked_for(talk: Conversation) -> None:
    (asked,) = read(talk, "does worcestershire sauce have fish in it? Wren is coming.")
    assert asked.people == ("Wren",)


def test_what_is_left_is_not_taken(talk: Conversation) -> None:
    (used,) = read(talk, "used a pound of ground beef and we're down to one")
    assert [one.amount.unit for one in used.amounts] == ["lb"]


def test_what_comes_in_instead_must_suit_whom_the_dish_was_asked_for() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    talk.say("can Leocadia have the banana bread")
    for said in ("what could I use instead of egg", "make it for her"):
        answer = talk.say(said)
        assert answer.reading.people == ("Leocadia",)
        used = [one["food"] for swap in answer.reply["swaps"] for one in swap["use"]]
        assert used
        assert not any("egg" in food for food in used)

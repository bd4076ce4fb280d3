"""Food that changes its place: nothing is used, nothing comes in, no money moves."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot

TODAY = dt.date(2026, 11, 25)
BEEF = Lot(
    1, "ground beef", Amount(2, "lb"), Amount(1, "lb"), 2, "package", Decimal("3.69"),
    "freezer", TODAY, dt.date(2027, 2, 1),
)  # fmt: skip


@pytest.fixture
def talk() -> Conversation:
    return Conversation(Household.scratch({"stock": [BEEF]}, today=lambda: TODAY), TODAY)


def places(talk: Conversation) -> dict[str, float]:
    return {lot.place: lot.left.number for lot in talk.house.lots}


def spent(talk: Conversation) -> object:
    return talk.say("what did we spend this month").reply["spent"]


def test_a_part_is_moved_and_keeps_its_price(talk: Conversation) -> None:
    before = spent(talk)
    answer = talk.say("move 1 lb ground beef from the freezer to the fridge")
    assert answer.changed
    assert places(talk) == {"freezer": 1, "fridge": 1}
    assert {lot.price for lot in talk.house.lots} == {Decimal("3.69")}
    assert spent(talk) == before
    talk.say("undo")
    assert places(talk) == {"freezer": 2}


def test_out_of_the_freezer_it_is_to_be_eaten_soon(talk: Conversation) -> None:
    talk.say("moved the ground beef from the freezer to the fridge")
    (lot,) = talk.house.lots
    assert lot.place == "fridge"
    assert lot.best_by is not None
    assert lot.best_by < TODAY + dt.timedelta(days=5)


def test_more_than_there_is_cannot_be_moved(talk: Conversation) -> None:
    assert not talk.say("move 5 lb ground beef from the freezer to the fridge").changed
    assert places(talk) == {"freezer": 2}


def test_one_of_two_just_put_away_is_somewhere_else(talk: Conversation) -> None:
    talk.say("got 2 packages of ground beef, 1 lb each, in the fridge")
    assert talk.say("one in the freezer").changed
    assert sorted((lot.place, lot.left.number) for lot in talk.house.lots) == [
        ("freezer", 1), ("freezer", 2), ("fridge", 1),
    ]  # fmt: skip

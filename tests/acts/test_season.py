"""What is in season, asked in words."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.lore import season
from helper.conversation import Conversation
from helper.household.books import Household
from helper.reading.reading import Reading
from rules.tables import rows

TODAY = dt.date(2026, 11, 25)
BOOK = list(rows("books/seasons.csv"))


@pytest.fixture(scope="module")
def house() -> House:
    return House(Household.scratch({}), TODAY)


@pytest.mark.parametrize("row", BOOK, ids=[f"{row['food']}-{row['region']}" for row in BOOK])
def test_every_row_of_the_book_can_be_asked_for(house: House, row: dict[str, str]) -> None:
    said = f"when is {row['food']} in season in {row['region']}"
    reply = season(Reading(said, "season", foods=(row["food"],)), house).reply
    months = (
        list(range(1, 13))
        if row["months"] == "all"
        else [int(one) for one in row["months"].split(";")]
    )
    assert reply["months"] == months
    assert reply["seasons"][0]["source"] == row["source"]


def test_what_is_in_season_now(house: House) -> None:
    reply = season(Reading("what's in season now", "season"), house).reply
    assert reply["months"] == [11]
    assert {"sweet potato", "cranberry", "cabbage"} <= set(reply["foods"])
    assert "asparagus" not in reply["foods"]


def test_a_season_of_the_year_is_its_three_months(house: House) -> None:
    reply = season(Reading("what is in season in spring", "season"), house).reply
    assert reply["months"] == [3, 4, 5]
    assert "asparagus" in reply["foods"]


def test_a_kind_of_food_is_a_filter(house: House) -> None:
    reading = Reading(
        "what berries are in season in june", "season", foods=("berry",), date=dt.date(2027, 6, 30)
    )
    foods = season(reading, house).reply["foods"]
    assert "strawberry" in foods
    assert "zucchini" not in foods


@pytest.mark.parametrize(
    ("said", "months"),
    [("when are peaches in season", [6, 7, 8]), ("is asparagus in season", [3, 4, 5])],
)
def test_months_of_a_food(said: str, months: list[int]) -> None:
    answer = Conversation(Household.scratch({}), TODAY).say(said)
    assert answer.reply["months"] == months


def test_what_the_book_does_not_tell_is_said_so(house: House) -> None:
    answer = season(Reading("when is salt in season", "season", foods=("salt",)), house)
    assert answer.reply["foods"] == []
    assert "does not tell" in answer.blocks[0].text  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("said", "month"),
    [("whats in season in january", 1), ("what is in season in may", 5), ("what may i buy", 11)],
)
def test_a_month_named_in_words(house: House, said: str, month: int) -> None:
    assert season(Reading(said, "season"), house).reply["months"] == [month]

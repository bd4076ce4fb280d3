"""Amounts from one measure into another, asked in words."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.lore import convert
from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.reading.reading import Evidence, Reading, Said
from rules.tables import rows

TODAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def house() -> House:
    return House(Household.scratch({}), TODAY)


@pytest.fixture(scope="module")
def chat() -> Conversation:
    return Conversation(Household.scratch({}), TODAY)


@pytest.mark.parametrize(
    ("said", "amount", "unit", "food"),
    [
        # a cup of flour weighs 125 g (USDA SR28 20081): 5 x 453.592 / 125
        ("how many cups in 5 lb flour", 18.14, "cup", "all-purpose flour"),
        ("how much does a cup of flour weigh", 125, "g", "all-purpose flour"),
        ("2 sticks of butter in grams", 226, "g", "butter"),
        ("how many eggs in a cup", 4.86, None, "egg"),
        ("how much does an egg weigh", 50, "g", "egg"),
        ("100g rice in cups", 0.5405, "cup", "rice"),
        ("how many ounces in a quart", 32, "fl oz", None),
        ("how many ounces in a pound", 16, "oz", None),
        ("how many teaspoons in a tablespoon", 3, "tsp", None),
        ("how many tsp in 1/4 cup", 12, "tsp", None),
        ("how many tablespoons in a stick of butter", 8, "tbsp", "butter"),
        ("3 sticks of butter in cups", 1.5, "cup", "butter"),
        ("how much does a large egg weigh", 50, "g", "egg"),
        ("how many cups of cooked rice from 10 lb dry", 80, "cup", "cooked rice"),
        ("how many cups of cooked beans in a can", 1.5, "cup", "cooked bean"),
    ],
)
def test_an_amount_is_turned_into_the_unit_asked_for(
    chat: Conversation, said: str, amount: float, unit: str | None, food: str | None
) -> None:
    answer = chat.say(said)
    assert answer.understood
    assert answer.reply["amount"] == pytest.approx(amount, rel=1e-3)
    assert (answer.reply["unit"], answer.reply["food"]) == (unit, food)
    assert answer.reply["basis"]


@pytest.mark.parametrize(
    ("said", "degrees", "scale"),
    [
        ("what is 350 f in celsius", 177, "C"),
        ("convert 180 c to fahrenheit", 356, "F"),
        ("what is gas mark 4 in fahrenheit", 350, "F"),
        ("what is 375 f in gas mark", 5, "gas mark"),
        ("180 celsius as a gas mark", 4, "gas mark"),
    ],
)
@pytest.mark.parametrize("before", [(), ("butter",)])
def test_temperatures(
    house: House, said: str, degrees: int, scale: str, before: tuple[str, ...]
) -> None:
    """What was talked of before is not what has a temperature."""
    reading = Reading(said, "convert", foods=before, evidence=(Evidence(said, "act", "convert"),))
    answer = convert(reading, house)
    assert (answer.reply["amount"], answer.reply["unit"]) == (degrees, scale)


def test_several_measures_where_none_is_named(house: House) -> None:
    said = Said(Amount(1, "cup"), "all-purpose flour")
    reading = Reading("a cup of flour", "convert", foods=("all-purpose flour",), amounts=(said,))
    reply = convert(reading, house).reply
    assert reply["unit"] == "g"
    assert [one["unit"] for one in reply["more"]] == ["oz"]


def test_how_much_dry_for_so_much_cooked(house: House) -> None:
    said = Said(Amount(6, "cup"), "navy bean")
    words = "how many pounds of dry navy beans for 6 cups cooked"
    answer = convert(Reading(words, "convert", foods=("navy bean",), amounts=(said,)), house)
    assert (answer.reply["food"], answer.reply["unit"]) == ("navy bean", "lb")
    assert answer.reply["amount"] == pytest.approx(6 / 5.97, rel=1e-3)


def test_what_is_bought_with_its_peel_is_trimmed(house: House) -> None:
    said = Said(Amount(2, "lb"), "onion")
    reading = Reading(
        "how many cups chopped in 2 lb onions", "convert", foods=("onion",), amounts=(said,)
    )
    answer = convert(reading, house)
    # 160 g a cup chopped, 10% thrown away (USDA SR28 11282)
    assert answer.reply["amount"] == pytest.approx(2 * 453.592 * 0.9 / 160, rel=1e-3)
    assert any("thrown away" in line for line in answer.reply["basis"])


@pytest.mark.parametrize("amount", [0, -3, 1e12])
def test_senseless_amounts_are_refused(house: House, amount: float) -> None:
    said = Said(Amount(amount, "lb"), "all-purpose flour")
    reading = Reading("cups", "convert", foods=("all-purpose flour",), amounts=(said,))
    assert not convert(reading, house).understood


def test_without_an_amount_it_asks(house: House) -> None:
    answer = convert(Reading("flour in grams", "convert", foods=("all-purpose flour",)), house)
    assert answer.question is not None


def test_what_is_not_known_is_asked_and_never_guessed(house: House) -> None:
    said = Said(Amount(2, "cup"), "grandmother's tonic")
    reading = Reading(
        "2 cups of it in grams", "convert", foods=("grandmother's tonic",), amounts=(said,)
    )
    answer = convert(reading, house)
    assert not answer.understood
    assert "grandmother's tonic" in answer.reply["question"]


HEATS = list(rows("books/temperatures.csv"))


@pytest.mark.parametrize("row", HEATS, ids=[row["food"] for row in HEATS])
def test_every_temperature_of_the_book_can_be_asked_for(house: House, row: dict[str, str]) -> None:
    name = row["food"]
    reading = Reading(
        f"what temperature for {name}", "convert", foods=(name,) if name in house.foods else ()
    )
    reply = convert(reading, house).reply
    assert (reply["amount"], reply["unit"]) == (float(row["temp_f"]), "F")
    assert reply["basis"] == [row["source"]]

"""How long something keeps, asked in words."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.lore import keeps
from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.recipes import Recipe
from helper.reading.reading import Reading
from rules.tables import rows

TODAY = dt.date(2026, 11, 25)  # a Wednesday
BOOK = list(rows("books/keeping.csv"))


@pytest.fixture(scope="module")
def house() -> House:
    recipes = [Recipe(1, "Bean and ham soup"), Recipe(2, "Sunday surprise")]
    return House(Household.scratch({"recipes": recipes}), TODAY)


@pytest.fixture(scope="module")
def chat(house: House) -> Conversation:
    return Conversation(house.books, TODAY)


@pytest.mark.parametrize("row", BOOK, ids=[f"{r['food']}-{r['state']}-{r['place']}" for r in BOOK])
def test_every_row_of_the_book_can_be_asked_for(house: House, row: dict[str, str]) -> None:
    said = f"how long does {row['food']} keep {row['state']}"
    reading = Reading(said, "keeps", foods=(row["food"],), place=row["place"])
    times = keeps(reading, house).reply["times"]
    wanted = {
        "place": row["place"],
        "state": row["state"],
        "days_min": int(row["days_min"]),
        "days_max": int(row["days_max"]),
        "kind": row["basis_kind"],
        "source": row["source"],
    }
    assert any({name: one[name] for name in wanted} == wanted for one in times)
    assert times[0]["place"] == row["place"]


@pytest.mark.parametrize(
    ("said", "days_min", "days_max", "place"),
    [
        ("how long does cooked rice keep in the fridge", 3, 4, "fridge"),
        ("how long is opened milk good", 5, 7, "fridge"),
        ("how long does leftover soup keep in the freezer", 61, 91, "freezer"),
        ("how long does the bean and ham soup keep", 3, 4, "fridge"),
        ("how long does the sunday surprise keep", 3, 4, "fridge"),
    ],
)
def test_the_first_time_told(
    chat: Conversation, said: str, days_min: int, days_max: int, place: str
) -> None:
    first = chat.say(said).reply["times"][0]
    assert (first["days_min"], first["days_max"], first["place"]) == (days_min, days_max, place)


@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        ("is the milk still good after 4 days", "yes"),
        ("is the milk still good after 6 days", "soon"),
        ("is the milk still good after 9 days", "no"),
        ("can i still eat the chili from sunday", "yes"),  # three days ago
        ("is the lettuce from two weeks ago still good", "check"),
        ("can i freeze mayonnaise", None),
    ],
)
def test_still_good_or_not(chat: Conversation, said: str, verdict: str | None) -> None:
    assert chat.say(said).reply["verdict"] == verdict


def test_no_says_to_throw_it_out_and_not_to_trust_the_nose(chat: Conversation) -> None:
    text = " ".join(
        block.text
        for block in chat.say("is the milk still good after 9 days").blocks
        if hasattr(block, "text")
    )
    assert "Throw it out" in text
    assert "In doubt" in text


def test_what_should_not_be_frozen_is_said_so(house: House) -> None:
    answer = keeps(Reading("can i freeze sour cream", "keeps", foods=("sour cream",)), house)
    assert answer.reply["times"][0]["days_max"] == 0
    assert "do not freeze" in answer.blocks[0].text  # type: ignore[union-attr]


def test_the_lot_in_the_house_tells_how_long_it_has_stood() -> None:
    milk = Lot(
        1,
        "milk",
        Amount(1, "quart"),
        Amount(1, "gallon"),
        place="fridge",
        opened=TODAY - dt.timedelta(days=10),
    )
    house = House(Household.scratch({"stock": [milk]}), TODAY)
    answer = keeps(Reading("is the milk still good", "keeps", foods=("milk",)), house)
    assert (answer.reply["days"], answer.reply["verdict"]) == (10, "no")


def test_what_the_book_does_not_know_goes_by_its_label(house: House) -> None:
    answer = keeps(Reading("how long does the tonic keep", "keeps", foods=("tonic",)), house)
    assert answer.reply["times"] == []
    assert "label" in answer.blocks[0].text  # type: ignore[union-attr]


def test_nothing_named_is_asked_back(house: House) -> None:
    assert keeps(Reading("how long does it keep", "keeps"), house).question is not None


def test_leftovers_carry_their_caution(house: House) -> None:
    reading = Reading("how long does cooked rice keep", "keeps", foods=("cooked rice",))
    assert "rice-cooling" in {one.id for one in keeps(reading, house).cautions}

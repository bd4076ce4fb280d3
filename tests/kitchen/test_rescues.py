"""The book of rescues: every phrase of every row finds it."""

from __future__ import annotations

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.rescues import Rescues
from rules.tables import rows

BOOK = list(rows("books/rescues.csv"))
PHRASES = [(row, phrase) for row in BOOK for phrase in row["words"].split(";")]


@pytest.fixture(scope="module")
def rescues(foods: Foods) -> Rescues:
    return Rescues(foods)


@pytest.mark.parametrize(
    ("row", "phrase"), PHRASES, ids=[f"{row['becomes']}: {phrase}" for row, phrase in PHRASES]
)
def test_every_phrase_finds_its_row(
    foods: Foods, rescues: Rescues, row: dict[str, str], phrase: str
) -> None:
    hit = foods.find(phrase)
    found = rescues.ideas([hit.food] if hit else [], f"what can I do with {phrase}")
    assert (row["becomes"], row["how"]) in {(idea.becomes, idea.how) for idea in found}


@pytest.mark.parametrize("row", list(rows("books/rescue_words.csv")), ids=lambda row: row["state"])
def test_every_trouble_is_in_the_book(row: dict[str, str]) -> None:
    assert row["state"] in {one["state"] for one in BOOK}


@pytest.mark.parametrize(
    ("food", "said", "becomes"),
    [
        ("gravy", "the gravy is too salty", "milder gravy"),
        ("gravy", "there are lumps in my gravy", "smooth gravy"),
        ("bread", "the bread didn't rise", "egg casserole"),
        ("rice", "my rice came out gummy", "drier rice"),
        ("cooked rice", "leftover rice", "fried rice, pudding or croquettes"),
        ("meatloaf", "my meatloaf fell apart", "meat sauce or taco filling"),
    ],
)
def test_the_trouble_told_comes_first(rescues: Rescues, food: str, said: str, becomes: str) -> None:
    assert rescues.ideas([food], said)[0].becomes == becomes


def test_troubles_nobody_told_of_keep_quiet(rescues: Rescues) -> None:
    states = {idea.state for idea in rescues.ideas(["gravy"], "what can I do with gravy")}
    assert not states & {"lumpy", "too thin", "over-salted"}


def test_what_holds_for_any_dish_holds_for_this_one(rescues: Rescues) -> None:
    found = rescues.ideas(["lasagna"], "the lasagna is too salty", dish=True)
    assert [idea.state for idea in found] == ["over-salted"]

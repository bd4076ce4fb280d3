from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.household.books import Household
from helper.kitchen.people import Person
from helper.reading.introductions import introductions

TODAY = dt.date(2026, 11, 25)
HOUSE = House(Household.scratch({"people": [Person(1, "Rose")]}), TODAY)


def told(said: str) -> dict[str, set[str]]:
    heard = introductions(said, HOUSE.names, TODAY)
    out: dict[str, set[str]] = {name: set() for name in heard.names}
    for one in heard.told:
        for name in one.people:
            out[name] |= {*one.diets, *one.without}
    return out


@pytest.mark.parametrize(
    ("said", "people"),
    [
        ("Ada", {"Ada": set()}),
        ("ada and ben", {"Ada": set(), "Ben": set()}),
        (
            "Ada, Ben who can't have milk, and my daughter Cy, allergic to peanuts.",
            {"Ada": set(), "Ben": {"milk"}, "Cy": {"peanut"}},
        ),
        (
            "Tobin is celiac; Odalys is lactose intolerant and Nico eats everything",
            {"Tobin": {"gluten-free"}, "Odalys": {"low-lactose"}, "Nico": set()},
        ),
        ("Ada doesn't eat pork or shellfish", {"Ada": {"pork", "shellfish"}}),
        ("Ada Marie can't have eggs", {"Ada Marie": {"egg"}}),
        ("Rose and Ben, Ben hates cilantro", {"Rose": set(), "Ben": {"cilantro"}}),
        ("my son is allergic to nuts", {"Son": {"nut-free"}}),
        ("Ada, my son can't have nuts", {"Ada": set(), "Son": {"nut"}}),
        (
            "me and my wife Ada, our daughter is celiac",
            {"Me": set(), "Ada": set(), "Daughter": {"gluten-free"}},
        ),
    ],
)
def test_names_and_what_each_keeps_away_from(said: str, people: dict[str, set[str]]) -> None:
    assert told(said) == people


@pytest.mark.parametrize(
    "said", ["", "...", "what can I make with beans and ham", "got 2 lb of butter for 7.00", "12"]
)
def test_requests_are_no_introductions(said: str) -> None:
    assert told(said) == {}

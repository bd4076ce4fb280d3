"""Who is at home: away and back, visitors on their days, and what menus make of it."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.showing.text import plain_text

WEDNESDAY = dt.date(2026, 11, 25)
DISHES = ("Onion stew", "Carrot stew", "Cheese stew", "Bean stew")
FOODS = ("onions", "carrots", "cheddar cheese", "navy beans")


def talk() -> Conversation:
    foods = Foods()
    texts = [
        f"{title}\nServes 4\n\n1 lb rice\n4 oz {food}\n\nBoil all of it for 20 minutes."
        for title, food in zip(DISHES, FOODS, strict=True)
    ]
    recipes = [recipe_from_text(text, foods) for text in texts]
    names = ("rice", "onion", "carrot", "cheddar cheese", "navy bean")
    size = Amount(20, "lb")
    lots = [
        Lot(at, food, size, size, price=Decimal(20), bought=WEDNESDAY)
        for at, food in enumerate(names, 1)
    ]
    people = [
        Person(1, "Ada"),
        Person(2, "Bo", avoids=("dairy-free",)),
        Person(3, "Cleo", portion=0.5),
        Person(4, "Dov", home=False),
    ]
    tables: dict[str, Any] = {
        "recipes": [replace(one, id=at) for at, one in enumerate(recipes, 1) if one],
        "stock": lots,
        "people": people,
    }
    return Conversation(Household.scratch(tables, today=lambda: WEDNESDAY), WEDNESDAY)


def at_table(here: Conversation, offset: int) -> str:
    day = WEDNESDAY + dt.timedelta(days=offset)
    return "".join(one.name[0] for one in here.house.at_table(day))


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("Bo is away till friday", "AC AC ABC ABC ABC"),
        ("Bo is away through friday", "AC AC AC ABC ABC"),
        ("Bo is away from friday to sunday", "ABC ABC AC AC AC"),
        ("Bo is away for three days", "AC AC AC ABC ABC"),
        ("Bo is away tomorrow", "ABC AC ABC ABC ABC"),
        ("Bo is away this week", "AC AC AC AC AC"),
        ("Bo and Cleo are away tonight", "A ABC ABC ABC ABC"),
        ("Dov visits on sunday", "ABC ABC ABC ABC ABCD"),
        ("Dov is coming to dinner on friday", "ABC ABC ABCD ABC ABC"),
        ("Dov visits for the weekend", "ABC ABC ABC ABCD ABCD"),
    ],
)
def test_days_away_and_days_here(said: str, days: str) -> None:
    here = talk()
    answer = here.say(said)
    assert answer.reading.act == "set-person"
    assert answer.changed
    assert " ".join(at_table(here, n) for n in range(5)) == days
    assert here.say("undo").changed
    assert " ".join(at_table(here, n) for n in range(5)) == "ABC ABC ABC ABC ABC"


def test_whoever_is_back_eats_again() -> None:
    here = talk()
    here.say("Bo is away")
    assert at_table(here, 30) == "AC"
    here.say("Bo is back on friday")
    assert [at_table(here, n) for n in (0, 1, 2)] == ["AC", "AC", "ABC"]
    here.say("Bo is back")
    assert at_table(here, 0) == "ABC"


def test_a_visitor_nobody_knows_is_counted_and_asked_about() -> None:
    here = talk()
    answer = here.say("mum visits on sunday")
    assert answer.changed
    assert "keeps away from" in plain_text(answer)
    assert at_table(here, 4) == "ABCM"
    assert at_table(here, 5) == "ABC"


def test_nobody_less_for_a_stranger_who_is_away() -> None:
    here = talk()
    answer = here.say("Tove is away till friday")
    assert not answer.understood
    assert not answer.changed
    assert at_table(here, 0) == "ABC"


def test_who_is_at_home_is_told() -> None:
    here = talk()
    here.say("Cleo is away tonight")
    answer = here.say("who is at home")
    assert answer.reply["at_table"] == ["Ada", "Bo"]
    assert plain_text(answer).startswith("2 eat here today, 2 portions.")
    assert not answer.changed


def test_a_menu_feeds_whoever_is_there_each_day_and_keeps_their_diets() -> None:
    here = talk()
    here.say("Bo is away till friday")
    here.say("Dov visits on saturday")
    answer = here.say("plan dinners for 4 days")
    served = {
        day["date"]: (meal["recipe"], meal["servings"])
        for day in answer.reply["days"]
        for meal in day["meals"]
    }
    assert [servings for _, servings in served.values()] == [1.5, 1.5, 2.5, 3.5]
    dishes = [recipe for recipe, _ in served.values()]
    assert len(set(dishes)) == 4, "no dish twice though the table changes"
    assert "Cheese stew" in dishes[:2], "only while Bo is away"
    assert answer.reply["optimal"]
    portions = Decimal("1.5") + Decimal("1.5") + Decimal("2.5") + Decimal("3.5")
    each = Decimal(str(answer.reply["eaten_cost"])) / portions
    assert abs(each - Decimal(str(answer.reply["cost_per_head_day"]))) <= Decimal("0.005")


def test_changing_one_day_leaves_the_others_their_servings() -> None:
    here = talk()
    here.say("Bo is away till friday")
    here.say("plan dinners for 3 days")
    answer = here.say("swap friday")
    assert [day["meals"][0]["servings"] for day in answer.reply["days"]] == [1.5, 1.5, 2.5]


def test_days_with_nobody_at_home_are_left_out() -> None:
    here = talk()
    here.say("Ada, Bo and Cleo are away tomorrow")
    answer = here.say("plan dinners for 3 days")
    assert [day["date"][-2:] for day in answer.reply["days"]] == ["25", "27"]
    assert "Nobody is at home on Thu 26 Nov" in plain_text(answer)

"""What a thrifty cook says in turn, on the demo and on a house of six lots: told as it is."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest

from helper.conversation import Conversation
from helper.demo import demo_books
from helper.household.books import Household
from helper.household.taking_in import take_in
from helper.kitchen.foods import Foods
from helper.showing.text import plain_text

TODAY = dt.date(2026, 11, 25)
STOCK = """food,amount,unit,packages,package,price,place,bought,best_by,shop
navy beans,1,lb,2,bag,1.60,shelf,2026-11-20,2028-01-01,market
onions,3,lb,1,bag,2.40,shelf,2026-11-20,2026-12-20,market
carrots,2,lb,1,bag,1.80,fridge,2026-11-20,2026-12-20,market
rice,5,lb,1,bag,4.00,shelf,2026-11-20,2028-01-01,market
eggs,12,,1,carton,2.88,fridge,2026-10-22,2026-12-10,market
cod,1,lb,0,package,6.00,,2026-11-10,,fishmonger
"""
RECIPES = {
    "Bean soup": "1 lb navy beans\n1 onion",
    "Egg fried rice": "2 cups rice\n4 eggs\n2 carrots",
    "Cod and rice bake": "1 lb cod\n2 cups rice\n1 onion",
}


@pytest.fixture
def demo() -> Conversation:
    return Conversation(demo_books(TODAY), TODAY)


@pytest.fixture
def house(tmp_path: Path) -> Conversation:
    books = Household.scratch(today=lambda: TODAY)
    foods = Foods()
    files = {"stock.csv": STOCK, "people.csv": "name\nAda\nBo\n"}
    for title, lines in RECIPES.items():
        files[f"{title}.txt"] = f"{title}\nServes 4\n\n{lines}\n\nCook 30 minutes.\n"
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
        take_in(tmp_path / name, books, foods, TODAY)
    return Conversation(books, TODAY)


def dishes(answer: object) -> dict[str, str]:
    days = answer.reply["days"]  # type: ignore[attr-defined]
    return {day["date"]: day["meals"][0]["recipe"] for day in days}


# -- menus ---------------------------------------------------------------------------------------


def test_a_dish_said_to_be_without_is_not_put_on(demo: Conversation) -> None:
    demo.say("plan dinners for 3 days")
    demo.say("what's on the menu")
    answer = demo.say("swap thursday, without the chickpea curry")
    assert "Chickpea curry" not in dishes(answer).values()


def test_cheaper_said_after_a_menu_is_of_the_menu(demo: Conversation) -> None:
    demo.say("plan dinners for 3 days")
    answer = demo.say("cheaper")
    assert answer.reading.act == "menu"
    assert answer.reply["till_cost"] == answer.reply["cheapest_till"]


def test_a_dish_on_the_menu_is_moved_not_cooked_twice(house: Conversation) -> None:
    before = dishes(house.say("plan dinners for 3 days"))
    first, *_, last = before
    answer = house.say(f"put the {before[first]} on {dt.date.fromisoformat(last):%A}")
    after = dishes(answer)
    assert after[last] == before[first]
    assert after[first] == before[last]


def test_repeats_are_named_where_they_stand_in_the_way_of_a_budget(house: Conversation) -> None:
    answer = house.say("plan dinners for 3 days under $2")
    assert answer.reply["cheapest"] == "6.00"
    assert "twice" in answer.reply["in_the_way"]
    assert not answer.changed


def test_a_menu_and_the_list_made_from_it_come_to_the_same(demo: Conversation) -> None:
    demo.say("plan dinners for the week, fish on friday")
    for words in ("swap thursday", "put the lentil stew on monday", "skip saturday"):
        menu = demo.say(words)
        bought = demo.say("what's on the shopping list")
        assert menu.reply["till_cost"] == bought.reply["till_cost"], words


def test_no_dish_loses_the_food_it_is_named_for_while_others_will_do(demo: Conversation) -> None:
    answer = demo.say("plan dinners for 3 days")
    assert not {"Bean and ham soup", "Ham and pintos"} & set(dishes(answer).values())


def test_a_wish_for_a_day_changes_that_day_alone(demo: Conversation) -> None:
    before = dishes(demo.say("plan dinners for the week"))
    demo.say("what's on the shopping list")
    after = dishes(demo.say("fish on friday"))
    assert after["2026-11-27"] == "Tuna noodle bake"
    assert {day for day in before if before[day] != after[day]} == {"2026-11-27"}


def test_a_wish_that_is_kept_already_changes_nothing(demo: Conversation) -> None:
    demo.say("plan dinners for the week, nothing that needs the oven on tuesday")
    demo.say("what's on the shopping list")
    answer = demo.say("nothing that needs the oven on tuesday")
    assert not answer.changed
    assert "so it is already" in plain_text(answer)


def test_what_is_asked_for_by_name_comes_though_somebody_would_rather_not(
    demo: Conversation,
) -> None:
    answer = demo.say("plan supper for tomorrow for 8 with chicken")
    (meal,) = answer.reply["days"][0]["meals"]
    assert meal["recipe"] == "Chicken thighs roasted on potatoes"
    assert meal["verdict"] == "not for Saskia"
    assert not meal["swaps"]


def test_days_named_side_by_side_are_planned_and_no_others(demo: Conversation) -> None:
    answer = demo.say("plan dinners for saturday and sunday")
    assert list(dishes(answer)) == ["2026-11-28", "2026-11-29"]


def test_so_many_days_are_a_menu_of_their_own(demo: Conversation) -> None:
    demo.say("plan dinners for the week")
    demo.say("what's on the shopping list")
    assert len(dishes(demo.say("dinners for four days, nothing with tomato"))) == 4


def test_the_printed_menu_costs_what_the_menu_said(demo: Conversation) -> None:
    eaten = demo.say("plan dinners for 5 days, leftovers for lunch").reply["eaten_cost"]
    assert f"${eaten}" in demo.say("menu as text").reply["document"]


# -- the list --------------------------------------------------------------------------------


def test_the_list_is_told_by_shop_and_ticked_by_name(house: Conversation) -> None:
    house.say("add cod and eggs to the list")
    here = house.say("what's on the list for the fishmonger")
    assert [one["food"] for one in here.reply["to_buy"]] == ["cod"]
    assert here.reply["till_cost"] == "6.00"
    assert "fishmonger" in plain_text(house.say("shopping list by shop"))
    got = house.say("got the cod for 5.50")
    assert got.reply["spent"] == "5.50"
    assert [one["food"] for one in got.reply["to_buy"]] == ["egg"]


def test_what_has_no_known_price_is_not_put_away_for_nothing(house: Conversation) -> None:
    house.say("add 1 lb butter to the list")
    answer = house.say("got everything")
    assert "$0.00" not in plain_text(answer)
    assert "not known" in plain_text(answer)


def test_levels_are_shown_with_what_is_short(house: Conversation) -> None:
    house.say("always keep 5 lb of navy beans in the house")
    answer = house.say("what is under level")
    (level,) = answer.reply["levels"]
    assert level["short"] == {"amount": 3, "unit": "lb"}
    assert answer.reply["till_cost"] == "4.80"


# -- prices and the past -----------------------------------------------------------------------


def test_made_or_bought_at_a_price_said(demo: Conversation) -> None:
    demo.say("is it cheaper to make crackers or buy them at 3.80 a box")
    answer = demo.say("1")
    costs = {one["what"]: one["cost"] for one in answer.reply["options"]}
    assert costs["buying cracker"] == "3.80"
    assert answer.reply["cheapest"] == "making Home-made crackers"
    assert "would have to hold more than" in " ".join(plain_text(answer).split())


def test_a_package_whose_size_is_said_is_compared_by_weight(demo: Conversation) -> None:
    answer = demo.say("is it cheaper to make home-made crackers or buy a 16 oz box for 3.80")
    units = {one["what"]: (one["per_unit"], one["unit"]) for one in answer.reply["options"]}
    assert units["buying cracker"] == ("3.80", "lb")
    assert Decimal(units["making Home-made crackers"][0]) < 1


def test_a_bare_sum_is_judged_as_a_price(house: Conversation) -> None:
    assert "dearer than every price" in plain_text(house.say("is 7.50 a good price for cod"))
    assert not house.say("is 7.50 a good price for cod").changed


@pytest.mark.parametrize(
    ("said", "first", "last", "spent"),
    [
        ("what did we spend this month", "2026-11-01", "2026-11-25", "11.40"),
        ("what did we spend last month", "2026-10-01", "2026-10-31", "2.88"),
        ("what did we spend this week", "2026-11-23", "2026-11-25", "0.00"),
        ("what did we spend last week", "2026-11-16", "2026-11-22", "11.40"),
        ("how much did we spend in october", "2026-10-01", "2026-10-31", "2.88"),
        ("what did we spend in november", "2026-11-01", "2026-11-25", "11.40"),
    ],
)
def test_weeks_and_months_are_those_of_the_calendar(
    house: Conversation, said: str, first: str, last: str, spent: str
) -> None:
    reply = house.say(said).reply
    assert (reply["from"], reply["to"], reply["spent"]) == (first, last, spent)


def test_a_remark_is_no_meal(house: Conversation) -> None:
    house.say("made the egg fried rice yesterday")
    house.say("the kids loved the egg fried rice")
    answer = house.say("when did we last have egg fried rice")
    assert "last yesterday" in plain_text(answer)

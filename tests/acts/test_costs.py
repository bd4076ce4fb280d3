"""What things cost: dishes, amounts, prices seen, and which is cheaper."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from msgspec.structs import replace

from helper.acts import costs
from helper.acts.house import House
from helper.household.books import Household
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot, PriceSeen
from helper.reading.reading import Evidence, Reading, Said

TODAY = dt.date(2026, 11, 25)
SOUP = """Bean soup
Serves 4

1 lb dry navy beans
1/2 cup olive oil
8 cups water
salt to taste

Simmer 1 hour.
"""
STEW = SOUP.replace("Bean soup", "Bean stew").replace("1/2 cup", "1/4 cup")
LOAF = """White loaf
Makes 2 loaves

2 lb bread flour
1 tbsp salt

Bake at 375 F for 35 minutes.
"""


def seen(number: int, food: str, size: Amount, price: str, **more: object) -> PriceSeen:
    return PriceSeen(number, food, size, Decimal(price), **more)  # type: ignore[arg-type]


PRICES = (
    seen(1, "navy bean", Amount(1, "lb"), "1.60", package="bag", date=dt.date(2026, 9, 1)),
    seen(
        2,
        "navy bean",
        Amount(5, "lb"),
        "6.00",
        package="bag",
        date=dt.date(2026, 11, 1),
        shop="mill",
    ),
    seen(3, "canned navy bean", Amount(15.5, "oz"), "0.95", package="can"),
    seen(4, "olive oil", Amount(16, "fl oz"), "8.00", package="bottle"),
    seen(5, "bread flour", Amount(5, "lb"), "4.00", package="bag"),
    seen(6, "salt", Amount(26, "oz"), "0.70", package="box"),
    seen(7, "white bread", Amount(1, "lb"), "2.50", package="loaf"),
)


def house(*lots: Lot, prices: tuple[PriceSeen, ...] = PRICES, texts: tuple[str, ...] = ()) -> House:
    foods = Foods()
    read = [recipe_from_text(text, foods) for text in (SOUP, STEW, LOAF, *texts)]
    recipes = [replace(one, id=at) for at, one in enumerate(read, 1) if one is not None]
    tables = {"recipes": recipes, "prices": prices, "stock": lots}
    return House(Household.scratch(tables, today=lambda: TODAY), TODAY)


def cost(here: House, title: str = "Bean soup", **more: object) -> dict[str, object]:
    answer = costs.cost(Reading("cost", recipes=(title,), **more), here)  # type: ignore[arg-type]
    assert answer.understood
    assert not answer.changed
    return answer.reply


# -- dishes ------------------------------------------------------------------------------------


def test_a_dish_costs_its_lines_at_the_latest_prices() -> None:
    reply = cost(house())
    assert reply["total"] == "3.20"  # a pound of the five at 6.00, a quarter of the bottle
    assert reply["per_serving"] == "0.80"
    assert reply["till_cost"] == "9.60"  # the pound bag is the cheapest that will do
    assert [line["cost"] for line in reply["lines"]] == ["1.20", "2.00"]  # type: ignore[index,union-attr]
    assert reply["unpriced"] == []


def test_the_lots_in_the_house_count_at_what_was_paid_for_them() -> None:
    beans = Lot(1, "navy bean", Amount(2, "lb"), Amount(1, "lb"), 2, "bag", Decimal("0.99"))
    reply = cost(house(beans))
    assert reply["total"] == "2.99"
    assert "0.99" in reply["lines"][0]["basis"]  # type: ignore[index]
    assert reply["till_cost"] == "8.00"


def test_for_eight_it_costs_twice_as_much() -> None:
    reply = cost(house(), servings=8.0)
    assert (reply["total"], reply["per_serving"], reply["servings"]) == ("6.40", "0.80", 8)


def test_without_a_price_the_total_is_at_least() -> None:
    here = house(prices=PRICES[1:2])
    answer = costs.cost(Reading("cost", recipes=("Bean soup",)), here)
    assert answer.reply["unpriced"] == ["olive oil"]
    assert answer.reply["at_least"] is True
    assert "at least" in answer.blocks[0].text  # type: ignore[union-attr]


def test_with_no_price_at_all_the_total_is_not_known() -> None:
    reply = cost(house(prices=()))
    assert reply["total"] is None
    assert reply["per_serving"] is None


@pytest.mark.parametrize(
    ("money", "per", "words"),
    [("4", None, "within"), ("3", None, "over"), ("0.75", "head", "over"), ("1", "head", "within")],
)
def test_a_sum_that_was_said_is_judged(money: str, per: str | None, words: str) -> None:
    reading = Reading("for that?", recipes=("Bean soup",), money=Decimal(money), per=per)
    answer = costs.cost(reading, house())
    assert any(words in getattr(block, "text", "") for block in answer.blocks)


def test_an_amount_of_nothing_known_is_asked_about_whatever_was_talked_of() -> None:
    here = house()
    reading = Reading("what does 1 lb of zorgle cost", amounts=(Said(Amount(1, "lb"), None),))
    answer = costs.cost(reading, here)
    assert (answer.understood, answer.reply["question"]) == (False, "1 lb of what?")


def test_an_amount_of_a_food_is_costed_like_a_line() -> None:
    reading = Reading("cost of 2 lb navy beans", amounts=(Said(Amount(2, "lb"), "navy bean"),))
    assert costs.cost(reading, house()).reply["total"] == "2.40"


def test_the_reasons_open_the_total_into_its_lines() -> None:
    answer = costs.cost(Reading("cost", recipes=("Bean soup",)), house())
    (root,) = answer.because
    assert len(root.because) == 2
    assert any("6.00" in leaf.statement for leaf in root.because[0].because)


# -- prices ------------------------------------------------------------------------------------


def test_latest_lowest_and_history_by_the_pound() -> None:
    reply = costs.price(Reading("price", foods=("navy bean",)), house()).reply
    assert (reply["latest"], reply["lowest"], reply["trend"]) == ("6.00", "6.00", "down")
    assert [(one["price"], one["per_unit"], one["per"]) for one in reply["history"]] == [
        ("6.00", "1.20", "lb"),
        ("1.60", "1.60", "lb"),
    ]
    assert reply["history"][0]["shop"] == "mill"


def test_the_price_of_an_amount_is_told_with_it() -> None:
    reading = Reading(
        "what does 3 lb of navy beans cost",
        foods=("navy bean",),
        evidence=(Evidence("3 lb", "amount", "3 lb"),),
    )
    assert costs.price(reading, house()).reply["total"] == "3.60"


def test_a_price_nobody_has_seen_is_not_known() -> None:
    answer = costs.price(Reading("price", foods=("saffron",)), house())
    assert answer.understood
    assert answer.reply["latest"] is None
    assert answer.reply["history"] == []


@pytest.mark.parametrize(
    ("money", "words"), [("1.00", "as good as any"), ("1.40", "1 of 2"), ("2.00", "dearer")]
)
def test_whether_a_price_is_a_good_one(money: str, words: str) -> None:
    reading = Reading(
        f"is {money} a pound good for navy beans",
        foods=("navy bean",),
        money=Decimal(money),
        evidence=(Evidence(f"{money} a pound", "money", money),),
    )
    answer = costs.price(reading, house())
    assert any(words in getattr(block, "text", "") for block in answer.blocks)


def record(here: House, **more: object) -> dict[str, object]:
    answer = costs.record_price(Reading(**more), here)  # type: ignore[arg-type]
    assert answer.changed, answer.reply
    return answer.reply


def test_a_price_by_the_pound_is_for_one_pound() -> None:
    here = house()
    reply = record(
        here,
        said="saw butter at 3.49 a pound",
        foods=("butter",),
        money=Decimal("3.49"),
        per="each",
        evidence=(Evidence("3.49 a pound", "money", "3.49, each"),),
        shop="corner shop",
    )
    assert (reply["price"], reply["amount"], reply["unit"]) == ("3.49", 1, "lb")
    (entry,) = here.books.prices("butter")
    assert (entry.paid, entry.shop, entry.date) == (False, "corner shop", TODAY)
    assert not here.lots


def test_a_price_without_an_amount_is_for_the_package_last_known_and_says_so() -> None:
    here = house()
    reading = Reading("navy beans are 5.50 now", foods=("navy bean",), money=Decimal("5.50"))
    answer = costs.record_price(reading, here)
    assert (answer.reply["amount"], answer.reply["unit"]) == (5, "lb")
    assert any("5 lb bag" in getattr(block, "text", "") for block in answer.blocks)


def test_a_price_of_something_never_bought_by_no_amount_is_asked_about() -> None:
    here = house()
    answer = costs.record_price(Reading("zorgle is 3", foods=("zorgle",), money=Decimal(3)), here)
    assert not answer.understood
    assert here.books.version == 0


@pytest.mark.parametrize("money", ["-1", "1e9", "NaN"])
def test_prices_that_cannot_be_are_refused(money: str) -> None:
    here = house()
    reading = Reading("x", foods=("navy bean",), money=Decimal(money))
    assert not costs.record_price(reading, here).understood
    assert here.books.version == 0


# -- which is cheaper --------------------------------------------------------------------------


def test_dried_against_canned_is_told_by_the_cooked_cup() -> None:
    reading = Reading("dried or canned?", foods=("navy bean", "canned navy bean"))
    answer = costs.cheaper(reading, house())
    reply = answer.reply
    assert reply["cheapest"] == "navy bean"
    assert {one["unit"] for one in reply["options"]} == {"cup"}
    dry, canned = (Decimal(one["per_unit"]) for one in reply["options"])
    # a pound makes about 6 cups, a can about a cup and a half (USDA Food Buying Guide)
    assert Decimal("0.15") < dry < Decimal("0.25")
    assert Decimal("0.5") < canned < Decimal("0.75")
    assert Decimal(reply["saving"]) == canned - dry


def test_a_wide_name_is_compared_by_the_same_sort_of_each() -> None:
    reply = costs.cheaper(Reading("dried or canned", foods=("bean", "canned bean")), house()).reply
    assert [one["what"] for one in reply["options"]] == ["navy bean", "canned navy bean"]


def test_two_sizes_at_their_prices() -> None:
    amounts = (
        Said(Amount(18, "oz"), "rolled oat", price=Decimal("2.49")),
        Said(Amount(42, "oz"), None, price=Decimal("3.99")),
    )
    reply = costs.cheaper(
        Reading("18 oz for 2.49 or 42 oz for 3.99", amounts=amounts), house()
    ).reply
    assert reply["cheapest"] == "42 oz rolled oat"
    assert reply["saving"] == "0.69"


def test_two_dishes_by_the_serving() -> None:
    reply = costs.cheaper(Reading("which", recipes=("Bean soup", "Bean stew")), house()).reply
    assert reply["cheapest"] == "Bean stew"
    assert reply["saving"] == "0.25"


def test_making_against_buying_tells_the_time_and_does_not_price_it() -> None:
    reading = Reading("make or buy", recipes=("White loaf",), foods=("white bread",))
    reply = costs.cheaper(reading, house()).reply
    make, buy = reply["options"]
    assert reply["cheapest"] == "making White loaf"
    assert buy["per_unit"] == "2.50"
    assert Decimal(make["per_unit"]) < 1
    assert "35 minutes" in make["note"]


def test_what_has_no_price_is_not_guessed_at() -> None:
    reply = costs.cheaper(Reading("which", foods=("olive oil", "zorgle")), house()).reply
    assert reply["cheapest"] is None
    assert {one["what"]: one["cost"] for one in reply["options"]}["zorgle"] is None

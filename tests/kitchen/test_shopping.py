"""The shopping list: least money in whole packages, in the order of a walk round the shop."""

from __future__ import annotations

import datetime as dt
import itertools
import math
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from helper.kitchen.amounts import Amount
from helper.kitchen.buying import Need, to_buy
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Level, Lot, PriceSeen
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Prices
from helper.kitchen.shopping import Wish, below, group_of, listed
from helper.kitchen.stock import Stock

DAY = dt.date(2026, 11, 24)


def seen(number: int, food: str, oz: float, price: str, shop: str = "corner shop", ago: int = 0):  # type: ignore[no-untyped-def]
    day = DAY - dt.timedelta(ago)
    return PriceSeen(number, food, Amount(oz, "oz"), Decimal(price), "bag", shop, day)


def wish(food: str, oz: float | None, why: str = "") -> Wish:
    return Wish(Need(food, None if oz is None else Amount(oz, "oz")), why)


def test_needs_of_one_food_are_added_before_whole_packages_are_counted(measures: Measures) -> None:
    prices = Prices([seen(1, "rice", 16, "1.00")], [], measures)
    found = listed([wish("rice", 6, "for soup"), wish("rice", 9, "for pilaf")], prices, measures)
    (item,) = found.items
    assert (item.buy.packages, item.buy.cost) == (1, Decimal("1.00"))
    assert item.wanted_for == ("for soup", "for pilaf")


def test_two_sizes_together_where_that_is_least(measures: Measures) -> None:
    prices = Prices([seen(1, "rice", 32, "3.00"), seen(2, "rice", 8, "1.00")], [], measures)
    found = listed([wish("rice", 40)], prices, measures)
    assert found.total == Decimal("4.00")
    assert sorted((one.buy.size.number, one.buy.packages) for one in found.items if one.buy.size
                  ) == [(8, 1), (32, 1)]  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 40), st.integers(1, 900)), min_size=1, max_size=2,
             unique_by=lambda one: one[0]),
    st.integers(1, 120),
)  # fmt: skip
def test_no_basket_of_the_known_packages_is_cheaper(
    foods: Foods, packs: list[tuple[int, int]], need: int
) -> None:
    measures = Measures(foods)
    prices = [seen(n, "rice", oz, f"{cents / 100:.2f}") for n, (oz, cents) in enumerate(packs, 1)]
    till = to_buy([wish("rice", need).need], Prices(prices, [], measures), measures)
    counts = itertools.product(*(range(math.ceil(need / oz) + 1) for oz, _ in packs))
    least = min(
        sum(n * cents for n, (_, cents) in zip(basket, packs, strict=True))
        for basket in counts
        if sum(n * oz for n, (oz, _) in zip(basket, packs, strict=True)) >= need
    )
    assert till.total * 100 == least


def test_what_has_no_price_is_listed_and_makes_the_sum_an_at_least(measures: Measures) -> None:
    found = listed([wish("rice", 6), wish("saffron", None)],
                   Prices([seen(1, "rice", 16, "1.00")], [], measures), measures)  # fmt: skip
    assert found.unpriced == ("saffron",)
    assert found.total == Decimal("1.00")


def test_the_list_follows_the_walk_round_the_shop(measures: Measures) -> None:
    names = ["frozen pea", "all-purpose flour", "onion", "whole milk", "canned tomato", "ham"]
    found = listed([wish(name, 4) for name in names], Prices([], [], measures), measures)
    assert [item.buy.food for item in found.items] == [
        "onion", "ham", "whole milk", "canned tomato", "all-purpose flour", "frozen pea"
    ]  # fmt: skip


def test_a_lower_price_elsewhere_is_told_and_an_old_one_of_the_same_shop_is_not(
    measures: Measures,
) -> None:
    prices = Prices([seen(1, "rice", 16, "1.59"), seen(2, "rice", 16, "1.19", "market hall", 40),
                     seen(3, "rice", 16, "0.99", "corner shop", 90)], [], measures)  # fmt: skip
    (item,) = listed([wish("rice", 16)], prices, measures).items
    assert item.shop == "corner shop"
    assert item.cheaper is not None
    assert (item.cheaper.shop, item.cheaper.price) == ("market hall", Decimal("1.19"))


def test_what_is_under_its_level_is_wanted_by_what_is_short(measures: Measures) -> None:
    size = Amount(16, "oz")
    stock = Stock([Lot(1, "rice", size, size)], measures)
    levels = [Level(1, "rice", Amount(3, "lb")), Level(2, "onion", Amount(0, "lb"))]
    (short,) = below(levels, stock, measures)
    assert short.need.food == "rice"
    assert short.need.amount == Amount(2, "lb")


def test_a_food_nobody_knows_has_a_place_on_the_list_too(foods: Foods) -> None:
    assert group_of("something nobody knows", foods)[0] == "Other things"

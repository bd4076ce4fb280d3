"""Recipes against the stock: met, missing, what to buy, and what it all costs."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.kitchen.amounts import Amount
from helper.kitchen.buying import needs, to_buy
from helper.kitchen.costing import Costed, cost
from helper.kitchen.facts import Facts
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.matching import match, match_all, questions, scale
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Choice, Line, Recipe
from helper.kitchen.stock import Stock

DAY = dt.date(2026, 11, 24)


def lot(number: int, food: str, left: Amount, price: str | None = None, **more: object) -> Lot:
    paid = None if price is None else Decimal(price)
    return Lot(number, food, left, **{"size": left, "price": paid, **more})  # type: ignore[arg-type]


def line(food: str, number: float | None = None, unit: str | None = None, **more: object) -> Line:
    amount = None if number is None else Amount(number, unit)
    return Line(food, food, amount, **more)  # type: ignore[arg-type]


def dish(*lines: Line, servings: float | None = 4) -> Recipe:
    return Recipe(1, "dish", lines, servings=servings)


def seen(
    food: str,
    size: Amount,
    price: str,
    day: dt.date = DAY,
    package: str | None = None,
    number: int = 1,
) -> PriceSeen:
    return PriceSeen(number, food, size, Decimal(price), package, date=day)


def costed(recipe: Recipe, lots: list[Lot], measures: Measures, *prices: PriceSeen) -> Costed:
    found = match(recipe, Stock(lots, measures))
    return cost(found, Prices(prices, lots, measures), measures)


def test_two_lines_never_count_the_same_bag_twice(measures: Measures) -> None:
    stock = Stock([lot(1, "rice", Amount(1, "lb"))], measures)
    found = match(dish(line("rice", 0.75, "lb"), line("rice", 0.75, "lb")), stock)
    assert [one.state for one in found.lines] == ["have", "part"]
    assert found.missing[0].short == Amount(0.5, "lb")


def test_optional_lines_take_what_the_needed_ones_leave(measures: Measures) -> None:
    stock = Stock([lot(1, "rice", Amount(1, "lb"))], measures)
    found = match(dish(line("rice", 1, "lb", optional=True), line("rice", 1, "lb")), stock)
    assert [one.state for one in found.lines] == ["missing", "have"]
    assert found.missing == ()


def test_water_is_always_there_and_salt_to_taste_is_never_missing(measures: Measures) -> None:
    found = match(dish(line("water", 8, "cup"), line("salt", to_taste=True)), Stock([], measures))
    assert [one.state for one in found.lines] == ["free", "to taste"]
    assert found.missing == ()
    assert [one.food for one in found.to_taste] == ["salt"]


def test_a_choice_is_taken_as_the_house_has_it(measures: Measures) -> None:
    stock = Stock([lot(1, "margarine", Amount(1, "lb"))], measures)
    found = match(dish(line("butter", 4, "oz", choices=(Choice("margarine"),))), stock)
    assert found.lines[0].food == "margarine"
    assert found.lines[0].state == "have"


def test_what_cannot_be_measured_is_neither_had_nor_missing(measures: Measures) -> None:
    stock = Stock([lot(1, "canned sprat", Amount(1, "jar"))], measures)
    found = match(dish(line("canned sprat", 5, "oz")), stock)
    assert found.missing == ()
    assert found.have == ()
    assert questions(found)[0].ask == "How much is one jar of canned sprat?"


def test_a_label_the_line_asks_for_must_be_on_the_package(measures: Measures) -> None:
    plain = lot(1, "rolled oat", Amount(1, "lb"))
    marked = lot(2, "rolled oat", Amount(1, "lb"), claims=("gluten-free",))
    wanted = dish(line("rolled oat", 4, "oz", claims=("gluten-free",)))
    assert match(wanted, Stock([plain], measures)).missing
    found = match(wanted, Stock([plain, marked], measures))
    assert [one.lot.id for one in found.draws] == [2]


def test_recipes_of_one_menu_share_the_stock(measures: Measures) -> None:
    stock = Stock([lot(1, "rice", Amount(1, "lb"))], measures)
    first, second = match_all([dish(line("rice", 1, "lb"))] * 2, stock)
    assert first.missing == ()
    assert second.missing


def test_the_same_question_twice_gives_the_same_answer(measures: Measures) -> None:
    stock = Stock([lot(1, "rice", Amount(1, "lb"))], measures)
    wanted = dish(line("rice", 1, "lb"))
    assert match(wanted, stock) == match(wanted, stock)


@given(servings=st.floats(0.5, 100))
def test_scaling_there_and_back(servings: float) -> None:
    recipe = dish(line("rice", 1.5, "cup", size=Amount(15, "oz")), servings=4)
    there = scale(recipe, servings)
    assert there is not None
    assert there.lines[0].size == Amount(15, "oz")
    back = scale(there, 4)
    assert back is not None
    assert back.lines[0].amount is not None
    assert back.lines[0].amount.number == pytest.approx(1.5)


def test_a_recipe_without_servings_is_not_scaled() -> None:
    assert scale(dish(line("rice", 1, "cup"), servings=None), 4) is None


# What to buy.


def test_whole_packages_at_the_sizes_the_household_knows(measures: Measures) -> None:
    prices = Prices([seen("rice", Amount(2, "lb"), "1.80")], [], measures)
    found = match(dish(line("rice", 3, "lb")), Stock([], measures))
    till = to_buy(needs(found.lines), prices, measures)
    assert (till.buys[0].packages, till.total) == (2, Decimal("3.60"))


def test_the_cheaper_way_to_meet_the_need_wins(measures: Measures) -> None:
    prices = Prices(
        [
            seen("rice", Amount(1, "lb"), "1.20", number=1),
            seen("rice", Amount(5, "lb"), "3.00", number=2),
        ],
        [],
        measures,
    )
    for pounds, packages, size in ((1, 1, 1), (4, 1, 5)):
        found = match(dish(line("rice", pounds, "lb")), Stock([], measures))
        buy = to_buy(needs(found.lines), prices, measures).buys[0]
        assert buy.size is not None
        assert (buy.packages, buy.size.number) == (packages, size)


def test_the_usual_package_where_no_price_is_known(measures: Measures) -> None:
    found = match(dish(line("cooked navy bean", 7, "cup")), Stock([], measures))
    till = to_buy(needs(found.lines), Prices([], [], measures), measures)
    buy = till.buys[0]
    assert (buy.food, buy.packages, buy.package) == ("navy bean", 2, "bag")
    assert till.unpriced == ("navy bean",)


def test_shortages_of_one_food_are_added_before_rounding_up(measures: Measures) -> None:
    prices = Prices([seen("rice", Amount(2, "lb"), "1.80")], [], measures)
    found = match(dish(line("rice", 0.5, "lb"), line("rice", 8, "oz")), Stock([], measures))
    till = to_buy(needs(found.lines), prices, measures)
    assert [buy.packages for buy in till.buys] == [1]


@given(short=st.floats(0.01, 50), size=st.floats(0.05, 10))
def test_what_is_bought_is_enough_and_not_a_package_too_many(
    foods: Foods, short: float, size: float
) -> None:
    measures = Measures(foods, facts=Facts({}))
    prices = Prices([seen("rice", Amount(size, "lb"), "1.00")], [], measures)
    found = match(dish(line("rice", short, "lb")), Stock([], measures))
    count = to_buy(needs(found.lines), prices, measures).buys[0].packages
    assert count is not None
    assert count * size >= short * (1 - 1e-5)
    assert count == 1 or (count - 1) * size < short


# What it costs.


def test_each_lot_at_its_own_price_and_the_rest_at_the_latest(measures: Measures) -> None:
    lots = [
        lot(1, "rice", Amount(1, "lb"), "0.90", bought=DAY - dt.timedelta(9)),
        lot(2, "rice", Amount(1, "lb"), "1.10", bought=DAY - dt.timedelta(5)),
    ]
    latest = seen("rice", Amount(1, "lb"), "1.40")
    found = costed(dish(line("rice", 3, "lb")), lots, measures, latest)
    assert found.total == Decimal("3.40")
    assert found.per_serving == Decimal("0.85")
    assert not found.at_least
    assert any("latest price" in said for said in found.lines[0].basis)


def test_an_unpriced_line_makes_the_total_at_least(measures: Measures) -> None:
    lots = [lot(1, "rice", Amount(1, "lb"), "1.00"), lot(2, "navy bean", Amount(1, "lb"))]
    found = costed(dish(line("rice", 1, "lb"), line("navy bean", 1, "lb")), lots, measures)
    assert (found.total, found.at_least) == (Decimal("1.00"), True)
    assert found.unpriced == ("navy bean",)


def test_optional_lines_stand_apart_and_water_is_free(measures: Measures) -> None:
    lots = [lot(1, "rice", Amount(2, "lb"), "2.00")]
    found = costed(
        dish(
            line("rice", 1, "lb"),
            line("rice", 1, "lb", optional=True),
            line("water", 9, "cup"),
            line("salt", to_taste=True),
        ),
        lots,
        measures,
    )
    assert found.total == Decimal("1.00")
    assert [one.cost for one in found.optional] == [Decimal(1)]
    assert [one.food for one in found.free] == ["water", "salt"]
    assert not found.at_least


def test_a_prepared_cup_is_costed_with_its_trim(measures: Measures) -> None:
    # 160 g chopped is 177.8 g as bought; a kilo at 9.00 makes that 1.60
    lots = [lot(1, "onion", Amount(1, "kg"), "9.00")]
    found = costed(dish(line("onion", 1, "cup", detail="chopped")), lots, measures)
    assert found.total == Decimal("1.60")


def test_totals_are_rounded_once(measures: Measures) -> None:
    lots = [lot(1, "rice", Amount(3, "lb"), "1.00")]
    third = line("rice", 1, "lb")
    found = costed(dish(third, third, third), lots, measures)
    assert found.total == Decimal("1.00")


def test_the_till_takes_whole_packages_of_what_is_short(measures: Measures) -> None:
    lots = [lot(1, "rice", Amount(1, "lb"), "1.00")]
    found = costed(dish(line("rice", 1.5, "lb")), lots, measures)
    assert found.total == Decimal("1.50")
    assert found.till is not None
    assert found.till.total == Decimal("1.00")


def test_beans_to_be_cooked_cost_what_the_dry_ones_do(measures: Measures) -> None:
    lots = [lot(1, "navy bean", Amount(1, "lb"), "1.59", package="bag")]
    found = costed(dish(line("cooked navy bean", 3, "cup")), lots, measures)
    assert found.total == Decimal("0.80")
    assert any("makes 6 cups cooked" in said for said in found.lines[0].basis)

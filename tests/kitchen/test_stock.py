"""Drawing on lots: the order, never below nothing, and money that adds up to the cent."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.kitchen.amounts import Amount
from helper.kitchen.facts import Facts
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.kitchen.measures import Measures
from helper.kitchen.stock import Stock, booked, draw, drawing_order

DAY = dt.date(2026, 11, 24)


def lot(number: int, food: str, left: float, unit: str | None = "lb", **more: object) -> Lot:
    size = Amount(left, unit)
    return Lot(number, food, size, **{"size": size, **more})  # type: ignore[arg-type]


def test_opened_first_then_the_earliest_date_then_bought_then_entered() -> None:
    later = DAY + dt.timedelta(30)
    lots = [
        lot(1, "rice", 1),
        lot(2, "rice", 1, bought=DAY),
        lot(3, "rice", 1, best_by=later, bought=DAY),
        lot(4, "rice", 1, best_by=later, bought=DAY - dt.timedelta(1)),
        lot(5, "rice", 1, best_by=DAY),
        lot(6, "rice", 1, opened=DAY),
        lot(7, "rice", 1),
    ]
    assert [one.id for one in sorted(lots, key=drawing_order)] == [6, 5, 4, 3, 2, 1, 7]


def test_a_draw_beyond_the_stock_is_short_never_negative(measures: Measures) -> None:
    taken = draw([lot(1, "rice", 2)], "rice", Amount(5, "lb"), measures)
    assert [one.amount.number for one in taken.draws] == [2]
    assert taken.short == Amount(3, "lb")


def test_one_food_that_meets_all_goes_before_a_mixture(measures: Measures) -> None:
    lots = [lot(1, "navy bean", 0.25, opened=DAY), lot(2, "pinto bean", 2)]
    taken = draw(lots, "bean", Amount(1, "lb"), measures)
    assert [one.lot.id for one in taken.draws] == [2]
    assert taken.short is None


def test_dry_beans_then_cans_for_the_rest(measures: Measures) -> None:
    lots = [lot(1, "navy bean", 0.5), lot(2, "canned navy bean", 45, "oz")]
    taken = draw(lots, "cooked navy bean", Amount(6, "cup"), measures)
    assert [(one.lot.id, round(one.amount.number, 6)) for one in taken.draws] == [(1, 0.5), (2, 30)]
    assert taken.short is None


def test_a_can_of_the_recipe_is_a_can_of_the_house(measures: Measures) -> None:
    cans = [lot(1, "canned navy bean", 15.5, "oz", package="can")]
    taken = draw(cans, "canned navy bean", Amount(1, "can"), measures, size=Amount(15, "oz"))
    assert taken.short is None
    assert taken.draws[0].amount == Amount(15.5, "oz")


def test_a_small_can_is_not_a_big_one(measures: Measures) -> None:
    cans = [lot(1, "canned navy bean", 8, "oz", package="can")]
    taken = draw(cans, "canned navy bean", Amount(1, "can"), measures, size=Amount(15, "oz"))
    assert taken.short is not None
    assert taken.short.number == pytest.approx(7 / 15)


def test_lots_of_unknown_measure_are_said_not_guessed(measures: Measures) -> None:
    taken = draw([lot(1, "quince", 2, "jar")], "quince", Amount(1, "lb"), measures)
    assert taken.draws == ()
    assert taken.unknown[0].unit == "jar"


@given(
    parts=st.lists(st.floats(0.01, 3), min_size=1, max_size=8),
    price=st.integers(1, 2000),
    size=st.floats(0.2, 10),
)
def test_draws_and_what_is_left_add_up_to_what_was_paid(
    foods: Foods, parts: list[float], price: int, size: float
) -> None:
    measures = Measures(foods, facts=Facts({}))
    paid = Decimal(price) / 100
    stock = Stock([lot(1, "rice", size, price=paid)], measures)
    drawn = Decimal(0)
    for part in parts:
        taken = stock.take("rice", Amount(part, "lb"))
        stock.draw(taken)
        drawn += sum((one.cost or Decimal(0) for one in taken.draws), Decimal(0))
    left = stock.left(stock.lots[0])
    assert left.number >= 0
    still = booked(stock.lots[0], left.number)
    assert still is not None
    assert drawn + still == paid


@given(asked=st.floats(0.001, 50), sizes=st.lists(st.floats(0.1, 5), max_size=6))
def test_met_and_short_are_what_was_asked(foods: Foods, asked: float, sizes: list[float]) -> None:
    lots = [lot(i, "rice", size) for i, size in enumerate(sizes)]
    taken = draw(lots, "rice", Amount(asked, "lb"), Measures(foods, facts=Facts({})))
    met = sum(one.meets.number for one in taken.draws if one.meets)
    short = taken.short.number if taken.short else 0
    assert met + short == pytest.approx(asked)
    assert all(one.amount.number <= one.lot.left.number for one in taken.draws)

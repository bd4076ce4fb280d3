"""Amounts through a food: weights, packages, trim, what was told, and what is not known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.kitchen.amounts import Amount
from helper.kitchen.facts import Facts
from helper.kitchen.foods import Foods
from helper.kitchen.measures import Measures

LB = 453.59237


def test_a_cup_is_weighed_by_the_table_and_says_so(measures: Measures) -> None:
    weighed = measures.grams("all-purpose flour", Amount(2, "cup"))
    assert weighed is not None
    assert weighed.grams == pytest.approx(250)
    assert weighed.basis == ("one cup of all-purpose flour weighs 125 g (test)",)


def test_a_spoon_is_weighed_by_the_density_of_the_cup(measures: Measures) -> None:
    weighed = measures.grams("all-purpose flour", Amount(1, "tbsp"))
    assert weighed is not None
    assert weighed.grams == pytest.approx(125 / 16)


def test_a_large_onion_is_not_a_usual_one(measures: Measures) -> None:
    usual = measures.grams("onion", Amount(1))
    large = measures.grams("onion", Amount(1), "large")
    assert usual
    assert usual.grams == 110
    assert large
    assert large.grams == 150


def test_a_dozen_is_twelve_pieces(measures: Measures) -> None:
    weighed = measures.grams("onion", Amount(1, "dozen"))
    assert weighed is not None
    assert weighed.grams == pytest.approx(12 * 110)


def test_a_package_of_told_size_wins_over_the_usual_one(measures: Measures) -> None:
    two = measures.grams("canned navy bean", Amount(2, "can"), size=Amount(10, "oz"))
    usual = measures.grams("canned navy bean", Amount(2, "can"))
    assert two
    assert two.grams == pytest.approx(20 * LB / 16)
    assert usual
    assert usual.grams == pytest.approx(30 * LB / 16)


def test_what_is_not_known_is_none_and_is_asked_for(measures: Measures) -> None:
    assert measures.grams("canned sprat", Amount(1, "jar")) is None
    asked = measures.unknown("canned sprat", Amount(1, "jar"), "oz")
    assert asked.unit == "jar"
    assert asked.ask == "How much is one jar of canned sprat?"


def test_what_the_household_tells_is_remembered(foods: Foods) -> None:
    told: dict[tuple[str, str | None], Amount] = {("canned sprat", "jar"): Amount(5, "oz")}
    measures = Measures(foods, told, Facts({}))
    found = measures.convert("canned sprat", Amount(2, "jar"), "oz")
    assert found is not None
    assert found.amount.number == pytest.approx(10)
    assert "you told" in found.basis[0]


def test_pieces_can_be_told_too(foods: Foods) -> None:
    measures = Measures(foods, {("quince", None): Amount(90, "g")}, Facts({}))
    weighed = measures.grams("quince", Amount(3))
    assert weighed is not None
    assert weighed.grams == pytest.approx(270)


def test_trim_stands_between_the_board_and_the_shop(measures: Measures) -> None:
    board = measures.convert("onion", Amount(1, "cup"), "g", "chopped")
    shop = measures.convert("onion", Amount(1, "cup"), "g", "chopped", bought=True)
    assert board
    assert board.amount.number == pytest.approx(160)
    assert shop
    assert shop.amount.number == pytest.approx(160 / 0.9)
    assert any("thrown away" in said for said in shop.basis)


def test_trim_the_other_way_leaves_less_on_the_board(measures: Measures) -> None:
    found = measures.convert("onion", Amount(1, "lb"), "cup", "chopped", bought=True)
    assert found is not None
    assert found.amount.number == pytest.approx(LB * 0.9 / 160)


def test_no_trim_between_two_weights(measures: Measures) -> None:
    found = measures.convert("onion", Amount(1, "lb"), "oz", bought=True)
    assert found is not None
    assert found.amount.number == pytest.approx(16)


def test_a_cooked_food_is_never_weighed_as_a_dry_one(foods: Foods) -> None:
    measures = Measures(foods, facts=Facts({"weights": [("navy bean", "cup", "", "200", "t")]}))
    assert measures.grams("navy bean", Amount(1, "cup")) is not None
    assert measures.grams("cooked navy bean", Amount(1, "cup")) is None


@given(
    number=st.floats(0.01, 1000),
    unit=st.sampled_from(["cup", "tbsp", "oz", "kg", None]),
    target=st.sampled_from(["cup", "tsp", "lb", "g", None]),
    bought=st.booleans(),
)
def test_there_and_back_gives_the_same(
    foods: Foods, number: float, unit: str | None, target: str | None, bought: bool
) -> None:
    rows = [("onion", "cup", "", "160", "t"), ("onion", "piece", "", "110", "t")]
    measures = Measures(foods, facts=Facts({"weights": rows, "trim": [("onion", "10", "", "t")]}))
    there = measures.convert("onion", Amount(number, unit), target, bought=bought)
    assert there is not None
    back = measures.convert("onion", there.amount, unit, bought=bought)
    assert back is not None
    assert back.amount.number == pytest.approx(number)

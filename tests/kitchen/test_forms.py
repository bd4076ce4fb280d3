"""One form for another, by hand-made figures and by the published ones."""

from __future__ import annotations

import pytest

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.forms import across
from helper.kitchen.kin import FORM, SAME, SORT, WIDER, kin
from helper.kitchen.measures import Measures


def test_cooked_beans_from_dry_ones(measures: Measures) -> None:
    met = across(measures, "cooked navy bean", Amount(3, "cup"), "navy bean", "lb")
    assert met is not None
    assert met.amount.number == pytest.approx(0.5)
    assert "cook" in met.do
    assert any("1 lb navy bean dry makes 6 cups cooked (test)" in said for said in met.basis)


def test_cooked_beans_from_cans_are_drained(measures: Measures) -> None:
    met = across(measures, "cooked navy bean", Amount(3, "cup"), "canned navy bean", "oz")
    assert met is not None
    assert met.amount.number == pytest.approx(30)
    assert "drain" in met.do


def test_cans_for_dry_beans_take_two_steps(measures: Measures) -> None:
    # 1 lb dry is 6 cups cooked, 6 cups drained, 4 cans of 15 oz
    met = across(measures, "navy bean", Amount(1, "lb"), "canned navy bean", "oz")
    assert met is not None
    assert met.amount.number == pytest.approx(60)


def test_a_cup_of_canned_beans_means_drained_ones(measures: Measures) -> None:
    met = across(measures, "canned navy bean", Amount(1.5, "cup"), "canned navy bean", "oz")
    assert met is not None
    assert met.amount.number == pytest.approx(15)


def test_no_yield_no_answer(measures: Measures) -> None:
    assert across(measures, "cooked carrot", Amount(1, "cup"), "carrot", "lb") is None


@pytest.mark.parametrize(
    ("need", "have", "rank"),
    [
        ("navy bean", "navy bean", SAME),
        ("bean", "navy bean", SORT),
        ("navy bean", "canned navy bean", FORM),
        ("cooked navy bean", "navy bean", FORM),
        ("cooked ham", "ham", FORM),
        ("cheddar cheese", "cheese", WIDER),
    ],
)
def test_what_can_stand_for_what(foods: Foods, need: str, have: str, rank: int) -> None:
    found = kin(foods, need, have)
    assert found is not None
    assert found.rank == rank


@pytest.mark.parametrize(
    ("need", "have"),
    [
        ("kidney bean", "navy bean"),
        ("ham", "ham bone"),
        ("ham", "ham fat"),
        ("peanut", "peanut butter"),
        ("potato", "sweet potato"),
        ("onion", "green onion"),
        ("skim milk", "whole milk"),
        ("tomato", "tomato sauce"),
        ("milk", "oat milk"),
        ("egg", "egg white"),
    ],
)
def test_what_cannot(foods: Foods, need: str, have: str) -> None:
    assert kin(foods, need, have) is None


def test_a_wider_name_is_never_taken_for_sure(foods: Foods) -> None:
    found = kin(foods, "cheddar cheese", "cheese")
    assert found is not None
    assert not found.sure


# Trade practice, against the published tables.


def test_a_16_oz_bag_of_dry_navy_beans_is_about_two_cups_and_six_cooked(
    published: Measures,
) -> None:
    dry = published.convert("navy bean", Amount(16, "oz"), "cup")
    assert dry is not None
    assert dry.amount.number == pytest.approx(2.2, abs=0.25)
    bag = across(published, "cooked navy bean", Amount(6, "cup"), "navy bean", "oz")
    assert bag is not None
    assert bag.amount.number == pytest.approx(16, rel=0.05)


def test_a_tin_holds_about_one_and_a_half_cups_drained(published: Measures) -> None:
    for bean in ("navy bean", "black bean", "kidney bean", "pinto bean", "chickpea"):
        tin = across(published, f"cooked {bean}", Amount(1.5, "cup"), f"canned {bean}", "can")
        assert tin is not None, bean
        assert tin.amount.number == pytest.approx(1, abs=0.15), bean


def test_published_yields_hold(published: Measures) -> None:
    """USDA Food Buying Guide: a pound of dry black beans gives 4.58 cups cooked."""
    pound = across(published, "cooked black bean", Amount(4.58, "cup"), "black bean", "lb")
    assert pound is not None
    assert pound.amount.number == pytest.approx(1, rel=0.01)


@pytest.mark.parametrize(("have", "soaked"), [("navy bean", True), ("rice", False)])
def test_only_pulses_are_soaked(have: str, soaked: bool) -> None:
    met = across(Measures(Foods()), f"cooked {have}", Amount(2, "cup"), have, "lb")
    assert met is not None
    assert met.do.startswith("cook it first")
    assert ("soaked" in met.do) is soaked

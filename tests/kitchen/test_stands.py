"""Stands kept from an earlier start are what the rules say now."""

from __future__ import annotations

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.safety import judge
from rules.judge import Judge, Part

NAMES = sorted(Foods().names())


@pytest.fixture(scope="module")
def bare() -> Judge:
    """The same judge that has to ask the rules for everything."""
    known = judge()
    return Judge(known._describe, known._covers)


@pytest.mark.parametrize("name", NAMES[::37])
def test_a_kept_stand_is_what_the_rules_say(name: str, bare: Judge) -> None:
    assert judge().of(Part(name)) == bare.of(Part(name))


def test_a_label_or_a_guess_is_asked_of_the_rules_anew(bare: Judge) -> None:
    oats = Part("rolled oat", claims=("gluten-free",))
    assert judge().of(oats) == bare.of(oats) != judge().of(Part("rolled oat"))
    guess = Part("rolled oat", surely=False, near=("rolled oat",))
    assert judge().of(guess) == bare.of(guess)
    assert judge().of(Part("rolled oat", surely=False)).to("milk") != "yes"

"""Money: exact, rounded once, and shared out in cents that add up."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from helper.kitchen.money import CENT, NOTHING, apportioned, left_in_cents, to_cents

PARTS = st.lists(st.decimals(0, 50, places=6, allow_nan=False), max_size=12)


@given(PARTS)
def test_parts_in_cents_add_up_to_the_sum_rounded_once(parts: list[Decimal]) -> None:
    cents = apportioned(parts)
    assert sum(cents, NOTHING) == to_cents(sum(parts, NOTHING))
    assert all(abs(one - part) < CENT for one, part in zip(cents, parts, strict=True))


def test_a_part_is_rounded_as_a_till_does_where_nothing_stands_in_the_way() -> None:
    parts = [Decimal("2"), Decimal("0.627"), Decimal("0.408"), Decimal("0.0423")]
    assert [str(one) for one in apportioned(parts)] == ["2.00", "0.63", "0.41", "0.04"]


def test_half_a_package_of_an_odd_price_is_rounded_up_and_the_rest_makes_up_for_it() -> None:
    price = Decimal("1.59")
    assert price - left_in_cents(price / 2) == Decimal("0.80")
    assert left_in_cents(price / 2) == Decimal("0.79")

"""What food for a day costs by a published plan, as a yardstick beside what was eaten here.

The Thrifty Food Plan of the USDA is the cost of a sound diet, all meals and snacks cooked at home,
by age and sex. A portion here is an adult's, so the plan's adults are what it is held against.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from typing import Any

import msgspec

from helper.kitchen.money import NOTHING, plain, to_cents, written
from rules.tables import rows

_ADULT = "20-50"
_DAYS_A_WEEK = 7


class Plan(msgspec.Struct, frozen=True):
    """A day's food for one adult, the mean of a woman and a man, and where that is from."""

    a_day: Decimal
    currency: str
    month: str
    source: str

    @property
    def when(self) -> str:
        """ "September 2025"."""
        return f"{dt.date.fromisoformat(f'{self.month}-01'):%B %Y}"


@cache
def thrifty_plan() -> Plan:
    """The plan of `rules/reference/food_plan.csv`."""
    adults = [row for row in rows("reference/food_plan.csv") if row["ages"] == _ADULT]
    weekly = sum((Decimal(row["weekly"]) for row in adults), NOTHING)
    one = adults[0]
    a_day = to_cents(weekly / len(adults) / _DAYS_A_WEEK)
    return Plan(a_day, one["currency"], one["month"], one["source"])


def beside(each: Decimal | None, currency: str) -> Sequence[str]:
    """Sentences that hold a day's cost of one adult portion against the plan; none where the
    currencies differ or nothing was eaten."""
    plan = thrifty_plan()
    if each is None or currency != plan.currency:
        return ()
    return (
        f"Beside it: the USDA Thrifty Food Plan of {plan.when} comes to "
        f"{written(plan.a_day, currency)} a day for an adult of 20 to 50, all meals and snacks. "
        "Only what is written down here is counted.",
    )


def as_json(currency: str) -> dict[str, Any] | None:
    """The yardstick for programs; null where the currencies differ."""
    plan = thrifty_plan()
    if currency != plan.currency:
        return None
    return {"per_head_day": plain(plan.a_day), "month": plan.month, "source": plan.source}

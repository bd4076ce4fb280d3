"""What the house holds that can stand in for what a dish is short of, for an answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from helper.acts.diners import swapping
from helper.acts.dishes import roughly
from helper.acts.house import House
from helper.acts.wording import amount_json, listed, of_food
from helper.kitchen.fitting import Fitting, StandIn
from helper.kitchen.matching import Match
from helper.kitchen.swaps import Option
from helper.kitchen.table import Diner

# A dish short of more than this is a dish to shop for, not one to patch.
_MOST_SHORT = 3


def fitting_for(house: House, diners: Sequence[Diner]) -> Fitting:
    """Fits recipes to these diners, out of this house's stock, prices and rules."""
    return Fitting(swapping(house, diners))


def stand_ins(found: Match, fitting: Fitting) -> tuple[StandIn, ...]:
    """For each missing line the best swap that the house has, if nobody at the table minds it."""
    return fitting.stand_ins(found) if 0 < len(found.missing) <= _MOST_SHORT else ()


def used_written(option: Option) -> str:
    """What a swap takes: "1 1/4 cups navy bean and 2 tbsp butter"."""
    return listed([of_food(roughly(one.amount), one.food) for one in option.use])


def stand_in_written(one: StandIn) -> str:
    """ "for 1 cup buttermilk, use 1 cup milk and 1 tbsp lemon juice"."""
    amount, food = one.line.amount, one.line.food or one.line.text
    missing = of_food(roughly(amount), food) if amount else food
    return f"for {missing}, use {used_written(one.option)}"


def option_json(option: Option) -> dict[str, Any]:
    """A swap as programs get it."""
    return {
        "use": [{"food": used.food, **amount_json(used.amount)} for used in option.use],
        "note": option.method or None,
        "in_stock": option.in_house,
        "adds_allergens": list(option.brings),
        "source": option.source,
    }


def stand_in_json(one: StandIn) -> dict[str, Any]:
    """A swap with the line it stands in for."""
    return {"for": {"food": one.line.food, **amount_json(one.line.amount)},
            **option_json(one.option)}  # fmt: skip

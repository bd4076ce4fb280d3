"""What the house holds that can stand in for what a dish is short of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from helper.acts.diners import swapping
from helper.acts.dishes import roughly
from helper.acts.house import House
from helper.acts.wording import amount_json, listed, of_food
from helper.kitchen.amounts import Amount
from helper.kitchen.matching import Match
from helper.kitchen.roles import surroundings
from helper.kitchen.safety import NO
from helper.kitchen.swaps import Option
from helper.kitchen.table import Diner
from rules.roles import SUITS

# A dish short of more than this is a dish to shop for, not one to patch.
_MOST_SHORT = 3


class StandIn(msgspec.Struct, frozen=True):
    """A swap, wholly in the house, for one line of a dish."""

    food: str
    amount: Amount
    option: Option

    def __str__(self) -> str:
        use = listed([of_food(roughly(one.amount), one.food) for one in self.option.use])
        return f"for {of_food(roughly(self.amount), self.food)}, use {use}"


def stand_ins(found: Match, house: House, diners: Sequence[Diner]) -> list[StandIn]:
    """For each missing line the best swap that the house has, if nobody at the table minds it."""
    if not 0 < len(found.missing) <= _MOST_SHORT:
        return []
    around = surroundings(found.recipe, house.measures)
    places = {id(line.line): where for line, where in zip(found.lines, around, strict=True)}
    book = swapping(house, diners)
    chosen = []
    for line in found.missing:
        amount = line.short or line.amount
        if line.food is None or amount is None:
            continue
        for option in book.options(line.food, amount, places[id(line.line)], line.line):
            if option.in_house and option.fit == SUITS and option.verdict != NO:
                chosen.append(StandIn(line.food, amount, option))
                break
    return chosen


def stand_in_json(one: StandIn) -> dict[str, Any]:
    """As programs get it."""
    option = one.option
    return {
        "for": {"food": one.food, **amount_json(one.amount)},
        "use": [{"food": used.food, **amount_json(used.amount)} for used in option.use],
        "note": option.method,
        "in_stock": option.in_house,
        "adds_allergens": list(option.brings),
        "source": option.source,
    }

"""A recipe made fit for a table: lines that may not be eaten give way to swaps, one by one."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from helper.acts.dishes import roughly
from helper.acts.wording import of_food
from helper.kitchen.amounts import Amount
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import NOWHERE, Surroundings, surroundings
from helper.kitchen.safety import CHECK, NO, WITH_SWAPS, YES
from helper.kitchen.spoons import by_the_spoon
from helper.kitchen.swaps import Option, Swapping
from helper.kitchen.table import Objection
from rules.judge import worst
from rules.roles import FAILS


class Fitted(msgspec.Struct, frozen=True):
    """The recipe as it would be cooked. `verdict` yes, with-swaps, check or no; `swaps` in words;

    `against` is what still speaks against it.
    """

    recipe: Recipe
    verdict: str
    swaps: tuple[str, ...] = ()
    against: tuple[Objection, ...] = ()


def fitted(recipe: Recipe, ways: Swapping) -> Fitted:
    """The recipe with the best swap for every line that someone at the table may not have."""
    against = [ways.table.against_line(line) for line in recipe.lines]
    if not any(one.verdict == NO for found in against for one in found):
        left = tuple(one for found in against for one in found)
        return Fitted(recipe, worst(one.verdict for one in left), (), left)
    around = surroundings(recipe, ways.measures)
    lines: list[Line] = []
    swaps: list[str] = []
    left = ()
    for place, (line, found) in enumerate(zip(recipe.lines, against, strict=True)):
        if all(one.verdict != NO for one in found):
            lines.append(line)
            left += found
            continue
        if line.optional:
            swaps.append(f"without {line.food}")
            continue
        option = _option(line, ways, around[place] if len(around) > place else NOWHERE)
        if option is None:
            lines.append(line)
            left += found
            continue
        use = [
            replace(
                line,
                text=used.food,
                food=used.food,
                amount=used.amount,
                size=None,
                detail="",
                choices=(),
                mentions=(),
                claims=(),
            )
            for used in option.use
        ]
        lines += use
        left += option.against
        taken = " and ".join(_measured(one.amount, one.food) for one in option.use)
        swaps.append(f"{taken} for the {line.food}")
    value = worst(one.verdict for one in left)
    verdict = value if value in (NO, CHECK) else WITH_SWAPS if swaps else YES
    return Fitted(replace(recipe, lines=tuple(lines)), verdict, tuple(swaps), left)


def _measured(amount: Amount, food: str) -> str:
    """ "3 tbsp + 2 tsp olive oil", "2 eggs"."""
    near = roughly(amount)
    return f"{by_the_spoon(amount)} {food}" if near.to("cup") else of_food(near, food)


def _option(line: Line, ways: Swapping, around: Surroundings) -> Option | None:
    """The best swap that nobody at the table has to turn down and that does not fail there."""
    if line.food is None:
        return None
    options = ways.options(line.food, line.amount, around, line)
    good = [one for one in options if one.verdict != NO and one.fit != FAILS]
    return next((one for one in good if one.verdict == YES), good[0] if good else None)

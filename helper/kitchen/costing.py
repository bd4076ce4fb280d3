"""What a dish costs: eaten (the lots it draws on, at their own prices) and at the till.

A dish is rounded once, from exact parts; its lines show it in cents that add up to the total. What
cooking it books is the same sum, rounded and shared out in the same way. Optional lines are costed
apart, water and "to taste" cost nothing, and a line without any known price makes the total an "at
least".
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

import msgspec
from msgspec.structs import replace

from helper.kitchen.amounts import Amount, written
from helper.kitchen.buying import Till, needs, to_buy
from helper.kitchen.matching import FREE, TASTE, UNREAD, LineMatch, Match, detail_of
from helper.kitchen.measures import Measures
from helper.kitchen.money import NOTHING, apportioned, to_cents
from helper.kitchen.prices import Prices
from helper.kitchen.stock import Draw


class LineCost(msgspec.Struct, frozen=True):
    """What one line costs: `exact`, and `cost` in the cents that add up to the dish's total.

    Both are None where some of it has no price. `basis` says why.
    """

    food: str | None
    amount: Amount | None
    exact: Decimal | None
    cost: Decimal | None
    basis: tuple[str, ...]
    match: LineMatch


class Costed(msgspec.Struct, frozen=True):
    """What a dish costs.

    `total` is rounded once, over the needed lines; `at_least` True when some line has no price.
    `per_serving` is None where the recipe never said how many it serves. `optional` and `free`
    (water, to taste) stand apart and are not in the total.
    """

    total: Decimal
    at_least: bool
    per_serving: Decimal | None
    servings: float | None
    lines: tuple[LineCost, ...]
    optional: tuple[LineCost, ...]
    free: tuple[LineCost, ...]
    unpriced: tuple[str, ...]
    till: Till | None = None


def cost(found: Match, prices: Prices, measures: Measures | None = None) -> Costed:
    """Costs a matched recipe. With `measures`, also what must be paid at the till for it."""
    lines: list[LineCost] = []
    optional: list[LineCost] = []
    free: list[LineCost] = []
    for line in found.lines:
        if line.state in (FREE, TASTE):
            said = "free" if line.state == FREE else "to taste, not costed"
            free.append(LineCost(line.food, line.amount, NOTHING, NOTHING, (said,), line))
        else:
            (optional if line.line.optional else lines).append(_line_cost(line, prices))
    total = sum((line.exact for line in lines if line.exact is not None), NOTHING)
    unpriced = tuple(
        dict.fromkeys(line.food or line.match.line.text for line in lines if line.cost is None)
    )
    servings = found.recipe.servings
    each = to_cents(total / Decimal(repr(servings))) if servings else None
    till = None if measures is None else to_buy(needs(found.lines), prices, measures)
    return Costed(
        to_cents(total),
        bool(unpriced),
        each,
        servings,
        _in_cents(lines),
        tuple(optional),
        tuple(free),
        unpriced,
        till,
    )


def in_one(draws: Iterable[Draw]) -> tuple[Draw, ...]:
    """The draws of one dish with the cents that add up to what all of them cost, rounded once."""
    found = tuple(draws)
    cents = iter(apportioned([draw.exact for draw in found if draw.exact is not None]))
    return tuple(draw if draw.exact is None else replace(draw, cost=next(cents)) for draw in found)


def _in_cents(lines: Sequence[LineCost]) -> tuple[LineCost, ...]:
    cents = iter(apportioned([line.exact for line in lines if line.exact is not None]))
    return tuple(line if line.exact is None else replace(line, cost=next(cents)) for line in lines)


def _line_cost(found: LineMatch, prices: Prices) -> LineCost:
    """The lots' own prices, and the latest known price for what they do not meet."""
    food, amount = found.food, found.amount
    if found.state == UNREAD or food is None:
        return LineCost(food, amount, None, None, ("the line could not be read",), found)
    if amount is None:
        return LineCost(food, None, None, None, ("no amount is given",), found)
    total: Decimal | None = NOTHING
    basis: list[str] = []
    for draw in found.draws:
        part = draw.exact
        if part is not None:
            basis += (_paid(found, draw.lot.id), *draw.basis)
        elif draw.lot.made_from is None and draw.meets is not None:
            priced = prices.cost(food, draw.meets, detail_of(found.line), found.line.size)
            part = priced.cost if priced else None
            basis += priced.basis if priced else ()
        if part is None:
            basis.append(f"no price is known for the {draw.lot.food} in the house")
        total = None if total is None or part is None else total + part
    if found.short is not None:
        priced = prices.cost(food, found.short, detail_of(found.line), found.line.size)
        if priced is None:
            basis.append(f"no price is known for {food}")
            return LineCost(food, amount, None, None, tuple(basis), found)
        total = None if total is None else total + priced.cost
        basis += priced.basis
    cents = None if total is None else to_cents(total)
    return LineCost(food, amount, total, cents, tuple(dict.fromkeys(basis)), found)


def _paid(found: LineMatch, lot_id: int) -> str:
    draw = next(draw for draw in found.draws if draw.lot.id == lot_id)
    lot = draw.lot
    when = f", bought {lot.bought.isoformat()}" if lot.bought else ""
    where = f" at the {lot.shop}" if lot.shop else ""
    pack = f" {lot.package}" if lot.package else ""
    return (
        f"{written(draw.amount)} from the {written(lot.size)}{pack} of {lot.food} "
        f"at {lot.price}{when}{where}"
    )

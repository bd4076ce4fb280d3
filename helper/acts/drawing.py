"""Taking from the lots: which food is meant, what each lot gives, and the draws written down."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Any

from msgspec.structs import replace

from helper.acts.gaps import Ask, Refuse, ask_size
from helper.acts.house import House
from helper.acts.wording import amount_json, in_place, listed, of_food
from helper.household.draft import Draft
from helper.household.troubles import Clash
from helper.kitchen.amounts import Amount
from helper.kitchen.kin import FORM
from helper.kitchen.lots import Lot
from helper.kitchen.measures import Measures
from helper.kitchen.money import plain
from helper.kitchen.stock import Draw, Stock, Taken

# What a spoon cannot tell is not left over.
_CRUMB = 1e-6
# Whatever is there, in any unit: far more than a house can hold.
_EVERYTHING = 1e12


def lots_meant(house: House, food: str, place: str | None = None, forms: bool = True) -> list[Lot]:
    """The lots a person means by a food's name: of that food, or of the one sort there is.

    With `forms` another form of it will do too: the raw food where the cooked one is named.
    Raises Ask where several foods could be meant and Refuse where there is none.
    """
    lots = [lot for lot in house.lots if place is None or lot.place == place]
    own = [lot for lot in lots if lot.food == food]
    if own:
        return own
    stock = Stock(lots, house.measures)
    kin = [
        one for one in stock.pantry.standing_for(food) if one.sure and (forms or one.rank < FORM)
    ]
    if not kin:
        where = f" {in_place(place)}" if place else ""
        raise Refuse(f"There is no {food}{where} in the books. Nothing was changed.")
    nearest = [one.food for one in kin if one.rank == kin[0].rank]
    if len(nearest) > 1:
        raise Ask(f"Which {food} do you mean?", nearest)
    return [lot for lot in lots if lot.food == nearest[0]]


def plan(
    house: House, lots: Sequence[Lot], food: str, amount: Amount, size: Amount | None = None
) -> Taken:
    """What the lots give to an amount, in the drawing order. Raises Ask for unknown measures."""
    taken = Stock(lots, house.measures).take(food, amount, size=size)
    if taken.unknown and not taken.draws:
        raise ask_size(taken.unknown[0])
    return taken


def everything(house: House, lots: Sequence[Lot], food: str, unit: str | None) -> Taken:
    """All that the lots hold, measured in a unit. Raises Ask for unknown measures."""
    return plan(house, lots, food, Amount(_EVERYTHING, unit))


def all_of(house: House, lots: Iterable[Lot], part: float = 1.0) -> tuple[Draw, ...]:
    """Draws on every lot in its own unit: the whole of each, or a part of all of them."""
    stock = Stock(lots, house.measures)
    draws: list[Draw] = []
    if part >= 1:
        for lot in stock.lots:
            draws.extend(_whole(stock, lot, lot.left.number))
        return tuple(draws)
    whole = sum(lot.left.number / lot.size.number for lot in stock.lots if lot.size.number)
    rest = whole * part
    for lot in stock.lots:
        if rest <= _CRUMB or not lot.size.number:
            break
        used = min(lot.left.number, rest * lot.size.number)
        draws.extend(_whole(stock, lot, used))
        rest -= used / lot.size.number
    return tuple(draws)


def _whole(stock: Stock, lot: Lot, used: float) -> tuple[Draw, ...]:
    only = Stock([lot], stock.measures)
    return only.take(lot.food, Amount(used, lot.left.unit)).draws


def write_draws(draft: Draft, draws: Iterable[Draw], today: dt.date) -> None:
    """Takes the draws from their lots; a package begun today is marked as opened."""
    for draw in draws:
        lot = draft.lot(draw.lot.id)
        if lot is None or lot.left.number < draw.amount.number * (1 - 1e-9) - _CRUMB:
            raise Clash("stock", draw.lot.id)
        draft.put("stock", drawn(lot, draw.amount.number, today))


def drawn(lot: Lot, used: float, today: dt.date) -> Lot:
    """The lot after so much was taken from it."""
    left = max(lot.left.number - used, 0.0)
    if left <= _CRUMB * max(lot.size.number, 1e-9):
        left = 0.0
    packages = left / lot.size.number if lot.size.number else 0.0
    begun = abs(packages - round(packages)) > _CRUMB
    opened = (lot.opened or today) if begun else None
    return replace(lot, left=Amount(left, lot.left.unit), opened=opened)


def taken_json(draws: Iterable[Draw], fate: str) -> list[dict[str, Any]]:
    """The contract's `taken`: one entry a lot, in the unit asked for where one was."""
    found = []
    for draw in draws:
        amount = draw.meets if draw.meets is not None else draw.amount
        found.append(
            {
                "food": draw.lot.food,
                **amount_json(amount),
                "cost": plain(draw.cost),
                "fate": fate,
                "lot": draw.lot.id,
            }
        )
    return found


def taken_written(draws: Sequence[Draw], measures: Measures) -> str:
    """What was taken, added up where one unit measures it all: "2 cups all-purpose flour"."""
    amounts = [draw.meets if draw.meets is not None else draw.amount for draw in draws]
    foods = list(dict.fromkeys(draw.lot.food for draw in draws))
    if len(foods) == 1:
        unit = amounts[0].unit
        same = [measures.convert(foods[0], amount, unit) for amount in amounts]
        numbers = [one.amount.number for one in same if one is not None]
        if len(numbers) == len(amounts):
            return of_food(Amount(sum(numbers), unit), foods[0])
    return listed(
        of_food(amount, draw.lot.food) for amount, draw in zip(amounts, draws, strict=True)
    )

"""The stock as a cook sees it: lots in the order they are drawn, and what is left as lines draw.

Opened lots go first, then the earliest best-by (none last), then the earliest bought (unknown
last), then the first entered. A draw never takes a lot below nothing; what is not there is short.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

import msgspec

from helper.kitchen.amounts import Amount, written
from helper.kitchen.forms import Met, across
from helper.kitchen.kin import FORM, SAME, Kin, Pantry
from helper.kitchen.lots import Lot
from helper.kitchen.measures import Measures, Unknown
from helper.kitchen.money import NOTHING, left_in_cents, share
from helper.kitchen.units import units

# Labels differ by an ounce or so for what cooks call the same can.
_SAME_PACKAGE = 0.15


class Draw(msgspec.Struct, frozen=True):
    """What one lot gives to one need.

    `amount` in the lot's unit, `meets` in the unit asked for. `exact` is the lot's own price for
    it, unrounded; `cost` the cents to book: the lot's rounded value before less the one after,
    so that draws and what is left always add up to what was paid. Both None for unpriced lots.
    `do` is what the cook must do first; `sure` False where the names do not settle it; `doubtful`
    where the lot has to be looked at before anybody eats of it.
    """

    lot: Lot
    amount: Amount
    meets: Amount | None
    exact: Decimal | None
    cost: Decimal | None
    basis: tuple[str, ...] = ()
    do: str = ""
    sure: bool = True
    doubtful: bool = False


class Taken(msgspec.Struct, frozen=True):
    """What all lots give to one need.

    `short` is what is missing in the unit asked for, None when nothing is. `unknown` tells which
    measures keep lots of the right food from being counted at all.
    """

    draws: tuple[Draw, ...] = ()
    short: Amount | None = None
    unknown: tuple[Unknown, ...] = ()


def drawing_order(lot: Lot) -> tuple[bool, dt.date, dt.date, int]:
    """Sorts lots as they are drawn."""
    return (lot.opened is None, lot.best_by or dt.date.max, lot.bought or dt.date.max, lot.id)


def worth(lot: Lot, left: float) -> Decimal | None:
    """What so much of a lot is worth at its own price, unrounded; None where it has no price."""
    if lot.price is None or not lot.size.number:
        return None
    return share(lot.price, left, lot.size.number)


def booked(lot: Lot, left: float) -> Decimal | None:
    """What so much of a lot is worth in the books, in cents; None where it has no price."""
    value = worth(lot, left)
    return None if value is None else left_in_cents(value)


def past_its_date(lot: Lot, today: dt.date) -> bool:
    """True for lots that must be looked at before they are eaten: kept cold, and past their date.

    On the shelf and in the freezer a date speaks of quality; in the fridge, of spoilage too
    (USDA FSIS, Food Product Dating).
    """
    return lot.place == "fridge" and lot.best_by is not None and lot.best_by < today


class Stock:
    """Lots, and how much of each is still free. `take` plans a draw; `draw` also marks it used.

    Told what day it is, lots past their date are drawn last and every draw on them is marked.
    """

    def __init__(
        self, lots: Iterable[Lot], measures: Measures, today: dt.date | None = None
    ) -> None:
        self.measures = measures
        self.today = today
        self.lots = sorted((lot for lot in lots if lot.left.number > 0), key=drawing_order)
        self.by_food: defaultdict[str, list[Lot]] = defaultdict(list)
        for lot in self.lots:
            self.by_food[lot.food].append(lot)
        self.pantry = Pantry(measures.foods, self.by_food)
        self._doubtful = frozenset(
            lot.id for lot in self.lots if today is not None and past_its_date(lot, today)
        )
        self._left = {lot.id: lot.left.number for lot in self.lots}
        self._full = dict(self._left)
        self._rates: dict[tuple[object, ...], Met | None] = {}

    def fresh(self) -> None:
        """Forgets all draws."""
        self._left = dict(self._full)

    def left(self, lot: Lot) -> Amount:
        """What is still free of a lot."""
        return Amount(self._left.get(lot.id, 0.0), lot.left.unit)

    def holds(self, food: str) -> bool:
        """True when some lot could stand for a food, whatever the amount."""
        return any(kin.sure for kin in self.pantry.standing_for(food))

    def draw(self, taken: Taken) -> None:
        """Marks planned draws as used."""
        for draw in taken.draws:
            left = self._left[draw.lot.id] - draw.amount.number
            self._left[draw.lot.id] = left if left > 1e-9 * draw.lot.size.number else 0.0

    def take(
        self,
        food: str,
        amount: Amount | None,
        detail: str = "",
        size: Amount | None = None,
        claims: tuple[str, ...] = (),
    ) -> Taken:
        """Plans how the lots meet an amount of a food; `amount` None asks only if there is any.

        Lots of the very food come first, then sorts of it, other forms, wider names. One food
        that meets all is preferred to several; doubtful lots come in only where the others do not
        meet it. `claims` are labels a lot must carry.
        """
        groups = [
            (kin, lots)
            for kin in self.pantry.standing_for(food)
            if (
                lots := [
                    lot
                    for lot in self.by_food[kin.food]
                    if self._left[lot.id] > 0 and set(claims) <= set(lot.claims)
                ]
            )
        ]
        if not self._doubtful:
            return self._taken(food, amount, detail, size, groups)
        good = [
            (kin, sound)
            for kin, lots in groups
            if (sound := [lot for lot in lots if lot.id not in self._doubtful])
        ]
        taken = self._taken(food, amount, detail, size, good)
        if good == groups or (taken.short is None and (amount is not None or taken.draws)):
            return taken
        groups = [(kin, sorted(lots, key=self._is_doubtful)) for kin, lots in groups]
        return self._taken(food, amount, detail, size, groups)

    def _is_doubtful(self, lot: Lot) -> bool:
        return lot.id in self._doubtful

    def _taken(
        self,
        food: str,
        amount: Amount | None,
        detail: str,
        size: Amount | None,
        groups: list[tuple[Kin, list[Lot]]],
    ) -> Taken:
        if amount is None:
            return self._any(groups)
        unknown: list[Unknown] = []
        plans = []
        for kin, lots in groups:
            plan = self._plan(food, amount, detail, size, kin, lots)
            if isinstance(plan, Unknown):
                unknown.append(plan)
            elif plan.short is None:
                return plan
            elif plan.draws:
                plans.append((kin, lots))
        draws: list[Draw] = []
        rest: Amount | None = amount
        for kin, lots in plans:
            if rest is None:
                break
            part = self._plan(food, rest, detail, size, kin, lots)
            if isinstance(part, Taken):
                draws.extend(part.draws)
                rest = part.short
        return Taken(tuple(draws), rest, tuple(dict.fromkeys(unknown)))

    def _any(self, groups: list[tuple[Kin, list[Lot]]]) -> Taken:
        """Some of it is there: the first lot is named, nothing is drawn from it."""
        for kin, lots in groups:
            if kin.rank <= FORM:
                lot = lots[0]
                return Taken(
                    (
                        Draw(
                            lot,
                            Amount(0, lot.left.unit),
                            None,
                            NOTHING,
                            NOTHING,
                            doubtful=self._is_doubtful(lot),
                        ),
                    )
                )
        return Taken()

    def _plan(
        self,
        food: str,
        amount: Amount,
        detail: str,
        size: Amount | None,
        kin: Kin,
        lots: list[Lot],
    ) -> Taken | Unknown:
        """Draws on lots of one food. Unknown when none of them can be measured against it."""
        draws: list[Draw] = []
        wanted = rest = amount.number
        measured = False
        for lot in lots:
            rate = self.rate(food, amount.unit, detail, size, lot)
            if rate is None or not rate.amount.number:
                continue
            measured = True
            if rest <= wanted * 1e-9:
                break
            left = self._left[lot.id]
            asked = rest * rate.amount.number
            used = left if asked > left * (1 - 1e-9) else asked
            met = rest if used == asked else min(rest, used / rate.amount.number)
            draws.append(self._draw(food, lot, used, Amount(met, amount.unit), rate, kin))
            rest -= met
        if not measured:
            return self.measures.unknown(food, amount, lots[0].left.unit, size)
        short = Amount(rest, amount.unit) if rest > wanted * 1e-9 else None
        return Taken(tuple(draws), short)

    def _draw(self, food: str, lot: Lot, used: float, meets: Amount, rate: Met, kin: Kin) -> Draw:
        left = self._left[lot.id]
        before, after = booked(lot, left), booked(lot, max(left - used, 0.0))
        cost = None if before is None or after is None else before - after
        basis = rate.basis
        if kin.rank != SAME:
            basis = (f"{lot.food} stands for {food}", *basis)
        return Draw(
            lot,
            Amount(used, lot.left.unit),
            meets,
            worth(lot, used),
            cost,
            basis,
            rate.do,
            kin.sure,
            self._is_doubtful(lot),
        )

    def rate(
        self, food: str, unit: str | None, detail: str, size: Amount | None, lot: Lot
    ) -> Met | None:
        """How much of a lot, in its own unit, meets ONE unit of a need."""
        key = (food, unit, detail, size, lot.food, lot.left.unit, lot.package, lot.size)
        if key not in self._rates:
            self._rates[key] = self._find_rate(food, unit, detail, size, lot)
        return self._rates[key]

    def _find_rate(
        self, food: str, unit: str | None, detail: str, size: Amount | None, lot: Lot
    ) -> Met | None:
        one = Amount(1, unit)
        packed = units()[unit or "piece"].dimension == "package"
        if packed and lot.package == unit:
            inner = None if size is None else self.measures.convert(lot.food, size, lot.size.unit)
            if inner is None or _near(inner.amount.number, lot.size.number):
                said = f"one {unit} of the {lot.package}s in the house, {written(lot.size)} each"
                return Met(lot.size, (said,))
        return across(self.measures, food, one, lot.food, lot.left.unit, detail, size)


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= _SAME_PACKAGE * max(one, other)


def draw(
    lots: Iterable[Lot],
    food: str,
    amount: Amount,
    measures: Measures,
    detail: str = "",
    size: Amount | None = None,
) -> Taken:
    """What to take of a food out of the lots; nothing is changed. See `Draw.cost` for money."""
    return Stock(lots, measures).take(food, amount, detail, size)

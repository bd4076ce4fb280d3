"""Prices known: paid for lots, or seen without buying. The newest is what a food costs."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

import msgspec

from helper.kitchen.amounts import Amount, written
from helper.kitchen.forms import Met, across
from helper.kitchen.kin import FORM, Pantry
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.measures import Measures
from helper.kitchen.money import share


class Known(msgspec.Struct, frozen=True):
    """A price on record: what ONE package of `size` cost, where and when."""

    food: str
    size: Amount
    price: Decimal
    package: str | None = None
    shop: str | None = None
    date: dt.date | None = None

    def __str__(self) -> str:
        pack = f" {self.package}" if self.package else ""
        where = f" at the {self.shop}" if self.shop else ""
        when = f" on {self.date.isoformat()}" if self.date else ""
        return f"{written(self.size)}{pack} of {self.food} for {self.price}{where}{when}"


class Priced(msgspec.Struct, frozen=True):
    """What an amount costs at a known price, unrounded, and the sentences it rests on."""

    cost: Decimal
    known: Known
    amount: Amount
    basis: tuple[str, ...]


class Prices:
    """Every price of a household. Leftovers and by-products were never sold, so have none here."""

    def __init__(self, seen: Iterable[PriceSeen], lots: Iterable[Lot], measures: Measures) -> None:
        self._measures = measures
        found: defaultdict[str, list[tuple[dt.date, int, int, Known]]] = defaultdict(list)
        for one in seen:
            known = Known(one.food, one.size, one.price, one.package, one.shop, one.date)
            found[one.food].append((one.date or dt.date.min, 0, one.id, known))
        for lot in lots:
            if lot.price is not None and lot.made_from is None and lot.size.number > 0:
                known = Known(lot.food, lot.size, lot.price, lot.package, lot.shop, lot.bought)
                found[lot.food].append((lot.bought or dt.date.min, 1, lot.id, known))
        self._known = {
            food: tuple(known for *_, known in sorted(rows, key=lambda row: row[:3], reverse=True))
            for food, rows in found.items()
        }
        self._pantry = Pantry(measures.foods, self._known)
        self._rates: dict[tuple[object, ...], tuple[Met, Known] | None] = {}

    def history(self, food: str) -> tuple[Known, ...]:
        """Every price of exactly this food, newest first."""
        return self._known.get(food, ())

    def latest(self, food: str) -> Known | None:
        """The newest price of exactly this food."""
        return next(iter(self.history(food)), None)

    def candidates(self, food: str) -> tuple[Known, ...]:
        """Newest prices first of the food itself, then of sorts and other forms of it."""
        return tuple(
            known
            for kin in self._pantry.standing_for(food)
            if kin.rank <= FORM and kin.sure
            for known in self._known[kin.food]
        )

    def cost(
        self, food: str, amount: Amount, detail: str = "", size: Amount | None = None
    ) -> Priced | None:
        """What an amount costs at the newest price that can be measured against it, or None."""
        key = (food, amount.unit, detail, size)
        if key not in self._rates:
            self._rates[key] = self._rate(food, Amount(1, amount.unit), detail, size)
        found = self._rates[key]
        if found is None:
            return None
        rate, known = found
        part = rate.amount.number * amount.number
        used = Amount(part, known.size.unit)
        return Priced(
            share(known.price, part, known.size.number),
            known,
            used,
            (f"latest price: {known}", *rate.basis),
        )

    def _rate(
        self, food: str, one: Amount, detail: str, size: Amount | None
    ) -> tuple[Met, Known] | None:
        for known in self.candidates(food):
            if known.package is not None and known.package == one.unit and size is None:
                return Met(known.size, ()), known
            met = across(self._measures, food, one, known.food, known.size.unit, detail, size)
            if met is not None and known.size.number > 0:
                return met, known
        return None

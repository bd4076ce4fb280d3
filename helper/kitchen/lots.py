"""Lots: what is in the house, in the packages it came in, at the price really paid."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import msgspec

from helper.kitchen.amounts import Amount


class Lot(msgspec.Struct, frozen=True, omit_defaults=True):
    """One purchase (or cooked batch) of one food.

    `left` is what remains over all its packages, in the unit of `size`, the contents of ONE
    package; `packages` how many came in; `price` what ONE package cost (None = not known;
    a leftover's price is its share of what went into it). `claims` are label-claim ids.
    `made_from` names the recipe of a leftover or by-product.
    """

    id: int
    food: str
    left: Amount
    size: Amount
    packages: float = 1
    package: str | None = None
    price: Decimal | None = None
    place: str = "shelf"
    bought: dt.date | None = None
    best_by: dt.date | None = None
    opened: dt.date | None = None
    shop: str | None = None
    claims: tuple[str, ...] = ()
    made_from: str | None = None
    note: str | None = None
    state: str | None = None


class PriceSeen(msgspec.Struct, frozen=True, omit_defaults=True):
    """A price paid or seen: what ONE package of `size` cost, where and when."""

    id: int
    food: str
    size: Amount
    price: Decimal
    package: str | None = None
    shop: str | None = None
    date: dt.date | None = None
    paid: bool = False


class Level(msgspec.Struct, frozen=True, omit_defaults=True):
    """How much of a food this household wants always to have."""

    id: int
    food: str
    amount: Amount

"""The shopping list: what is short for menus, recipes and levels, in the order of a walk round a
shop, with the packages that cost least."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from functools import cache

import msgspec

from helper.kitchen.amounts import Amount
from helper.kitchen.buying import Buy, Need, Till, to_buy
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Level
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Known, Prices
from helper.kitchen.stock import Stock
from rules.tables import rows

_OTHER = ("Other things", 99)
# What a line that a level asks for is wanted for.
LEVEL = "to keep in the house"


class Item(msgspec.Struct, frozen=True):
    """One line of the list: what to buy, where it lies in the shop and what it is wanted for.

    `shop` is where the price was last seen; `cheaper` a lower price of the same package elsewhere.
    """

    buy: Buy
    group: str
    wanted_for: tuple[str, ...]
    shop: str | None = None
    cheaper: Known | None = None


class Wish(msgspec.Struct, frozen=True):
    """Something wanted: the need, and for what."""

    need: Need
    wanted_for: str


class ShoppingList(msgspec.Struct, frozen=True):
    """The list. `total` is what the priced lines come to; `unpriced` make it an "at least"."""

    items: tuple[Item, ...]
    total: Decimal
    unpriced: tuple[str, ...]


def listed(wishes: Sequence[Wish], prices: Prices, measures: Measures) -> ShoppingList:
    """Needs of one food are added, met by whole packages, and put in the order of the shop."""
    till: Till = to_buy([wish.need for wish in wishes], prices, measures)
    reasons: dict[Need, list[str]] = {}
    for wish in wishes:
        if wish.wanted_for:
            reasons.setdefault(wish.need, []).append(wish.wanted_for)
    items = []
    for buy in till.buys:
        why = [reason for need in buy.wanted for reason in reasons.get(need, ())]
        known = _price_of(buy, prices)
        items.append(Item(
            buy, group_of(buy.food, measures.foods)[0], tuple(dict.fromkeys(why)),
            known.shop if known else None, _cheaper(buy, known, prices),
        ))  # fmt: skip
    items.sort(key=lambda one: (group_of(one.buy.food, measures.foods)[1], one.buy.food))
    return ShoppingList(tuple(items), till.total, till.unpriced)


def below(levels: Iterable[Level], stock: Stock, measures: Measures) -> list[Wish]:
    """What is under the level the house wants to hold, by what is short."""
    wishes = []
    for level in levels:
        there = 0.0
        for lot in stock.by_food.get(level.food, ()):
            left = measures.convert(lot.food, lot.left, level.amount.unit)
            there += left.amount.number if left else 0.0
        short = level.amount.number - there
        if short > 1e-6 * max(1.0, level.amount.number):
            need = Need(level.food, Amount(short, level.amount.unit))
            wishes.append(Wish(need, LEVEL))
    return wishes


def _price_of(buy: Buy, prices: Prices) -> Known | None:
    """The price the line is costed at: the newest of that very package."""
    return next(
        (one for one in prices.history(buy.food)
         if one.size == buy.size and one.package == buy.package), None)  # fmt: skip


def _cheaper(buy: Buy, known: Known | None, prices: Prices) -> Known | None:
    """The lowest newest price of the same package in another shop, where it is lower."""
    if known is None:
        return None
    newest: dict[str | None, Known] = {}
    for one in prices.history(buy.food):
        if one.size == buy.size and one.package == buy.package:
            newest.setdefault(one.shop, one)
    best = min(newest.values(), key=lambda one: one.price)
    return best if best.price < known.price else None


# -- where it lies in the shop ---------------------------------------------------------------


@cache
def _groups() -> list[tuple[str, int, frozenset[str], frozenset[str]]]:
    return [
        (row["group"], int(row["order"]), frozenset(row["kinds"].split(";")),
         frozenset(filter(None, row["forms"].split(";"))))
        for row in rows("books/shop_groups.csv")
    ]  # fmt: skip


def group_of(food: str, foods: Foods) -> tuple[str, int]:
    """The part of the shop and its place in the walk: by the form it is sold in, else by kind,
    the narrowest kind that is listed."""
    form = foods[food].form
    for group, order, _, forms in _groups():
        if form and form in forms:
            return group, order
    for kind in (food, *foods.kinds(food)):
        for group, order, kinds, _ in _groups():
            if kind in kinds:
                return group, order
    return _OTHER

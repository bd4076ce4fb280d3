"""The shopping list as it is told."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from helper.acts.house import House
from helper.acts.wording import amount_json, listed, packed, unit_json
from helper.answers import Answer, Because, Block, Column, Say, Table
from helper.kitchen.amounts import Amount, written
from helper.kitchen.buying import Need
from helper.kitchen.money import plain
from helper.kitchen.money import written as money
from helper.kitchen.shopping import Item, ShoppingList
from helper.kitchen.spoons import spooned
from helper.reading.reading import Reading


def told(
    reading: Reading,
    house: House,
    found: ShoppingList,
    lead: str = "",
    *,
    changed: bool = False,
    by_shop: bool = False,
) -> Answer:
    """The list in the order of a walk round the shop, and what it comes to; or shop by shop."""
    total = money(found.total, house.currency)
    least = "at least " if found.unpriced else ""
    blocks: list[Block] = []
    if lead:
        blocks.append(Say(lead, "good" if changed else "plain"))
    if not found.items:
        blocks.append(Say("Nothing to buy."))
    else:
        count = f"{len(found.items)} things" if len(found.items) > 1 else "1 thing"
        paid = f"{least}{total}" if found.total else "the price not known"
        blocks.append(Say(f"{count} to buy, {paid}."))
        rows: list[tuple[str, ...]] = []
        walk = sorted(found.items, key=_shop) if by_shop else found.items
        for group, items in groupby(walk, key=_shop if by_shop else _group):
            for place, item in enumerate(items):
                cost = money(item.buy.cost, house.currency) if item.buy.cost else "?"
                where = group[1] if place == 0 else ""
                rows.append((where, item.buy.food, packages_written(item), cost))
        columns = (Column("Where"), Column("What"), Column("How much"), Column("Cost", right=True))
        blocks.append(Table(columns, tuple(rows)))
    if found.unpriced:
        blocks.append(Say(f"No price is known for {listed(found.unpriced)}.", "quiet"))
    for item in found.items:
        if item.cheaper is not None:
            blocks.append(Say(f"{item.buy.food} was cheaper: {item.cheaper}.", "quiet"))
    return Answer(
        reading,
        {
            "to_buy": [item_json(item) for item in found.items],
            "till_cost": plain(found.total),
            "unpriced": list(found.unpriced),
            "at_least": bool(found.unpriced),
        },
        tuple(blocks),
        changed=changed,
        because=tuple(_because(item) for item in found.items),
        offered=tuple(item.buy.food for item in found.items),
        foods=reading.foods,
    )


def _group(item: Item) -> tuple[str, str]:
    return "", item.group


def _shop(item: Item) -> tuple[str, str]:
    """Where its price was last seen; what no shop is known for comes last."""
    return ("", item.shop) if item.shop else ("~", "any shop")


def packages_written(item: Item) -> str:
    """How much to buy of a line: "2 cans of 15 1/2 oz"; the bare need where no package is known."""
    buy = item.buy
    if buy.packages is not None and buy.size is not None:
        if buy.package:
            return f"{packed(buy.packages, buy.package)} of {written(buy.size)}"
        return written(buy.size.times(buy.packages))
    return " and ".join(map(spooned, _added(buy.wanted))) or "some"


def _added(wanted: Iterable[Need]) -> list[Amount]:
    """The amounts wanted, those of one dimension added up."""
    sums: list[Amount] = []
    for amount in (need.amount for need in wanted if need.amount is not None):
        for at, one in enumerate(sums):
            also = amount.to(one.unit)
            if also is not None:
                sums[at] = Amount(one.number + also.number, one.unit)
                break
        else:
            sums.append(amount)
    return sums


def item_json(item: Item) -> dict[str, Any]:
    """One line for programs; `amount` is what ONE package holds, or the need without packages."""
    buy = item.buy
    amount = buy.size or next(iter(_added(buy.wanted)), None)
    return {
        "food": buy.food,
        "packages": buy.packages,
        "package": None if buy.package is None else unit_json(buy.package),
        **amount_json(amount),
        "cost": plain(buy.cost),
        "group": item.group,
        "for": list(item.wanted_for),
        "shop": item.shop,
    }


def _because(item: Item) -> Because:
    why = listed(item.wanted_for) or "put on the list"
    return Because(f"{item.buy.food}: {why}",
                   because=tuple(Because(line) for line in item.buy.basis))  # fmt: skip

"""Things compared by price, as records and as they are shown."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import msgspec

from helper.acts.house import House
from helper.acts.pricing import per_unit_written
from helper.acts.wording import listed
from helper.answers import Bars, Block, Column, Say, Table
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written


class Option(msgspec.Struct, frozen=True):
    """One of the things compared: `cost` is what is paid for it, `each` that by the `unit`.

    `each` None where no price is known or it has not that measure. `note` is what a person should
    know beside the money: work to do, time it takes.
    """

    what: str
    cost: Decimal | None
    each: Decimal | None
    unit: str | None
    measure: str = ""
    note: str = ""
    basis: tuple[str, ...] = ()

    @property
    def by(self) -> str:
        """The measure in a word."""
        return self.measure or self.unit or "piece"


def each_of(option: Option) -> Decimal:
    """Its price by the unit; beyond all others where that is not known."""
    return option.each if option.each is not None else Decimal("Infinity")


def option_json(option: Option) -> dict[str, Any]:
    """An option as programs get it."""
    return {
        "what": option.what,
        "cost": plain(option.cost),
        "per_unit": None if option.each is None else str(option.each),
        "unit": option.unit,
        "by": option.measure,
        "note": option.note,
    }


def option_written(option: Option, house: House) -> str:
    """An option in a line."""
    if option.cost is None:
        return f"{option.what}: no price known"
    said = f"{option.what}: {money_written(option.cost, house.currency)}"
    if option.each is not None:
        said += f", {_money(option, house)} a {option.measure or option.unit or 'piece'}"
    return said


def comparison(
    options: Sequence[Option], priced: Sequence[Option], saving: Decimal | None, house: House
) -> tuple[Block, ...]:
    """The answer in a sentence, bars to compare by eye, and what is paid for each."""
    blocks: list[Block] = []
    unpriced = [one.what for one in options if one.cost is None]
    if saving is None and unpriced:
        text = f"I cannot tell: no price is known for {listed(unpriced)}. Tell me one."
        blocks.append(Say(text, "warn"))
    elif saving is None:
        unknown = [one.what for one in options if one.each is None]
        blocks.append(
            Say(f"I cannot tell: {listed(unknown)} cannot be measured like the other.", "warn")
        )
    else:
        best, next_ = priced[0], priced[1]
        measure = best.by
        if saving == 0:
            blocks.append(Say(f"{best.what} and {next_.what} cost the same by the {measure}."))
        else:
            shown = [_money(one, house) for one in (best, next_)]
            percent = f"{saving / each_of(next_) * 100:.0f}%" if each_of(next_) else ""
            blocks.append(
                Say(
                    f"{best.what[0].upper()}{best.what[1:]} is cheaper: {shown[0]} a {measure} "
                    f"against {shown[1]}, {percent} less.",
                    "good",
                )
            )
    bars = tuple((one.what, float(one.each), _money(one, house)) for one in priced if one.each)
    if len(bars) > 1:
        blocks.append(Bars(bars, f"by the {priced[0].by}"))
    rows = tuple(
        (
            one.what,
            money_written(one.cost, house.currency) if one.cost is not None else "no price",
            one.note,
        )
        for one in options
    )
    blocks.append(Table((Column("what"), Column("paid", right=True), Column("to know")), rows))
    return tuple(blocks)


def _money(option: Option, house: House) -> str:
    return per_unit_written(each_of(option), None, house.currency).removesuffix(" each")

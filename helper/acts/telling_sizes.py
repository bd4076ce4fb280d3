"""Sizes that the household tells of its own packages are remembered: nobody is asked twice."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.filling import TOLD
from helper.acts.house import House
from helper.acts.wording import of_food
from helper.household.draft import Draft
from helper.household.records import Told
from helper.kitchen.amounts import Amount
from helper.kitchen.units import units
from helper.reading.reading import Reading


def with_sizes(reading: Reading, house: House) -> Reading:
    """Puts sizes told in answer to a question into the books, before they are used.

    What a cup weighs is known from there on; a size beside the amount is for packages only.
    """
    if TOLD not in reading.marks:
        return reading
    _remember(reading, house)
    amounts = tuple(
        replace(said, size=None)
        if said.amount.unit and units()[said.amount.unit].dimension == "volume"
        else said
        for said in reading.amounts
    )
    return replace(reading, amounts=amounts)


def _remember(reading: Reading, house: House) -> None:
    for said in reading.amounts:
        if said.size is None or said.food is None:
            continue
        fact = Told(
            0, "size", said.food, said.amount.unit, said.size, date=house.today, text=reading.said
        )
        if any(_same(fact, old) for old in house.books.told("size")):
            continue

        def prepare(draft: Draft, fact: Told = fact) -> None:
            old = next((one for one in draft.told("size") if _about_same(fact, one)), None)
            if old is not None:
                draft.remove("told", old.id)
            draft.add("told", fact)

        one = of_food(Amount(1, said.amount.unit), said.food)
        house.books.change(
            prepare, act="told", said=reading.said, summary=f"Noted: {one} is {said.size}"
        )


def _about_same(one: Told, other: Told) -> bool:
    return (one.food, one.package) == (other.food, other.package)


def _same(one: Told, other: Told) -> bool:
    return _about_same(one, other) and one.size == other.size

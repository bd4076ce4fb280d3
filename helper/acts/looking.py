"""Looking at the shelf: what is in the house, and what should be used first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from helper.acts.house import House
from helper.acts.wording import (
    amount_json,
    contents,
    day_written,
    days_written,
    in_place,
    listed,
    lot_json,
    of_food,
)
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.amounts import Amount, written
from helper.kitchen.due import SOON, due, opened, use_by
from helper.kitchen.facts import state
from helper.kitchen.lots import Lot
from helper.kitchen.money import written as money_written
from helper.kitchen.stock import drawing_order
from helper.kitchen.units import units
from helper.reading.reading import Reading

PLACES = ("shelf", "fridge", "freezer")
_LONGEST_LIST = 60


def stock(reading: Reading, house: House) -> Answer:
    """What is in the house: of foods, in a place, opened only, or all of it."""
    lots = [
        lot
        for lot in house.lots
        if (reading.place is None or lot.place == reading.place)
        and ("opened" not in reading.marks or lot.opened)
    ]
    if reading.foods:
        return _of_foods(reading, house, lots)
    lots.sort(key=drawing_order)
    where = f" {in_place(reading.place)}" if reading.place else ""
    kind = "open packages" if "opened" in reading.marks else "lots"
    blocks: list[Block] = []
    if not lots:
        nothing = "Nothing is open" if "opened" in reading.marks else "Nothing is down in the books"
        blocks.append(Say(f"{nothing}{where}."))
    elif "opened" in reading.marks:
        lots = list(opened(lots))
        blocks.append(Say(f"{len(lots)} {kind}{where}."))
        blocks.append(_table(lots, house))
    else:
        foods = {lot.food for lot in lots}
        foods_ = "food" if len(foods) == 1 else "foods"
        lots_ = kind if len(lots) > 1 else kind[:-1]
        blocks.append(Say(f"{len(foods)} {foods_} in {len(lots)} {lots_}{where}."))
        for place in PLACES:
            here = [lot for lot in lots if lot.place == place]
            if here:
                blocks += _place(place, here, house, heading=reading.place is None)
    return Answer(reading, {"lots": [lot_json(lot) for lot in lots], "total": None}, tuple(blocks))


def _of_foods(reading: Reading, house: House, lots: Sequence[Lot]) -> Answer:
    found: list[Lot] = []
    blocks: list[Block] = []
    totals: list[Amount | None] = []
    where = f" {in_place(reading.place)}" if reading.place else ""
    because: list[Because] = []
    for food in reading.foods:
        here = sorted(meant_by(food, lots, house), key=drawing_order)
        counted = counted_in(food, here, house)
        total = total_of(counted, house)
        totals.append(total if here else Amount(0, None))
        found += [lot for lot in here if lot not in found]
        if not here:
            blocks.append(Say(f"No {food}{where or ' in the house'}."))
            continue
        blocks.append(Say(_answer_line(food, here, counted, total, where)))
        because.append(_added_up(food, counted, total))
    if found and (len(found) > 1 or len(reading.foods) == 1):
        blocks.append(_table(found, house))
    total = totals[0] if len(totals) == 1 else None
    reply: dict[str, Any] = {
        "lots": [lot_json(lot) for lot in found],
        "total": None if total is None else amount_json(total),
    }
    if len(totals) > 1:
        reply["totals"] = [
            {"food": food, **amount_json(one)}
            for food, one in zip(reading.foods, totals, strict=True)
        ]
    return Answer(reading, reply, tuple(blocks), because=tuple(because), foods=reading.foods)


def meant_by(food: str, lots: Iterable[Lot], house: House) -> list[Lot]:
    """Lots of a food, of its forms and of its sorts; "leftover" means all lots in that state."""
    family = set(house.foods.family(food)) | {food}
    return [
        lot
        for lot in lots
        if lot.food in family or lot.state == food or house.foods.covers(food, lot.food)
    ]


def counted_in(food: str, lots: Sequence[Lot], house: House) -> list[Lot]:
    """The lots whose total answers "how much": those in the form asked about, or else all."""
    asked = state(house.foods[food].form)
    alike = [lot for lot in lots if state(house.foods[lot.food].form) == asked]
    # a sort with a name of its own is no part of the plain food: sweet potatoes are no potatoes
    alike = [lot for lot in alike if lot.food == food] or alike
    if alike or any(lot.state == food for lot in lots):
        return alike
    return [lot for lot in lots if lot.food == lots[0].food]


def total_of(lots: Sequence[Lot], house: House) -> Amount | None:
    """All lots added up in the unit most of it is measured in; None where they do not add."""
    if not lots:
        return None
    by_unit: defaultdict[str | None, float] = defaultdict(float)
    for lot in lots:
        size = units()[lot.left.unit or "piece"].size or 1.0
        by_unit[lot.left.unit] += lot.left.number * size
    unit = max(by_unit, key=lambda one: by_unit[one])
    total = 0.0
    for lot in lots:
        part = house.measures.convert(lot.food, lot.left, unit)
        if part is None:
            return None
        total += part.amount.number
    return Amount(total, unit)


def _answer_line(
    food: str, here: Sequence[Lot], counted: Sequence[Lot], total: Amount | None, where: str
) -> str:
    shown = counted or here
    places = [place for place in PLACES if any(lot.place == place for lot in shown)]
    there = where or " " + listed(in_place(place) for place in places)
    if total is None:
        if len(here) == 1:
            return f"{food.capitalize()}{there}: {contents(here[0])} of {here[0].food}."
        return f"{food.capitalize()}{there}: {len(here)} lots that no one measure adds up."
    others = [lot for lot in here if lot not in counted]
    more = ""
    if others:
        rest = listed(dict.fromkeys(lot.food for lot in others))
        more = f" Beside it: {rest}."
    names = {lot.food for lot in shown}
    name = names.pop() if len(names) == 1 else food
    said = of_food(total, name)
    return f"{said[0].upper()}{said[1:]}{there}.{more}"


def _added_up(food: str, counted: Sequence[Lot], total: Amount | None) -> Because:
    lines = tuple(
        Because(
            f"{written(lot.left)} in lot {lot.id}: {contents(lot)} of {lot.food}",
            source="the household's books",
        )
        for lot in counted
    )
    shown = written(total) if total is not None else "not known in one measure"
    return Because(f"{food}: {shown}", "lots added up", because=lines)


def _table(lots: Sequence[Lot], house: House) -> Table:
    columns: tuple[Column, ...] = (
        Column("food"),
        Column("there is"),
        Column("where"),
        Column("best by"),
    )
    dated = [lot for lot in lots if lot.price is not None]
    if dated and len(lots) <= 12:
        columns = (*columns, Column("price", right=True))
    rows = []
    for lot in lots[:_LONGEST_LIST]:
        state_ = " (open)" if lot.opened else ""
        row = [
            lot.food,
            contents(lot) + state_,
            lot.place,
            day_written(lot.best_by, house.today) if lot.best_by else "",
        ]
        if len(columns) == 5:
            row.append(money_written(lot.price, house.currency) if lot.price is not None else "")
        rows.append(tuple(row))
    return Table(columns, tuple(rows))


def _place(place: str, lots: Sequence[Lot], house: House, heading: bool) -> list[Block]:
    """One place, its foods added up and grouped by kind, a line a kind."""
    by_kind: defaultdict[str, defaultdict[str, list[Lot]]] = defaultdict(lambda: defaultdict(list))
    for lot in lots:
        by_kind[_broad_kind(lot.food, house)][lot.food].append(lot)
    lines = []
    for kind in sorted(by_kind):
        foods = []
        for food, own in sorted(by_kind[kind].items()):
            total = total_of(own, house)
            shown = written(total) if total is not None else listed(contents(one) for one in own)
            foods.append(f"{food} {shown}")
        alone = list(by_kind[kind]) == [kind]
        lines.append(foods[0] if alone else f"{kind or 'other'}: {', '.join(foods)}")
    blocks: list[Block] = [Say(place.capitalize(), "title")] if heading else []
    return [*blocks, Items(tuple(lines))]


def _broad_kind(food: str, house: House) -> str:
    """The kind just below "plant food" and "animal food", or the widest there is."""
    chain = house.foods.kinds(food)
    return chain[-3] if len(chain) > 2 else (chain[0] if chain else "")


def _why_due(lot: Lot, house: House) -> Because:
    until = use_by(lot, house.keeping)
    if until == lot.best_by:
        return Because(f"{lot.food}: best by {lot.best_by}", source="the date in the books")
    said = f"{lot.food}: opened {lot.opened}, keeps until {until} once open"
    return Because(said, source="the book of keeping")


def use_soon(reading: Reading, house: House) -> Answer:
    """What is due in the coming days, what is past its date first."""
    until = reading.until or reading.date
    within = reading.days
    if within is None and until is not None and until >= house.today:
        within = (until - house.today).days
    within = SOON if within is None else within
    lots: Iterable[Lot] = house.lots
    if reading.foods:
        wanted = {lot.id for food in reading.foods for lot in meant_by(food, lots, house)}
        lots = [lot for lot in lots if lot.id in wanted]
    found = due(lots, house.today, within, reading.place, house.keeping)
    past = sum(one.past for one in found)
    where = f" {in_place(reading.place)}" if reading.place else ""
    span = "today" if within == 0 else f"within {within} day{'s' * (within != 1)}"
    blocks: list[Block] = []
    if not found:
        blocks.append(Say(f"Nothing{where} is due {span}.", "good"))
    else:
        first = f"{len(found) - past} to use {span}{where}"
        blocks.append(Say(f"{first}, {past} past the date on it." if past else f"{first}."))
        rows = tuple(
            (
                one.lot.food,
                contents(one.lot) + (" (open)" if one.lot.opened else ""),
                one.lot.place,
                days_written(one.days_left or 0),
            )
            for one in found
        )
        blocks.append(
            Table((Column("food"), Column("there is"), Column("where"), Column("left")), rows)
        )
    reply = {
        "lots": [{**lot_json(one.lot), "days_left": one.days_left} for one in found],
        "days": within,
    }
    because = tuple(_why_due(one.lot, house) for one in found)
    foods = tuple(dict.fromkeys(one.lot.food for one in found))
    return Answer(reading, reply, tuple(blocks), because=because, offered=foods, foods=foods)

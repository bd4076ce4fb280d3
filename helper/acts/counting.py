"""A shelf count that corrects the books, and the levels a house always wants to have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from helper.acts.drawing import everything, lots_meant, plan, write_draws
from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.items import items_of
from helper.acts.levels import all_levels
from helper.acts.putting import place_of, size_of
from helper.acts.telling_sizes import with_sizes
from helper.acts.wording import amount_json, listed, of_food
from helper.answers import Answer, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, written
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Level, Lot
from helper.kitchen.stock import Draw, drawing_order
from helper.kitchen.units import units
from helper.reading.reading import Reading, Said


def recount(reading: Reading, house: House) -> Answer:
    """A shelf count sets what is there of a food, whatever the books thought."""
    reading = with_sizes(reading, house)
    try:
        items = _counted(reading, house.foods)
        corrections = [_correction(said, food, reading, house) for said, food in items]
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)

    def prepare(draft: Draft) -> None:
        for one in corrections:
            one.write(draft, house)
        draft.meta = {
            "before": [one.before for one in corrections],
            "after": [one.after for one in corrections],
        }

    what = listed(f"{one.food}: {one.told}" for one in corrections)
    house.books.change(prepare, act="recount", said=reading.said, summary=f"Counted {what}")
    blocks = tuple(Say(f"{one.food}: {one.told}.", "good") for one in corrections)
    first = corrections[0]
    reply: dict[str, Any] = {"before": first.before, "after": first.after}
    if len(corrections) > 1:
        reply["items"] = [{"before": one.before, "after": one.after} for one in corrections]
    foods = tuple(one.food for one in corrections)
    return Answer(reading, reply, blocks, changed=True, foods=foods)


def _counted(reading: Reading, foods: Foods) -> list[tuple[Said, str]]:
    if not reading.amounts and reading.foods and "last" in reading.marks:
        return [(Said(Amount(0), food), food) for food in reading.foods]
    return items_of(reading, foods)


class _Correction:
    """One food's count against the books."""

    def __init__(self, food: str, place: str, counted: Amount, there: float) -> None:
        self.food = food
        self.before = {"food": food, **amount_json(Amount(there, counted.unit)), "place": place}
        self.after = {"food": food, **amount_json(counted), "place": place}
        self.draws: tuple[Draw, ...] = ()
        self.filled: list[Lot] = []
        self.new: Lot | None = None
        was, now = written(Amount(there, counted.unit)), written(counted)
        self.told = f"{now}, as in the books" if was == now else f"{now} (the books said {was})"

    def write(self, draft: Draft, house: House) -> None:
        """Draws off what is not there, or puts in what the books missed."""
        write_draws(draft, self.draws, house.today)
        for lot in self.filled:
            draft.put("stock", lot)
        if self.new is not None:
            draft.add("stock", self.new)


def _correction(said: Said, food: str, reading: Reading, house: House) -> _Correction:
    counted = sound_amount(said.amount, food, nothing=True)
    try:
        lots = lots_meant(house, food, reading.place, forms=False)
    except Refuse:
        lots = []
    food = lots[0].food if lots else food
    if not counted.number and lots and counted.unit is None:
        counted = Amount(0, lots[0].left.unit)
    there = everything(house, lots, food, counted.unit) if lots else None
    held = sum(draw.meets.number for draw in there.draws if draw.meets) if there else 0.0
    place = reading.place or (lots[0].place if lots else place_of(food, reading, house)[0])
    one = _Correction(food, place, counted, held)
    gap = counted.number - held
    if gap < 0:
        one.draws = plan(house, lots, food, Amount(-gap, counted.unit), said.size).draws
    elif gap > 0:
        _put_in(
            one, Amount(gap, counted.unit), said, lots, there.draws if there else (), place, house
        )
    return one


def _put_in(
    one: _Correction,
    more: Amount,
    said: Said,
    lots: Sequence[Lot],
    draws: Sequence[Draw],
    place: str,
    house: House,
) -> None:
    """More is there than the books say: the newest lot is filled up, the rest has no price."""
    if lots:
        newest = max(lots, key=drawing_order)
        rate = next(
            (
                d.amount.number / d.meets.number
                for d in draws
                if d.lot.id == newest.id and d.meets and d.meets.number
            ),
            None,
        )
        if rate is not None:
            missing = max(newest.size.number * newest.packages - newest.left.number, 0.0)
            fill = min(missing, more.number * rate)
            if fill > 0:
                left = Amount(newest.left.number + fill, newest.left.unit)
                one.filled.append(replace(newest, left=left))
            more = Amount(more.number - fill / rate, more.unit)
    if more.number <= 1e-9:
        return
    package = more.unit if more.unit and units()[more.unit].dimension == "package" else None
    size, count = more, 1.0
    if package is not None:
        size, count = size_of(one.food, package, said.size, house)[0], more.number
    left = Amount(size.number * count, size.unit)
    one.new = Lot(0, one.food, left, size, count, package, None, place, note="found at a count")


def keep_stocked(reading: Reading, house: House) -> Answer:
    """A level of a food that the house always wants to have; where none is named, all of them."""
    if not reading.amounts and not reading.foods:
        return all_levels(reading, house)
    try:
        if not reading.amounts and reading.foods:
            raise Ask(f"How much {listed(reading.foods)} should always be there?", about="amounts")
        items = items_of(reading, house.foods)
        for said, food in items:
            sound_amount(said.amount, food, nothing=True)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)

    def prepare(draft: Draft) -> None:
        for said, food in items:
            old = next((one for one in draft.levels() if one.food == food), None)
            if not said.amount.number:
                if old is not None:
                    draft.remove("levels", old.id)
            elif old is not None:
                draft.put("levels", Level(old.id, food, said.amount))
            else:
                draft.add("levels", Level(0, food, said.amount))

    what = listed(of_food(said.amount, food) for said, food in items)
    house.books.change(
        prepare, act="keep-stocked", said=reading.said, summary=f"Keep {what} in the house"
    )
    blocks = [_level_line(said.amount, food, house) for said, food in items]
    first, food = items[0]
    reply: dict[str, Any] = {"food": food, "level": amount_json(first.amount)}
    if len(items) > 1:
        reply["levels"] = [
            {"food": name, "level": amount_json(said.amount)} for said, name in items
        ]
    return Answer(
        reading, reply, tuple(blocks), changed=True, foods=tuple(name for _, name in items)
    )


def _level_line(level: Amount, food: str, house: House) -> Say:
    if not level.number:
        return Say(f"No level is held for {food} any more.", "good")
    said = f"At least {of_food(level, food)} will always be wanted in the house"
    try:
        lots = lots_meant(house, food)
        held = everything(house, lots, food, level.unit)
    except (Ask, Refuse):
        return Say(f"{said}.", "good")
    now = Amount(sum(d.meets.number for d in held.draws if d.meets), level.unit)
    return Say(f"{said}; now: {written(now)}.", "good")

"""Food that changes its place in the house: out of the freezer, or part of it put in there."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.drawing import all_of, drawn, lots_meant, plan
from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.items import amounts_of, food_meant
from helper.acts.periods import MOVED
from helper.acts.wording import contents, day_written, in_place, listed, lot_json, of_food
from helper.answers import Answer, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, written
from helper.kitchen.lots import Lot
from helper.kitchen.stock import Draw
from helper.reading.reading import Reading
from helper.reading.turning import SPLIT


def moved(reading: Reading, house: House) -> Answer:
    """The food named, or so much of it, stands in another place from now on. Reply: lots."""
    try:
        draws = _drawn(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    put: list[Lot] = []

    def prepare(draft: Draft) -> None:
        put.clear()
        for draw in draws:
            there = _elsewhere(draw, reading, house)
            rest = drawn(draw.lot, draw.amount.number, house.today)
            if not rest.left.number:
                put.append(draft.put("stock", replace(there, packages=draw.lot.packages)))
                continue
            # what was paid is counted by packages, so each lot keeps its own
            packages = draw.lot.packages - there.packages
            draft.put("stock", replace(rest, packages=packages, opened=draw.lot.opened))
            put.append(draft.add("stock", replace(there, id=0)))
        draft.meta = {"lots": [lot.id for lot in put], "fate": MOVED}

    what = listed(of_food(draw.amount, draw.lot.food) for draw in draws)
    where = in_place(reading.place or "")
    house.books.change(
        prepare, act="add-stock", said=reading.said, summary=f"Moved {what}, now {where}"
    )
    until = [
        f"{contents(lot)} of {lot.food} best by {day_written(lot.best_by, house.today)}"
        for lot in put
        if lot.best_by
    ]
    said = f"Moved {what}, now {where}" + (f": {listed(until)}." if until else ".")
    foods = tuple(dict.fromkeys(lot.food for lot in put))
    lots = [lot_json(lot) for lot in put]
    reply = {"lots": lots, "spent": None}
    return Answer(reading, reply, (Say(said, "good"),), changed=True, foods=foods)


def _drawn(reading: Reading, house: House) -> list[Draw]:
    """What is taken from where it stood. Raises Ask or Refuse."""
    draws: list[Draw] = []
    told = {food: said for said in amounts_of(reading, house.foods)
            if (food := food_meant(said, reading))}  # fmt: skip
    for food in dict.fromkeys((*told, *reading.foods)):
        elsewhere = [lot for lot in lots_meant(house, food) if lot.place != reading.place]
        if not elsewhere and not lots_meant(house, food):
            raise Ask(f"The books hold no {food}. How much is it?", about="amounts")
        if not elsewhere:
            held = in_place(reading.place or "")
            raise Refuse(f"All the {food} in the books is {held} already. Nothing was changed.")
        said = told.get(food)
        if said is None:
            draws += all_of(house, elsewhere)
            continue
        newest = sorted(elsewhere, key=lambda lot: -lot.id) if _is_split(reading) else elsewhere
        amount = sound_amount(said.amount, food)
        taken = plan(house, newest[:1] if _is_split(reading) else newest, food, amount, said.size)
        if taken.short is not None:
            raise Refuse(
                f"The books hold less than {written(amount)} of {food} to be moved. "
                "Nothing was changed."
            )
        draws += taken.draws
    if not draws:
        raise Ask("What was moved?")
    return draws


def _is_split(reading: Reading) -> bool:
    """ "One in the freezer", said of what was just put away."""
    return SPLIT in reading.marks


def _elsewhere(draw: Draw, reading: Reading, house: House) -> Lot:
    """The lot in its new place, at the price it had; the date is that of the new place."""
    lot = draw.lot
    place = reading.place or lot.place
    fresh = house.keeping.best_by(lot.food, place, lot.state, house.today)
    cold = fresh is not None and (lot.best_by is None or place == "freezer")
    sooner = min((day for day in (fresh, lot.best_by) if day is not None), default=None)
    packages = draw.amount.number / lot.size.number if lot.size.number else 0.0
    return replace(
        lot,
        left=Amount(draw.amount.number, lot.left.unit),
        packages=packages,
        place=place,
        best_by=fresh if cold else sooner,
    )

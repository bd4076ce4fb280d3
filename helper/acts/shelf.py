"""The shelf: what comes in, what goes out; looking and counting have modules of their own."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts.counting import keep_stocked, recount
from helper.acts.drawing import (
    all_of,
    lots_meant,
    plan,
    taken_json,
    taken_written,
    write_draws,
)
from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.items import amounts_of, food_meant
from helper.acts.list_ticking import bought_off_the_list
from helper.acts.looking import meant_by, stock, total_of, use_soon
from helper.acts.moving import moved
from helper.acts.opening import only_opened, opened
from helper.acts.putting import Put, paid, put_away
from helper.acts.telling_sizes import with_sizes
from helper.acts.wording import (
    amount_json,
    contents,
    day_written,
    in_place,
    listed,
    lot_json,
    of_food,
    plural,
    sentence,
    there,
)
from helper.answers import Answer, Because, Block, Items, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, written
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, plain, to_cents
from helper.kitchen.money import written as money_written
from helper.kitchen.stock import Draw
from helper.kitchen.units import units
from helper.reading.reading import Reading, Said
from helper.reading.turning import MOVED

__all__ = ["add_stock", "keep_stocked", "recount", "stock", "use_soon", "use_stock"]

# A household weight of a cabbage is no more exact than this; less is not called short.
_HAIR = 0.02
# "Half the cabbage" is read as half of one.
_HALF = Amount(0.5)
# Asked for more than this many times what is there, it is likelier that the words were misread.
_FAR_TOO_MUCH = 2.0


# -- in ------------------------------------------------------------------------------------


def add_stock(reading: Reading, house: House) -> Answer:
    """Something came into the house: one lot an item, all of them in one change.

    What only changes its place comes in nowhere.
    """
    if MOVED in reading.marks:
        return moved(reading, house)
    try:
        puts = put_away(reading, house)
    except Ask as gap:
        listed_so = None if reading.amounts else bought_off_the_list(reading, house)
        return listed_so or answer_to(reading, gap)
    except Refuse as gap:
        return answer_to(reading, gap)
    lots: list[Lot] = []
    ticked: list[str] = []
    spent = sum((_whole_price(put.lot) or NOTHING for put in puts), NOTHING)

    def prepare(draft: Draft) -> None:
        lots.clear()
        for put in puts:
            lots.append(draft.add("stock", put.lot))
            price = paid(put.lot)
            if price is not None:
                draft.add("prices", price)
        ticked[:] = _ticked(draft, {lot.food for lot in lots})
        draft.meta = {
            "lots": [lot.id for lot in lots],
            "spent": plain(spent),
            "bought": [_bought_json(lot) for lot in lots],
        }

    names = listed(_lot_written(put.lot) for put in puts)
    house.books.change(prepare, act="add-stock", said=reading.said, summary=f"Put away {names}")
    return Answer(
        reading,
        {"lots": [lot_json(lot) for lot in lots], "spent": plain(spent) if spent else None},
        _put_blocks(puts, ticked, house),
        changed=True,
        because=tuple(Because(note.text, source=note.source) for put in puts for note in put.notes),
        foods=tuple(dict.fromkeys(lot.food for lot in lots)),
    )


def _whole_price(lot: Lot) -> Decimal | None:
    return None if lot.price is None else to_cents(lot.price * Decimal(repr(lot.packages)))


def _lot_written(lot: Lot) -> str:
    if lot.package is None:
        return of_food(lot.left, lot.food)
    return f"{contents(lot)} of {lot.food}"


def _bought_json(lot: Lot) -> dict[str, Any]:
    return {"food": lot.food, **amount_json(lot.left), "cost": plain(_whole_price(lot))}


def _ticked(draft: Draft, foods: set[str]) -> list[str]:
    """What was bought needs no more buying: its lines of the shopping list are ticked."""
    open_ = [one for one in draft.shopping() if one.food in foods and not one.ticked]
    for one in open_:
        draft.put("shopping", replace(one, ticked=True))
    return list(dict.fromkeys(one.food for one in open_))


def _put_blocks(puts: Sequence[Put], ticked: Sequence[str], house: House) -> tuple[Block, ...]:
    lines = [_put_line(put.lot, house) for put in puts]
    notes = [Say(sentence(note.text), "quiet") for put in puts for note in put.notes]
    if ticked:
        notes.insert(0, Say(f"Ticked off the shopping list: {listed(ticked)}."))
    if len(lines) == 1:
        return (Say(f"Put away: {lines[0]}.", "good"), *notes)
    return (Say(f"Put away {len(lines)} things:", "good"), Items(tuple(lines)), *notes)


def _put_line(lot: Lot, house: House) -> str:
    parts = [_lot_written(lot), in_place(lot.place)]
    if lot.price is not None:
        whole = money_written(_whole_price(lot), house.currency)
        each = money_written(lot.price, house.currency)
        one = "each" if lot.package or lot.size.number == 1 else f"for {written(lot.size)}"
        parts.append(f"{each} {one}, {whole} in all" if lot.packages != 1 else whole)
    else:
        parts.append("price not known")
    if lot.shop:
        parts.append(f"from the {lot.shop}")
    if lot.best_by:
        parts.append(f"best by {day_written(lot.best_by, house.today)}")
    if lot.claims:
        parts.append(f"label says {listed(lot.claims)}")
    return ", ".join(parts)


# -- out -----------------------------------------------------------------------------------


def use_stock(reading: Reading, house: House) -> Answer:
    """Something was eaten, thrown out or given away: drawn from the lots in drawing order."""
    fate = reading.fate or "eaten"
    reading = with_sizes(reading, house)
    try:
        if only_opened(reading):
            return opened(reading, house)
        wanted = _wanted(replace(reading, amounts=amounts_of(reading, house.foods)))
        draws: list[Draw] = []
        short: list[tuple[str, Amount]] = []
        for said, food in wanted:
            taken, lack = _taken(said, food, reading, house, draws)
            draws += taken
            if lack is not None:
                short.append((food, lack))
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    taken_ = taken_json(draws, fate)
    cost = sum((draw.cost for draw in draws if draw.cost is not None), NOTHING)

    def prepare(draft: Draft) -> None:
        write_draws(draft, draws, house.today)
        wasted = plain(cost) if fate == "thrown" else None
        draft.meta = {"taken": taken_, "fate": fate, "cost": plain(cost), "wasted": wasted}

    done = {"eaten": "Used", "thrown": "Threw out", "given": "Gave away"}[fate]
    by_food = [_of_one(draws, food) for food in dict.fromkeys(d.lot.food for d in draws)]
    what = listed(taken_written(one, house.measures) for one in by_food)
    house.books.change(prepare, act="use-stock", said=reading.said, summary=f"{done} {what}")
    worth = f", worth {money_written(cost, house.currency)}" if cost else ""
    blocks: list[Block] = [Say(f"{done} {what}{worth}.", "good")]
    blocks += [_left_line(one, house) for one in by_food]
    blocks += [
        Say(
            f"The books held {of_food(lack, food)} too little for that: what there was is taken "
            "off. Count it if there is more.",
            "warn",
        )
        for food, lack in short
    ]
    reply = {
        "taken": taken_,
        "short": [{"food": food, **amount_json(lack)} for food, lack in short],
        "cost": plain(cost),
    }
    because = tuple(_draw_because(draw) for draw in draws)
    foods = tuple(dict.fromkeys(draw.lot.food for draw in draws))
    return Answer(reading, reply, tuple(blocks), changed=True, because=because, foods=foods)


def _of_one(draws: Sequence[Draw], food: str) -> list[Draw]:
    return [draw for draw in draws if draw.lot.food == food]


def _wanted(reading: Reading) -> list[tuple[Said | None, str]]:
    """Each food with the amount said of it, None where "the last of it" or nothing was said."""
    wanted: list[tuple[Said | None, str]] = []
    for said in reading.amounts:
        food = food_meant(said, reading)
        if food is None:
            raise Ask(f"{written(said.amount)} of what?")
        wanted.append((said, food))
    named = {food for _, food in wanted}
    wanted += [(None, food) for food in reading.foods if food not in named]
    if not wanted:
        raise Ask("What was used?")
    return wanted


def _taken(
    said: Said | None, food: str, reading: Reading, house: House, before: Sequence[Draw]
) -> tuple[tuple[Draw, ...], Amount | None]:
    """The draws for one item, and what was missing."""
    lots = _packed_so(said, food, reading, house) or lots_meant(house, food, reading.place)
    if any(draw.lot.id in {lot.id for lot in lots} for draw in before):
        raise Refuse(f"{food} is named twice: say it in two sentences. Nothing was changed.")
    if said is None or ("half_left" in reading.marks and said.amount == _HALF):
        return _unmeasured(food, reading, house, lots), None
    amount = sound_amount(said.amount, food)
    taken = plan(house, lots, food, amount, said.size)
    if taken.short is None or taken.short.number <= _HAIR * amount.number:
        return taken.draws, None
    held = Amount(amount.number - taken.short.number, amount.unit)
    if not taken.draws or amount.number > _FAR_TOO_MUCH * held.number:
        raise Ask(
            f"The books hold only {of_food(held, food)}, and you say {written(amount)}. "
            "How much was it?",
            about="amounts",
        )
    return taken.draws, taken.short


def _packed_so(said: Said | None, food: str, reading: Reading, house: House) -> list[Lot] | None:
    """Lots in the package named: "a can of black beans" are the canned ones, if those are here."""
    unit = None if said is None else said.amount.unit
    if unit is None or units()[unit].dimension != "package":
        return None
    lots = [lot for lot in house.lots if reading.place is None or lot.place == reading.place]
    packed = [lot for lot in meant_by(food, lots, house) if lot.package == unit]
    foods = {lot.food for lot in packed}
    return packed if len(foods) == 1 and food not in foods else None


def _unmeasured(food: str, reading: Reading, house: House, lots: Sequence[Lot]) -> tuple[Draw, ...]:
    """All of it, half of it, or the question how much."""
    if "half_left" in reading.marks:
        return all_of(house, lots, 0.5)
    none_left = any(one.kind == "without" for one in reading.evidence)
    if "last" in reading.marks or none_left or reading.fate in ("thrown", "given"):
        return all_of(house, lots)
    total = total_of(lots, house)
    held = f" {there(total, food)}" if total is not None else ""
    many = total is not None and total.unit is None
    asked = f"How many {plural(food)}" if many else f"How much {food}"
    raise Ask(f"{asked} was it?{held}", about="amounts")


def _left_line(draws: Sequence[Draw], house: House) -> Say:
    food = draws[0].lot.food
    left = [lot for lot in house.lots if lot.food == food]
    if not left:
        return Say(f"That was the last of the {food}.")
    total = total_of(left, house)
    if len(left) == 1 or total is None:
        return Say(f"Left: {listed(_lot_written(lot) for lot in left)}.")
    return Say(f"Left: {of_food(total, food)}.")


def _draw_because(draw: Draw) -> Because:
    at = f" at {draw.lot.price} each" if draw.lot.price is not None else ", price not known"
    said = f"{written(draw.amount)} of {draw.lot.food} from lot {draw.lot.id}{at}"
    return Because(
        said,
        "opened lots first, then the earliest date, then the earliest bought",
        "the household's books",
        tuple(Because(line) for line in draw.basis),
    )

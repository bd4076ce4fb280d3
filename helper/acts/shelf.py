"""The shelf: what is there, what comes in, what goes out, what is counted, what is always held."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts.drawing import (
    all_of,
    everything,
    lots_meant,
    plan,
    taken_json,
    taken_written,
    write_draws,
)
from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.looking import meant_by, stock, total_of, use_soon
from helper.acts.putting import Put, items_of, paid, place_of, put_away, size_of
from helper.acts.wording import amount_json, contents, in_place, listed, lot_json, of_food
from helper.answers import Answer, Because, Block, Items, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, written
from helper.kitchen.lots import Level, Lot
from helper.kitchen.money import NOTHING, plain, to_cents
from helper.kitchen.money import written as money_written
from helper.kitchen.stock import Draw, drawing_order
from helper.kitchen.units import units
from helper.reading.reading import Reading, Said

__all__ = ["add_stock", "keep_stocked", "recount", "stock", "use_soon", "use_stock"]

# A household weight of a cabbage is no more exact than this; less is not called short.
_HAIR = 0.02
# Asked for more than this many times what is there, it is likelier that the words were misread.
_FAR_TOO_MUCH = 2.0


# -- in ------------------------------------------------------------------------------------


def add_stock(reading: Reading, house: House) -> Answer:
    """Something came into the house: one lot an item, all of them in one change."""
    try:
        puts = put_away(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    lots: list[Lot] = []
    spent = sum((_whole_price(put.lot) or NOTHING for put in puts), NOTHING)

    def prepare(draft: Draft) -> None:
        lots.clear()
        for put in puts:
            lots.append(draft.add("stock", put.lot))
            price = paid(put.lot)
            if price is not None:
                draft.add("prices", price)
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
        _put_blocks(puts, house),
        changed=True,
        because=tuple(Because(note) for put in puts for note in put.notes),
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


def _put_blocks(puts: Sequence[Put], house: House) -> tuple[Block, ...]:
    lines = [_put_line(put.lot, house) for put in puts]
    notes = [Say(f"{note[0].upper()}{note[1:]}.", "quiet") for put in puts for note in put.notes]
    if len(lines) == 1:
        return (Say(f"Put away: {lines[0]}.", "good"), *notes)
    return (Say(f"Put away {len(lines)} things:", "good"), Items(tuple(lines)), *notes)


def _put_line(lot: Lot, house: House) -> str:
    parts = [_lot_written(lot), in_place(lot.place)]
    if lot.price is not None:
        whole = money_written(_whole_price(lot), house.currency)
        each = money_written(lot.price, house.currency)
        parts.append(f"{each} each, {whole} in all" if lot.packages != 1 else whole)
    else:
        parts.append("price not known")
    if lot.shop:
        parts.append(f"from the {lot.shop}")
    if lot.best_by:
        parts.append(f"best by {lot.best_by.isoformat()}")
    if lot.claims:
        parts.append(f"label says {listed(lot.claims)}")
    return ", ".join(parts)


# -- out -----------------------------------------------------------------------------------


def use_stock(reading: Reading, house: House) -> Answer:
    """Something was eaten, thrown out or given away: drawn from the lots in drawing order."""
    fate = reading.fate or "eaten"
    try:
        wanted = _wanted(reading)
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
    what = listed(taken_written(one) for one in by_food)
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
        food = said.food or (reading.foods[0] if len(reading.foods) == 1 else None)
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
    if said is None:
        return _unmeasured(food, reading, house, lots), None
    amount = sound_amount(said.amount, food)
    taken = plan(house, lots, food, amount, said.size)
    if taken.short is None or taken.short.number <= _HAIR * amount.number:
        return taken.draws, None
    there = amount.number - taken.short.number
    if not taken.draws or amount.number > _FAR_TOO_MUCH * there:
        held = Amount(there, amount.unit)
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
    if "last" in reading.marks or reading.fate in ("thrown", "given"):
        return all_of(house, lots)
    total = total_of(lots, house)
    there = f" There is {of_food(total, food)}." if total is not None else ""
    raise Ask(f"How much {food} was it?{there}", about="amounts")


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


# -- counted -------------------------------------------------------------------------------


def recount(reading: Reading, house: House) -> Answer:
    """A shelf count sets what is there of a food, whatever the books thought."""
    try:
        items = _counted(reading)
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


def _counted(reading: Reading) -> list[tuple[Said, str]]:
    if not reading.amounts and reading.foods and "last" in reading.marks:
        return [(Said(Amount(0), food), food) for food in reading.foods]
    return items_of(reading)


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
        lots = lots_meant(house, food, reading.place)
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


# -- always held ---------------------------------------------------------------------------


def keep_stocked(reading: Reading, house: House) -> Answer:
    """A level of a food that the house always wants to have."""
    try:
        if not reading.amounts and reading.foods:
            raise Ask(f"How much {listed(reading.foods)} should always be there?", about="amounts")
        items = items_of(reading)
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
    there = Amount(sum(d.meets.number for d in held.draws if d.meets), level.unit)
    return Say(f"{said}; there is {written(there)} now.", "good")

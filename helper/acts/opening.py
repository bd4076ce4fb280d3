"""A package opened, nothing taken from it yet: it is drawn on first from now on, and keeps less."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.drawing import lots_meant
from helper.acts.gaps import Refuse
from helper.acts.house import House
from helper.acts.said import meant
from helper.acts.wording import day_written, in_place, listed, lot_json, packed, sentence
from helper.answers import Answer, Say
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount
from helper.kitchen.due import once_open, use_by
from helper.kitchen.lots import Lot
from helper.kitchen.stock import drawing_order
from helper.reading.reading import Reading

_WORDS = "shelf_words"


def only_opened(reading: Reading) -> bool:
    """Whether a request says that something was opened, and no more than that."""
    return bool(
        reading.foods
        and not reading.amounts
        and not reading.fate
        and meant(reading.said, _WORDS, "opened") is not None
    )


def opened(reading: Reading, house: House) -> Answer:
    """Marks the package of each food that would be drawn on next. Raises Ask or Refuse."""
    whole = [_next_whole(food, reading, house) for food in reading.foods]
    day = reading.date if reading.date and reading.date <= house.today else house.today
    done: list[Lot] = []

    def prepare(draft: Draft) -> None:
        done.clear()
        for lot in whole:
            one = replace(lot, left=lot.size, packages=1, opened=day)
            rest = lot.left.number - lot.size.number
            if rest <= lot.size.number * 1e-6:
                done.append(draft.put("stock", one))
                continue
            left = Amount(rest, lot.left.unit)
            draft.put("stock", replace(lot, left=left, packages=lot.packages - 1))
            done.append(draft.add("stock", replace(one, id=0)))

    names = listed(f"{packed(1, lot.package)} of {lot.food}" if lot.package else lot.food
                   for lot in whole)  # fmt: skip
    house.books.change(prepare, act="use-stock", said=reading.said, summary=f"Opened {names}")
    told = [_kept(lot, house) for lot in done]
    return Answer(
        reading,
        {"taken": [], "short": [], "cost": "0.00", "opened": [lot_json(lot) for lot in done]},
        (Say(f"Opened {names}.", "good"), *(Say(sentence(one)) for one in told if one)),
        changed=True,
        foods=tuple(dict.fromkeys(lot.food for lot in done)),
    )


def _next_whole(food: str, reading: Reading, house: House) -> Lot:
    """The lot that the next unopened package of a food comes from."""
    lots = lots_meant(house, food, reading.place)
    shut = [lot for lot in lots if lot.opened is None and lot.left.number >= lot.size.number]
    if not shut:
        raise Refuse(f"All the {food} in the books is open already. Nothing was changed.")
    return min(shut, key=drawing_order)


def _kept(lot: Lot, house: House) -> str:
    """Where to keep it now, and until when; empty where nothing is known."""
    kept, until = once_open(lot, house.keeping), use_by(lot, house.keeping)
    if kept is None or until is None:
        return ""
    place = kept[0]
    moved = "" if place == lot.place else f"once open it belongs {in_place(place)}; "
    return f"{lot.food}: {moved}use it by {day_written(until, house.today)}"

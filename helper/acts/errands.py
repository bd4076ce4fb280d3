"""The shopping list by talking: seen, put on, taken off, ticked off into the stock.

Most of the list is worked out afresh each time, from the menu, from recipes and from the levels
to be held; only what somebody put on or took off is kept in the books.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.levels import all_levels
from helper.acts.list_making import OFF, list_now, missing_for, whole_list
from helper.acts.list_telling import told
from helper.acts.list_ticking import ticked
from helper.acts.menu_changing import dishes_named
from helper.acts.menu_wishes import said_in, says
from helper.acts.sharing import is_sharing, share
from helper.acts.wording import listed, of_food
from helper.answers import Answer
from helper.household.draft import Draft
from helper.household.records import Wanted
from helper.kitchen.amounts import Amount
from helper.kitchen.money import NOTHING
from helper.kitchen.shopping import LEVEL, ShoppingList
from helper.kitchen.words import words
from helper.reading.reading import Reading
from helper.reading.turning import OFF as STRUCK


def shopping(reading: Reading, house: House) -> Answer:
    """The shopping list, after whatever was said about it was done; or written out."""
    if is_sharing(reading.said):
        return share(replace(reading, act="share"), house)
    if not reading.recipes and says(reading.said, "list_for_dish"):
        # "the fish pie things": the dish is meant, though a food goes by that name too
        dishes = dishes_named(reading.said, house)
        if dishes:
            reading = replace(reading, recipes=dishes, foods=())
    try:
        return _doing(reading)(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)


def _doing(reading: Reading) -> Callable[[Reading, House], Answer]:
    """What is to be done with the list: the table of words decides, in this order."""
    said = reading.said
    names = bool(reading.foods or reading.amounts or reading.without)
    found = [word for word in words(said) if word.text != "'"]
    if STRUCK in reading.marks:
        return _taken_off
    if says(said, "list_levels"):
        return _levels
    if _asks(said):
        return _seen
    if says(said, "list_bought_all"):
        return ticked
    if says(said, "list_clear") and not names:
        return _cleared
    if names and says(said, "list_off"):
        return _taken_off
    if names and says(said, "list_bought"):
        return ticked
    if (names or reading.recipes) and (said_in(found, "list_add") or names):
        return _put_on
    return _seen


def _asks(said: str) -> bool:
    """True for questions: nothing is put on a list by asking about it."""
    found = words(said)
    return bool(found) and (said_in(found[:1], "list_ask") is not None)


def _seen(reading: Reading, house: House) -> Answer:
    if reading.recipes:
        return told(reading, house, missing_for(reading, house), f"For {listed(reading.recipes)}:")
    found = whole_list(house, reading)
    if reading.shop:
        items = tuple(one for one in found.items if one.shop == reading.shop)
        paid = sum((one.buy.cost for one in items if one.buy.cost is not None), NOTHING)
        here = ShoppingList(items, paid, ())
        return told(reading, house, here, f"At the {reading.shop}, by the last known prices:")
    return told(reading, house, found, by_shop=says(reading.said, "list_by_shop"))


def _levels(reading: Reading, house: House) -> Answer:
    """What the levels of the house ask for, beside the levels themselves."""
    found = list_now(house)
    items = tuple(one for one in found.items if LEVEL in one.wanted_for)
    paid = sum((one.buy.cost for one in items if one.buy.cost is not None), NOTHING)
    unpriced = tuple(one.buy.food for one in items if one.buy.cost is None)
    answer = told(reading, house, ShoppingList(items, paid, unpriced))
    levels = all_levels(reading, house)
    reply = {**answer.reply, "levels": levels.reply["levels"]}
    return replace(levels, reply=reply, blocks=(*levels.blocks, *answer.blocks))


# -- put on, taken off -------------------------------------------------------------------------


def _put_on(reading: Reading, house: House) -> Answer:
    lines = _lines(reading, house)
    if not lines:
        return _seen(reading, house)

    def prepare(draft: Draft) -> None:
        for line in lines:
            for old in draft.shopping():
                if old.food == line.food and old.note == OFF:
                    draft.remove("shopping", old.id)
                elif _same(old, line):
                    line = _together(old, line)
                    draft.remove("shopping", old.id)
            draft.add("shopping", line)
        for old in draft.shopping():
            if old.food in instead:
                draft.remove("shopping", old.id)

    names = [_worded(line) for line in lines]
    # "not bananas, pears": what is said no to goes, whatever sort of it was written down
    instead = {one.food for one in house.books.shopping() if _is_one_of(one.food, reading, house)}
    off = f"; off it: {listed(sorted(instead))}" if instead else ""
    house.books.change(
        prepare, act="shopping", said=reading.said, summary=f"On the list: {listed(names)}{off}"
    )
    lead = f"On the list: {listed(names)}{off}."
    return told(reading, house, list_now(house), lead, changed=True)


def _is_one_of(food: str, reading: Reading, house: House) -> bool:
    named = [one for one in reading.without if one not in reading.foods]
    return any(one == food or house.foods.covers(one, food) for one in named)


def _lines(reading: Reading, house: House) -> list[Wanted]:
    """The lines to put on: each food with its amount, and what recipes lack."""
    foods = [*reading.foods]
    lines = []
    for said in reading.amounts:
        food = said.food or (foods[0] if len(foods) == 1 else None)
        if food is None:
            raise Ask(f"{said.amount} of what?")
        sound_amount(said.amount, food)
        lines.append(Wanted(0, food, said.amount))
        foods = [one for one in foods if one != food]
    lines += [Wanted(0, food) for food in foods]
    if reading.recipes:
        for item in missing_for(reading, house).items:
            for need in item.buy.wanted:
                lines.append(Wanted(0, need.food, need.amount, recipe=listed(reading.recipes)))
    return lines


def _same(old: Wanted, new: Wanted) -> bool:
    return old.food == new.food and old.recipe == new.recipe


def _together(old: Wanted, new: Wanted) -> Wanted:
    """Two lines of one food as one; the amounts are added where one unit measures both."""
    if old.amount is None or new.amount is None:
        return new if new.amount is not None else old
    added = old.amount.to(new.amount.unit)
    if added is None:
        return new
    total = Amount(added.number + new.amount.number, new.amount.unit)
    return Wanted(0, new.food, total, recipe=new.recipe)


def _worded(line: Wanted) -> str:
    return of_food(line.amount, line.food) if line.amount else line.food


def _taken_off(reading: Reading, house: House) -> Answer:
    foods = dict.fromkeys((*reading.foods, *(one.food for one in reading.amounts if one.food),
                           *reading.without))  # fmt: skip
    on_list = {item.buy.food: item for item in list_now(house).items}
    named = {food: _on_list(food, on_list, house) for food in foods}
    absent = [food for food, found in named.items() if found is None]
    present = [found for found in named.values() if found is not None]
    if not present:
        return told(reading, house, list_now(house), f"{listed(absent)} was not on the list.")

    def prepare(draft: Draft) -> None:
        for food in present:
            wanted = {need.food for need in on_list[food].buy.wanted} | {food}
            for old in draft.shopping():
                if old.food in wanted:
                    draft.remove("shopping", old.id)
            if any(reason not in ("", None) for reason in on_list[food].wanted_for):
                for name in wanted:
                    draft.add("shopping", Wanted(0, name, ticked=True, note=OFF))

    house.books.change(
        prepare, act="shopping", said=reading.said, summary=f"Off the list: {listed(present)}"
    )
    return told(reading, house, list_now(house), f"Off the list: {listed(present)}.",
                changed=True)  # fmt: skip


def _on_list(food: str, on_list: Mapping[str, object], house: House) -> str | None:
    """The line a food means: itself, a sort of it, or another form of it."""
    if food in on_list:
        return food
    family = set(house.foods.family(food))
    near = [one for one in on_list if one in family or house.foods.covers(food, one)]
    return near[0] if len(near) == 1 else None


def _cleared(reading: Reading, house: House) -> Answer:
    lines = house.books.shopping()
    if not lines:
        return told(reading, house, list_now(house), "Nobody had put anything on the list.")

    def prepare(draft: Draft) -> None:
        for line in draft.shopping():
            draft.remove("shopping", line.id)

    house.books.change(
        prepare, act="shopping", said=reading.said, summary="Cleared the shopping list"
    )
    found = list_now(house)
    lead = "The list is cleared."
    if found.items:
        lead += " What the menu and the levels ask for stays:"
    return told(reading, house, found, lead, changed=True)

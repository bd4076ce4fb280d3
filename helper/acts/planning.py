"""Planning: menus made, shown and changed; and how far the stock goes.

A menu that was made is kept in the books at once, so that the shopping list, another terminal and
tomorrow's talk know it; taking the change back takes the menu away again. Asking to see it keeps
nothing.
"""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.errands import shopping
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.acts.lasting import lasts
from helper.acts.menu_changing import changed_order, current, is_change, shown_menu, without_more
from helper.acts.menu_making import Order, order_of
from helper.acts.menu_telling import days_json, left_out_written, told
from helper.acts.menu_wishes import says
from helper.acts.sharing import is_sharing, share
from helper.answers import Answer, Block, Items, Say
from helper.household.draft import Draft
from helper.household.records import Meal, Menu
from helper.kitchen.menus import Plan
from helper.kitchen.money import plain
from helper.kitchen.money import written as money
from helper.reading.reading import Reading

__all__ = ["lasts", "menu", "shopping"]


def menu(reading: Reading, house: House) -> Answer:
    """Meals for several days; or the menu there is, shown, changed or written out."""
    if is_sharing(reading.said) and not says(reading.said, "menu_new"):
        return share(replace(reading, act="share"), house)
    try:
        if (shown := shown_menu(reading, house)) is not None:
            return shown
        if (fewer := without_more(reading, house)) is not None:
            order, lead = fewer
        elif is_change(reading, house):
            order, lead = changed_order(reading, house)
        else:
            order, lead = order_of(reading, house), ""
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    found = order.planned(house) if order.pool else None
    if fewer is not None and _over_budget(order, found):
        # what stays is dear now: all days anew
        order, lead = order_of(reading, house), ""
        found = order.planned(house)
    if found is None:
        return _no_dish(reading, order)
    if not order.wanted.shop and found.missed and any(m.kind == "missing" for m in found.missed):
        return told(reading, house, order, found, changed=keep(reading, house, order, found))
    if _over_budget(order, found):
        return _over(reading, house, order, found)
    if lead and _as_before(house, found):
        if says(reading.said, "menu_cheaper"):
            lead = "Nothing cheaper fits" + (": this is proved." if found.proved else ".")
        return told(reading, house, order, found, changed=False, lead=lead)
    keep(reading, house, order, found)
    return told(reading, house, order, found, changed=True, lead=lead)


def _over_budget(order: Order, found: Plan | None) -> bool:
    return order.budget is not None and found is not None and found.till > order.budget


def _as_before(house: House, found: Plan) -> bool:
    """Whether a changed menu came out as the one there is."""
    there = [(one.date, one.recipe) for one in current(house)]
    return there == [(one.date, one.recipe.title) for one in found.meals]


def keep(reading: Reading, house: House, order: Order, found: Plan) -> bool:
    """Writes the menu into the books; days that earlier menus planned for are theirs no more."""
    meals = tuple(
        Meal(one.date, one.recipe.title, one.recipe.servings or 0.0, order.slot)
        for one in found.meals
    )
    dates = {(one.date, one.slot) for one in meals}

    def prepare(draft: Draft) -> None:
        for old in draft.menus():
            rest = tuple(
                one
                for one in old.meals
                if one.done or one.date < house.today or one.slot != order.slot
            )
            if len(rest) != len(old.meals):
                if rest:
                    draft.put("menus", replace(old, meals=rest))
                else:
                    draft.remove("menus", old.id)
        draft.add(
            "menus",
            Menu(0, meals, house.today, found.till, reading.said, order.people, order.diets),
        )

    first, last = min(date for date, _ in dates), max(date for date, _ in dates)
    summary = f"Menu for {first.isoformat()} to {last.isoformat()}: {len(meals)} meals"
    house.books.change(prepare, act="menu", said=reading.said, summary=summary)
    return True


def _no_dish(reading: Reading, order: Order) -> Answer:
    """Not one dish may come: say what stands in the way."""
    why = tuple(left_out_written(order))
    text = "No dish fits." if order.left_out else "There are no recipes in the books to plan with."
    return Answer(
        reading,
        {**_nothing(), "limit": "recipes", "left_out": dict(order.left_out)},
        (Say(text, "warn"), Items(why)) if why else (Say(text, "warn"),),
    )


def _nothing() -> dict[str, object]:
    return {
        "days": [], "till_cost": None, "eaten_cost": None, "to_buy": [], "optimal": False,
        "prep": [],
    }  # fmt: skip


def _over(reading: Reading, house: House, order: Order, found: Plan) -> Answer:
    """The budget cannot be kept: the cheapest there is, and whether a wish stands in the way."""
    cheapest = money(found.till, house.currency)
    proved = "" if found.proved else " that I found in the time there was"
    blocks: list[Block] = [
        Say(f"Not possible within {money(order.budget, house.currency)}: the cheapest{proved} "
            f"is {cheapest} at the till.", "warn")
    ]  # fmt: skip
    freed = _freed(order)
    without = freed.planned(house) if freed is not None else None
    limit, name = "budget", "budget"
    if without is not None and order.budget is not None and without.till <= order.budget:
        limit, name = "wishes", _wishes(order)
        blocks.append(Say(f"In the way: {name}. Without that it comes to "
                          f"{money(without.till, house.currency)}."))  # fmt: skip
    if limit == "budget" and order.budget is not None:
        free = freed or order
        often = replace(free, wanted=replace(free.wanted, window=1))
        again = often.planned(house)
        if again is not None and again.till <= order.budget:
            name = f"no dish twice within {order.wanted.window} days"
            if freed is not None:
                name += f"; {_wishes(order)}"
            blocks.append(Say(f"In the way: {name}. Without that it comes to "
                              f"{money(again.till, house.currency)}."))  # fmt: skip
    lines = tuple(f"{meal.date:%a}: {meal.recipe.title}" for meal in found.meals)
    blocks += [Say("The cheapest would be:"), Items(lines)]
    reply = {
        **_nothing(),
        "optimal": found.proved,
        "limit": limit,
        "in_the_way": name,
        "cheapest": plain(found.till),
        "cheapest_days": days_json(order, found),
    }
    return Answer(reading, reply, tuple(blocks))


def _wishes(order: Order) -> str:
    days = {day.name for day in order.wanted.days if day.name}
    return "; ".join(sorted(days | {count.name for count in order.wanted.counts}))


def _freed(order: Order) -> Order | None:
    """The same order without its wishes; None where it has none."""
    wanted = order.wanted
    if not wanted.counts and not any(day.wanted or day.refused for day in wanted.days):
        return None
    days = tuple(type(day)(day.date) for day in wanted.days)
    return replace(order, wanted=replace(wanted, days=days, counts=()))

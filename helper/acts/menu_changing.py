"""The menu there is: shown, and changed by talking about it.

"swap thursday", "put the curry on friday", "swap monday and tuesday", "without the curry", "skip
saturday", "make it cheaper". What is not spoken of stays as it is; only the rest is chosen anew.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from helper.acts.gaps import Ask, Refuse
from helper.acts.house import House
from helper.acts.menu_making import TITLE, Order, order_of, with_pool
from helper.acts.menu_wishes import FOOD, NEGATIONS, WishOf, foods_unwanted, read_wishes, says
from helper.acts.sittings import sittings
from helper.acts.wording import day_written, listed
from helper.answers import Answer, Column, Say, Table
from helper.household.records import Meal
from helper.kitchen.amounts import number_written
from helper.kitchen.menus import Day
from helper.kitchen.money import plain
from helper.kitchen.traits import holds, traits_of
from helper.kitchen.words import words
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from


def current(house: House) -> list[Meal]:
    """The meals planned from today on, of all menus, in the order of their days."""
    meals = [meal for menu in house.books.menus() for meal in menu.meals]
    return sorted((one for one in meals if one.date >= house.today and not one.done),
                  key=lambda one: one.date)  # fmt: skip


def shown_menu(reading: Reading, house: House) -> Answer | None:
    """The menu that is kept, if it was asked to be seen and there is one."""
    if not says(reading.said, "menu_show") or reading.money is not None:
        return None
    meals = current(house)
    if reading.date is not None:
        last = reading.until or reading.date
        meals = [one for one in meals if reading.date <= one.date <= last]
    if not meals:
        return None
    rows = tuple((f"{one.date:%a} {one.date.day} {one.date:%b}", one.recipe,
                  number_written(one.servings)) for one in meals)  # fmt: skip
    columns = (Column("Day"), Column("Dish"), Column("Servings", right=True))
    days: dict[dt.date, list[dict[str, object]]] = {}
    for one in meals:
        days.setdefault(one.date, []).append(
            {"recipe": one.recipe, "servings": one.servings, "slot": one.slot}
        )
    till = next((m.till_cost for m in reversed(house.books.menus()) if m.meals), None)
    reply = {
        "days": [{"date": date.isoformat(), "meals": found} for date, found in days.items()],
        "till_cost": plain(till), "eaten_cost": None, "to_buy": [], "optimal": None, "prep": [],
    }  # fmt: skip
    first = day_written(meals[0].date, house.today)
    count = f"{len(meals)} meals" if len(meals) > 1 else "1 meal"
    return Answer(
        reading,
        reply,
        (Say(f"{count} planned, the next {first}."), Table(columns, rows)),
        offered=tuple(one.recipe for one in meals),
        recipes=tuple(dict.fromkeys(one.recipe for one in meals)),
    )


_MOVES = ("menu_swap", "menu_move", "menu_drop")
_CHANGES = (*_MOVES, "menu_cheaper")


def dishes_named(said: str, house: House, likely: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """The titles that words name for certain; of several that fit, one of the `likely`."""
    found: list[str] = []
    end = 0
    for span in house.names.titles.spot(words(said)):
        there = [title for title in span.value if title in likely]
        if span.start >= end and (there or len(span.value) == 1):
            found.append((there or span.value)[0])
            end = span.end
    return tuple(dict.fromkeys(found))


def named_dishes(reading: Reading, house: House) -> tuple[str, ...]:
    """Dishes named outright, though the act would rather hear of foods; the planned one first."""
    planned = frozenset(one.recipe for one in current(house))
    return reading.recipes or dishes_named(reading.said, house, planned)


def is_change(reading: Reading, house: House) -> bool:
    """Whether a request changes the menu there is rather than asking for another."""
    said = reading.said
    if not current(house):
        return False
    if reading.days is not None and not any(says(said, kind) for kind in _MOVES):
        return False  # so many days are a menu of their own
    if any(says(said, kind) for kind in _CHANGES):
        return True
    if says(said, "menu_new"):
        return False
    wishes = read_wishes(said, house.foods).wishes
    if any(wish.weekdays or wish.refused for wish in wishes):
        return True
    dishes = named_dishes(reading, house)
    if dishes and (reading.date is not None or says(said, "menu_put")):
        return True
    return bool(reading.without or reading.recipes)


def changed_order(reading: Reading, house: House) -> tuple[Order, str]:
    """The order for the menu as it shall be, and the first line of the answer."""
    meals = current(house)
    dishes = named_dishes(reading, house)
    reading = replace(reading, recipes=dishes)
    slot = meals[-1].slot
    meals = [one for one in meals if one.slot == slot]
    kept = {one.date: one.recipe for one in meals}
    told_of = _dates(reading, house.today)
    dates = [date for date in told_of if date in kept]
    if told_of and not dates:
        away = listed(f"{date:%A} {date.day} {date:%b}" for date in told_of)
        raise Refuse(f"There is nothing on the menu for {away}; it goes from {min(kept):%A} to "
                     f"{max(kept):%A}. Plan more days, or name one of these.")  # fmt: skip
    banned: set[str] = set()
    free: set[dt.date] = set()
    said = reading.said
    lead = ""
    wishes = [one for one in read_wishes(said, house.foods).wishes if one.weekdays or one.refused]
    asked = {date: _asks_of(date, wishes) for date in kept}
    if says(said, "menu_cheaper"):
        free = set(dates or kept)
        lead = "The cheapest I can make it, no wish in the way:"
    elif len(dates) == 2 and (says(said, "menu_swap") or says(said, "menu_move")):
        one, other = dates
        kept[one], kept[other] = kept[other], kept[one]
        lead = f"{one:%A} and {other:%A} have changed places:"
    elif says(said, "menu_drop") and dates and not reading.recipes:
        for date in dates:
            kept.pop(date)
        lead = f"Nothing on {listed(f'{date:%A}' for date in dates)} now:"
    elif reading.recipes and dates and not _unwanted(said):
        title, day = reading.recipes[0], dates[0]
        before = [date for date, one in kept.items() if one == title and date != day]
        lead = f"{title} on {day:%A}:"
        if before and kept[day] != title:
            # it is on the menu already: the two days change places
            kept[before[0]] = kept[day]
            lead = f"{title} on {day:%A}, {kept[day]} on {before[0]:%A}:"
        kept[day] = title
    elif (any(wish.weekdays for wish in wishes) or (wishes and not dates)) and not (
        reading.recipes and _unwanted(said)
    ):
        free = {date for date, title in kept.items() if not _meets(title, asked[date], house)}
        told = listed(dict.fromkeys(one.name for one in asked.values() if one.name))
        told = f"{told[:1].upper()}{told[1:]}"
        lead = f"{told}:" if free else f"{told}: so it is already."
    else:
        banned = _banned(reading, house, kept)
        free = {date for date, title in kept.items() if title in banned} | set(dates)
        banned |= {kept[date] for date in dates}
        if not free and reading.without:
            lead = f"Nothing on the menu holds {listed(reading.without)}:"
        elif not free and reading.recipes and _unwanted(said):
            lead = f"{listed(reading.recipes)} is not on the menu:"
        elif not free:
            raise Ask("Which day shall I change?", tuple(f"{date:%A}" for date in kept), "date")
        else:
            lead = f"Something else on {listed(f'{date:%A}' for date in sorted(free))}:"
    if not kept:
        raise Refuse("That would leave nothing on the menu. Take the menu back with undo instead.")
    return _order(reading, house, meals, kept, free, banned, asked), lead


# What a request must have in common with the one before for only its "without" to be new.
_SAME = ("date", "until", "days", "people", "diets", "money", "per", "servings", "minutes",
         "foods", "recipes")  # fmt: skip


def without_more(reading: Reading, house: House) -> tuple[Order, str] | None:
    """The order for the menu just told "without the curry": dishes that may stay do.

    Also the first line of the answer. None where anything else about the request is new.
    """
    last = house.last
    if last is None or last.reading.act != reading.act or not last.changed:
        return None
    before = last.reading
    new = [one for one in reading.without if one not in before.without]
    if not new or any(getattr(reading, one) != getattr(before, one) for one in _SAME):
        return None
    told = {
        dt.date.fromisoformat(day["date"]): meal["recipe"]
        for day in last.reply.get("days", ())
        for meal in day["meals"]
        if not meal.get("leftover")
    }
    gone = _dishes_gone(reading.said, house, frozenset(told.values()))
    order = order_of(reading, house)
    pool = tuple(one for one in order.pool if one.recipe.title not in gone)
    fits = {(one.recipe.title, one.table): one for one in pool}
    stays = {
        day.date: told[day.date]
        for day in order.wanted.days
        if (one := fits.get((told.get(day.date, ""), day.table))) is not None
        and day.wanted <= one.traits
        and not day.refused & one.traits
    }
    if not stays:
        return None
    days = tuple(
        Day(day.date, frozenset({TITLE + stays[day.date]}), name=stays[day.date], table=day.table)
        if day.date in stays
        else day
        for day in order.wanted.days
    )
    times = Counter(stays.values())
    pool = tuple(replace(one, settled=times[one.recipe.title]) for one in pool)
    free = [f"{day.date:%A}" for day in order.wanted.days if day.date not in stays]
    lead = f"Something else on {listed(free)}:" if free else f"None of it holds {listed(new)}:"
    return replace(order, wanted=replace(order.wanted, days=days), pool=pool), lead


def _dishes_gone(said: str, house: House, likely: frozenset[str]) -> frozenset[str]:
    """Dishes that any part of what was said would be without."""
    parts = (part for part in said.split(";") if _unwanted(part))
    return frozenset(title for part in parts for title in dishes_named(part, house, likely))


def _asks_of(date: dt.date, wishes: Sequence[WishOf]) -> Day:
    """What the wishes said ask of a day."""
    mine = [one for one in wishes if not one.weekdays or date.weekday() in one.weekdays]
    return Day(
        date,
        frozenset(one.trait for one in mine if not one.refused),
        frozenset(one.trait for one in mine if one.refused),
        ", ".join(("no " if one.refused else "") + one.said for one in mine),
    )


def _meets(title: str, asked: Day, house: House) -> bool:
    """Whether a dish does for what is asked of its day."""
    recipe = house.books.recipe_titled(title)
    if recipe is None:
        return False
    foods = {one.removeprefix(FOOD) for one in (*asked.wanted, *asked.refused)
             if one.startswith(FOOD)}  # fmt: skip
    traits = traits_of(recipe, house.foods)
    traits |= {FOOD + food for food in foods if holds(recipe, food, house.foods)}
    return asked.wanted <= traits and not asked.refused & traits


def _order(
    reading: Reading,
    house: House,
    meals: list[Meal],
    kept: dict[dt.date, str],
    free: set[dt.date],
    banned: set[str],
    asked: Mapping[dt.date, Day],
) -> Order:
    """The days as they stand as wishes for the very dish, the free ones open."""
    # Who eats goes on from the menu there is; what was kept off the table, from the talk.
    menu = house.books.menus()[-1]
    last = house.context.last
    before = last.without if last is not None and last.act == reading.act else ()
    reading = replace(
        reading,
        people=reading.people or menu.people,
        diets=reading.diets or menu.diets,
        without=foods_unwanted(dict.fromkeys((*before, *reading.without))),
    )
    base = replace(reading, recipes=(), date=min(kept),
                   days=1, servings=None, foods=())  # fmt: skip
    order = order_of(base, house)
    cooked = {one.date: one.servings for one in meals}
    who = sittings(sorted(kept), base, house, cooked)
    days = tuple(
        Day(date, asked[date].wanted,
            asked[date].refused | {TITLE + one for one in banned}, asked[date].name,
            who.days[date]) if date in free
        else Day(date, frozenset({TITLE + title}), frozenset(), title, who.days[date])
        for date, title in sorted(kept.items())
    )  # fmt: skip
    wanted = replace(order.wanted, days=days, counts=())
    order = replace(order, wanted=wanted, who=who, slot=meals[0].slot, leftovers=False)
    named = tuple(kept.values())
    order = with_pool(order, replace(base, recipes=named, minutes=None), house)
    stay = Counter(title for date, title in kept.items() if date not in free)
    pool = tuple(
        replace(one, settled=stay[one.recipe.title], tier=min(one.tier, 2))
        if stay[one.recipe.title]
        else one
        for one in order.pool
    )
    return replace(order, pool=pool)


def _unwanted(said: str) -> bool:
    """Whether the dish named is one to be without: "without the curry", "drop the stew"."""
    found = words(said)
    return says(said, "menu_drop") or any(
        phrase_from(found, at, kind) is not None for at in range(len(found)) for kind in NEGATIONS
    )


def _dates(reading: Reading, today: dt.date) -> list[dt.date]:
    """Every day named, in the order said."""
    found = words(reading.said)
    dates = []
    for at in range(len(found)):
        hit = phrase_from(found, at, "weekday")
        if hit is not None:
            dates.append(today + dt.timedelta(days=(int(hit[0]) - today.weekday()) % 7))
    if not dates and reading.date is not None:
        dates = [reading.date]
    return list(dict.fromkeys(dates))


def _banned(reading: Reading, house: House, kept: dict[dt.date, str]) -> set[str]:
    """Dishes on the menu that are named, or that hold a food that is not wanted."""
    banned = {title for title in kept.values() if title in reading.recipes}
    for title in kept.values():
        recipe = house.books.recipe_titled(title)
        if recipe is not None and any(holds(recipe, food, house.foods) for food in reading.without):
            banned.add(title)
    return banned

"""How far the stock goes without shopping, and the one package that would stretch it most."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Sequence

from msgspec.structs import replace

from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.acts.menu_making import PROPER, Order, order_of
from helper.acts.menu_telling import days_json, diners
from helper.acts.wording import day_written, listed, packed
from helper.answers import Answer, Because, Block, Column, Say, Table
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.menus import Day, Farthest, Planned, Wanted, farthest
from helper.kitchen.money import plain
from helper.kitchen.money import written as money
from helper.reading.reading import Reading

# No dish comes oftener than once a week over as many days as are looked at.
_HORIZON = 56
_SHOWN = 10


def lasts(reading: Reading, house: House) -> Answer:
    """How many dinners the house can make of what is in it, by exact search, and which."""
    try:
        asked = replace(reading, days=1, money=None, foods=(), recipes=())
        order = order_of(asked, house, shop=False)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    proper = tuple(
        replace(one, tier=0, lately=0)
        for one in order.pool
        if PROPER in one.traits and not one.verdict.startswith("not for")
    )
    days = tuple(Day(house.today + dt.timedelta(days=n)) for n in range(_HORIZON))
    order = replace(order, wanted=Wanted(house.today, days, seconds=3.0), pool=proper)
    found = farthest(order.wanted, proper, house.stock, house.prices) if proper else None
    if found is None:
        return _none(reading, order)
    return _told(reading, house, order, found)


def _none(reading: Reading, order: Order) -> Answer:
    said = "Not one dinner for everybody can be made of what is in the house."
    if not order.pool:
        said = "There are no recipes in the books that would do for everybody."
    reply = {"dinners": 0, "days": 0, "menu": [], "optimal": True}
    return Answer(reading, reply, (Say(said, "warn"),))


def _told(reading: Reading, house: House, order: Order, found: Farthest) -> Answer:
    meals = found.plan.meals
    last = day_written(meals[-1].date, house.today)
    count = len(meals)
    few = "dinner" if count == 1 else "dinners"
    proved = "" if found.plan.proved else "at least "
    more = " or more" if count == _HORIZON else ""
    heads = number_written(diners(order))
    blocks: list[Block] = [
        Say(f"{proved.capitalize()}{count}{more} {few} for {heads} without shopping: "
            f"until {last}.")
    ]  # fmt: skip
    rows = tuple((f"{one.date:%a} {one.date.day} {one.date:%b}", one.recipe.title)
                 for one in meals[:_SHOWN])  # fmt: skip
    blocks.append(Table((Column("Day"), Column("Dish")), rows))
    if count > _SHOWN:
        blocks.append(Say(f"and {count - _SHOWN} more after that", "quiet"))
    blocks += _stretch_lines(house, found) if count < _HORIZON else []
    limit = f"No dish comes oftener than {-(-_HORIZON // order.wanted.window)} times in it."
    blocks.append(Say(limit, "quiet"))
    checks = [one for one in meals if one.candidate.verdict == "check"]
    if checks:
        blocks.append(Say(f"{len(checks)} of them need a look at the labels first.", "warn"))
    stretch = found.stretch
    reply = {
        "dinners": count,
        "days": count,
        "menu": days_json(order, found.plan),
        "optimal": found.plan.proved and order.whole,
        "eaten_cost": plain(found.plan.eaten),
        "stretch": None if stretch is None else {
            "food": stretch.food, "package": stretch.package, "more": found.more,
            "cost": plain(stretch.price),
        },
    }  # fmt: skip
    reason = Because(
        f"{count} dinners out of {len(order.pool)} dishes that may come",
        "most dinners from the lots in the house, nothing bought, no dish oftener than once a week",
        "integer programme over this house's books"
        + (", proved" if found.plan.proved else ", not proved in the time there was"),
        _taken(meals),
    )  # fmt: skip
    titles = tuple(dict.fromkeys(one.recipe.title for one in meals))
    return Answer(reading, reply, tuple(blocks), because=(reason,), offered=titles, recipes=titles)


def _taken(meals: Sequence[Planned]) -> tuple[Because, ...]:
    """A reason for each dish: on which days it comes, and what all of them take of the stock."""
    days: defaultdict[str, list[str]] = defaultdict(list)
    taken: defaultdict[str, Counter[tuple[str, str | None]]] = defaultdict(Counter)
    for one in meals:
        days[one.recipe.title].append(f"{one.date.day} {one.date:%b}")
        for draw in one.match.draws:
            amount = draw.amount
            taken[one.recipe.title][draw.lot.food, amount.unit] += amount.number  # type: ignore[assignment]
    return tuple(
        Because(
            f"{title}: {listed(days[title])}",
            because=tuple(
                Because(f"{food}, {written(Amount(number, unit))}")
                for (food, unit), number in foods.items()
                if number
            ),
        )
        for title, foods in taken.items()
    )


def _stretch_lines(house: House, found: Farthest) -> list[Block]:
    sold = found.stretch
    if sold is None or sold.size is None:
        return [Say("No one package would add a dinner: the dinners lack several things at once.",
                    "quiet")]  # fmt: skip
    pack = f"{packed(1, sold.package)} of " if sold.package else ""
    more = "1 more dinner" if found.more == 1 else f"{found.more} more dinners"
    price = money(sold.price, house.currency)
    what = f"{pack}{sold.food} ({written(sold.size)}) at {price}"
    return [Say(f"What would stretch it most for its price: {what}, {more}.")]

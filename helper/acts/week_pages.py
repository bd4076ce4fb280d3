"""The week's menu and the shopping list as documents to print or to send."""

from __future__ import annotations

import datetime as dt
from itertools import groupby

from helper.acts.document import NOTE, Document, Grid, Lines, Part
from helper.acts.fitting import Fitted
from helper.acts.gaps import Refuse
from helper.acts.house import House
from helper.acts.list_making import list_now, planned
from helper.acts.list_telling import packages_written
from helper.acts.wording import listed, sentence
from helper.household.records import Meal
from helper.kitchen.ahead import ahead, by_day
from helper.kitchen.amounts import number_written
from helper.kitchen.costing import Costed, cost
from helper.kitchen.larder import Sold
from helper.kitchen.matching import Match, match_all
from helper.kitchen.menus import Bought, with_bought
from helper.kitchen.money import NOTHING
from helper.kitchen.money import written as money
from helper.kitchen.safety import CHECK, NO
from helper.kitchen.stock import Stock
from helper.reading.reading import Reading

_USUAL_SLOT = "dinner"


def menu_document(reading: Reading, house: House) -> tuple[Document, tuple[str, ...]]:
    """The menu there is, or the days of it asked for, and its dishes. Raises Refuse."""
    meals = _asked_for(planned(house), reading)
    if not meals:
        raise Refuse("No menu is planned for then. Plan one first, and it can be written out.")
    found = match_all([dish.recipe for _, dish in meals], _stocked(house))
    costs = [cost(one, house.prices) for one in found]
    parts: list[Part] = [_days(meals, costs, house)]
    swaps = tuple(f"{meal.recipe}: {'; '.join(dish.swaps)}" for meal, dish in meals if dish.swaps)
    if swaps:
        parts.append(Lines(tuple(dict.fromkeys(swaps)), "Swaps"))
    if labels := _to_look_at(meals):
        parts.append(Lines((labels,), "Labels to read first", NOTE))
    if prep := _prep(meals, found, house):
        parts.append(Lines(prep, "To do ahead"))
    first, last = meals[0][0].date, meals[-1][0].date
    title = (
        f"Menu for {_day(first)}" if first == last else f"Menu, {_short(first)} to {_short(last)}"
    )
    titles = tuple(dict.fromkeys(meal.recipe for meal, _ in meals))
    return Document(f"{title} {last.year}", _menu_costs(meals, costs, house), tuple(parts)), titles


def _stocked(house: House) -> Stock:
    """The stock as it will be when the list is bought: what the menu was reckoned with."""
    bought = []
    for item in list_now(house).items:
        buy = item.buy
        if buy.packages:
            each = None if buy.cost is None else buy.cost / buy.packages
            sold = Sold(buy.food, buy.package, buy.size, each)
            bought.append(Bought(sold, buy.packages, buy.cost))
    lots = with_bought(house.stock.lots, bought, house.today)
    return Stock(lots, house.measures, house.today)


def _asked_for(meals: list[tuple[Meal, Fitted]], reading: Reading) -> list[tuple[Meal, Fitted]]:
    """All of them, or those of the days named."""
    if reading.date is None:
        return meals
    last = reading.until or reading.date
    return [one for one in meals if reading.date <= one[0].date <= last] or meals


def _days(meals: list[tuple[Meal, Fitted]], costs: list[Costed], house: House) -> Grid:
    rows = []
    for (meal, dish), costed in zip(meals, costs, strict=True):
        each = costed.per_serving
        paid = "?" if each is None else money(each, house.currency)
        slot = "" if meal.slot == _USUAL_SLOT else f" ({meal.slot})"
        swapped = " (with swaps)" if dish.swaps else ""
        rows.append((_day(meal.date), f"{meal.recipe}{slot}{swapped}",
                     number_written(meal.servings), paid + "+" * costed.at_least))  # fmt: skip
    return Grid(("Day", "Dish", "Serves", "A serving"), tuple(rows), right=(2, 3))


def _menu_costs(
    meals: list[tuple[Meal, Fitted]], costs: list[Costed], house: House
) -> tuple[str, ...]:
    total = sum((one.total for one in costs), NOTHING)
    least = "at least" if any(one.at_least for one in costs) else "about"
    when = f"at our prices of {house.today.day} {house.today:%b %Y}"
    return (f"{len(meals)} meals, {least} {money(total, house.currency)} in all, {when}",)


def _to_look_at(meals: list[tuple[Meal, Fitted]]) -> str:
    """Dishes that not everybody may have without a look at the labels."""
    names = {meal.recipe: None for meal, dish in meals if dish.verdict in (CHECK, NO)}
    return sentence(f"for {listed(names)}") if names else ""


def _prep(
    meals: list[tuple[Meal, Fitted]], found: list[Match] | tuple[Match, ...], house: House
) -> tuple[str, ...]:
    todo = (
        one
        for (meal, _), dish in zip(meals, found, strict=True)
        for one in ahead(meal.date, dish, house.measures, house.today)
    )
    return tuple(f"{_day(one.date)}: {one.text}" for one in by_day(todo))


def list_document(house: House) -> Document:
    """The shopping list as it stands, in the order of a walk round the shop. Raises Refuse."""
    found = list_now(house)
    if not found.items:
        raise Refuse("Nothing is on the shopping list.")
    parts: list[Part] = []
    for group, items in groupby(found.items, key=lambda one: one.group):
        rows = tuple(
            (one.buy.food, packages_written(one), money(one.buy.cost, house.currency)
             if one.buy.cost is not None else "")
            for one in items
        )  # fmt: skip
        parts.append(Grid(("What", "How much", "Cost"), rows, group, (2,), tick=True))
    notes = [f"{one.buy.food} was cheaper: {one.cheaper}." for one in found.items if one.cheaper]
    if found.unpriced:
        notes.append(f"No price is known for {listed(found.unpriced)}.")
    if notes:
        parts.append(Lines(tuple(notes), "Beside it", NOTE))
    least = "at least" if found.unpriced else "about"
    count = f"{len(found.items)} things" if len(found.items) > 1 else "1 thing"
    total = f"{count}, {least} {money(found.total, house.currency)} at the last known prices"
    today = house.today
    return Document(f"Shopping list, {today.day} {today:%b %Y}", (total,), tuple(parts))


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _short(day: dt.date) -> str:
    return f"{day.day} {day:%b}"

"""Menus: the cheapest dinners for some days, from stock, shop and recipes, as plain values.

`plan` solves the choice (`menu_model`), puts dishes on days (`menu_days`) and then does the sums
again the way every other answer does them: each dish is matched against what is left of the
stock and of the packages bought, so that a menu's costs are those its dishes will really have.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

import msgspec

from helper.kitchen.costing import Costed, cost
from helper.kitchen.due import SOON
from helper.kitchen.larder import Larder, Sold
from helper.kitchen.lots import Lot
from helper.kitchen.matching import Match, match_all
from helper.kitchen.menu_days import assign
from helper.kitchen.menu_model import best_stretch, choose, most_meals
from helper.kitchen.menu_problem import Choice, Count, Days, Dish, Missed, Problem
from helper.kitchen.money import NOTHING, to_cents
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Recipe
from helper.kitchen.stock import Stock

WINDOW = 7


class Candidate(msgspec.Struct, frozen=True):
    """A recipe that may go on the menu, scaled to the table and with its swaps already in it.

    `traits` are what wishes look at; `tier` 0 for a dish without fault; `verdict` for who eats;
    `lately` how often it was cooked within the window before, `settled` how often it stands on
    days already agreed on. `table` is the sitting it is cooked for, where days differ in that.
    """

    recipe: Recipe
    traits: frozenset[str] = frozenset()
    tier: int = 0
    verdict: str = "yes"
    swaps: tuple[str, ...] = ()
    lately: int = 0
    settled: int = 0
    table: int = 0


class Day(msgspec.Struct, frozen=True):
    """A day to plan for, and what it asks of its dish.

    `name` words the wish; `table` is the sitting that eats.
    """

    date: dt.date
    wanted: frozenset[str] = frozenset()
    refused: frozenset[str] = frozenset()
    name: str = ""
    table: int = 0


class Wanted(msgspec.Struct, frozen=True):
    """What a menu is asked to keep to. `shop` False: nothing may be bought for it.

    `budget` is what due food may bring the till to; `frugal` True: only the till counts.
    """

    today: dt.date
    days: tuple[Day, ...]
    counts: tuple[Count, ...] = ()
    window: int = WINDOW
    seconds: float = 4.0
    shop: bool = True
    budget: Decimal | None = None
    frugal: bool = False


class Planned(msgspec.Struct, frozen=True):
    """One dish on its day, matched and costed in its turn."""

    date: dt.date
    candidate: Candidate
    match: Match
    costed: Costed

    @property
    def recipe(self) -> Recipe:
        """The recipe, scaled."""
        return self.candidate.recipe


class Bought(msgspec.Struct, frozen=True):
    """Whole packages to buy; `packages` None where no package is known. `cost` for all of them."""

    sold: Sold
    packages: int | None
    cost: Decimal | None


class Plan(msgspec.Struct, frozen=True):
    """A menu.

    `till` is what the packages to buy cost, "at least" where `unpriced` names any; `eaten` what
    the dishes use at the price of the lots they draw on. `proved`: nothing is cheaper at the
    till, the worth of due food it uses taken off; `least` is the cheapest without regard to that.
    `missed` are the wishes that could not be kept; `used_up` due lots the menu draws on;
    `unsure` foods that cannot be measured.
    """

    meals: tuple[Planned, ...]
    bought: tuple[Bought, ...]
    till: Decimal
    eaten: Decimal
    at_least: bool
    proved: bool
    gap: float
    missed: tuple[Missed, ...] = ()
    used_up: tuple[Lot, ...] = ()
    unpriced: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    least: Decimal = NOTHING


def plan(
    wanted: Wanted, candidates: Sequence[Candidate], stock: Stock, prices: Prices
) -> Plan | None:
    """The cheapest menu at the till; None where not one of the dishes can be had."""
    until = _due_by(wanted)
    larder = Larder(stock, prices, wanted.today, until, wanted.shop)
    most = math.ceil(len(wanted.days) / wanted.window)
    dishes, unsure = _dishes(candidates, larder, most)
    groups, dated, rests = _groups(wanted.days)
    budget = None if wanted.budget is None else int(wanted.budget * 100)
    stores = larder.stores
    if wanted.frugal:
        stores = [msgspec.structs.replace(one, saved=0.0) for one in stores]
    problem = Problem(stores, larder.packs, larder.needs, dishes, groups, wanted.counts, budget)
    choice = choose(problem, wanted.seconds)
    if choice is None or not choice.times():
        return None
    due = _due(candidates, stock, larder)
    placed = assign(choice.taken, dated, due, wanted.window, rests)
    return _reckoned(wanted, candidates, stock, prices, larder, choice, placed, unsure)


def _due_by(wanted: Wanted) -> dt.date:
    """Until when food that has a date counts as due: the days planned for, and a week at least."""
    last = max((day.date for day in wanted.days), default=wanted.today)
    return max(last, wanted.today + dt.timedelta(days=SOON))


def _dishes(
    candidates: Sequence[Candidate], larder: Larder, most: int
) -> tuple[list[Dish], list[tuple[str, ...]]]:
    dishes, unsure = [], []
    for one in candidates:
        taken = larder.taken(one.recipe)
        times = max(0, most - one.lately, one.settled)
        dishes.append(Dish(one.recipe.title, taken.uses, one.traits, one.tier, times, one.table))
        unsure.append(taken.unsure)
    return dishes, unsure


def _groups(
    days: Sequence[Day],
) -> tuple[list[Days], list[tuple[dt.date, int]], dict[int, int]]:
    """Days that ask for the same together; plain ones last, a group for every table.

    Also each date with its group, and for every group the plain one of its table.
    """
    alike: defaultdict[tuple[frozenset[str], frozenset[str], str, int], list[dt.date]]
    alike = defaultdict(list)
    plain: defaultdict[int, list[dt.date]] = defaultdict(list)
    for day in days:
        if day.wanted or day.refused:
            alike[day.wanted, day.refused, day.name, day.table].append(day.date)
        else:
            plain[day.table].append(day.date)
    tables = sorted({day.table for day in days})
    groups = [Days(len(dates), *key) for key, dates in alike.items()]
    rests = {place: len(groups) + tables.index(one.table) for place, one in enumerate(groups)}
    dated = [(date, place) for place, dates in enumerate(alike.values()) for date in dates]
    for table in tables:
        place = len(groups)
        rests[place] = place
        dated += [(date, place) for date in plain[table]]
        groups.append(Days(len(plain[table]), table=table))
    return groups, dated, rests


def _due(candidates: Sequence[Candidate], stock: Stock, larder: Larder) -> dict[int, dt.date]:
    """By when each dish should be cooked for what is due to go into it."""
    dates: dict[str, dt.date] = {}
    for lot in stock.lots:
        if larder.is_due(lot) and lot.best_by is not None:
            dates[lot.food] = min(lot.best_by, dates.get(lot.food, lot.best_by))
    found: dict[int, dt.date] = {}
    if not dates:
        return found
    for place, one in enumerate(candidates):
        soon = [
            dates[kin.food]
            for line in one.recipe.lines
            if line.food and not line.optional
            for kin in stock.pantry.standing_for(line.food)
            if kin.food in dates
        ]
        if soon:
            found[place] = min(soon)
    return found


def _reckoned(
    wanted: Wanted,
    candidates: Sequence[Candidate],
    stock: Stock,
    prices: Prices,
    larder: Larder,
    choice: Choice,
    placed: Sequence[tuple[dt.date, int]],
    unsure: Sequence[tuple[str, ...]],
) -> Plan:
    """The menu with its sums, dish after dish, from the stock and what is bought for it."""
    bought = [_bought(larder.sold[place], count) for place, count in choice.packs.items()]
    lots = with_bought(stock.lots, bought, wanted.today)
    full = Stock(lots, stock.measures, wanted.today)
    recipes = [candidates[dish].recipe for _, dish in placed]
    meals = tuple(
        Planned(date, candidates[dish], found, cost(found, prices))
        for (date, dish), found in zip(placed, match_all(recipes, full), strict=True)
    )
    eaten = sum((cost_of(meal) for meal in meals), NOTHING)
    drawn = {draw.lot.id for meal in meals for draw in meal.match.draws if draw.amount.number}
    used_up = tuple(lot for lot in stock.lots if lot.id in drawn and larder.is_due(lot))
    unpriced = tuple(dict.fromkeys(one.sold.food for one in bought if one.cost is None))
    return Plan(
        meals,
        tuple(bought),
        sum((one.cost for one in bought if one.cost), NOTHING),
        to_cents(eaten),
        any(meal.costed.at_least for meal in meals),
        choice.proved,
        choice.gap,
        choice.missed,
        used_up,
        unpriced,
        tuple(dict.fromkeys(food for _, dish in placed for food in unsure[dish])),
        Decimal(choice.least) / 100,
    )


def cost_of(meal: Planned) -> Decimal:
    """What a meal's needed lines use, to the cent; lines without a price count nothing."""
    return meal.costed.total


def _bought(sold: Sold, count: int) -> Bought:
    price = None if sold.price is None else sold.price * count
    return Bought(sold, count if sold.size else None, price)


def with_bought(lots: Sequence[Lot], bought: Sequence[Bought], today: dt.date) -> list[Lot]:
    """The lots there are and those that shopping adds, numbered after them."""
    last = max((lot.id for lot in lots), default=0)
    added = []
    for one in bought:
        if one.sold.size is None or not one.packages:
            continue
        last += 1
        added.append(
            Lot(
                last,
                one.sold.food,
                one.sold.size.times(one.packages),
                one.sold.size,
                one.packages,
                one.sold.package,
                one.sold.price,
                bought=today,
            )
        )
    return [*lots, *added]


class Farthest(msgspec.Struct, frozen=True):
    """How far the stock goes: the dinners, and the one package that would add most for its
    price: `more` further dinners. None where no one package adds any."""

    plan: Plan
    stretch: Sold | None = None
    more: int = 0


def farthest(
    wanted: Wanted, candidates: Sequence[Candidate], stock: Stock, prices: Prices
) -> Farthest | None:
    """As many of the wanted days as the stock feeds with nothing bought; `plan.proved`: not one
    more is possible. None where it feeds no day at all."""
    until = _due_by(wanted)
    most = math.ceil(len(wanted.days) / wanted.window)
    larder = Larder(stock, prices, wanted.today, until, shop=False)
    dishes, unsure = _dishes(candidates, larder, most)
    days = [Days(len(wanted.days))]
    problem = Problem(larder.stores, (), larder.needs, dishes, days)
    choice = most_meals(problem, wanted.seconds)
    if choice is None or not choice.times():
        return None
    dated = [(day.date, 0) for day in wanted.days[: sum(choice.times().values())]]
    placed = assign(choice.taken, dated, _due(candidates, stock, larder), wanted.window)
    found = _reckoned(wanted, candidates, stock, prices, larder, choice, placed, unsure)
    stretch = _stretch(wanted, candidates, stock, prices, until, most, len(placed))
    return Farthest(found, *stretch)


def _stretch(
    wanted: Wanted,
    candidates: Sequence[Candidate],
    stock: Stock,
    prices: Prices,
    until: dt.date,
    most: int,
    meals: int,
) -> tuple[Sold | None, int]:
    larder = Larder(stock, prices, wanted.today, until)
    dishes, _ = _dishes(candidates, larder, most)
    problem = Problem(larder.stores, larder.packs, larder.needs, dishes, [Days(len(wanted.days))])
    found = best_stretch(problem, meals, wanted.seconds)
    return (None, 0) if found is None else (larder.sold[found.pack], found.more)


__all__ = [
    "WINDOW",
    "Bought",
    "Candidate",
    "Count",
    "Day",
    "Farthest",
    "Plan",
    "Planned",
    "Wanted",
    "cost_of",
    "farthest",
    "plan",
    "with_bought",
]

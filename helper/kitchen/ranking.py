"""Which dish: recipes ranked for a household, with the reasons of each place.

The order: more of the foods asked for, then safe for who eats, then fewest things to buy, then
what uses up what is due, then the cost a serving. The whole collection is ranked on counts from
the index; only the best few are matched, costed and judged in full, and ranked again on that.
"""

from __future__ import annotations

import datetime as dt
import heapq
from collections.abc import Callable
from decimal import Decimal

import msgspec

from helper.kitchen.costing import Costed, cost
from helper.kitchen.due import SOON, days_left
from helper.kitchen.index import RecipeIndex
from helper.kitchen.lots import Lot
from helper.kitchen.matching import Match, match, scale
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Recipe
from helper.kitchen.stock import Stock, past_its_date

# Verdicts from best to worst; anything else counts as not known, which is never safe.
VERDICTS = ("yes", "with-swaps", "check", "no")
_LOOKED_AT = 40
# Conditions that only a matched and costed recipe can be held against need more of them looked at.
_LOOKED_AT_CLOSELY = 160
# Further past its date than this many days, using a lot up is no merit of a dish.
_LATE = 30


class Wish(msgspec.Struct, frozen=True):
    """What was asked.

    `foods`: wanted in the dish; `without`: not wanted; `minutes`: at most; `budget`: what it may
    cost, a serving where `a_head`, else in all; `stock_only`: nothing to be bought; `place`: made
    with something from there; `within`: the days that count as due soon; `due_only`: made with
    something due.
    """

    today: dt.date
    foods: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    minutes: int | None = None
    servings: float | None = None
    budget: Decimal | None = None
    a_head: bool = False
    stock_only: bool = False
    place: str | None = None
    within: int = SOON
    due_only: bool = False
    limit: int = 10

    @property
    def close(self) -> bool:
        """True when something is asked that counts alone do not tell."""
        return bool(self.budget or self.stock_only or self.place or self.due_only)


class Meal(msgspec.Struct, frozen=True):
    """One dish on the list. `asked` are the asked-for foods it holds; `uses_soon` the due foods
    it draws on; `why` the reasons for its place, one short sentence each, in ranking order."""

    recipe: Recipe
    match: Match
    costed: Costed
    asked: tuple[str, ...]
    verdict: str
    uses_soon: tuple[str, ...]
    why: tuple[str, ...]


class Meals(msgspec.Struct, frozen=True):
    """The ranked dishes, how many recipes hold what was asked, and which foods no recipe holds."""

    meals: tuple[Meal, ...]
    fitting: int
    nowhere: tuple[str, ...] = ()


def find_meals(
    wish: Wish,
    index: RecipeIndex,
    recipe_of: Callable[[int], Recipe],
    stock: Stock,
    prices: Prices,
    verdict: Callable[[Recipe], str] | None = None,
    avoided: Callable[[str], bool] | None = None,
) -> Meals:
    """The best dishes for a wish.

    `recipe_of` gives the recipe of an id. `verdict` judges a whole recipe for who eats ("yes",
    "with-swaps", "check", "no"); `avoided` is its quick forerunner, true for foods somebody keeps
    away from: it only decides which recipes are looked at, never that one is safe.
    """
    asked = {food: index.holding(food) for food in wish.foods}
    places = _fitting(wish, index, asked)
    soon = _due_foods(stock, wish)
    best = _shortlist(wish, index, places, asked, stock, soon, avoided)
    meals = []
    for place in best:
        recipe = recipe_of(index.ids[place])
        if wish.servings is not None:
            recipe = scale(recipe, wish.servings) or recipe
        held = tuple(food for food in wish.foods if place in asked[food])
        meal = _meal(recipe, held, wish, stock, prices, soon, verdict)
        if _meets(wish, meal):
            meals.append(meal)
    meals.sort(key=_order)
    nowhere = tuple(food for food in wish.foods if not asked[food])
    return Meals(tuple(meals[: wish.limit]), len(places), nowhere)


def _fitting(wish: Wish, index: RecipeIndex, asked: dict[str, set[int]]) -> set[int]:
    """Places of recipes that hold something asked for, nothing unwanted, in the time there is."""
    places = set().union(*asked.values()) if asked else set(index.places())
    for food in wish.without:
        places -= index.holding_any(food)
    if wish.minutes is not None:
        limit, minutes = wish.minutes, index.minutes
        places = {place for place in places if 0 <= minutes[place] <= limit}
    return places


def _shortlist(
    wish: Wish,
    index: RecipeIndex,
    places: set[int],
    asked: dict[str, set[int]],
    stock: Stock,
    soon: dict[str, int],
    avoided: Callable[[str], bool] | None,
) -> list[int]:
    """The places that look best by counts alone."""
    short = index.short_of(stock.holds, stock)
    unsafe = index.marked(avoided) if avoided else bytearray(len(index.ids))
    due = _drawing_on(index, stock, set(soon))
    there = _drawing_on(index, stock, {lot.food for lot in stock.lots if lot.place == wish.place})
    held = dict.fromkeys(places, 0)
    for found in asked.values():
        for place in found & places:
            held[place] += 1
    ids = index.ids
    if wish.place:
        places = {place for place in places if there[place]}
    if wish.due_only:
        places = {place for place in places if due[place]}
    return heapq.nsmallest(
        max(_LOOKED_AT_CLOSELY if wish.close else _LOOKED_AT, wish.limit),
        places,
        key=lambda place: (-held[place], unsafe[place] > 0, short[place], -due[place], ids[place]),
    )


def _drawing_on(index: RecipeIndex, stock: Stock, foods: set[str]) -> bytearray:
    """For each place, how many of its lines some of these foods of the stock could meet."""
    names = (
        {
            name
            for name in index.names
            if "|" not in name
            for kin in stock.pantry.standing_for(name)
            if kin.sure and kin.food in foods
        }
        if foods
        else set()
    )
    return index.marked(names.__contains__) if names else bytearray(len(index.ids))


def _meets(wish: Wish, meal: Meal) -> bool:
    """Holds a matched and costed dish against what counts alone could not tell."""
    if wish.stock_only and (meal.match.missing or meal.match.unsure):
        return False
    if wish.place and not any(draw.lot.place == wish.place for draw in meal.match.draws):
        return False
    if wish.due_only and not meal.uses_soon:
        return False
    if wish.budget is None:
        return True
    costs = meal.costed.per_serving if wish.a_head else meal.costed.total
    return costs is not None and costs <= wish.budget


def _is_due(lot: Lot, wish: Wish) -> bool:
    """Due soon, or a little past a date that does not mean it must be thrown away."""
    left = days_left(lot, wish.today)
    return left is not None and -_LATE <= left <= wish.within and not past_its_date(lot, wish.today)


def _due_foods(stock: Stock, wish: Wish) -> dict[str, int]:
    """Foods with a lot due soon → the fewest days left."""
    found: dict[str, int] = {}
    for lot in stock.lots:
        left = days_left(lot, wish.today)
        if left is not None and _is_due(lot, wish):
            found[lot.food] = min(left, found.get(lot.food, left))
    return found


def _meal(
    recipe: Recipe,
    asked: tuple[str, ...],
    wish: Wish,
    stock: Stock,
    prices: Prices,
    soon: dict[str, int],
    verdict: Callable[[Recipe], str] | None,
) -> Meal:
    found = match(recipe, stock)
    costed = cost(found, prices)
    used = dict.fromkeys(draw.lot.food for draw in found.draws if _is_due(draw.lot, wish))
    judged = verdict(recipe) if verdict else "yes"
    uses = tuple(sorted(used, key=lambda food: soon[food]))
    why = _reasons(asked, wish, judged if verdict else None, found, uses, soon, costed)
    return Meal(recipe, found, costed, asked, judged, uses, why)


def _order(meal: Meal) -> tuple[int, int, int, int, int, Decimal, str]:
    safe = VERDICTS.index(meal.verdict) if meal.verdict in VERDICTS else VERDICTS.index("check")
    each = meal.costed.per_serving
    return (
        -len(meal.asked),
        safe,
        len(meal.match.missing) + len(meal.match.unsure),
        -len(meal.uses_soon),
        meal.costed.at_least or each is None,
        Decimal(0) if each is None else each,
        meal.recipe.title,
    )


def _reasons(
    asked: tuple[str, ...],
    wish: Wish,
    judged: str | None,
    found: Match,
    uses: tuple[str, ...],
    soon: dict[str, int],
    costed: Costed,
) -> tuple[str, ...]:
    why = []
    if wish.foods:
        why.append(
            f"holds {len(asked)} of {len(wish.foods)} foods asked for"
            + (f": {', '.join(asked)}" if asked else "")
        )
    if judged is not None:
        why.append(f"safe for who eats: {judged}")
    short = len(found.missing)
    why.append(f"{short} to buy" if short else "nothing to buy")
    if found.unsure:
        why.append(f"{len(found.unsure)} that cannot be told")
    if uses:
        why.append("uses " + ", ".join(f"{food} ({_when(soon.get(food))})" for food in uses))
    if costed.per_serving is not None:
        least = "at least " if costed.at_least else ""
        why.append(f"{least}{costed.per_serving} a serving")
    return tuple(why)


def _when(left: int | None) -> str:
    if left is None:
        return "due"
    if left < 0:
        return "past its date"
    return "due today" if left == 0 else f"{left} days left"

"""Which dish: recipes ranked for a household, with the reasons of each place.

The order: more of the foods asked for, then safe for who eats, then fewest things to buy, then
what uses up what is due, then the cost a serving. The whole collection is ranked on counts from
the index; only the best few are matched, costed and judged in full, and ranked again on that.
"""

from __future__ import annotations

import datetime as dt
import heapq
from collections.abc import Callable, Mapping
from decimal import Decimal

import msgspec

from helper.kitchen.costing import Costed, cost
from helper.kitchen.due import SOON, days_left
from helper.kitchen.foods import Foods
from helper.kitchen.index import RecipeIndex
from helper.kitchen.lots import Lot
from helper.kitchen.matching import Match, match, scale
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Recipe
from helper.kitchen.stock import Draw, Stock, past_its_date
from helper.kitchen.wished_away import is_called

# Verdicts, gravest first; one that is none of these counts as a "check": not known is never safe.
VERDICTS = ("no", "check", "with-swaps")
_FINE = "yes"
_LOOKED_AT = 40
# Conditions that only a matched and costed recipe can be held against need more of them looked at.
_LOOKED_AT_CLOSELY = 160
# Further past its date than this many days, using a lot up is no merit of a dish.
_LATE = 30
# Minutes that are not known (-1 in the index) come after all that are.
_NEVER = 1_000_000
# So many dishes are named even where fewer are of the course asked for.
_A_FEW = 3
# A dish that takes less than this part of what is left of a lot does not use it up.
_PINCH = 0.05

CHEAPEST, QUICKEST = "cheapest", "quickest"

Fits = Callable[[Recipe], Mapping[str, str]]
Picks = Callable[[str], bool]


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
    strict: bool = False
    first: str = ""
    course: str = ""
    limit: int = 10

    @property
    def close(self) -> bool:
        """True when something is asked that counts alone do not tell."""
        held_against = (self.budget, self.stock_only, self.place, self.due_only, self.strict)
        return any(held_against) or self.first == CHEAPEST or bool(self.course)


class Meal(msgspec.Struct, frozen=True):
    """One dish on the list. `asked` are the asked-for foods it holds; `fits` how it suits each
    eater; `uses_soon` the due foods it draws on; `why` the reasons for its place, one short
    sentence each, in ranking order."""

    recipe: Recipe
    match: Match
    costed: Costed
    asked: tuple[str, ...]
    fits: Mapping[str, str]
    uses_soon: tuple[str, ...]
    why: tuple[str, ...]
    course: str = ""


class Meals(msgspec.Struct, frozen=True):
    """The ranked dishes, how many recipes hold what was asked, and which foods no recipe holds."""

    meals: tuple[Meal, ...]
    fitting: int
    nowhere: tuple[str, ...] = ()


class Kitchen(msgspec.Struct, frozen=True):
    """What dishes are looked for in.

    `recipe_of` gives the recipe of an id. `fits` judges a whole recipe for each eater ("yes",
    "with-swaps", "check", "no"). `avoided` is its quick forerunner, true for foods an eater keeps
    away from: it only decides which recipes are looked at, never that one is safe. `left_out` is
    true for foods that nothing on the list may hold. `course` tells a dish's course.
    """

    index: RecipeIndex
    recipe_of: Callable[[int], Recipe]
    stock: Stock
    prices: Prices
    fits: Fits | None = None
    avoided: Picks | None = None
    left_out: Picks | None = None
    course: Callable[[Recipe], str] | None = None


def find_meals(wish: Wish, kitchen: Kitchen) -> Meals:
    """The best dishes for a wish."""
    index = kitchen.index
    asked = {food: index.holding(food) for food in wish.foods}
    places = _fitting(wish, kitchen, asked)
    soon = _due_foods(kitchen.stock, wish)
    best = _shortlist(wish, kitchen, places, asked, soon)
    if wish.course and kitchen.course:
        best = _of_course(wish.course, best, asked, kitchen, kitchen.course)
    meals = []
    for place in best:
        held = tuple(food for food in wish.foods if place in asked[food])
        meal = _meal(kitchen.recipe_of(index.ids[place]), held, wish, kitchen, soon)
        if _meets(wish, meal, kitchen.stock.measures.foods):
            meals.append(meal)
    meals.sort(key=lambda meal: _order(meal, wish))
    if any(meal.course == wish.course for meal in meals):
        meals = [meal for at, meal in enumerate(meals) if at < _A_FEW or meal.course == wish.course]
    nowhere = tuple(food for food in wish.foods if not asked[food])
    return Meals(tuple(meals[: wish.limit]), len(places), nowhere)


def looked_at(recipe: Recipe, wish: Wish, kitchen: Kitchen) -> Meal:
    """One dish as it would stand on the list, whatever comes before it there."""
    return _meal(recipe, (), wish, kitchen, _due_foods(kitchen.stock, wish))


def _fitting(wish: Wish, kitchen: Kitchen, asked: dict[str, set[int]]) -> set[int]:
    """Places of recipes that hold something asked for, nothing unwanted, in the time there is."""
    index = kitchen.index
    places = set().union(*asked.values()) if asked else set(index.places())
    for food in wish.without:
        places -= index.holding_any(food)
    if kitchen.left_out is not None:
        out = index.marked(kitchen.left_out)
        places = {place for place in places if not out[place]}
    if wish.minutes is not None:
        limit, minutes = wish.minutes, index.minutes
        places = {place for place in places if 0 <= minutes[place] <= limit}
    return places


def _shortlist(
    wish: Wish, kitchen: Kitchen, places: set[int], asked: dict[str, set[int]], soon: dict[str, int]
) -> list[int]:
    """The places that look best by counts alone."""
    index, stock = kitchen.index, kitchen.stock
    short = index.short_of(stock.holds, stock)
    unsafe = index.marked(kitchen.avoided) if kitchen.avoided else bytearray(len(index.ids))
    due = _drawing_on(index, stock, set(soon))
    if wish.place:
        there = {lot.food for lot in stock.lots if lot.place == wish.place}
        drawn = _drawing_on(index, stock, there)
        places = {place for place in places if drawn[place]}
    if wish.due_only:
        places = {place for place in places if due[place]}
    held = dict.fromkeys(places, 0)
    for found in asked.values():
        for place in found & places:
            held[place] += 1
    ids, minutes = index.ids, index.minutes if wish.first == QUICKEST else None
    return heapq.nsmallest(
        max(_LOOKED_AT_CLOSELY if wish.close else _LOOKED_AT, wish.limit),
        places,
        key=lambda place: (
            -held[place],
            unsafe[place] > 0,
            minutes[place] % _NEVER if minutes else 0,
            short[place],
            -due[place],
            ids[place],
        ),
    )


def _of_course(
    course: str,
    places: list[int],
    asked: dict[str, set[int]],
    kitchen: Kitchen,
    course_of: Callable[[Recipe], str],
) -> list[int]:
    """The best places again, those of the course before others that hold as much of what is asked.

    Telling a course takes its time, so it is told only of recipes that are near the top.
    """

    def rank(place: int) -> tuple[int, bool]:
        recipe = kitchen.recipe_of(kitchen.index.ids[place])
        held = sum(place in found for found in asked.values())
        return -held, course_of(recipe) != course

    return sorted(places, key=rank)[:_LOOKED_AT]


def _drawing_on(index: RecipeIndex, stock: Stock, foods: set[str]) -> bytearray:
    """For each place, how many of its lines some of these foods of the stock could meet."""
    if not foods:
        return bytearray(len(index.ids))
    return index.marked(
        lambda name: any(kin.sure and kin.food in foods for kin in stock.pantry.standing_for(name))
    )


def _meets(wish: Wish, meal: Meal, foods: Foods) -> bool:
    """Holds a matched, judged and costed dish against what counts alone could not tell."""
    if any(is_called(meal.recipe, food, foods) for food in wish.without):
        return False
    if wish.stock_only and (meal.match.missing or meal.match.unsure):
        return False
    if wish.place and not any(draw.lot.place == wish.place for draw in meal.match.draws):
        return False
    if wish.due_only and not meal.uses_soon:
        return False
    if wish.strict and "no" in meal.fits.values():
        return False
    if wish.budget is None:
        return True
    costs = meal.costed.per_serving if wish.a_head else meal.costed.total
    return costs is not None and costs <= wish.budget


def _is_due(lot: Lot, wish: Wish) -> bool:
    """Due soon, or a little past a date that does not mean it must be thrown away."""
    left = days_left(lot, wish.today)
    return left is not None and -_LATE <= left <= wish.within and not past_its_date(lot, wish.today)


def _uses_up(draw: Draw, wish: Wish) -> bool:
    return _is_due(draw.lot, wish) and draw.amount.number >= _PINCH * draw.lot.left.number


def _due_foods(stock: Stock, wish: Wish) -> dict[str, int]:
    """Foods with a lot due soon → the fewest days left."""
    found: dict[str, int] = {}
    for lot in stock.lots:
        left = days_left(lot, wish.today)
        if left is not None and _is_due(lot, wish):
            found[lot.food] = min(left, found.get(lot.food, left))
    return found


def _meal(
    recipe: Recipe, asked: tuple[str, ...], wish: Wish, kitchen: Kitchen, soon: dict[str, int]
) -> Meal:
    scaled = scale(recipe, wish.servings) if wish.servings is not None else None
    found = match(scaled or recipe, kitchen.stock)
    costed = cost(found, kitchen.prices)
    used = dict.fromkeys(draw.lot.food for draw in found.draws if _uses_up(draw, wish))
    # Judged as the books have it: an amount makes no dish safer.
    fits = kitchen.fits(recipe) if kitchen.fits else {}
    uses = tuple(sorted(used, key=lambda food: soon[food]))
    why = _reasons(asked, wish, fits, found, uses, soon, costed)
    course = kitchen.course(recipe) if wish.course and kitchen.course else ""
    return Meal(scaled or recipe, found, costed, asked, fits, uses, why, course)


def _gravity(fits: Mapping[str, str]) -> tuple[int, ...]:
    """For how many eaters a dish is out, must be checked, needs swaps."""
    said = [one if one in (*VERDICTS, _FINE) else "check" for one in fits.values()]
    return tuple(said.count(verdict) for verdict in VERDICTS)


def _order(meal: Meal, wish: Wish) -> tuple[object, ...]:
    each, minutes = meal.costed.per_serving, meal.recipe.minutes
    price = (meal.costed.at_least or each is None, Decimal(0) if each is None else each)
    leading = {CHEAPEST: price, QUICKEST: (minutes is None, minutes or 0)}.get(wish.first, ())
    return (
        -len(meal.asked),
        meal.course != wish.course,
        _gravity(meal.fits),
        leading,
        len(meal.match.missing) + len(meal.match.unsure),
        -len(meal.uses_soon),
        price,
        meal.recipe.title,
    )


def _reasons(
    asked: tuple[str, ...],
    wish: Wish,
    fits: Mapping[str, str],
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
    if fits:
        said = ", ".join(f"{name} {verdict}" for name, verdict in fits.items())
        why.append(f"safe for who eats: {said}")
    short = len(found.missing)
    why.append(f"{short} to buy" if short else "nothing to buy")
    if found.unsure:
        why.append(f"{len(found.unsure)} that cannot be told")
    if uses:
        why.append("uses " + ", ".join(f"{food} ({_when(soon[food])})" for food in uses))
    if costed.per_serving is not None:
        least = "at least " if costed.at_least else ""
        why.append(f"{least}{costed.per_serving} a serving")
    return tuple(why)


def _when(left: int) -> str:
    if left < 0:
        return "past its date"
    return "due today" if left == 0 else f"{left} day{'s' if left > 1 else ''} left"

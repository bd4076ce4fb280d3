"""From a request to a menu: for whom, which days, which dishes may come, and the plan itself."""

from __future__ import annotations

import datetime as dt
import time
from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

import msgspec
from msgspec.structs import replace

from helper.acts.diners import swapping
from helper.acts.fitting import fitted
from helper.acts.gaps import Refuse, sound_money
from helper.acts.house import House
from helper.acts.ledger import Span, summed_up
from helper.acts.menu_wishes import FOOD, Wishes, WishOf, foods_unwanted, read_wishes, says
from helper.acts.periods import dishes
from helper.acts.sittings import Sittings, sittings
from helper.acts.wording import listed
from helper.kitchen.matching import scale
from helper.kitchen.menus import WINDOW, Candidate, Count, Day, Plan, Wanted, plan
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, CHOICE, NO, YES
from helper.kitchen.swaps import Swapping
from helper.kitchen.table import Diner
from helper.kitchen.traits import course_of, courses_for, holds, traits_of
from helper.kitchen.wished_away import is_called
from helper.kitchen.words import key, words
from helper.reading.reading import Reading
from helper.reading.vocabulary import holds_phrase, phrase_from

TITLE = "title: "
_USUAL_DAYS = 7
_MOST_DAYS = 31
_WEEKEND = 2
# Dishes looked at in full; a collection larger than this is looked through from what is at hand.
_LOOKED_AT = 320
_SECONDS = 3.0

# How unwelcome a dish is that only does where nothing else is left.
_CHECK, _STOPGAP, _DISLIKED = 1, 4, 3
# With more swaps than this a dish is hardly itself any more.
_FEW_SWAPS = 2
# A trait that stands for a course that makes the meal.
PROPER = "a proper course"
_TO = ("to", "through", "thru", "till", "until", "-")


class Order(msgspec.Struct, frozen=True):
    """What a request for a menu comes to.

    `who` eats on which day: the `people` and `diets` named, or everybody at home; `leftovers`
    True where each meal is cooked twice as large; `assumed` what was taken for granted; `pool` the
    dishes that may come; `left_out` counts recipes by why they may not; `whole` False where the
    collection was too large to look at every recipe.
    """

    wanted: Wanted
    who: Sittings
    slot: str
    leftovers: bool
    budget: Decimal | None
    people: tuple[str, ...] = ()
    diets: tuple[str, ...] = ()
    pool: tuple[Candidate, ...] = ()
    left_out: tuple[tuple[str, int], ...] = ()
    assumed: tuple[str, ...] = ()
    whole: bool = True

    def planned(self, house: House) -> Plan | None:
        """The cheapest menu for it."""
        return plan(self.wanted, self.pool, house.stock, house.prices)


def order_of(reading: Reading, house: House, shop: bool = True) -> Order:
    """Everything a menu needs to know; `shop` False: nothing can be bought. Raises Ask, Refuse."""
    wishes = read_wishes(reading.said, house.foods)
    reading = replace(reading, without=foods_unwanted(reading.without))
    dates, assumed = days_of(_unwished(reading, wishes), house.today, wishes)
    who = sittings(dates, reading, house)
    if who.nobody:
        names = listed(f"{date:%a} {date.day} {date:%b}" for date in who.nobody)
        assumed = (*assumed, f"Nobody is at home on {names}: nothing is planned for then.")
    budget = sound_money(reading.money)
    if budget is not None and reading.per == "head":
        budget = budget * Decimal(repr(who.head_days))
    days = tuple(replace(_day(date, wishes.wishes), table=at) for date, at in who.days.items())
    shop = shop and not says(reading.said, "no_shopping")
    frugal = says(reading.said, "menu_cheaper")
    counts = _counts(reading, wishes, house)
    wanted = Wanted(house.today, days, counts, shop=shop, budget=budget, frugal=frugal)
    order = Order(
        wanted,
        who,
        wishes.slot,
        wishes.leftovers,
        budget,
        reading.people,
        reading.diets,
        assumed=assumed,
    )
    return with_pool(order, reading, house)


# -- when ------------------------------------------------------------------------------------


def days_of(
    reading: Reading, today: dt.date, wishes: Wishes | None = None
) -> tuple[list[dt.date], tuple[str, ...]]:
    """The days asked for, and what was taken for granted about them."""
    assumed: tuple[str, ...] = ()
    first = reading.date or today
    count = reading.days
    if reading.date is None and count == _WEEKEND and _is_weekend(reading.said, wishes):
        # it begins on its Saturday; on a Sunday, a day of it is left
        first = today + dt.timedelta(days=max(0, 5 - today.weekday()))
        count = 7 - first.weekday()
    last = _last_day(reading, first)
    named = _days_named(reading.said, today, wishes)
    if count is None and last is None and len(named) > 1:
        return named, ()
    if count is None and last is not None:
        first = today if reading.until == first else first
        count = (last - first).days + 1
    if count is None:
        count = 1 if reading.date is not None else _USUAL_DAYS
        if reading.date is None:
            assumed = ("No number of days was said: planned for a week.",)
    if first < today:
        raise Refuse(f"{first.isoformat()} is past. From which day shall I plan?")
    if not 1 <= count <= _MOST_DAYS:
        raise Refuse(f"I can plan from 1 to {_MOST_DAYS} days at a time; {count} were asked for.")
    return [first + dt.timedelta(days=n) for n in range(count)], assumed


def _is_weekend(said: str, wishes: Wishes | None) -> bool:
    """Whether the days asked for are a weekend; a wish for weekends is another matter."""
    wished = any(5 in wish.weekdays for wish in wishes.wishes) if wishes else False
    return says(said, "weekend") and not wished


def _days_named(said: str, today: dt.date, wishes: Wishes | None) -> list[dt.date]:
    """The weekdays named, "saturday and sunday", but those that belong to a wish."""
    wished = {day for wish in wishes.wishes for day in wish.weekdays} if wishes else set()
    found = words(said)
    hits = [phrase_from(found, at, "weekday") for at in range(len(found))]
    days = {int(hit[0]) for hit in hits if hit is not None} - wished
    return sorted(today + dt.timedelta(days=(day - today.weekday()) % 7) for day in days)


def _unwished(reading: Reading, wishes: Wishes) -> Reading:
    """The request without a day that only belongs to a wish: "fish on friday" begins no friday."""
    weekdays = {day for wish in wishes.wishes for day in wish.weekdays}
    if reading.date is None or reading.date.weekday() not in weekdays:
        return reading
    until = None if reading.until == reading.date else reading.until
    return replace(reading, date=None, until=until)


def _last_day(reading: Reading, first: dt.date) -> dt.date | None:
    """The day a span ends on: "until friday", "monday to friday"."""
    if reading.until is not None and reading.until >= first:
        return reading.until
    found = words(reading.said)
    for at, word in enumerate(found):
        after = phrase_from(found, at + 1, "weekday") if word.text in _TO else None
        if at and after is not None and phrase_from(found, at - 1, "weekday") is not None:
            return first + dt.timedelta(days=(int(after[0]) - first.weekday()) % 7)
    return None


def _day(date: dt.date, wishes: Iterable[WishOf]) -> Day:
    wanted: set[str] = set()
    refused: set[str] = set()
    names = []
    for wish in wishes:
        if wish.count or (wish.weekdays and date.weekday() not in wish.weekdays):
            continue
        (refused if wish.refused else wanted).add(wish.trait)
        names.append(("no " if wish.refused else "") + wish.said)
    return Day(date, frozenset(wanted), frozenset(refused), ", ".join(names))


def _counts(reading: Reading, wishes: Wishes, house: House) -> tuple[Count, ...]:
    counts = [Count(one.trait, one.count, name=one.said) for one in wishes.wishes if one.count]
    counts += [Count(FOOD + food, 1, name=f"something with {food}")
               for food in _foods_said(reading, house) if food not in wishes.foods]  # fmt: skip
    counts += [Count(TITLE + title, 1, name=title) for title in reading.recipes]
    return tuple(counts)


def _foods_said(reading: Reading, house: House) -> tuple[str, ...]:
    """The foods a request names itself; not those a "that" in it was taken to mean."""
    found = words(reading.said)
    spoken = holds_phrase(found, "pronoun")
    named = {spot.food for spot in house.foods.spot(found)}
    return tuple(food for food in reading.foods if food in named or not spoken)


# -- which dishes ----------------------------------------------------------------------------


def with_pool(order: Order, reading: Reading, house: House) -> Order:
    """The order with every dish that may come, scaled, swapped and judged for each sitting."""
    foods_named = _foods_named(order.wanted)
    lately = cooked_lately(house)
    tables = [
        (place, one, swapping(house, one.eaters), _dangers(house, one.eaters))
        for place, one in enumerate(order.who.all)
    ]
    pool: list[Candidate] = []
    out: Counter[str] = Counter()
    until = time.monotonic() + _SECONDS
    whole = True
    for number, recipe in enumerate(_recipes(house, reading)):
        if number >= _LOOKED_AT or time.monotonic() > until:
            whole = False
            break
        for place, one, ways, dangers in tables:
            served = one.portions * (2 if order.leftovers else 1)
            found = _candidate(
                recipe, served, order, reading, ways, dangers, foods_named, lately, house
            )
            if isinstance(found, Candidate):
                pool.append(replace(found, table=place))
            elif place == 0:
                out[found] += 1
    return replace(order, pool=tuple(pool), left_out=tuple(out.items()), whole=whole)


def _recipes(house: House, reading: Reading) -> Iterable[Recipe]:
    """Every recipe; of a large collection those first of which the house lacks least."""
    index = house.index
    places = list(index.places())
    short = index.short_of(house.stock.holds, house.stock)
    named = {title.casefold() for title in reading.recipes}
    places.sort(key=lambda p: (index.titles[p].casefold() not in named, short[p], index.ids[p]))
    for place in places:
        recipe = house.books.recipe(index.ids[place])
        if recipe is not None:
            yield recipe


def _foods_wished(wanted: Wanted) -> frozenset[str]:
    """The foods that some day, or the whole menu, is to have."""
    traits = {one for day in wanted.days for one in day.wanted}
    traits |= {one.trait for one in wanted.counts if one.least}
    return frozenset(one.removeprefix(FOOD) for one in traits if one.startswith(FOOD))


def _foods_named(wanted: Wanted) -> frozenset[str]:
    traits = {one for day in wanted.days for one in (*day.wanted, *day.refused)}
    traits |= {one.trait for one in wanted.counts}
    return frozenset(one.removeprefix(FOOD) for one in traits if one.startswith(FOOD))


def _dangers(house: House, eaters: Iterable[Diner]) -> frozenset[str]:
    """Names of diners to whom a "no" is more than a matter of taste."""
    return frozenset(
        one.name
        for one in eaters
        if (person := house.person(one.name)) is None or person.severity != CHOICE
    )


def _candidate(
    recipe: Recipe,
    served: float,
    order: Order,
    reading: Reading,
    ways: Swapping,
    dangers: frozenset[str],
    foods_named: frozenset[str],
    lately: Counter[str],
    house: House,
) -> Candidate | str:
    """The recipe as it may come on the menu, or why it may not."""
    scaled = scale(recipe, served)
    if scaled is None:
        return "with no number of servings"
    foods = house.foods
    unwanted = reading.without
    if any(holds(recipe, one, foods) or is_called(recipe, one, foods) for one in unwanted):
        return "with something not wanted"
    if reading.minutes and (recipe.minutes is None or recipe.minutes > reading.minutes):
        return "too long, or of unknown time"
    fit = fitted(scaled, ways, order.wanted.shop)
    barred = {one.diner for one in fit.against if one.verdict == NO}
    if any(holds(scaled, food, foods) and not holds(fit.recipe, food, foods)
           for food in _foods_wished(order.wanted)):  # fmt: skip
        # it was asked for: who only would rather not have it is told so, and it stays
        bound = [one for one in ways.table.diners if one.name in dangers]
        fit = fitted(scaled, swapping(house, bound), order.wanted.shop)
        against = (one for line in fit.recipe.lines for one in ways.table.against_line(line))
        barred = {one.diner for one in against if one.verdict == NO}
    if barred & dangers:
        return "not to be made safe for everybody"
    tier = 0
    if fit.verdict == CHECK:
        tier += _CHECK
    if barred:
        tier += _DISLIKED
    if len(fit.swaps) > _FEW_SWAPS or _lost_its_name(scaled, fit.recipe):
        tier += 1
    course = course_of(recipe, foods)
    if any(holds(fit.recipe, food, foods) for food in reading.without):
        return "with something not wanted"
    proper, stopgap = courses_for(order.slot)
    asked = recipe.title in reading.recipes
    if course not in proper and not asked:
        if course not in stopgap:
            return f"no {order.slot}"
        tier += _STOPGAP
    traits = (
        traits_of(fit.recipe, foods)
        | {TITLE + recipe.title, *([PROPER] if course in proper else [])}
        | {FOOD + food for food in foods_named if holds(fit.recipe, food, foods)}
    )
    verdict = f"not for {', '.join(sorted(barred))}" if barred else fit.verdict
    return Candidate(fit.recipe, traits, tier, verdict, fit.swaps, lately[recipe.title])


def _lost_its_name(recipe: Recipe, swapped: Recipe) -> bool:
    """True where a food the dish is called by has been swapped out of it: no ham in ham soup."""
    there = {line.food for line in swapped.lines}
    gone = {word for line in recipe.lines if line.food and line.food not in there
            for word in key(line.food)}  # fmt: skip
    kept = {word for food in there if food for word in key(food)}
    return bool((gone - kept) & set(key(recipe.title)))


def cooked_lately(house: House) -> Counter[str]:
    """How often each dish was cooked in the days of the window before today."""
    span = Span(house.today - dt.timedelta(days=WINDOW - 1), house.today)
    return Counter({one.recipe: one.times for one in dishes(summed_up(house.books, span), ())})


def is_sure(candidate: Candidate) -> bool:
    """True where nobody has to look at a label first."""
    return candidate.verdict in (YES, "with-swaps")

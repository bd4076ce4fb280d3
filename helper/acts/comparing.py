"""Which is cheaper: two foods, two sizes, two dishes, dried or canned, made or bought.

Things are only compared by a measure that both have: the cooked cup where one is dry and the
other canned, a pound, a piece, a serving. Time is told and never priced.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts import doing
from helper.acts.dishes import recipes_meant
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.acts.making_or_buying import make_or_buy
from helper.acts.options import Option, comparison, each_of, option_json, option_written
from helper.acts.pricing import per_unit, usual_unit
from helper.acts.wording import listed, size_written
from helper.answers import Answer, Because
from helper.kitchen.amounts import Amount, written
from helper.kitchen.costing import cost as costing
from helper.kitchen.facts import state
from helper.kitchen.forms import across
from helper.kitchen.matching import match
from helper.kitchen.money import fine
from helper.kitchen.prices import Known
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key, words
from helper.reading.reading import Reading
from helper.reading.vocabulary import meanings

_COOKED_CUP = Amount(1, "cup")
# The state of foods whose name tells no form.
_PLAIN = "plain"
_MOST_OPTIONS = 8


def cheaper(reading: Reading, house: House) -> Answer:
    """Which of the things named is the cheapest, by what they have in common."""
    last = house.context.last
    if (
        last is not None
        and last.act == "menu"
        and not (reading.foods or reading.recipes or reading.amounts)
    ):
        # "cheaper", said of the menu just made
        return doing("menu")(replace(reading, act="menu"), house)
    if reading.money is not None:
        reading = _named_now(reading, house)
    try:
        options = _options(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    priced = sorted((one for one in options if one.each is not None), key=each_of)
    best = priced[0] if len(priced) > 1 else None
    saving = each_of(priced[1]) - each_of(priced[0]) if best is not None else None
    reply: dict[str, Any] = {
        "options": [option_json(one) for one in options],
        "cheapest": best.what if best is not None else None,
        "saving": None if saving is None else str(fine(saving)),
    }
    because = tuple(
        Because(option_written(one, house), because=tuple(Because(line) for line in one.basis))
        for one in options
    )
    blocks = comparison(options, priced, saving, house)
    return Answer(
        reading,
        reply,
        blocks,
        because=because,
        offered=tuple(one.what for one in options),
        recipes=reading.recipes,
        foods=reading.foods,
    )


def _options(reading: Reading, house: House) -> list[Option]:
    """What is compared, by what was named. Raises Ask or Refuse."""
    foods = reading.foods
    said = [one for one in reading.amounts if one.price is not None]
    if len(said) > 1:
        food = next((one.food for one in said if one.food), None) or next(iter(reading.foods), "")
        known = [
            Known(
                one.food or food,
                one.size.times(one.amount.number) if one.size else one.amount,
                _whole(one.price, one.each, one.amount),
            )
            for one in said
            if one.price is not None
        ]
        return _by_unit(known, house, [f"{written(one.size)} {one.food}".strip() for one in known])
    if len(reading.recipes) > 1:
        return [_dish(recipe, house) for recipe in recipes_meant(reading, house)]
    if reading.recipes:
        recipe = recipes_meant(reading, house)[0]
        food = _bought_as(recipe, foods, house)
        return make_or_buy(recipe, food, next(iter(_priced_as(food, house)), None), reading, house)
    if len(foods) > 1:
        return _of_foods(foods, house)
    if foods:
        return _of_one(foods[0], reading, house)
    raise Ask("Which two things shall I compare?")


def _named_now(reading: Reading, house: House) -> Reading:
    """A thing to be made or bought for a sum is what is named with it, not what the talk was of."""
    found = words(reading.said)
    named = {spot.food for spot in house.foods.spot(found)}
    foods = tuple(food for food in reading.foods if food in named) or reading.foods
    spans = [title for span in house.names.titles.spot(found) for title in span.value]
    recipes = tuple(title for title in reading.recipes if title in spans) or reading.recipes
    return replace(reading, foods=foods, recipes=recipes)


def _whole(price: Decimal, each: bool, amount: Amount) -> Decimal:
    return price * Decimal(repr(amount.number)) if each else price


# -- foods -----------------------------------------------------------------------------------


def _of_foods(foods: Sequence[str], house: House) -> list[Option]:
    """Several foods; where the names are wide ("dried or canned beans") the same sort of each."""
    forms = {state(house.foods[food].form) for food in foods}
    wide = [_priced_as(food, house, forms) for food in foods]
    missing = [food for food, found in zip(foods, wide, strict=True) if not found]
    if missing:
        known = [found[0] for found in wide if found]
        return [
            *(Option(food, None, None, None, note="no price known") for food in missing),
            *_by_unit(known, house),
        ]
    by_base = [{_base(one.food, house): one for one in reversed(found)} for found in wide]
    shared = [base for base in by_base[0] if all(base in found for found in by_base[1:])]
    chosen = [
        found[shared[0]] if shared else found.get(food) or next(iter(found.values()))
        for food, found in zip(foods, by_base, strict=True)
    ]
    return compared(chosen, house)


def _of_one(food: str, reading: Reading, house: House) -> list[Option]:
    """One food alone: its forms against each other, or made against bought."""
    recipe = _recipe_for(food, house)
    if recipe is not None:
        return make_or_buy(recipe, food, next(iter(_priced_as(food, house)), None), reading, house)
    forms = [known for name in house.foods.family(food) for known in house.prices.history(name)[:1]]
    if len({known.food for known in forms}) > 1:
        return compared(forms, house)
    sizes = _sizes(food, house)
    if len(sizes) > 1:
        return _by_unit(sizes, house, [_size_written(known) for known in sizes])
    sorts = [known for known in _priced_as(food, house) if known.food != food]
    bases: dict[str, list[Known]] = {}
    for known in sorts:
        bases.setdefault(_base(known.food, house), []).append(known)
    pairs = [found for found in bases.values() if len({one.food for one in found}) > 1]
    if pairs:
        return compared(pairs[0], house)
    if len(sorts) > 1:
        return _by_unit(sorts[:_MOST_OPTIONS], house)
    raise Ask(f"{food[0].upper()}{food[1:]}, against what?")


def _priced_as(food: str, house: House, others: Collection[str] = ()) -> list[Known]:
    """The newest price of the food, and of its sorts in the same form.

    A name without a form takes in every form but those named beside it: `others` are states.
    """
    own = house.prices.latest(food)
    form = state(house.foods[food].form)
    general = house.foods[food].base or food
    names = dict.fromkeys(
        [lot.food for lot in house.books.lots()] + [seen.food for seen in house.books.prices()]
    )
    sorts = []
    for name in names:
        here = state(house.foods[name].form)
        fits = here == form if form != _PLAIN else here not in others or here == form
        if name == food or not fits or not house.foods.covers(general, name):
            continue
        if (known := house.prices.latest(name)) is not None:
            sorts.append(known)
    return [*([own] if own is not None else []), *sorts]


def _sizes(food: str, house: House) -> list[Known]:
    """The newest price of every size in which a food is known."""
    newest: dict[tuple[Amount, str | None], Known] = {}
    for known in house.prices.history(food):
        newest.setdefault((known.size, known.package), known)
    return list(newest.values())


def _size_written(known: Known) -> str:
    return f"{size_written(known.size, known.package)} of {known.food}"


def _base(food: str, house: House) -> str:
    return house.foods[food].base or food


def compared(known: Sequence[Known], house: House) -> list[Option]:
    """By the cooked cup where the forms differ and yields tell it, else by weight or volume."""
    states = {state(house.foods[one.food].form) for one in known}
    if len(states) > 1 and len({_base(one.food, house) for one in known}) == 1:
        goal = _ready(known, house)
        if goal is not None:
            cups = [_by_cup(one, goal, house) for one in known]
            if sum(one.each is not None for one in cups) > 1:
                return cups
    return _by_unit(known, house)


def _ready(known: Sequence[Known], house: House) -> str | None:
    """The form in which the food is eaten: cooked, where there is such a form, else the base."""
    base = _base(known[0].food, house)
    return house.foods.in_form(base, "cooked") or base


def _by_cup(known: Known, goal: str, house: House) -> Option:
    """What a cup of the food ready to eat costs at one price."""
    name = known.food
    met = across(house.measures, goal, _COOKED_CUP, name, known.size.unit)
    if met is None or not known.size.number:
        return Option(name, known.price, None, None, note="its yield is not known")
    part = Decimal(repr(met.amount.number)) / Decimal(repr(known.size.number))
    return Option(
        name,
        known.price,
        fine(known.price * part),
        "cup",
        f"cup of {goal}",
        met.do,
        (str(known), *met.basis),
    )


def _by_unit(
    known: Sequence[Known], house: House, names: Sequence[str] | None = None
) -> list[Option]:
    """By the unit that measures them all."""
    if not known:
        return []
    unit = _common_unit(known, house)
    found = []
    for at, one in enumerate(known):
        name = names[at] if names else one.food
        each = per_unit(one, unit, house)
        note = "" if each is not None else "it cannot be measured by that"
        found.append(Option(name, one.price, each, unit, unit or "piece", note, (str(one),)))
    return found


def _common_unit(known: Sequence[Known], house: House) -> str | None:
    """The first unit, of those in which one of them is sold, that measures the most of them."""
    units_ = dict.fromkeys(usual_unit(one.size) for one in known)
    return max(
        units_, key=lambda unit: sum(per_unit(one, unit, house) is not None for one in known)
    )


# -- dishes ----------------------------------------------------------------------------------


def _dish(recipe: Recipe, house: House) -> Option:
    costed = costing(match(recipe, house.stock), house.prices)
    basis = tuple(line for one in costed.lines for line in one.basis)
    notes = [f"takes about {recipe.minutes} minutes"] if recipe.minutes else []
    if costed.unpriced:
        notes.append(f"no price known for {listed(costed.unpriced)}")
    each = None if costed.at_least else costed.per_serving
    total = costed.total if costed.total or not costed.at_least else None
    return Option(recipe.title, total, each, "serving", "serving", "; ".join(notes), basis)


def _recipe_for(food: str, house: House) -> Recipe | None:
    """The recipe whose title is the food, or the one that names it last.

    Raises Ask where several do.
    """
    own = house.books.recipe_titled(food)
    if own is not None:
        return own
    goal = key(food)
    titles = [house.index.titles[place] for place in house.index.places()]
    meaning = [title for title in titles if house.foods.named(title) == food]
    ending = [title for title in titles if goal and key(title)[-len(goal) :] == goal
              and key(title)[: -len(goal)][-1:] not in meanings("into")]  # fmt: skip
    found = meaning or ending
    if len(found) > 1:
        choices = sorted(found, key=lambda title: (len(title), title))[:_MOST_OPTIONS]
        raise Ask(f"Which recipe for {food}?", choices, "recipes")
    return house.books.recipe_titled(found[0]) if found else None


def _bought_as(recipe: Recipe, foods: Iterable[str], house: House) -> str:
    """The food one would buy instead of making a recipe."""
    for food in (*foods, house.foods.named(recipe.title)):
        if food is not None and _priced_as(food, house):
            return food
    hit = house.foods.find(recipe.title)
    return hit.food if hit is not None else recipe.title

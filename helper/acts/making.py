"""A recipe made: what it took from the lots, what is left of it, what was saved on the way.

What a dish cost is what `helper.kitchen.costing` says beforehand: rounded once for the dish, and
shared out over the draws in cents that add up to it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

import msgspec
from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import meant, place
from helper.acts.wording import amount_json
from helper.household.places import usual_place
from helper.kitchen.amounts import Amount
from helper.kitchen.costing import in_one
from helper.kitchen.lots import Lot
from helper.kitchen.matching import MISSING, PART, UNREAD, UNSURE, LineMatch, Match, match_all
from helper.kitchen.money import NOTHING
from helper.kitchen.numbers import read_number
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Draw
from helper.kitchen.units import units
from helper.kitchen.words import words
from helper.reading.reading import Reading, Said

WORDS = "cooking_words"
_EXACT = Decimal("0.000001")
# How many words may stand between a number and "left over".
_NEAR = 6


class Made(msgspec.Struct, frozen=True):
    """One recipe made: its match against the stock and the cents it cost.

    `at_least` True where something drawn has no price or something was not in the books.
    """

    match: Match
    draws: tuple[Draw, ...]
    cost: Decimal
    at_least: bool

    @property
    def recipe(self) -> Recipe:
        """The recipe, at the servings made."""
        return self.match.recipe

    @property
    def short(self) -> tuple[LineMatch, ...]:
        """Lines the books could not meet in full."""
        return tuple(
            line
            for line in self.match.lines
            if line.needed
            and (line.state in (MISSING, PART, UNREAD) or (line.state == UNSURE and line.short))
        )


def made(recipes: Sequence[Recipe], house: House) -> list[Made]:
    """What making these recipes takes from the lots, one after the other; nothing is changed."""
    found = []
    for match in match_all(recipes, house.stock):
        draws = in_one(draw for draw in match.draws if draw.amount.number > 0)
        cost = sum((draw.cost for draw in draws if draw.cost is not None), NOTHING)
        one = Made(match, draws, cost, any(draw.cost is None for draw in draws))
        found.append(replace(one, at_least=one.at_least or bool(one.short)))
    return found


def as_made(recipe: Recipe, reading: Reading, house: House) -> Recipe:
    """The recipe as it was really made: without what was left out, with the amounts said."""
    covers = house.foods.covers
    left_out = set(reading.without)
    lines = [
        line
        for line in recipe.lines
        if not any(
            line.food and (line.food == food or covers(food, line.food)) for food in left_out
        )
    ]
    for said in told_amounts(reading):
        spot = next(
            (
                at
                for at, line in enumerate(lines)
                if line.food
                and said.food
                and (
                    line.food == said.food
                    or covers(line.food, said.food)
                    or covers(said.food, line.food)
                )
            ),
            None,
        )
        if spot is None:
            lines.append(Line(str(said.amount), said.food, said.amount, said.size))
        else:
            lines[spot] = replace(lines[spot], food=said.food, amount=said.amount, size=said.size)
    return replace(recipe, lines=tuple(lines))


# -- what was said beside the dish -----------------------------------------------------------


def _saved_from(reading: Reading) -> int | None:
    """Where in the words "saved …" begins, if by-products are told."""
    hit = place(reading.said, WORDS, "kept")
    return None if hit is None else hit[1]


def _named_after(reading: Reading, house: House) -> set[str | None]:
    """The foods named behind "saved": what stands before it went into the pot, or did not."""
    begun = _saved_from(reading) or 0
    foods = {*reading.foods, *(said.food for said in reading.amounts)}
    found = words(reading.said)
    before = {spot.food for spot in house.foods.spot(found) if found[spot.start].start < begun}
    later = {spot.food for spot in house.foods.spot(found) if found[spot.start].start >= begun}
    return foods - (before - later)


def told_amounts(reading: Reading) -> list[Said]:
    """Amounts of foods that went into the dish."""
    if _saved_from(reading) is not None:
        return []
    return [said for said in reading.amounts if said.food and not _is_portion(said.amount)]


def byproducts(reading: Reading, recipe: Recipe, house: House) -> list[Lot]:
    """What was saved from the pot: "saved the bone", "a cup of bacon fat". It has cost nothing."""
    if _saved_from(reading) is None:
        return []
    after = _named_after(reading, house)
    saved = [
        said for said in reading.amounts if said.food in after and not _is_portion(said.amount)
    ]
    named = {said.food for said in saved}
    saved += [Said(Amount(1), food) for food in reading.foods if food in after - named]
    day = cooked_on(reading, house)
    lots = []
    for said in saved:
        assert said.food is not None
        where = reading.place or meant(reading.said, WORDS, "frozen")
        form = house.foods[said.food].form
        where = where or _cold(usual_place(said.food, form, house.keeping))
        state = "leftover"
        best_by = house.keeping.best_by(said.food, where, state, day)
        lots.append(
            Lot(
                0,
                said.food,
                said.amount,
                said.amount,
                1,
                None,
                NOTHING,
                where,
                day,
                best_by,
                made_from=recipe.title,
                state=state,
            )
        )
    return lots


def _cold(where: str | None) -> str:
    """What comes out of a hot pot is not put back on the shelf."""
    return "fridge" if where in (None, "shelf") else str(where)


def leftover_amount(reading: Reading, recipe: Recipe) -> Amount | None:
    """How much of the dish is left, as told: "3 servings left", "half left over", "2 cups left"."""
    if meant(reading.said, WORDS, "nothing left") is not None:
        return None
    for said in reading.amounts:
        if _is_portion(said.amount):
            return Amount(said.amount.number, "portion")
    hit = place(reading.said, WORDS, "leftover")
    if hit is None and place(reading.said, WORDS, "frozen") is None:
        return None
    found = words(reading.said)
    at = (
        len(found)
        if hit is None
        else next((i for i, word in enumerate(found) if word.start >= hit[1]), len(found))
    )
    for start in [*range(at - 1, max(-1, at - 1 - _NEAR), -1), *range(at, min(at + 4, len(found)))]:
        part = meant(found[start].text, WORDS, "half")
        if part is not None and recipe.servings:
            return Amount(recipe.servings * float(part), "portion")
        number = read_number(found, start)
        if number is None or found[start].text in ("a", "an"):
            continue
        loose = next(
            (
                one.amount
                for one in reading.amounts
                if one.food is None and one.amount.number == number.value
            ),
            None,
        )
        if loose is not None and loose.unit is not None:
            return loose
        return Amount(number.value, "portion")
    return None


def servings_said(reading: Reading) -> Reading:
    """The reading without servings that only told what is left: "made chili, 3 servings left"."""
    told = (place(reading.said, WORDS, meaning) for meaning in ("leftover", "frozen"))
    if reading.servings is None or not any(told):
        return reading
    spans = [one for one in reading.evidence if one.kind == "servings"]
    if len(spans) > 1:
        return reading
    left = leftover_amount(reading, Recipe(0, ""))
    if left is not None and left.number == reading.servings:
        return replace(reading, servings=None)
    return reading


def _is_portion(amount: Amount) -> bool:
    return amount.unit == "portion"


def leftovers(amount: Amount, one: Made, reading: Reading, house: House) -> Lot:
    """What is left of a dish as a lot: a portion costs its share, and is to be eaten soon.

    The date is the short end of the book of keeping.
    """
    recipe = one.recipe
    day = cooked_on(reading, house)
    where = reading.place or meant(reading.said, WORDS, "frozen") or "fridge"
    dish = house.keeping.dish(recipe)
    best_by = house.keeping.best_by(dish, where, "leftover", day)
    if best_by is None:
        best_by = house.keeping.best_by("leftover", where, "leftover", day)
    size = Amount(1, amount.unit)
    count = amount.number
    price = None
    if amount.unit == "portion" and recipe.servings:
        price = (one.cost / Decimal(repr(recipe.servings))).quantize(_EXACT)
    elif amount.unit is not None and units()[amount.unit].size is not None:
        whole = _whole_yield(recipe, amount.unit)
        if whole:
            price = (one.cost / Decimal(repr(whole))).quantize(_EXACT)
    if price is not None and one.at_least and not one.cost:
        price = None
    return Lot(
        0,
        own_dish(recipe, house),
        amount,
        size,
        count,
        None,
        price,
        where,
        day,
        best_by,
        made_from=recipe.title,
        state="leftover",
    )


def own_dish(recipe: Recipe, house: House) -> str:
    """The name a dish goes by on the shelf: its title, in lower case."""
    return recipe.title.casefold()


def _whole_yield(recipe: Recipe, unit: str) -> float | None:
    """How much the whole recipe makes in a unit, if its yield says so ("2 cups")."""
    from helper.kitchen.quantities import read_amount

    measured = read_amount(words(recipe.yields))
    inside = None if measured is None else measured.amount.to(unit)
    return None if inside is None else inside.number


def cooked_on(reading: Reading, house: House) -> dt.date:
    """The day it was made: one said that is not to come, or today."""
    said = reading.date
    return said if said is not None and said <= house.today else house.today


# -- for programs ----------------------------------------------------------------------------


def short_json(lines: Iterable[LineMatch]) -> list[dict[str, Any]]:
    """What the books could not meet."""
    return [
        {
            "food": line.food or line.line.text,
            **amount_json(line.short if line.short is not None else line.amount),
        }
        for line in lines
    ]

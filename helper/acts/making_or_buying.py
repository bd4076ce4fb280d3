"""Make it or buy it: a recipe against the bought thing, at a known price or at one just said.

What a package holds is never guessed. Where it was not said, one batch stands against one package,
with how much the package would have to hold to be the cheaper one. Time is told and not priced.
"""

from __future__ import annotations

from decimal import Decimal

from helper.acts.house import House
from helper.acts.options import Option
from helper.acts.pricing import per_unit, usual_unit
from helper.acts.wording import listed
from helper.kitchen.amounts import Amount, written
from helper.kitchen.costing import Costed
from helper.kitchen.costing import cost as costing
from helper.kitchen.matching import match
from helper.kitchen.measures import Measures
from helper.kitchen.money import fine
from helper.kitchen.money import written as money
from helper.kitchen.prices import Known
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Recipe
from helper.kitchen.units import units
from helper.kitchen.words import words
from helper.reading.reading import Reading

_POUND = Amount(1, "lb")


def size_said(said: str) -> Amount | None:
    """What one package holds, as far as words tell: "a 16 oz box", "a box of 40"."""
    found = words(said)
    for at in range(len(found)):
        hit = read_amount(found, at)
        if hit is None or (at and found[at - 1].text == "at"):
            continue
        if hit.size is not None:
            return hit.size
        unit = hit.amount.unit
        if unit is not None and units()[unit].dimension in ("mass", "volume"):
            return hit.amount
        if unit is None and at and found[at - 1].text == "of":
            return hit.amount
    return None


def make_or_buy(
    recipe: Recipe, food: str, known: Known | None, reading: Reading, house: House
) -> list[Option]:
    """The recipe against the bought thing, by the measure in which both are known.

    `known` is the newest price on record; a price said goes before it.
    """
    costed = costing(match(recipe, house.stock), house.prices)
    bought = known
    if reading.money is not None:
        size = size_said(reading.said)
        if size is None:
            return _by_the_package(recipe, costed, food, reading.money, house)
        bought = Known(food, size, reading.money)
    if bought is None:
        return [_made(recipe, costed, house),
                Option(f"buying {food}", None, None, None, note="no price known")]  # fmt: skip
    unit = usual_unit(bought.size)
    makes, note = _makes(recipe, food, unit, house.measures)
    name = f"buying {bought.food}"
    if makes is None or not makes.number:
        unknown = "how much the recipe makes is not known by that measure"
        return [_made(recipe, costed, house), Option(name, bought.price, None, None, note=unknown)]
    whole = house.measures.convert(food, makes, unit)
    each = None
    if whole is not None and whole.amount.number and not costed.at_least:
        each = fine(costed.total / Decimal(repr(whole.amount.number)))
    made = _made(recipe, costed, house, note, each, unit)
    theirs = per_unit(bought, unit, house)
    return [made, Option(name, bought.price, theirs, unit, unit or "piece", "", (str(bought),))]


def _by_the_package(
    recipe: Recipe, costed: Costed, food: str, price: Decimal, house: House
) -> list[Option]:
    """One batch against one package of which nobody said what it holds."""
    makes, _ = _makes(recipe, food, _POUND.unit, house.measures)
    made = _made(recipe, costed, house)
    name = f"buying {food}"
    weighed = house.measures.convert(food, makes, _POUND.unit) if makes is not None else None
    if weighed is None or not costed.total or costed.at_least:
        unsaid = "say what a package holds, and they can be compared"
        return [made, Option(name, price, None, None, note=unsaid)]
    batch = weighed.amount
    even = batch.times(float(price / costed.total))
    more = f"a batch is about {written(_rounded(batch))}; a package would have to hold more than "
    more += f"{written(_rounded(even))} to be cheaper"
    one = "batch or package"
    total = fine(costed.total)
    return [
        Option(made.what, made.cost, total, None, one, made.note, made.basis),
        Option(name, price, fine(price), None, one, more),
    ]


def _rounded(weight: Amount) -> Amount:
    return Amount(round(weight.number, 1), weight.unit)


def _made(
    recipe: Recipe,
    costed: Costed,
    house: House,
    note: str = "",
    each: Decimal | None = None,
    unit: str | None = None,
) -> Option:
    time = f"takes about {recipe.minutes} minutes" if recipe.minutes else "takes your time"
    told = [time]
    if costed.at_least:
        told.append(f"no price known for {listed(costed.unpriced)}")
    if costed.per_serving is not None:
        told.append(f"{money(costed.per_serving, house.currency)} a serving")
    told += [note] if note else []
    basis = tuple(line for one in costed.lines for line in one.basis)
    measure = (unit or "piece") if each is not None else ""
    total = costed.total or None
    return Option(f"making {recipe.title}", total, each, unit, measure, "; ".join(told), basis)


def _makes(
    recipe: Recipe, food: str, unit: str | None, measures: Measures
) -> tuple[Amount | None, str]:
    """How much a recipe makes, in a measure that the bought thing is sold in; and how that is
    known: from its yield, else by the weight of what goes in, which baking makes a little less.
    """
    told = read_amount(words(recipe.yields)) if recipe.yields else None
    if told is not None and measures.convert(food, told.amount, unit) is not None:
        return told.amount, ""
    grams = 0.0
    for line in recipe.lines:
        if line.food is None or line.optional or line.amount is None:
            continue
        weighed = measures.grams(line.food, line.amount, line.detail, line.size)
        if weighed is None:
            return None, ""
        grams += weighed.grams
    return Amount(grams, "g"), "by the weight of what goes in; some of it cooks off"

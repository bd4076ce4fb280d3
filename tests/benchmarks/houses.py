"""Invented households of any size: recipes out of listed foods, some of them in the house."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator
from decimal import Decimal

from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.kitchen.recipes import Line, Recipe

DAY = dt.date(2026, 11, 25)
LOTS = 500
_FOODS = 800
_SORTS = ("soup", "stew", "bake", "salad", "pie", "hash", "curry", "skillet", "roast", "dumplings")
_HOWS = ("quick", "slow", "spring", "harvest", "plain", "spiced", "golden", "rustic", "sunday")
_WHOSE = ("mill", "harbor", "orchard", "meadow", "quarry", "hearth", "ferry", "barn", "creek")


def foods_used(seed: int = 7) -> list[str]:
    """Plain listed foods, the often used ones first."""
    listed = Foods()
    plain = sorted(name for name in listed.names() if listed[name].base in ("", name))
    return random.Random(seed).sample(plain, _FOODS)


def recipes(count: int, seed: int = 7) -> Iterator[Recipe]:
    """Recipes of 5 to 12 lines. Few foods stand in many recipes and most in few, as in life."""
    dice = random.Random(seed)
    foods = foods_used()
    often = [1 / (place + 4) for place in range(len(foods))]
    for number in range(1, count + 1):
        picked = list(dict.fromkeys(dice.choices(foods, often, k=dice.randint(5, 12))))
        lines = tuple(
            Line(
                f"{amount} {unit} {food}",
                food,
                Amount(amount, unit),
            )
            for food in picked
            for amount, unit in [(dice.choice((1, 2, 4, 8)), dice.choice(("oz", "cup", "tbsp")))]
        )
        words = (dice.choice(_HOWS), dice.choice(_WHOSE), picked[0], dice.choice(_SORTS))
        title = " ".join((*words, f"no {number}")).capitalize()
        steps = ("Chop everything.", f"Cook the {picked[-1]} until done, about 20 minutes.")
        yield Recipe(number, title, lines, steps, dice.choice((4, 6, 8)), minutes=30)


def lots(count: int = LOTS, seed: int = 7) -> Iterator[Lot]:
    """Lots of the foods that recipes use, some due within the month."""
    dice = random.Random(seed)
    foods = foods_used()
    for number in range(1, count + 1):
        size = Amount(dice.choice((8, 16, 32)), "oz")
        yield Lot(
            number,
            foods[number % (len(foods) // 2)],
            size,
            size,
            package="bag",
            price=Decimal(dice.randint(50, 900)) / 100,
            place=dice.choice(("shelf", "fridge", "freezer")),
            bought=DAY - dt.timedelta(days=dice.randrange(30)),
            best_by=DAY + dt.timedelta(days=dice.randrange(300)),
        )


def people() -> list[Person]:
    """A family with one allergy, one diet and one dislike."""
    return [
        Person(1, "Orla", ()),
        Person(2, "Tamsin", ("peanut",), "allergy"),
        Person(3, "Bram", ("gluten-free",), "intolerance"),
        Person(4, "Ines", ("cilantro",), "choice"),
    ]


def house(count: int) -> Household:
    """Books in memory with so many recipes, 500 lots and four people."""
    return Household.scratch(
        {"recipes": recipes(count), "stock": lots(), "people": people()}, today=lambda: DAY
    )

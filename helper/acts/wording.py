"""Wording that acts share: lots, amounts, days and shares of money, for people and for programs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from typing import Any

from helper.kitchen.amounts import Amount, number_written, unit_written, written
from helper.kitchen.lots import Lot
from helper.kitchen.money import plain
from helper.kitchen.units import units
from helper.reading.frame import number

# Of a package nobody could tell these apart.
_HAIR = 0.005


def unit_json(unit: str | None) -> str | None:
    """The unit as programs get it: counted pieces are null."""
    return None if unit == "piece" else unit


def amount_json(amount: Amount | None) -> dict[str, Any]:
    """`{amount, unit}`, both null where there is no amount."""
    if amount is None:
        return {"amount": None, "unit": None}
    return {"amount": number(amount.number), "unit": unit_json(amount.unit)}


def packages_left(lot: Lot) -> float:
    """How many packages what is left would fill; a part of one counts as that part."""
    if lot.size.number <= 0:
        return 0.0
    count = lot.left.number / lot.size.number
    return float(round(count)) if abs(count - round(count)) < _HAIR else count


def lot_json(lot: Lot) -> dict[str, Any]:
    """A lot as programs get it: `amount` is all that is left of it, `size` one whole package."""
    return {
        "food": lot.food,
        **amount_json(lot.left),
        "packages": number(packages_left(lot)),
        "package": lot.package,
        "place": lot.place,
        "best_by": day_json(lot.best_by),
        "opened": day_json(lot.opened),
        "size": amount_json(lot.size),
        "price": plain(lot.price),
        "bought": day_json(lot.bought),
        "shop": lot.shop,
        "claims": list(lot.claims),
        "made_from": lot.made_from,
    }


def day_json(day: dt.date | None) -> str | None:
    """An ISO date or null."""
    return None if day is None else day.isoformat()


def contents(lot: Lot) -> str:
    """What is left of a lot: "3 cans (15.5 oz each)", "1 bag (5 lb)", "1.3 lb (in an open bag)"."""
    if lot.package is None:
        return written(lot.left)
    count = packages_left(lot)
    if count == int(count) and count >= 1:
        each = " each" if count > 1 else ""
        return f"{packed(count, lot.package)} ({written(lot.size)}{each})"
    most = math.ceil(count)
    inside = f"in {most} {unit_written(lot.package, most)}" if most > 1 else f"from 1 {lot.package}"
    return f"{written(lot.left)} ({inside})"


def packed(count: float, package: str) -> str:
    """ "4 cans"; package words that the units table lacks are taken as they are."""
    word = unit_written(package, count) if package in units() else package
    return f"{number_written(count)} {word}"


def size_written(size: Amount, package: str | None) -> str:
    """One package: "15 1/2 oz can", "carton of 12", "1 lb"."""
    if package is None:
        return written(size)
    return f"{package} of {written(size)}" if size.unit is None else f"{written(size)} {package}"


def of_food(amount: Amount, food: str) -> str:
    """ "2 lb butter", "3 cans of canned tomato", "6 eggs"."""
    if amount.unit is None:
        return f"{written(amount)} {counted(food, amount.high or amount.number)}"
    joined = " of " if units()[amount.unit].dimension in ("package", "piece") else " "
    return f"{written(amount)}{joined}{food}"


def there(amount: Amount, food: str) -> str:
    """ "There is 2 lb rice.", "There are 28 eggs.": a measure is one thing, pieces are many."""
    many = units()[amount.unit or "piece"].dimension in ("piece", "package")
    verb = "are" if many and (amount.high or amount.number) > 1 else "is"
    return f"There {verb} {of_food(amount, food)}."


def counted(food: str, count: float) -> str:
    """The food's name beside a count of pieces: "1 egg", "6 eggs"."""
    return food if count <= 1 else plural(food)


def plural(word: str) -> str:
    """The plural of a name by the regular rules of English."""
    if word.endswith(("s", "sh", "ch", "x", "z")):
        return word + "es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return word[:-1] + "ies"
    if word.endswith("ato"):
        return word + "es"
    return word + "s"


def day_written(day: dt.date, today: dt.date) -> str:
    """A day as people say it: today, tomorrow, "Fri 27 Nov", "3 Mar 2027"."""
    apart = (day - today).days
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}
    if apart in near:
        return near[apart]
    if abs(apart) < 7:
        return f"{day:%a} {day.day} {day:%b}"
    return f"{day.day} {day:%b %Y}"


def days_written(left: int) -> str:
    """How long there is: "today", "3 days", "2 days past"."""
    if left == 0:
        return "today"
    word = "day" if abs(left) == 1 else "days"
    return f"{left} {word}" if left > 0 else f"{-left} {word} past"


def sentence(text: str) -> str:
    """A clause as a sentence of its own."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def listed(words: Sequence[str] | Iterable[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    parts = list(words)
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"


def in_place(place: str) -> str:
    """ "on the shelf", "in the fridge"."""
    return f"on the {place}" if place == "shelf" else f"in the {place}"

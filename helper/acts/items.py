"""The things a request names with their amounts, put together from what was said of each.

An amount without a food belongs to the one before it: the size of its packages ("2 cans of
tomatoes, 28 oz each"), or what its price is for ("2 dozen eggs at 2.40 a dozen"). Otherwise it
counts something that the tables do not know, and the words behind it are its name.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from helper.acts.gaps import Ask
from helper.acts.wording import listed
from helper.household.taking_in.cells import own_name
from helper.kitchen.amounts import Amount, written
from helper.kitchen.foods import Foods
from helper.kitchen.quantities import read_amount
from helper.kitchen.units import spellings, units
from helper.kitchen.words import Word, words
from helper.reading.reading import Reading, Said
from helper.reading.vocabulary import meanings

# Words of these kinds end a name that is not known.
_ENDS = (
    "small",
    "place",
    "announce",
    "each",
    "total",
    "filler",
    "day",
    "linking",
    "without",
    "pronoun",
)


def items_of(reading: Reading, foods: Foods) -> list[tuple[Said, str]]:
    """Each amount with its food. Raises Ask where a food has no amount or an amount no food."""
    loose = unknown_names(reading.said, foods)
    # A name that no table holds is meant itself, whatever was talked about before.
    unheard = bool(loose) and not foods.spot(words(reading.said))
    items: list[tuple[Said, str]] = []
    for said in reading.amounts:
        if items and _says_no_more(said, items[-1][1], reading, foods):
            joined = _joined(items[-1][0], said)
            if joined is not None:
                items[-1] = (joined, items[-1][1])
                continue
        loose_one = loose.pop(0) if loose and (unheard or said.food is None) else None
        food = loose_one or food_meant(said, reading)
        if food is None:
            raise Ask(f"{written(said.amount)} of what?")
        items.append((said, food))
    named = {food for _, food in items}
    silent = [food for food in reading.foods if food not in named and not unheard]
    if silent:
        raise Ask(f"How much {listed(silent)} was it?", about="amounts")
    if not items:
        raise Ask("What was it, and how much?")
    return items


def amounts_of(reading: Reading, foods: Foods) -> tuple[Said, ...]:
    """The amounts said, each size of a package put with its package."""
    told: list[Said] = []
    for said in reading.amounts:
        before = told[-1] if told else None
        if before is not None and before.food and _says_no_more(said, before.food, reading, foods):
            joined = _joined(before, said)
            if joined is not None:
                told[-1] = joined
                continue
        told.append(said)
    return tuple(told)


def _says_no_more(said: Said, before: str, reading: Reading, foods: Foods) -> bool:
    """True for an amount without a food of its own: none, or the one before, that is named once."""
    if said.food is None:
        return True
    family = {before, foods[before].base or before}
    if said.food not in family:
        return False
    return sum(spot.food in family for spot in foods.spot(words(reading.said))) <= 1


def food_meant(said: Said, reading: Reading) -> str | None:
    """The food an amount is of. Where only one thing is named, a choice made since counts."""
    only = reading.foods[0] if len(reading.foods) == 1 else None
    if said.food is None or (only is not None and len(reading.amounts) == 1):
        return only or said.food
    return said.food


def _joined(before: Said, said: Said) -> Said | None:
    """The item before with what this foodless amount says of it, or None where it says nothing."""
    size, price = said.amount, said.price if said.price is not None else before.price
    if before.size is not None:
        return None
    if _is_package(before.amount) and not _is_package(size) and size.unit is not None:
        return replace(before, size=size, price=price, each=before.each or said.each)
    same = size.to(before.amount.unit)
    if before.price is not None and same is not None and same.number <= before.amount.number:
        return replace(before, size=size, each=True)
    return None


def _is_package(amount: Amount) -> bool:
    return amount.unit is not None and units()[amount.unit].dimension == "package"


def unknown_names(said: str, foods: Foods) -> list[str]:
    """The names behind amounts that no table knows, each up to the first word that is no name."""
    found = words(said)
    ends = {phrase[0] for kind in _ENDS for phrase in meanings(kind)}
    names, at = [], 0
    while at < len(found):
        measured = read_amount(found, at)
        if measured is None:
            at += 1
            continue
        at = max(measured.after, at + 1)
        at += at < len(found) and found[at].text == "of"
        name: list[Word] = []
        while at < len(found) and found[at].is_name and found[at].key not in ends:
            name.append(found[at])
            at += 1
        if _is_unknown(name, foods):
            names.append(own_name(" ".join(word.text for word in name)))
    return names


def _is_unknown(name: Sequence[Word], foods: Foods) -> bool:
    if not name or name[0].text in spellings() or foods.spot(name):
        return False
    return bool(foods.left_over(name))  # "3 more", "2 large" name nothing

"""Which lines of the list the words of a request mean, and the prices said of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

import msgspec

from helper.acts.house import House
from helper.acts.menu_wishes import said_in
from helper.kitchen.shopping import Item
from helper.kitchen.words import Word, words
from helper.reading.reading import Reading

_PRICE = re.compile(r"\d+\.\d{1,2}|\d+")
_CUTS = (",", ";", "and")


class Named(msgspec.Struct, frozen=True):
    """Foods named as bought, as not bought, and the sums paid."""

    bought: frozenset[str]
    left: frozenset[str]
    prices: tuple[tuple[str, Decimal], ...] = ()

    def means(self, item: Item, house: House) -> bool:
        """Whether a line was named as bought."""
        return any(is_line(food, item, house) for food in self.bought)

    def leaves(self, item: Item, house: House) -> bool:
        """Whether a line was named as not bought."""
        return any(is_line(food, item, house) for food in self.left)

    def price_of(self, item: Item, house: House) -> Decimal | None:
        """What was said to have been paid for a line."""
        return next((sum_ for food, sum_ in self.prices if is_line(food, item, house)), None)


def is_line(food: str, item: Item, house: House) -> bool:
    """Whether a food named means this line: the food, a sort or another form of it."""
    names = {item.buy.food, *(need.food for need in item.buy.wanted)}
    family = set(house.foods.family(food)) | {food}
    return bool(names & family) or any(house.foods.covers(food, name) for name in names)


def named_in(reading: Reading, house: House) -> Named:
    """Reads the foods left out ("everything but the cod") and the prices ("oranges were 6.50").

    What follows "but" is left out up to a comma; a price belongs to the food just before it.
    """
    found = [word for word in words(reading.said) if word.text != "'"]
    but = said_in(found, "list_but")
    left: set[str] = set(reading.without)
    prices: list[tuple[str, Decimal]] = []
    named: set[str] = set()
    at = 0
    for clause in _clauses(found):
        spots = house.foods.spot(clause)
        price = _price(clause, spots[-1].end if spots else len(clause))
        for spot in spots:
            place = at + spot.start
            if but is not None and place >= but[2] and price is None and _joined(found, but[2], at):
                left.add(spot.food)
            else:
                named.add(spot.food)
            if price is not None and spot is spots[-1]:
                prices.append((spot.food, price))
        at += len(clause) + 1
    named -= left
    return Named(frozenset(named), frozenset(left - {food for food, _ in prices}), tuple(prices))


def _clauses(found: Sequence[Word]) -> list[list[Word]]:
    clauses: list[list[Word]] = [[]]
    for word in found:
        if word.text in _CUTS:
            clauses.append([])
        else:
            clauses[-1].append(word)
    return clauses


def _joined(found: Sequence[Word], start: int, at: int) -> bool:
    """True where no comma lies between "but" and the clause that begins at `at`."""
    return all(word.text not in (",", ";") for word in found[start:at])


def _price(clause: Sequence[Word], after: int) -> Decimal | None:
    for word in clause[after:]:
        if _PRICE.fullmatch(word.text):
            return Decimal(word.text)
    return None

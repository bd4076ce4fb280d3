"""Which lines of the list the words of a request mean, and the prices said of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

import msgspec

from helper.acts.house import House
from helper.acts.menu_wishes import said_in
from helper.kitchen.amounts import Amount
from helper.kitchen.quantities import unit_at
from helper.kitchen.shopping import Item
from helper.kitchen.words import Word, words
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from

_PRICE = re.compile(r"\d+\.\d{1,2}|\d+")
_CUTS = (",", ";", "and")


class Paid(msgspec.Struct, frozen=True):
    """A sum, for all of a line, for each of its packages, or for so much ("3.99 a lb")."""

    sum: Decimal
    each: bool = False
    per: Amount | None = None

    def in_all(self, item: Item) -> Decimal:
        """What the whole line came to."""
        buy = item.buy
        if not (self.each or self.per) or buy.packages is None or buy.size is None:
            return self.sum
        whole = buy.size.times(buy.packages).to(self.per.unit) if self.per else None
        if whole is None or self.per is None:
            return self.sum * buy.packages
        return self.sum * Decimal(repr(whole.number / self.per.number))


class Named(msgspec.Struct, frozen=True):
    """Foods named as bought, as not bought, and the sums paid."""

    bought: frozenset[str]
    left: frozenset[str]
    prices: tuple[tuple[str, Paid], ...] = ()

    def means(self, item: Item, house: House) -> bool:
        """Whether a line was named as bought."""
        return any(is_line(food, item, house) for food in self.bought)

    def leaves(self, item: Item, house: House) -> bool:
        """Whether a line was named as not bought."""
        return any(is_line(food, item, house) for food in self.left)

    def price_of(self, item: Item, house: House) -> Decimal | None:
        """What was said to have been paid for a line, for all of it."""
        paid = next((paid for food, paid in self.prices if is_line(food, item, house)), None)
        return None if paid is None else paid.in_all(item)


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
    prices: list[tuple[str, Paid]] = []
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


def _price(clause: list[Word], after: int) -> Paid | None:
    for at in range(after, len(clause)):
        if _PRICE.fullmatch(clause[at].text):
            sum_ = Decimal(clause[at].text)
            unit = unit_at(clause, at + 2)  # "a lb", "per dozen"
            if unit is not None and unit[0].dimension in ("mass", "volume"):
                return Paid(sum_, per=Amount(1.0, unit[0].name))
            return Paid(sum_, each=phrase_from(clause, at + 1, "each") is not None)
    return None

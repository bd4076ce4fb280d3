"""Who eats of what is asked about, and what this house can put before them."""

from __future__ import annotations

from collections.abc import Iterable

from helper.acts.house import House
from helper.kitchen.swaps import HouseSwap, Swapping
from helper.kitchen.table import Diner, Table, diet_diner, person_diner
from helper.reading.reading import Reading

# The kind of house rule that puts one food in another's place.
_INSTEAD = "instead"


def at_home(house: House) -> tuple[Diner, ...]:
    """Everybody who eats at home."""
    return tuple(person_diner(person, house.safety) for person in house.people if person.home)


def named_diners(reading: Reading, house: House) -> tuple[Diner, ...]:
    """The people and diets a request names; () where it names none."""
    found = [house.person(name) for name in reading.people]
    people = [person_diner(person, house.safety) for person in found if person is not None]
    return (*people, *(diet_diner(diet) for diet in reading.diets))


def diners(reading: Reading, house: House) -> tuple[Diner, ...]:
    """The people and diets a request names, or else everybody at home."""
    return named_diners(reading, house) or at_home(house)


def swapping(house: House, eaters: Iterable[Diner]) -> Swapping:
    """Swaps for a table of these diners, out of this house's stock, prices and rules."""
    table = Table(house.safety, eaters)
    rules = house_swaps(house, table.diners)
    return Swapping(house.measures, table, house.stock, house.prices, rules)


def house_swaps(house: House, eaters: Iterable[Diner]) -> tuple[HouseSwap, ...]:
    """The household's standing rules of one food for another, for everybody or for one of these."""
    names = {diner.name for diner in eaters}
    return tuple(
        HouseSwap(rule.food, rule.other, rule.id, rule.text)
        for rule in house.books.house_rules()
        if rule.kind == _INSTEAD
        and rule.food
        and rule.other
        and (rule.person is None or rule.person in names)
    )

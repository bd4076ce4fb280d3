"""What people call the things they keep away from, made into ids and canonical foods."""

from __future__ import annotations

from functools import cache

from helper.kitchen.foods import Foods
from helper.kitchen.words import key
from rules.avoids import avoids
from rules.tables import rows


@cache
def avoid_words() -> dict[tuple[str, ...], tuple[str, ...]]:
    """What people say they keep away from → allergen or diet ids."""
    return {key(row["words"]): tuple(row["id"].split(";")) for row in rows("books/avoid_words.csv")}


def ids_of(said: str, foods: Foods) -> tuple[str, ...]:
    """The ids that words mean, or else the one food they name, or else the words as they are.

    An id or a word for a group ("nut", "dairy") is taken at its word; then the table of what
    people say ("no nuts", "eggs"); then the foods.
    """
    plain = said.strip()
    for word in (plain, plain.casefold()):
        if word in avoids().groups:
            return avoids().expanded((word,))
    ids = avoid_words().get(key(plain))
    if ids is None:
        food = foods.named(plain)
        ids = (food,) if food is not None else (plain,)
        if food is not None and food in avoids().groups:
            return avoids().expanded((food,))
    return ids

"""Where foods stand when nobody said so: told from the book of keeping."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from helper.kitchen.foods import Foods
from rules.tables import rows

# States in which a food comes into the house, by how much they say of its place.
_BOUGHT_STATES = ("unopened", "fresh", "raw", "opened")


def usual_place(food: str, foods: Foods) -> str | None:
    """Where a food is kept by the book of keeping: its own rows, its base's, its kind's."""
    form = foods[food].form
    if form in _places_of_forms():
        return _places_of_forms()[form]
    for name in dict.fromkeys((food, foods[food].base)):
        if name and (place := _first_place(_keeping_rows().get(name, ()))):
            return place
    votes: dict[str, int] = {}
    for kind in foods.kinds(food):
        for place in _kind_places().get(kind, ()):
            votes[place] = votes.get(place, 0) + 1
        if votes:
            return max(votes, key=lambda place: votes[place])
    return None


def _first_place(found: Iterable[tuple[str, str]]) -> str | None:
    """The first place named for the state in which a food is bought."""
    listed_ = list(found)
    for state in _BOUGHT_STATES:
        for one, place in listed_:
            if one == state:
                return place
    return None


@cache
def _keeping_rows() -> dict[str, list[tuple[str, str]]]:
    found: dict[str, list[tuple[str, str]]] = {}
    for row in rows("books/keeping.csv"):
        found.setdefault(row["food"], []).append((row["state"], row["place"]))
    return found


@cache
def _kind_places() -> dict[str, list[str]]:
    """For each kind of the book of keeping, where its foods stand when they come home."""
    kinds: dict[str, dict[str, list[tuple[str, str]]]] = {}
    for row in rows("books/keeping.csv"):
        kinds.setdefault(row["kind"], {}).setdefault(row["food"], []).append(
            (row["state"], row["place"])
        )
    return {
        kind: [place for found in foods.values() if (place := _first_place(found))]
        for kind, foods in kinds.items()
    }


@cache
def _places_of_forms() -> dict[str, str]:
    """Forms that say themselves where they are kept, by the book's rows of that name as kind."""
    found = {}
    for kind in ("canned", "frozen"):
        places = _kind_places().get(kind)
        if places:
            found[kind] = max(places, key=places.count)
    return found

"""How long food keeps: the book of keeping times, asked for any food, state and place.

A food that has no row of its own goes by a nearer or wider one, but never across a state: what is
cooked goes by cooked food, what is in a can by cans. Of a range the short end is used for dates.
None means that the book does not tell, and never that food keeps for ever.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from functools import cache

import msgspec

from helper.kitchen.facts import state as state_of
from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_sort
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key
from rules.tables import rows

PLACES = ("shelf", "fridge", "freezer")
_READY = ("cooked", "leftover")  # states of food that has been cooked
_RAW = ("fresh", "raw", "dry")  # forms that nobody means cooked
_DONE = ("cooked", "hard-cooked")
_APART = ("canned", "frozen", "dry", "dried")  # states that never go by a fresh food

_BOUGHT = ("unopened", "fresh", "raw")  # states in which food comes from the shop

# Which row answers for a state, best first. A time for opened food is never too long for food
# in a sealed package, so it may stand in; the other way round it may not.
_STANDS_FOR = {
    "": (*_BOUGHT, "opened", "cut", "cooked", "leftover"),
    "unopened": ("unopened", "fresh", "raw", "opened", "cooked", "leftover"),
    "opened": ("opened", "cut", "fresh", "raw", "cooked", "leftover"),
    "fresh": ("fresh", "raw"),
    "raw": ("raw", "fresh"),
    "cut": ("cut", "opened"),
    "cooked": ("cooked", "leftover"),
    "leftover": ("leftover", "cooked"),
}


class Kept(msgspec.Struct, frozen=True):
    """How long one food keeps in one place: from `days_min` to `days_max` days.

    `basis` is safety or quality. `food` is the food of the row, `asked` the food asked about;
    where they differ the one goes by the other. No days at all: it is not to be kept there.
    """

    asked: str
    food: str
    state: str
    place: str
    days_min: int
    days_max: int
    basis: str
    note: str
    source: str

    @property
    def never(self) -> bool:
        """True where the book says not to keep it there at all ("do not freeze")."""
        return self.days_max == 0

    @property
    def borrowed(self) -> bool:
        """True where the time is that of another food."""
        return self.asked != self.food


class Keeping:
    """The book of keeping times over one household's foods."""

    def __init__(self, foods: Foods) -> None:
        self._foods = foods
        self._known: dict[tuple[str, bool], tuple[tuple[Kept, ...], ...]] = {}

    def times(self, food: str, place: str | None = None, state: str = "") -> tuple[Kept, ...]:
        """Every time the book has for a food, the place asked for before the others.

        `state` (opened, cooked, leftover …) leaves out the rows that do not answer for it.
        """
        groups = self._groups(food, state in _READY)
        ranks = _STANDS_FOR[""] if not state else _STANDS_FOR.get(state, (state,))
        fitting = [tuple(row for row in group if row.state in ranks) for group in groups]
        fitting = [group for group in fitting if group]
        found = list(fitting[0]) if fitting else []
        if place and not any(row.place == place for row in found):
            wider = (tuple(row for row in group if row.place == place) for group in fitting)
            found += next((group for group in wider if group), ())
        places = (place, *PLACES) if place else PLACES
        return tuple(sorted(found, key=lambda row: places.index(row.place)))

    def time(self, food: str, place: str, state: str | None = None) -> Kept | None:
        """How long a food keeps in one place in one state, or None where the book is silent.

        With no state told a food just bought is meant; foods that are dry or raw by their name
        are not taken for cooked ones.
        """
        ranks = _STANDS_FOR.get(state or "", (state or "",))
        if not state and self._foods[food].form in _RAW:
            ranks = tuple(one for one in ranks if one not in _READY)
        for group in self._groups(food, state in _READY):
            here = [row for row in group if row.place == place and row.state in ranks]
            bought = [row for row in here if row.state in _BOUGHT]
            if bought and not state:
                # sealed or loose, cured or raw: what was not told is taken for the shortest
                return min(bought, key=lambda row: row.days_min)
            if here:
                return min(here, key=lambda row: (ranks.index(row.state), row.days_min))
        return None

    def best_by(self, food: str, place: str, state: str | None, since: dt.date) -> dt.date | None:
        """The day until which a food should be used: the short end of the book's range.

        None where nothing is known, or where it should not be kept there at all.
        """
        kept = self.time(food, place, state)
        if kept is None or kept.never:
            return None
        return since + dt.timedelta(days=kept.days_min)

    def dish(self, recipe: Recipe) -> str:
        """The food of the book that a cooked recipe goes by, told from its title.

        A soup goes by soup; what has no name of its own goes by the general leftover.
        """
        hit = self._foods.find(recipe.title)
        if hit is not None:
            found = [g for g in self._groups(hit.food, True) if any(r.place != "shelf" for r in g)]
            if found:
                return found[0][0].food
        return "leftover"

    # -- how rows are found --------------------------------------------------------------------

    def _groups(self, food: str, ready: bool) -> tuple[tuple[Kept, ...], ...]:
        """The rows that may answer for a food, those of the nearest name first."""
        cell = (food, ready)
        if cell not in self._known:
            found = []
            for name in dict.fromkeys(self._names(food, ready)):
                group = tuple(row for row in self._fitting(food, name, ready))
                if group:
                    found.append(group)
            self._known[cell] = tuple(found)
        return self._known[cell]

    def _names(self, food: str, ready: bool) -> Iterator[str]:
        """The food, its base, wider foods, its kinds, and what those go by; nearest first."""
        foods = self._foods
        record = foods[food]
        form = "cooked" if ready and not _done(record.form) else record.form
        yield food
        if form and (formed := foods.in_form(food, form)):
            yield formed
        if record.base:
            yield record.base
        wide = sorted(
            (name for name in _book() if name != food and is_sort(foods, name, food)),
            key=lambda name: -len(key(name)),
        )
        yield from (name for name in wide if foods[name].kind == record.kind)
        for kind in foods.kinds(food):
            if form and (formed := foods.in_form(kind, form)):
                yield formed
            yield kind
            yield from _goes_by().get(kind, ())
        yield from wide
        if ready or _done(record.form):
            yield "leftover"

    def _fitting(self, food: str, name: str, ready: bool) -> Iterator[Kept]:
        """The rows of one name that may be used for a food without crossing a state."""
        foods = self._foods
        mine, its = state_of(foods[food].form), state_of(foods[name].form)
        cooked = ready or _done(foods[food].form)
        explicit = its == "plain" and mine not in _APART and name in _borrowed_from()
        for row in _book().get(name, ()):
            if name != food:
                if cooked:
                    fits = row.state in _READY
                elif mine == its or explicit:
                    fits = foods[food].form not in _RAW or row.state not in _READY
                else:
                    fits = mine == "frozen" and its == "plain" and row.place == "freezer"
                if not fits:
                    continue
            elif ready and row.state not in _READY:
                continue
            yield msgspec.structs.replace(row, asked=food)


@cache
def _book() -> dict[str, list[Kept]]:
    """The rows of the book by food."""
    found: defaultdict[str, list[Kept]] = defaultdict(list)
    for row in rows("books/keeping.csv"):
        found[row["food"]].append(
            Kept(
                row["food"],
                row["food"],
                row["state"],
                row["place"],
                int(row["days_min"]),
                int(row["days_max"]),
                row["basis_kind"],
                row["note"],
                row["source"],
            )
        )
    return found


def _done(form: str) -> bool:
    return state_of(form) in _DONE


@cache
def _borrowed_from() -> frozenset[str]:
    return frozenset(name for names in _goes_by().values() for name in names)


@cache
def _goes_by() -> dict[str, tuple[str, ...]]:
    """A kind of food → the listed foods that its members go by."""
    found: defaultdict[str, tuple[str, ...]] = defaultdict(tuple)
    for row in rows("books/keeping_goes_by.csv"):
        found[row["kind"]] += (row["food"],)
    return found


def keeping_time(foods: Foods, food: str, place: str, state: str | None = None) -> Kept | None:
    """How long a food keeps in one place in one state; see `Keeping.time`."""
    return Keeping(foods).time(food, place, state)


def best_by(
    foods: Foods, food: str, place: str, state: str | None, since: dt.date
) -> dt.date | None:
    """The day until which a food should be used; see `Keeping.best_by`."""
    return Keeping(foods).best_by(food, place, state, since)

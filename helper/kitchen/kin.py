"""Which foods can stand for which at the stove: the same, a sort of it, another form, a wider name.

This is narrower than what a person means by a word: asked "what can I make with ham", a ham bone
counts; a recipe that wants a pound of ham does not get one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

import msgspec

from helper.kitchen.facts import changes, state
from helper.kitchen.foods import Foods
from helper.kitchen.words import key

SAME, SORT, FORM, WIDER = range(4)


class Kin(msgspec.Struct, frozen=True):
    """A food that can stand for another. `rank`: SAME, SORT, FORM or WIDER; `sure` False where
    the names alone do not settle it ("cheese" in the house for cheddar in the recipe).
    """

    food: str
    rank: int
    sure: bool = True


def root(foods: Foods, food: str) -> str:
    """The plain food at the bottom of all forms and sorts."""
    return _line(foods, food)[-1]


def is_general(foods: Foods, food: str) -> bool:
    """True for names of a whole kind ("bean", "cheese"): they carry the kind's own name."""
    return foods[food].kind == food


def is_sort(foods: Foods, wide: str, narrow: str) -> bool:
    """True when `narrow` is `wide` or a sort of it, by base foods or by a whole kind's name."""
    if wide in _line(foods, narrow):
        return True
    if not is_general(foods, wide) or wide not in foods.kinds(narrow):
        return False
    ends = key(wide)
    return any(key(name)[-len(ends) :] == ends for name in _line(foods, narrow))


def kin(foods: Foods, need: str, have: str) -> Kin | None:
    """How `have` can stand for `need`, or None."""
    if need == have:
        return Kin(have, SAME)
    asked, there = state(foods[need].form), state(foods[have].form)
    plain_need, plain_have = _plain(foods, need), _plain(foods, have)
    related = _kinds_meet(foods, need, have)
    if asked == there:
        if is_sort(foods, need, have) and foods[need].kind in foods.kinds(have):
            return Kin(have, SORT, not _part(need, have))
        if is_sort(foods, plain_need, plain_have) and plain_have != have and plain_need != need:
            return Kin(have, SORT) if related and plain_need != plain_have else None
        if is_sort(foods, have, need) and related:
            return Kin(have, WIDER, False)
        return None
    change = changes().get((there, asked))
    if change is None or (change.like_for_like and not related):
        return None
    if is_sort(foods, plain_need, plain_have):
        return Kin(have, FORM)
    if is_sort(foods, plain_have, plain_need):
        return Kin(have, WIDER, False)
    return None


class Pantry:
    """A set of foods that answers, for any food, which of them can stand for it."""

    def __init__(self, foods: Foods, there: Iterable[str]) -> None:
        self._foods = foods
        self._by_root: defaultdict[str, list[str]] = defaultdict(list)
        self._by_kind: defaultdict[str, list[str]] = defaultdict(list)
        self._general: defaultdict[str, list[str]] = defaultdict(list)
        self._known: dict[str, tuple[Kin, ...]] = {}
        for food in dict.fromkeys(there):
            bottom = root(foods, food)
            self._by_root[bottom].append(food)
            if is_general(foods, bottom):
                self._general[bottom].append(food)
            for kind in foods.kinds(food):
                self._by_kind[kind].append(food)

    def standing_for(self, need: str) -> tuple[Kin, ...]:
        """The foods that can stand for `need`, nearest first; stable for equals."""
        found = self._known.get(need)
        if found is None:
            bottom = root(self._foods, need)
            near = dict.fromkeys(self._by_root.get(bottom, ()))
            for kind in self._foods.kinds(need):
                near.update(dict.fromkeys(self._general.get(kind, ())))
            if is_general(self._foods, bottom):
                near.update(dict.fromkeys(self._by_kind.get(bottom, ())))
            fits = (kin(self._foods, need, food) for food in near)
            found = tuple(sorted((one for one in fits if one), key=lambda one: one.rank))
            self._known[need] = found
        return found


def _line(foods: Foods, food: str) -> tuple[str, ...]:
    """The food, its base, the base of that, … ; guarded against a table that runs in a ring."""
    line = [food]
    while (base := foods[line[-1]].base) and base not in line:
        line.append(base)
    return tuple(line)


def _plain(foods: Foods, food: str) -> str:
    """The food without its form: cooked and canned navy bean are both navy bean."""
    record = foods[food]
    if record.base and state(record.form) != state(foods[record.base].form):
        return record.base
    return food


def _kinds_meet(foods: Foods, one: str, other: str) -> bool:
    return foods[one].kind in foods.kinds(other) or foods[other].kind in foods.kinds(one)


def _part(whole: str, name: str) -> bool:
    """True for names that begin with the whole: egg white, ham steak, potato peel."""
    start = key(whole)
    return key(name)[: len(start)] == start

"""Roles: what each ingredient does in a dish, derived by the rules of `books/roles.toml`.

    played = roles_of(Dish("Cream gravy", ("gravy",), ("thicken",), (flour, milk)))
    played.of(flour.id)                    # ("thickener",)
    played.why(flour.id, "thickener")      # the rule, and the facts it rests on

The caller has found the words: `names()` are looked for in a title, `tells()` in the steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache, cached_property
from typing import NamedTuple

from rules.engine import Engine
from rules.facts import Fact, Given, given
from rules.findings import Findings
from rules.rulebook import Rulebook, load_books
from rules.swaps import ANYWHERE, Swap, place_of
from rules.tables import HERE
from rules.why import Because

BOOK = HERE / "books/roles.toml"
_TABLE = "the table of foods"
_WRITTEN = "as the recipe is written"
_COUNTED = "reckoned from the recipe's amounts"

# How well a swap suits a dish, best first: told to work there, not spoken of, told to fail.
SUITS, UNTOLD, FAILS = range(3)


class Ingredient(NamedTuple):
    """One line, as far as its role depends on it.

    `id` names it in reasons and is unique in its dish. `cups` is all of it by volume and
    `tbsp_to_cup` that against the dish's liquid; None where unknown. `words` are those of
    `tells()` found in its note and in the clauses of the steps that name it.
    """

    id: str
    food: str
    kinds: tuple[str, ...] = ()
    cups: float | None = None
    tbsp_to_cup: float | None = None
    words: tuple[str, ...] = ()


class Dish(NamedTuple):
    """A recipe: `named` are the words of `names()` in its title, `words` of `tells()` anywhere."""

    title: str
    named: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    ingredients: tuple[Ingredient, ...] = ()


class Roles:
    """What was found of one dish."""

    def __init__(self, dish: Dish, findings: Findings) -> None:
        self.dish = dish
        self.findings = findings

    def of(self, ingredient: str) -> tuple[str, ...]:
        """The roles of a line, sorted; () where no rule speaks of it."""
        return tuple(sorted(str(b["r"]) for b in self._bindings(ingredient, "plays")))

    def acts(self, ingredient: str) -> frozenset[str]:
        """What is done with a line: coating, frying, trimming …"""
        return frozenset(str(b["r"]) for b in self._bindings(ingredient, "shows"))

    @cached_property
    def sorts(self) -> frozenset[str]:
        """The sorts of dish this is: sauce, yeast-bread, cookie …"""
        return frozenset(str(b["r"]) for b in self._bindings(self.dish.title, "is-a"))

    def why(self, ingredient: str, role: str) -> Because:
        """The shortest reason for a role. Raises NotFoundError where it does not hold."""
        return self.findings.why(Fact(ingredient, "plays", role))

    def why_sort(self, sort: str) -> Because:
        """The shortest reason why the dish is of a sort."""
        return self.findings.why(Fact(self.dish.title, "is-a", sort))

    def _bindings(self, subject: str, relation: str) -> list[dict[str, object]]:
        return [{"r": fact.object} for fact in self.findings.match(f'"{subject}" {relation} ?r')]


def roles_of(dish: Dish) -> Roles:
    """Runs the rules over one dish."""
    return Roles(dish, _engine().run([*_standing(), *_givens(dish)]))


def _givens(dish: Dish) -> Iterable[Given]:
    for word in dish.named:
        yield given(dish.title, "title-says", word, _WRITTEN)
        yield from _of_words()["names"].get(word, ())
    for word in dish.words:
        yield given(dish.title, "step-says", word, _WRITTEN)
    for word in {*dish.words, *(word for one in dish.ingredients for word in one.words)}:
        yield from _of_words()["tells"].get(word, ())
    for one in dish.ingredients:
        yield given(one.id, "in", dish.title, _WRITTEN)
        yield given(one.id, "is-food", one.food, _WRITTEN)
        for kind in one.kinds:
            yield given(one.id, "of-kind", kind, _TABLE)
        if one.cups is not None:
            yield given(one.id, "cups", one.cups, _COUNTED)
        if one.tbsp_to_cup is not None:
            yield given(one.id, "tbsp-to-cup", one.tbsp_to_cup, _COUNTED)
        for word in one.words:
            yield given(one.id, "handled-with", word, _WRITTEN)


# -- where a swap works ---------------------------------------------------------------------------


def suits(swap: Swap, sorts: Iterable[str], named: Iterable[str]) -> int:
    """How well a swap suits a dish of these sorts, with these words of places in its name."""
    sorts, named = frozenset(sorts), frozenset(named)
    if failing(swap, sorts, named):
        return FAILS
    works = {place_of(place) for place in swap.works_in}
    told = works & named or ANYWHERE in works or any(_sorts(place) & sorts for place in works)
    return SUITS if told else UNTOLD


def told_for(swap: Swap, named: Iterable[str]) -> bool:
    """Whether the book tells a swap for the very dish that is named, not only for its sort."""
    return not {place_of(place) for place in swap.works_in}.isdisjoint(named)


def failing(swap: Swap, sorts: Iterable[str], named: Iterable[str]) -> tuple[str, ...]:
    """What the book says of this dish against the swap, as written there.

    A place the dish is named by outweighs a warning of the same sort: what suits a gravy but
    fails in a white sauce suits the gravy, though both are sauces.
    """
    sorts, named = frozenset(sorts), frozenset(named)
    told = [_sorts(place) for place in map(place_of, swap.works_in) if place in named]
    left = sorts.difference(*told)
    return tuple(
        text for text in swap.fails_in if (place := place_of(text)) in named or _sorts(place) & left
    )


def _sorts(place: str) -> frozenset[str]:
    return places().get(place, frozenset())


@cache
def places() -> dict[str, frozenset[str]]:
    """Words of `works_in` and `fails_in` → the sorts of dish they belong to."""
    found: dict[str, set[str]] = {}
    for fact in _stated("belongs-to"):
        found.setdefault(str(fact.subject), set()).add(str(fact.object))
    return {place: frozenset(sorts) for place, sorts in found.items()}


# -- the words and kinds the book speaks of -------------------------------------------------------


@cache
def names() -> frozenset[str]:
    """Words that tell the sort of a dish when they stand in its title."""
    return frozenset(str(fact.subject) for fact in _stated("names"))


@cache
def tells() -> frozenset[str]:
    """Words that tell what is done, when they stand in a step or a note."""
    return frozenset(str(fact.subject) for fact in _stated("tells"))


def sorts_named(word: str) -> frozenset[str]:
    """The sorts of dish a word of `names()` tells of."""
    return frozenset(str(fact.object) for fact in _stated("names") if fact.subject == word)


def raised_by(kinds: Iterable[str]) -> frozenset[str]:
    """The sorts of dish that foods of these kinds make, told at a glance."""
    there = set(kinds)
    return frozenset(str(fact.object) for fact in _stated("raises") if fact.subject in there)


@cache
def wetting() -> frozenset[str]:
    """Kinds of food that count as the liquid of a dish."""
    return frozenset(str(fact.subject) for fact in _stated("counts-as") if fact.object == "wet")


@cache
def loose() -> frozenset[str]:
    """Roles of taste and substance alone: a swap for one of them does for the others."""
    return frozenset(str(fact.subject) for fact in _stated("counts-as") if fact.object == "loose")


def takes_over(swap: Swap, played: Iterable[str]) -> bool:
    """Whether a swap is one for what a food does in its dish; () = not known, so any is."""
    played, offered = set(played), set(swap.roles)
    return not played or bool(played & offered or (played & loose() and offered & loose()))


@cache
def spare() -> frozenset[str]:
    """Roles that a dish can do without, at a loss."""
    return frozenset(str(fact.subject) for fact in _stated("counts-as") if fact.object == "spare")


def roles() -> frozenset[str]:
    """Every role some rule gives."""
    return frozenset(
        str(pattern.object)
        for rule in _book().rules
        for pattern in rule.then
        if pattern.relation == "plays"
    )


@cache
def _stated(relation: str) -> list[Fact]:
    return [one.fact for one in _book().facts if one.fact.relation == relation]


@cache
def _of_words() -> Mapping[str, Mapping[str, list[Given]]]:
    """The book's facts about words, by relation and word: a dish needs only those of its own."""
    found: dict[str, dict[str, list[Given]]] = {"names": {}, "tells": {}}
    for one in _book().facts:
        if one.fact.relation in found:
            found[one.fact.relation].setdefault(str(one.fact.subject), []).append(one)
    return found


@cache
def _standing() -> tuple[Given, ...]:
    """The book's other facts, as far as a rule asks for them."""
    asked = {
        pattern.relation for rule in _book().rules for pattern in (*rule.patterns, *rule.unless)
    }
    return tuple(one for one in _book().facts if one.fact.relation in asked - set(_of_words()))


@cache
def _book() -> Rulebook:
    return load_books([BOOK])


@cache
def _engine() -> Engine:
    return _book().engine()

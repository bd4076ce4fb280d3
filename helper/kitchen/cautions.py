"""What to be careful of: which cautions of the book a recipe, a food or a sentence calls for.

A row speaks of foods, of techniques and of states. All three must be met: the food by its name, a
wider name or its kind; the technique by words in the steps; the state by the form of the food, by
words, or because the caller says so. A technique that reaches no further than its step counts
only where that step names the food.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import cache

import msgspec

from helper.kitchen.facts import state as state_of
from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_sort
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.words import key
from rules.tables import rows

SEVERITIES = ("info", "caution", "danger")
MOST = 2
_Key = tuple[str, ...]
_ANY = ("", "any")


class Care(msgspec.Struct, frozen=True):
    """One thing to be careful of; `defer_to` is who knows better, for that one case."""

    id: str
    severity: str
    text: str
    defer_to: str
    source: str


class Temperature(msgspec.Struct, frozen=True):
    """How hot a food must get inside, in °F and °C, and how long it rests after."""

    food: str
    fahrenheit: float
    celsius: float
    rest_minutes: int
    note: str
    source: str


class _Row(msgspec.Struct, frozen=True):
    care: Care
    foods: tuple[str, ...]
    techniques: tuple[str, ...]
    states: tuple[str, ...]


class _Case(msgspec.Struct, frozen=True):
    """What is looked at: foods with the states they are in, steps, words, and what is done."""

    foods: tuple[tuple[str, frozenset[str]], ...]
    steps: tuple[_Key, ...]
    said: _Key
    techniques: frozenset[str] = frozenset()
    states: frozenset[str] = frozenset()


class Cautions:
    """The book of cautions and the table of safe temperatures over one household's foods."""

    def __init__(self, foods: Foods) -> None:
        self._foods = foods

    # -- what is asked -------------------------------------------------------------------------

    def recipe(self, recipe: Recipe, least: str = "caution", most: int = MOST) -> tuple[Care, ...]:
        """The most severe cautions that a recipe's foods and steps call for."""
        foods = tuple(
            (food, self._states(food, line)) for line in recipe.lines for food in _named(line)
        )
        steps = tuple(key(step) for step in recipe.steps)
        return self._most(_Case(foods, steps, ()), least, most)

    def about(
        self,
        foods: Iterable[str] = (),
        states: Collection[str] = (),
        techniques: Collection[str] = (),
        said: str = "",
        least: str = "caution",
        most: int = MOST,
    ) -> tuple[Care, ...]:
        """The most severe cautions for foods in some states, for what is done, for words said."""
        named = tuple((food, self._states(food) | set(states)) for food in foods)
        words = key(said)
        case = _Case(named, (words,), words, frozenset(techniques), frozenset(states))
        return self._most(case, least, most)

    def temperature(self, food: str) -> Temperature | None:
        """How hot a food must get inside: by its name, its base, a wider name or its kind."""
        return next(
            (_temperatures()[name] for name in self._wider(food) if name in _temperatures()), None
        )

    def heat_asked(self, said: str, foods: Sequence[str]) -> Temperature | None:
        """The temperature a sentence asks for: of a food, or of a thing the table names."""
        text = key(said)
        if not any(_holds(text, phrase) for one in _words()["ask"].values() for phrase in one):
            return None
        for food in foods:
            if (heat := self.temperature(food)) is not None:
                return heat
        named = [name for name in _temperatures() if _holds(text, key(name))]
        return _temperatures()[max(named, key=len)] if named else None

    def heats(self, recipe: Recipe) -> tuple[Temperature, ...]:
        """How hot a recipe's raw meat, poultry and fish must get inside, hottest first."""
        found: dict[float, Temperature] = {}
        for line in recipe.lines:
            food = line.food
            # a food without a form may be a bone or a carcass off something cooked
            if food is None or not self._foods[food].form or "raw" not in self._states(food):
                continue
            heat = self.temperature(food)
            if heat is not None and heat.food in _worth_saying():
                found.setdefault(heat.fahrenheit, msgspec.structs.replace(heat, food=food))
        return tuple(sorted(found.values(), key=lambda one: -one.fahrenheit))

    # -- how rows are found --------------------------------------------------------------------

    def _most(self, case: _Case, least: str, most: int) -> tuple[Care, ...]:
        enough = SEVERITIES.index(least)
        found = [
            row
            for row in _book()
            if SEVERITIES.index(row.care.severity) >= enough and self._calls_for(case, row)
        ]
        found.sort(
            key=lambda row: (-SEVERITIES.index(row.care.severity), -self._nearness(case, row))
        )
        return tuple(row.care for row in found[:most])

    def _nearness(self, case: _Case, row: _Row) -> int:
        """How closely a row speaks of the case: of this very food, of what is done, of a state."""
        exact = any(food in row.foods for food, _ in case.foods)
        done = not set(row.techniques) & set(_ANY) and bool(row.techniques)
        return 2 * exact + done + bool(row.states)

    def _calls_for(self, case: _Case, row: _Row) -> bool:
        if not row.foods:
            return self._done(case, row, None) and self._in_state(case, row, case.states)
        return any(
            self._means(row, food, states)
            and self._in_state(case, row, states)
            and self._done(case, row, food)
            for food, states in case.foods
        )

    def _means(self, row: _Row, food: str, states: frozenset[str]) -> bool:
        """True where one of the row's foods is this food, a wider name of it, or its kind."""
        foods = self._foods
        kinds = foods.kinds(food)
        for name in row.foods:
            if name in (food, foods[food].base) or name in kinds or is_sort(foods, name, food):
                return True
            if foods.covers(name, food) and foods[name].kind in kinds:
                return True
            wide = foods[name]
            # "canned food", "cooked grain", "leftover": any food of that kind in that form
            if wide.form and not wide.base and len(foods.kinds(name)) == 1:
                if state_of(wide.form) == state_of(foods[food].form):
                    return True
            elif wide.form and wide.base and foods[wide.base].kind in kinds:
                if wide.base == foods[wide.base].kind and (
                    state_of(wide.form) == state_of(foods[food].form)
                ):
                    return True
            if name in states:
                return True
        return False

    def _in_state(self, case: _Case, row: _Row, states: frozenset[str]) -> bool:
        if not row.states or set(row.states) & states:
            return True
        texts = [*case.steps, case.said]
        return any(
            _holds(text, phrase)
            for name in row.states
            for phrase in _words()["state"].get(name, ())
            for text in texts
        )

    def _done(self, case: _Case, row: _Row, food: str | None) -> bool:
        wanted = set(row.techniques)
        if not wanted or wanted & set(_ANY) or wanted & case.techniques:
            return True
        for name in row.techniques:
            reach = _reach().get(name, "dish")
            texts = (case.said,) if reach == "said" else case.steps
            for text in texts:
                if any(_holds(text, phrase) for phrase in _words()["technique"].get(name, ())):
                    if reach != "step" or food is None or _mentions(text, food, row.foods):
                        return True
        return False

    def _states(self, food: str, line: Line | None = None) -> frozenset[str]:
        """The states a food is in: by its form, and by the words of its line."""
        form = self._foods[food].form
        found = {name for name, forms in _form_states().items() if form in forms}
        if line is not None:
            text = key(line.text)
            found |= {
                name
                for name, phrases in _words()["state"].items()
                if any(_holds(text, phrase) for phrase in phrases)
            }
        return frozenset(found)

    def _wider(self, food: str) -> Iterator[str]:
        foods = self._foods
        yield food
        if base := foods[food].base:
            yield base
        names = (name for name in _temperatures() if is_sort(foods, name, food))
        yield from sorted(names, key=lambda name: -len(key(name)))
        yield from foods.kinds(food)


def _named(line: Line) -> tuple[str, ...]:
    return (*((line.food,) if line.food else ()), *line.mentions)


def _holds(text: _Key, phrase: _Key) -> bool:
    """True where the words of a phrase stand in a text one after the other."""
    size = len(phrase)
    return size > 0 and any(text[at : at + size] == phrase for at in range(len(text) - size + 1))


def _mentions(text: _Key, food: str, wider: Sequence[str]) -> bool:
    """True where a text names a food by its last word, or by the wider word of the book."""
    return any(key(name)[-1] in text for name in (food, *wider) if key(name))


@cache
def _book() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            Care(row["id"], row["severity"], row["text"], row["defer_to"], row["source"]),
            *(
                tuple(one for one in row[name].split(";") if one)
                for name in ("foods", "techniques", "states")
            ),
        )
        for row in rows("books/cautions.csv")
    )


@cache
def _words() -> dict[str, dict[str, tuple[_Key, ...]]]:
    """Technique or state → its names → the phrases that tell of it."""
    found: dict[str, dict[str, tuple[_Key, ...]]] = {
        "technique": {},
        "state": {},
        "form": {},
        "ask": {},
    }
    for row in rows("books/caution_words.csv"):
        found[row["sort"]][row["name"]] = tuple(key(words) for words in row["words"].split(";"))
    return found


@cache
def _reach() -> dict[str, str]:
    """How far a technique reaches: its step, the whole dish, or only what the person says."""
    return {row["name"]: row["reach"] for row in rows("books/caution_words.csv") if row["reach"]}


@cache
def _form_states() -> dict[str, frozenset[str]]:
    """A state → the forms that are in it; "" for foods without a form."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for row in rows("books/caution_words.csv"):
        if row["sort"] == "form":
            found[row["name"]].update(row["words"].split(";"))
    return {name: frozenset(forms) for name, forms in found.items()}


@cache
def _temperatures() -> dict[str, Temperature]:
    return {
        row["food"]: Temperature(
            row["food"],
            float(row["temp_f"]),
            float(row["temp_c"]),
            int(row["rest_minutes"]),
            row["note"],
            row["source"],
        )
        for row in rows("books/temperatures.csv")
    }


@cache
def _worth_saying() -> frozenset[str]:
    """Foods whose temperature is told over a recipe that holds them raw."""
    return frozenset(row["food"] for row in rows("books/temperatures.csv") if row["say"])

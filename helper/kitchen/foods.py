"""The foods a kitchen knows, and the one way to find a food by name.

Names come from `rules/reference/foods/*.csv`. A name is found exactly (canonical name, alias,
singular or plural, any hyphens) or by its form ("tinned navy beans" is the canned form of navy
bean). Guessing at misspelt names is a separate call that returns candidates and decides nothing.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path

import msgspec

from helper.kitchen.quantities import line_words, phrase_at, unit_at
from helper.kitchen.words import Word, key, words
from rules.prepared import prepared
from rules.tables import HERE, rows

CAN, CANNED = "can", "canned"  # the one package that says in which form a food is
# Forms in which a food goes into a can; a paste or a powder in a can stays what it is.
_PUT_UP = ("", "fresh", "raw", "dry", "cooked", "cured")


class Food(msgspec.Struct, frozen=True, array_like=True):
    """One food: `kind` from the kinds tree, `form` (canned, cooked, …), `base` the plain food.

    `known` is False for foods only this household names: nothing is known of them but their name.
    """

    name: str
    kind: str = ""
    form: str = ""
    base: str = ""
    known: bool = True


class _Listing(msgspec.Struct, frozen=True, array_like=True):
    """The listing files, made ready to be searched.

    `names` maps a name's key (its words, singular, one blank between) to the food; `exact` the
    few names that mean another food just as they are spelt ("peppers" is no black pepper).
    `forms` goes from base to form to food.
    """

    foods: dict[str, Food]
    names: dict[str, str]
    exact: dict[str, str]
    forms: dict[str, dict[str, str]]


class Found(msgspec.Struct, frozen=True):
    """A food found in words: from word `start` to before `end`. `certain` = every word fits."""

    food: str
    start: int
    end: int
    certain: bool = True


class Guess(msgspec.Struct, frozen=True):
    """A food a misspelt name may mean, with its likeness from 0 to 100."""

    food: str
    said: str
    likeness: float


class Foods:
    """All foods by name. `own` adds names that only this household uses."""

    def __init__(self, own: Iterable[str] = ()) -> None:
        listing = _listed()
        self._foods, self._names, self._forms = listing.foods, listing.names, listing.forms
        self._spelt = listing.exact
        self._longest = 7
        self._own: dict[str, str] = {}
        for name in own:
            self.add_own(name)

    # -- what a food is ------------------------------------------------------------------

    def __getitem__(self, name: str) -> Food:
        return self._foods.get(name) or Food(name, known=False)

    def __contains__(self, name: str) -> bool:
        return name in self._foods

    def names(self) -> Iterable[str]:
        """Canonical names of every listed food, then the household's own."""
        return [*self._foods, *self._own.values()]

    def words(self) -> set[str]:
        """Every single word that names and aliases are made of, singular."""
        return {word for name in (*self._names, *self._own) for word in name.split()}

    def pairs(self) -> Iterator[tuple[str, str]]:
        """Every two words that stand side by side in a name or alias, singular."""
        for name in self._names:
            if " " in name:
                yield from pairwise(name.split())

    def add_own(self, name: str) -> None:
        """Lets the household's own name for something be found in sentences."""
        if _key(name) and _key(name) not in self._names:
            self._own[_key(name)] = name

    def kinds(self, name: str) -> tuple[str, ...]:
        """The food's kind and every wider kind, narrowest first."""
        return kind_chain(self[name].kind)

    def family(self, name: str) -> tuple[str, ...]:
        """The plain food and all its listed forms: navy bean, canned navy bean, …"""
        base = self[name].base or name
        return (base, *(form for form in self._forms.get(base, {}).values() if form != base))

    def in_form(self, name: str, form: str) -> str | None:
        """The listed food that is `name` in that form, or None."""
        food = self[name]
        if food.form == form:
            return name
        return self._forms.get(food.base or name, {}).get(form)

    def as_packed(self, name: str, package: str | None) -> str:
        """The food that comes in such a package: beans in a can are the canned ones."""
        if package != CAN or self[name].form not in _PUT_UP:
            return name
        return self.in_form(name, CANNED) or name

    def covers(self, wide: str, narrow: str) -> bool:
        """True when `narrow` is a sort of `wide`: "bean" covers navy bean, "ham" cooked ham.

        Told from base foods and from names: a sort is named with the wide word at its end (or,
        for cuts, at its front) and lies in the same branch of the kinds tree.
        """
        return narrow in _covered(wide)

    def of_key(self, key_: str) -> str | None:
        """The food whose name or alias has exactly this key: singular words, one blank between."""
        return self._names.get(key_) or self._own.get(key_)

    # -- finding a food by name ------------------------------------------------------------

    def named(self, text: str) -> str | None:
        """The food a whole text names exactly, forms and neutral words allowed, or None."""
        found = self.find(text)
        return found.food if found and found.certain else None

    def find(self, text: str) -> Found | None:
        """The main food a short text names: its longest exact name, with forms taken in.

        `certain` only if all other words are neutral descriptions ("chopped", "large"). None
        where nothing is named; misspellings are left to `guess`.
        """
        return self.find_in(words(text))

    def find_in(self, found: Sequence[Word]) -> Found | None:
        """As `find`, over words already cut."""
        spots = self.spot(found)
        if not spots:
            return None
        best = max(spots, key=lambda spot: (spot.end - spot.start, spot.end))
        inside = range(best.start, best.end)
        rest = [word for i, word in enumerate(found) if i not in inside]
        return Found(best.food, best.start, best.end, not self.left_over(rest))

    def spot(self, found: Sequence[Word]) -> list[Found]:
        """Every food named in the words, left to right, longest names first, never overlapping."""
        spots: list[Found] = []
        at = 0
        while at < len(found):
            hit = self.at(found, at)
            if hit is None:
                at += 1
                continue
            hit = self._reaching_on(found, hit) or hit
            spots.append(hit)
            at = hit.end
        return spots

    def _reaching_on(self, found: Sequence[Word], hit: Found) -> Found | None:
        """A name that begins inside another and ends behind it, where that only describes it.

        "Leftover meat loaf" is a meat loaf and no leftover meat. In "green beans and rice" the
        beans stay beans.
        """
        for start in range(hit.start + 1, hit.end):
            if hit.end == len(found) or self.left_over(found[hit.start : start]):
                return None
            further = self._exact(found, start)
            if further is not None and further[1] > hit.end:
                beyond = found[hit.end : further[1]]
                joined = any((word.key,) in line_words("joiner") for word in beyond)
                return None if joined else Found(further[0], start, further[1])
        return None

    def at(self, found: Sequence[Word], at: int) -> Found | None:
        """The longest food name starting exactly at word `at`, form words before it included."""
        plain = self._exact(found, at)
        form_length = phrase_at(list(found[at : at + 5]), 0, line_words("form"))
        if form_length:
            inner = self._exact(found, at + form_length)
            if inner is not None and (plain is None or inner[1] > plain[1]):
                said = line_words("form")[tuple(w.key for w in found[at : at + form_length])]
                formed = self.in_form(inner[0], said)
                if formed is not None:
                    return Found(formed, at, inner[1])
        return Found(plain[0], at, plain[1]) if plain else None

    def _exact(self, found: Sequence[Word], at: int) -> tuple[str, int] | None:
        """Name and end index of the longest exact name at `at`; signs inside a name are passed."""
        keys: list[str] = []
        texts: list[str] = []
        ends: list[int] = []
        for i in range(at, min(len(found), at + 2 * self._longest)):
            if found[i].text in ("-", "'", "&", ".", "%"):
                if not keys:
                    return None
                continue
            if not found[i].text[0].isalnum():
                break
            keys.append(found[i].key)
            texts.append(found[i].text)
            ends.append(i + 1)
            if len(keys) == self._longest:
                break
        for length in range(len(keys), 0, -1):
            key_ = " ".join(keys[:length])
            name = (
                self._spelt.get(" ".join(texts[:length]))
                or self._names.get(key_)
                or self._own.get(key_)
            )
            if name is not None:
                return name, ends[length - 1]
        return None

    def left_over(self, found: Sequence[Word]) -> list[Word]:
        """The words that no neutral description accounts for."""
        left: list[Word] = []
        at = 0
        listed = list(found)
        while at < len(listed):
            unit = unit_at(listed, at)
            if unit is not None or not listed[at].is_name:
                at = unit[1] if unit else at + 1
                continue
            length = max(
                phrase_at(listed, at, line_words(meaning))
                for meaning in (
                    "descriptor",
                    "joiner",
                    "form",
                    "size",
                    "about",
                    "taste",
                    "more",
                    "optional",
                )
            )
            if not length:
                left.append(listed[at])
            at += length or 1
        return left

    def guess(self, text: str, cutoff: float = 80.0) -> list[Guess]:
        """Foods whose names are spelt much like the text, best first. Decides nothing.

        Short words must agree in all but one letter and start alike; rapidfuzz scores the rest.
        """
        from rapidfuzz import fuzz, process

        said = " ".join(key(text))
        if len(said) < 4:
            return []
        choices = self._names
        close = process.extract(
            said, choices.keys(), scorer=fuzz.ratio, score_cutoff=cutoff, limit=8
        )
        best: dict[str, Guess] = {}
        for name, likeness, _ in close:
            if name[0] != said[0] and likeness < 90:
                continue
            if len(said) < 6 and abs(len(name) - len(said)) > 1:
                continue
            food = choices[name]
            if food not in best:
                best[food] = Guess(food, text, likeness)
        return list(best.values())


@cache
def kind_chain(kind: str) -> tuple[str, ...]:
    """A kind and its wider kinds, narrowest first; () for the unknown kind ''."""
    parents = _parents()
    chain: list[str] = []
    while kind and kind not in chain:
        chain.append(kind)
        kind = parents.get(kind, "")
    return tuple(chain)


@cache
def _parents() -> dict[str, str]:
    return {row["kind"]: row["parent"] for row in rows("reference/kinds.csv")}


def _key(text: str) -> str:
    return " ".join(key(text))


def _spelling(text: str) -> str:
    return " ".join(word.text for word in words(text) if word.text[0].isalnum())


@cache
def _listed() -> _Listing:
    sources = [*sorted((HERE / "reference/foods").glob("*.csv")), Path(__file__)]
    return prepared("foods", _Listing, sources, _read_listing)


def _read_listing() -> _Listing:
    foods: dict[str, Food] = {}
    aliases: list[tuple[str, str]] = []
    for path in sorted((HERE / "reference/foods").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.reader(file)
            next(reader)
            for name, others, kind, form, base, *_ in reader:
                foods[name] = Food(name, kind, form, base)
                aliases.extend((alias, name) for alias in others.split(";") if alias)
    names = {_key(name): name for name in foods}
    exact: dict[str, str] = {}
    for alias, name in aliases:
        if names.setdefault(_key(alias), name) != name:
            exact[_spelling(alias)] = name
    names.pop("", None)
    forms: dict[str, dict[str, str]] = defaultdict(dict)
    for food in foods.values():
        if food.form:
            forms[food.base or food.name].setdefault(food.form, food.name)
    return _Listing(foods, names, exact, dict(forms))


@cache
def _covered(wide: str) -> frozenset[str]:
    foods = _listed().foods
    if wide not in foods:
        return frozenset({wide})
    made_of, ending, starting = _kin()
    found = {wide, *made_of.get(wide, ())}
    branch = foods[wide].kind
    if not branch:
        return frozenset(found)
    said = key(wide)
    alike = [name for parts, name in ending[said[-1]] if parts[-len(said) :] == said]
    alike += [name for parts, name in starting[said[0]] if parts[: len(said)] == said]
    found.update(name for name in alike if branch in kind_chain(foods[name].kind))
    return frozenset(found)


_Named = dict[str, list[tuple[tuple[str, ...], str]]]


@cache
def _kin() -> tuple[dict[str, list[str]], _Named, _Named]:
    """Foods by the foods they are made of, by the last word of a name, and by its first."""
    foods = _listed().foods
    # A food's own name comes before its aliases, so taking names apart again is spared.
    parts = {name: tuple(said.split()) for said, name in reversed(_listed().names.items())}
    made_of: dict[str, list[str]] = defaultdict(list)
    ending: _Named = defaultdict(list)
    starting: _Named = defaultdict(list)
    for food in foods.values():
        base = food
        while base.base and base.base != base.name and base.base in foods:
            base = foods[base.base]
            made_of[base.name].append(food.name)
        for name in {food.name, base.name}:
            ending[parts[name][-1]].append((parts[name], food.name))
        starting[parts[food.name][0]].append((parts[food.name], food.name))
    return made_of, ending, starting

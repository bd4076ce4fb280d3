"""What a request wishes of a menu, read from its words: "fish on friday", "one soup", "quick on
weekdays", "nothing that needs the oven on tuesday", "leftovers as lunches".

The words stand in tables: `menu_traits.csv` names what a dish can be like, `planning_words.csv`
groups of days and what is to be done. A food named with a day or a number is a wish too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.numbers import read_number
from helper.kitchen.traits import traits
from helper.kitchen.words import Word, key, words
from helper.reading.vocabulary import phrase_from
from rules.tables import rows

# A trait that stands for a food: this, then the food's name.
FOOD = "food: "
# What cuts a request into wishes.
_CUTS = (",", ";", "and", "but", "with", "plus", ".", "then")
_AT_MOST = 7

NEGATIONS = ("without", "avoiding")


class WishOf(msgspec.Struct, frozen=True):
    """One wish: a trait on some weekdays (0 Monday … 6 Sunday), or so many times over all.

    `refused` True: not that. `weekdays` empty and `count` 0: every day. `said` words it.
    """

    trait: str
    weekdays: frozenset[int] = frozenset()
    count: int = 0
    refused: bool = False
    said: str = ""


class Wishes(msgspec.Struct, frozen=True):
    """All wishes of a request; `foods` are those foods that belong to one of them."""

    wishes: tuple[WishOf, ...] = ()
    slot: str = "dinner"
    leftovers: bool = False
    foods: frozenset[str] = frozenset()


@cache
def table(kind: str) -> dict[tuple[str, ...], str]:
    """The phrases of one kind of `planning_words.csv` and the value of each."""
    return {
        key(phrase): row["value"]
        for row in rows("books/planning_words.csv")
        if row["kind"] == kind
        for phrase in row["words"].split(";")
    }


def said_in(found: Sequence[Word], kind: str) -> tuple[str, int, int] | None:
    """The first phrase of a kind in the words, the longest there: its value, start and end."""
    phrases = table(kind)
    longest = max(len(phrase) for phrase in phrases)
    keys = [word.key for word in found]
    for at in range(len(keys)):
        for length in range(min(longest, len(keys) - at), 0, -1):
            if tuple(keys[at : at + length]) in phrases:
                return phrases[tuple(keys[at : at + length])], at, at + length
    return None


def says(said: str, kind: str) -> bool:
    """Whether a request holds any phrase of a kind."""
    return said_in(words(said), kind) is not None


def read_wishes(said: str, foods: Foods) -> Wishes:
    """Every wish in a request; what is no wish is left alone."""
    found = [word for word in words(said) if word.text != "'"]
    slot = said_in(found, "slot")
    leftovers = said_in(found, "leftover_lunch")
    used: set[str] = set()
    if leftovers:
        used.update(one.food for one in foods.spot(found[leftovers[1] : leftovers[2]]))
        found = [*found[: leftovers[1]], *found[leftovers[2] :]]
        slot = said_in(found, "slot")
    wishes: list[WishOf] = []
    refusing = False
    for clause in _clauses(found):
        for wish, refused in _wishes_in(clause, foods, refusing):
            wishes.append(wish)
            refusing = refused
            used.update(spot.food for spot in foods.spot(clause))
    return Wishes(tuple(wishes), slot[0] if slot else "dinner", leftovers is not None,
                  frozenset(used))  # fmt: skip


def foods_unwanted(without: Iterable[str]) -> tuple[str, ...]:
    """The foods to be without, but for words that tell what a dish is like: "no soup" leaves a
    bake with a can of soup in it alone."""
    likes = {phrase for trait in traits() for phrase in trait.words if trait.by == "title"}
    return tuple(food for food in without if key(food) not in likes)


def _clauses(found: Sequence[Word]) -> Iterable[list[Word]]:
    clause: list[Word] = []
    for word in found:
        if word.text in _CUTS:
            yield clause
            clause = []
        else:
            clause.append(word)
    yield clause


def _wishes_in(clause: list[Word], foods: Foods, refusing: bool) -> Iterable[tuple[WishOf, bool]]:
    """The wish of one part of the sentence, if it names a trait or a food."""
    named = _trait(clause) or _food(clause, foods)
    if named is None:
        return
    trait, start, end, food = named
    days = _weekdays(clause)
    refused = any(
        phrase_from(clause, at, kind) is not None for at in range(start) for kind in NEGATIONS
    ) or any(word.text in ("nothing", "no", "not") for word in clause[:start])
    count = _count_before(clause, start)
    if food and not days and not count:
        return
    if refused and not days and (food or _within_a_food(clause, start, end, foods)):
        return
    if refused and not food:
        # told by what it is, "no oven on tuesday", not by the words around it
        rest = " ".join(word.text for word in clause[end:] if days).removeprefix("on ")
        yield WishOf(trait, days, 0, True, f"{trait} on {rest}" if rest else trait), True
        return
    said = " ".join(word.text for word in clause[max(0, start - 2) :])
    said = said if days else " ".join(word.text for word in clause[start:end])
    if count and not days:
        yield WishOf(trait, frozenset(), count, False, f"{count} {said}"), False
    else:
        yield WishOf(trait, days, 0, refused, said), refused


def _trait(clause: Sequence[Word]) -> tuple[str, int, int, str | None] | None:
    """The longest trait words in a clause."""
    keys = [word.key for word in clause]
    best: tuple[str, int, int, str | None] | None = None
    for trait in traits():
        for phrase in trait.words:
            for at in range(len(keys) - len(phrase) + 1):
                longer = best is None or len(phrase) > best[2] - best[1]
                if tuple(keys[at : at + len(phrase)]) == phrase and longer:
                    best = (trait.name, at, at + len(phrase), None)
    return best


def _food(clause: Sequence[Word], foods: Foods) -> tuple[str, int, int, str | None] | None:
    spots = foods.spot(list(clause))
    if not spots:
        return None
    return FOOD + spots[0].food, spots[0].start, spots[0].end, spots[0].food


def _within_a_food(clause: Sequence[Word], start: int, end: int, foods: Foods) -> bool:
    """Whether trait words are but part of a longer name: who wants no bean soup may want soup."""
    return any(
        spot.start <= start and end <= spot.end and spot.end - spot.start > end - start
        for spot in foods.spot(list(clause))
    )


def _weekdays(clause: Sequence[Word]) -> frozenset[int]:
    """Days of the week named in a clause: "on friday", "on weekdays"."""
    days: set[int] = set()
    group = said_in(clause, "days")
    if group:
        days.update(int(day) for day in group[0].split())
    for at in range(len(clause)):
        hit = phrase_from(clause, at, "weekday")
        if hit is not None:
            days.add(int(hit[0]))
    return frozenset(days)


def _count_before(clause: Sequence[Word], start: int) -> int:
    """A number just before the trait: "one soup", "two fish dinners"; 0 for none."""
    at = start - 1
    while at >= 0 and clause[at].is_name and read_number(list(clause), at) is None:
        at -= 1
        if start - at > 2:
            return 0
    if at < 0:
        return 0
    number = read_number(list(clause), at)
    if number is None or number.after > start or not 1 <= number.value <= _AT_MOST:
        return 0
    return int(number.value)

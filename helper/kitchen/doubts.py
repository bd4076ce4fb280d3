"""How sure a line is where it decides over somebody's health, and what its words may mean.

The line reader keeps an amount and a food of whatever it can; a verdict needs more. Here every
word of the line is accounted for: by a food, by a plain description, or by a word that cooks use
and that names no food. One table holds both (`rules/reference/line_words.csv`): descriptions, that
the line reader takes off a food's name, and "neutral" words, that say how, where or when and never
what, but stay. A word that nothing accounts for may be a misspelt food, so the line is unsure, and
the foods it may mean are named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from helper.kitchen.company import paired, remade
from helper.kitchen.foods import Foods, Guess
from helper.kitchen.lines import claim_at
from helper.kitchen.quantities import line_words, read_amount
from helper.kitchen.recipes import Line
from helper.kitchen.words import Word, words

# Likeness from which the best guess is taken as good enough to rule a line out; below it, and
# for all others, the guess can only raise a doubt.
SURE_ENOUGH = 86.0
_MOST = 4
_WINDOW = 3


@cache
def plain_words() -> frozenset[str]:
    """Words that say how, where or when, and never what."""
    return frozenset(part for phrase in line_words("neutral") for part in phrase)


class Doubts:
    """Judges the words of lines against one table of foods; what it found is kept by text."""

    def __init__(self, foods: Foods) -> None:
        self._foods = foods
        self._known: dict[str, tuple[bool, tuple[str, ...]]] = {}

    def of(self, line: Line) -> tuple[bool, tuple[str, ...]]:
        """Whether the line is surely read, and else the foods it may mean.

        The first of these is the best guess, or empty text where no guess is good enough.
        """
        if line.unread or line.food is None:
            return False, ()
        known = self._foods[line.food].known
        if line.certain and known:
            return True, ()
        found = self._known.get(line.text)
        if found is None:
            found = self._weighed(line.text, known)
            self._known[line.text] = found
        return found

    def near(self, text: str) -> tuple[str, ...]:
        """The foods that a misspelt name may mean, the best guess first."""
        return _ranked(self._foods.guess(text))

    def _weighed(self, text: str, known: bool) -> tuple[bool, tuple[str, ...]]:
        found = words(text)
        left = self._unaccounted(found)
        plain = plain_words()
        spots = self._foods.spot(found)
        changed = remade(found, spots)
        open_words = [at for at in left if found[at].key not in plain or found[at] in changed]
        if not open_words and paired(found, spots):
            return False, ()
        if not open_words and known:
            # "Dish stock" is made of plain words, and yet it is fish stock with a slip in it.
            near = _ranked(self._guesses(found, left, 2))
            return not (near and near[0]), near
        return False, _ranked(self._guesses(found, open_words, 1))

    def _guesses(self, found: Sequence[Word], spots: Iterable[int], least: int) -> list[Guess]:
        """Foods that the words at these places may mean, alone or with their neighbours."""
        return [
            guess
            for at in spots
            for window in _windows(found, at, least)
            for guess in self._foods.guess(window)
        ]

    def _unaccounted(self, found: list[Word]) -> list[int]:
        """Indexes of the words that neither a food nor the line reader's words account for."""
        spots = self._foods.spot(found)
        named = {i for hit in spots for i in range(hit.start, hit.end)}
        rest: list[Word] = []
        at = 0
        while at < len(found):
            measured = None if at in named else read_amount(found, at)
            claim = None if at in named else claim_at(found, at)
            if measured is not None or claim is not None:
                behind = at + (claim[1] if claim else 1)
                at = max(measured.after if measured else 0, behind)
                continue
            if at not in named:
                rest.append(found[at])
            at += 1
        left = {word.start for word in self._foods.left_over(rest)}
        left |= {word.start for word in remade(found, spots)}
        return [i for i, word in enumerate(found) if word.start in left]


def _windows(found: Sequence[Word], at: int, least: int) -> list[str]:
    """The word with up to two neighbours on either side, `least` words or more, longest first."""
    windows = []
    for length in range(_WINDOW, least - 1, -1):
        for start in range(at - length + 1, at + 1):
            window = found[max(start, 0) : start + length]
            if start >= 0 and len(window) == length and all(word.is_name for word in window):
                windows.append(" ".join(word.text for word in window))
    return windows


def _ranked(guesses: Sequence[Guess]) -> tuple[str, ...]:
    """Best first, the first place left empty where no guess is near enough to rule out by."""
    best: dict[str, float] = {}
    for guess in guesses:
        best[guess.food] = max(guess.likeness, best.get(guess.food, 0.0))
    foods = sorted(best, key=lambda food: (-best[food], food))[:_MOST]
    if foods and best[foods[0]] < SURE_ENOUGH:
        return ("", *foods)
    return tuple(foods)

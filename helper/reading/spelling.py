"""Putting misspelt words right, word by word, before anything is looked up.

A word that any table knows is never touched ("malt" stays malt beside "salt"). An unknown one is
respelt to the nearest known word, if one is near enough; the reading then says so.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from os.path import commonprefix

from helper.kitchen.words import Word

# Words as long as this may differ by so many edits (insert, drop, change, swap of neighbours).
_EDITS = ((4, 1), (7, 2), (99, 2))


class Speller:
    """Knows a set of well-spelt words and finds the nearest for another.

    `common` words win over `names` when both are equally near. `strange` words are spelt right
    too, but no misspelling is ever taken for one of them.
    """

    def __init__(
        self, common: Collection[str], names: Collection[str], strange: Collection[str] = ()
    ) -> None:
        self.common = frozenset(common)
        self.names = frozenset(names) - self.common
        self.strange = frozenset(strange)
        self._lists = (sorted(self.common), sorted(self.names))
        self._known: dict[str, str | None] = {}

    def knows(self, word: str) -> bool:
        """True for words that are spelt right."""
        return word in self.common or word in self.names or word in self.strange

    def nearest(self, word: str) -> str | None:
        """The known word an unknown one most likely is, or None."""
        if word not in self._known:
            if len(self._known) > 20_000:
                self._known.clear()
            self._known[word] = self._search(word)
        return self._known[word]

    def _search(self, word: str) -> str | None:
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extract

        if len(word) < 3 or not word.isalpha() or len(word) > 24:
            return None
        edits = next(most for length, most in _EDITS if len(word) <= length)
        if len(word) <= 3:
            edits = 1
        best: tuple[float, str] | None = None
        for bonus, choices in zip((0.0, 0.05), self._lists, strict=True):
            for choice, distance, _ in extract(
                word, choices, scorer=OSA.distance, score_cutoff=edits, limit=12
            ):
                if not _plausible(word, choice):
                    continue
                cost = distance + bonus
                cost += 0.6 * (choice[0] != word[0])
                cost -= 0.5 * (sorted(choice) == sorted(word))
                cost -= 0.4 * (_undoubled(choice) == _undoubled(word))
                # people drop letters more often than they add them
                cost += 0.1 if len(choice) < len(word) else -0.05 * (len(choice) > len(word))
                cost -= 0.05 * (choice[-1] == word[-1])
                cost -= 0.05 * min(5, len(commonprefix([choice, word])))
                if best is None or (cost, choice) < best:
                    best = (cost, choice)
        if best is None or best[0] > edits + 0.5:
            return None
        return best[1]


def _plausible(word: str, choice: str) -> bool:
    """Short words need more in common: "egs" may be eggs, but not legs."""
    if min(len(choice), len(word)) > 3 or sorted(choice) == sorted(word):
        return True
    if choice[0] != word[0] or len(choice) < 3:
        return False
    if _undoubled(word.rstrip("s")) == _undoubled(choice):
        return True
    return len(word) > 3 or (len(choice) > 3 and choice[-1] == word[-1])


def _undoubled(word: str) -> str:
    """The word with doubled letters written once: the commonest slip of all."""
    return "".join(a for a, b in zip(word, word[1:] + " ", strict=True) if a != b)


def respelt(found: Sequence[Word], speller: Speller) -> tuple[list[Word], dict[int, str]]:
    """The words with misspelt ones put right, and what stood there before, by index."""
    out: list[Word] = []
    changed: dict[int, str] = {}
    for i, word in enumerate(found):
        if word.is_name and not speller.knows(word.key) and not speller.knows(word.text):
            nearest = speller.nearest(word.key)
            if nearest is not None:
                changed[i] = word.text
                word = Word(nearest, nearest, word.start, word.end)
        out.append(word)
    return out, changed

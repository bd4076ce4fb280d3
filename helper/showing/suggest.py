"""What may be meant by what has been typed so far: names and phrasings, without a terminal."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, TypeVar

import msgspec

_FEWEST = 2  # letters before anything is suggested
_SHORTEST = 3  # letters of a word inside a name that the name is found by
_LONGEST = 5  # words a name is looked for in
_FUZZY = 4  # letters from which a misspelt beginning is looked up
_NEAR = 75.0

Entry = TypeVar("Entry", bound=tuple[Any, ...])


class Suggestion(msgspec.Struct, frozen=True):
    """`text` to stand in place of the last `replaces` characters before the cursor."""

    text: str
    replaces: int
    kind: str


class Suggestible:
    """Everything that can be suggested: names by kind, the likeliest kind first, and phrasings.

    Names are found from the beginning of each of their words: "ham s" finds "bean and ham soup".
    """

    def __init__(self, names: dict[str, Iterable[str]], phrasings: Iterable[str] = ()) -> None:
        self._kinds: dict[str, str] = {}
        for kind, listed in names.items():
            for name in listed:
                self._kinds.setdefault(name, kind)
        self._ranks = {kind: rank for rank, kind in enumerate(names)}
        self._starts = sorted(
            (start, i, name)
            for name in self._kinds
            for i, start in enumerate(_word_starts(name))
            # Nobody looks for cream of tartar from its "of".
            if not i or len(start.split(" ", 1)[0]) >= _SHORTEST
        )
        common = Counter(_opening(phrase) for phrase in phrasings)
        self._phrasings = sorted((phrase.casefold(), phrase) for phrase in common if phrase)
        self._common = common

    def named(self, beginning: str) -> list[tuple[str, str]]:
        """Names with a word that begins so, with their kinds; the likeliest first."""
        found = [
            (self._ranks[self._kinds[name]], i, len(name), name)
            for _, i, name in _beginning(self._starts, beginning)
            if name.casefold() != beginning
        ]
        names = list(dict.fromkeys(name for *_, name in sorted(found)))
        return [(name, self._kinds[name]) for name in names]

    def misspelt(self, beginning: str) -> list[tuple[str, str]]:
        """Names that begin nearly so, the same first letter at least."""
        from rapidfuzz.fuzz import ratio

        near = []
        for start, i, name in _beginning(self._starts, beginning[:1]):
            # A letter left out or doubled makes the right beginning one letter longer.
            cuts = () if i else (start[: len(beginning)], start[: len(beginning) + 1])
            score = max((ratio(beginning, cut) for cut in cuts), default=0.0)
            if score >= _NEAR:
                near.append((-score, len(name), name))
        return [(name, self._kinds[name]) for *_, name in sorted(near)]

    def phrased(self, beginning: str) -> tuple[list[str], list[str]]:
        """Phrasings that go on from here: what many say, the most usual first; what one says."""
        found = [phrase for _, phrase in _beginning(self._phrasings, beginning)]
        longer = [phrase for phrase in found if len(phrase.rstrip()) > len(beginning)]
        longer.sort(key=lambda phrase: (-self._common[phrase], len(phrase), phrase))
        usual = [phrase for phrase in longer if self._common[phrase] > 1]
        return usual, longer[len(usual) :]


def suggest(text: str, cursor: int, known: Suggestible, most: int = 8) -> list[Suggestion]:
    """What may come next at the cursor; the longest run of words that begins a name wins."""
    before = text[:cursor].split("\n")[-1]
    typed = before.lstrip()
    found: dict[str, Suggestion] = {}
    usual, rare = known.phrased(typed.casefold()) if len(typed) >= _FEWEST else ([], [])
    _add_phrases(found, typed, usual[: most // 2])
    for beginning in _last_words(typed):
        for name, kind in known.named(beginning.casefold()):
            found.setdefault(name, Suggestion(name, len(beginning), kind))
    _add_phrases(found, typed, rare)
    if not found:
        for beginning in _last_words(typed):
            if len(beginning) >= _FUZZY:
                for name, kind in known.misspelt(beginning.casefold()):
                    found.setdefault(name, Suggestion(name, len(beginning), kind))
    return list(found.values())[:most]


def _add_phrases(found: dict[str, Suggestion], typed: str, phrases: Iterable[str]) -> None:
    """Adds phrasings that go on from what was typed, which stays as it stands there."""
    for phrase in phrases:
        whole = typed + phrase[len(typed.casefold()) :]
        found.setdefault(phrase, Suggestion(whole, len(typed), "phrase"))


def _last_words(typed: str) -> Iterator[str]:
    """The last five words before the cursor, the last four, … the last one."""
    starts = [i for i in range(len(typed)) if typed[i] != " " and (not i or typed[i - 1] == " ")]
    for start in starts[-_LONGEST:]:
        last = typed[start:]
        if len(last) >= _FEWEST and (" " in last.rstrip() or not last.endswith(" ")):
            yield last


def _word_starts(name: str) -> list[str]:
    words = name.casefold().split()
    return [" ".join(words[i:]) for i in range(len(words))]


def _opening(phrase: str) -> str:
    """A phrasing up to the first thing it leaves open."""
    return phrase.split("{", 1)[0]


def _beginning(entries: Sequence[Entry], beginning: str) -> Iterator[Entry]:
    """The entries of a sorted list whose text, the first part, begins so."""
    at = bisect_left(entries, beginning, key=_text)
    while at < len(entries) and _text(entries[at]).startswith(beginning):
        yield entries[at]
        at += 1


def _text(entry: tuple[Any, ...]) -> str:
    return str(entry[0])

"""Putting misspelt words right, word by word, before anything is looked up.

A word that any table knows is never touched ("malt" stays malt beside "salt"). An unknown one is
respelt to the nearest known word, if one is near enough; the reading then says so.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from copy import copy
from functools import cached_property
from itertools import groupby
from math import log2
from os.path import commonprefix

from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import unit_at
from helper.kitchen.units import spellings
from helper.kitchen.words import Word, singular
from helper.reading.spans import Span
from helper.reading.vocabulary import english, meanings, phrase_from, spelt

# Words as long as this may differ by so many edits (insert, drop, change, swap of neighbours).
_EDITS = ((4, 1), (99, 2))
# A name this short that differs by two edits must still have the same consonants.
_SHORT_NAME = 6
# What a name that stands in very many names gains on one that stands in few.
_USUAL = 0.12
# What a name must be nearer than an everyday word.
_NAME = 0.1
# How much commoner a word must be than another word of the language to be what that was a slip for.
_COMMONER = 3
# A word behind another of the same sentence.
_WITHIN = re.compile(r"(?<=[\w,;] )([^\W\d_]+)")
_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
# Letters two words have in common, in per cent, from which one is shown as a possible name.
_LIKE = 72.0


class Speller:
    """Knows a set of well-spelt words and finds the nearest for another.

    `common` words win over `names` when both are equally near, and a word of many names over a
    word of few (`usual` counts them). `strange` words are spelt right too, but no misspelling is
    ever taken for one of them. `is_food` tells whether words (singular, one blank between) name a
    food, so that a name written in one word or in two can be cut as the tables cut it; `pairs`
    gives the words that stand side by side in names, so that one can help to tell the other;
    `called` are those of people and shops.
    """

    def __init__(
        self,
        common: Collection[str],
        names: Collection[str],
        strange: Collection[str] = (),
        usual: Mapping[str, int] | None = None,
        is_food: Callable[[str], bool] = bool,
        pairs: Callable[[], Iterable[tuple[str, str]]] = tuple,
        called: Collection[str] = (),
    ) -> None:
        self.common = frozenset(common)
        self._named = frozenset(names)
        self.names = self._named - self.common
        self.strange = frozenset(strange)
        self._is_food = is_food
        self._pairs = pairs
        self._usual = usual or {}
        self._called = frozenset(called)
        plurals = {_plural(name) for name in names} - self.common
        self._lists = (sorted(self.common), sorted(self.names | plurals))
        self._known: dict[str, str | None] = {}

    def with_strange(self, words: Iterable[str]) -> Speller:
        """The same speller with some words more that are spelt right and nothing is taken for."""
        more = copy(self)
        more.strange = self.strange.union(words)
        return more

    def knows(self, word: str) -> bool:
        """True for words that are spelt right."""
        return word in self.common or word in self.names or word in self.strange

    def knows_word(self, word: Word) -> bool:
        """True for words spelt right as they stand or in the singular.

        Words of two letters are abbreviations and have no plural: "egs" is no "e.g."
        """
        return self.knows(word.text) or (len(word.key) > 2 and self.knows(word.key))

    def apart(self, word: str) -> tuple[str, str] | None:
        """The two words of a food's name that an unknown word runs together: "kidneybean"."""
        for at in range(3, len(word) - 2):
            if self._is_food(f"{word[:at]} {word[at:]}"):
                return word[:at], word[at:]
        return None

    def together(self, first: Word, second: Word) -> str | None:
        """The food's name that two words are one of: "corn meal", "pea nut".

        Two foods stay two ("butter milk" may be a list), unless the second names hardly a food.
        """
        one = first.text + second.key
        if min(len(first.text), len(second.text)) < 3 or not self._is_food(one):
            return None
        if first.text in self.common and second.text in self.common:
            return None
        if self._is_food(f"{first.key} {second.key}"):
            return None
        both = self._is_food(first.key) and self._is_food(second.key)
        return None if both and (second.key,) not in meanings("second_half") else one

    @cached_property
    def _beside(self) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
        """The words that stand before a word in names, and those that stand behind it."""
        before: dict[str, set[str]] = defaultdict(set)
        behind: dict[str, set[str]] = defaultdict(set)
        for first, second in self._pairs():
            before[second].add(first)
            behind[first].add(second)
        return before, behind

    def nearest_beside(self, word: Word, before: Word | None, behind: Word | None) -> str | None:
        """The word of a food's name that an unknown one is, told by the word beside it.

        "Butter beas" are beans, "minecd beef" is minced.
        """
        from rapidfuzz.distance import OSA

        if len(word.text) < 3 or not word.text.isalpha():
            return None
        ahead, after = self._beside
        choices = set[str]()
        if before is not None:
            choices |= after.get(before.key, set())
        if behind is not None:
            choices |= ahead.get(self._put_right(behind), set())
        most = 1 if len(word.text) <= 5 else 2
        best: tuple[int, bool, int, str] | None = None
        for choice in choices:
            if abs(len(choice) - len(word.text)) > most + 1 or len(choice) < 3:
                continue
            forms = ((word.key, choice), (word.text, choice), (word.text, _plural(choice)))
            distance = min(OSA.distance(typed, form) for typed, form in forms)
            otherwise = choice[0] != word.text[0]
            if distance <= most and not (distance > 1 and otherwise):
                rated = (distance, otherwise, -self._usual.get(choice, 0), choice)
                best = rated if best is None else min(best, rated)
        return best[3] if best else None

    def _put_right(self, word: Word) -> str:
        """The word as tables have it, where it is misspelt itself: "sory suace"."""
        if not word.is_name or self.knows_word(word):
            return word.key
        return singular(self.nearest(word.text) or word.key)

    def between(self, before: Word | None, word: Word, behind: Word | None) -> str | None:
        """The word of a name that another word was a slip for, told by both words around it.

        "Black been tacos" are of beans.
        """
        if before is None or behind is None or len(word.text) < 4 or word.key in self._named:
            return None
        small = meanings("small")
        if (before.key,) in small or (behind.key,) in small:
            return None  # they stand in names, and beside every other word as well
        if before.key not in self._named or behind.key not in self._named:
            return None  # looked at first: to know the words side by side takes a moment
        ahead, after = self._beside
        around = after.get(before.key, set()) & ahead.get(behind.key, set())
        if not around:
            return None
        from rapidfuzz.distance import OSA

        fits = [one for one in around if len(one) > 3 and OSA.distance(word.key, one) == 1]
        return min(fits, default=None)

    def is_like_name(self, word: str, taken: str | None) -> bool:
        """True where a name looks like a word, and as much as what the word was `taken` for."""
        from rapidfuzz import fuzz
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extractOne

        if len(word) < 4 or not word.isalpha():
            return False
        names = self._lists[1]
        if taken is not None:
            edits = OSA.distance(word, taken)
            near = extractOne(word, names, scorer=OSA.distance, score_cutoff=edits)
            return near is not None and near[0][0] == word[0]
        like = extractOne(word, names, scorer=fuzz.ratio, score_cutoff=_LIKE)
        return like is not None and like[0][0] == word[0]

    def is_called(self, word: str) -> bool:
        """True for a word of somebody's or some shop's name."""
        return word in self._called

    def is_english(self, word: str, instead: str | None = None) -> bool:
        """True for a word of the language, be it in no table: a "tribe" is no tripe.

        False where it may be a slip for another that is far commoner and one edit away ("bred").
        """
        places = english()
        place = places.get(word, places.get(singular(word)))
        if place is None or instead is None:
            return place is not None
        from rapidfuzz.distance import OSA

        usual = min(places.get(form, len(places)) for form in (instead, singular(instead)))
        return usual * _COMMONER > place or OSA.distance(word, instead) > 1

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
        for bonus, choices in zip((0.0, _NAME), self._lists, strict=True):
            for choice, distance, _ in extract(
                word, choices, scorer=OSA.distance, score_cutoff=edits, limit=12
            ):
                if not _plausible(word, choice) or (
                    bonus and distance > 1 and not _sounds_like(word, choice)
                ):
                    continue
                cost = distance + bonus
                cost -= min(_USUAL, _USUAL * log2(1 + self._usual.get(choice, 0)) / 6)
                cost -= 0.1 * _neighbouring_key(word, choice)
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


def _plural(name: str) -> str:
    """The plural as it is spelt: berries, peaches, beans."""
    if name.endswith("y") and name[-2:-1] not in "aeiou":
        return f"{name[:-1]}ies"
    return f"{name}es" if name.endswith(("s", "x", "z", "ch", "sh", "o")) else f"{name}s"


def _neighbouring_key(word: str, choice: str) -> bool:
    """One letter differs, and its key lies beside the right one in the same row."""
    apart = [(a, b) for a, b in zip(word, choice, strict=False) if a != b]
    if len(word) != len(choice) or len(apart) != 1:
        return False
    a, b = apart[0]
    return any(a in row and b in row and abs(row.index(a) - row.index(b)) == 1 for row in _KEYS)


def _undoubled(word: str) -> str:
    """The word with doubled letters written once: the commonest slip of all."""
    return "".join(letter for letter, _ in groupby(word))


def not_taken(
    found: Sequence[Word], changed: Mapping[int, str], spans: Sequence[Span], speller: Speller
) -> tuple[str, ...]:
    """Words that look like a name and went into nothing: to be shown, not passed over.

    `found` and `changed` are what `respelt` gives. A word put right to an everyday one counts
    where a name is as near and nothing else that is eaten was named.
    """
    named = {i for span in spans for i in range(span.start, span.end)}
    eaten = any(span.kind in ("food", "without", "recipe") for span in spans)
    out = []
    for i, word in enumerate(found):
        passed = i in named or not word.is_name
        if i in changed:
            typed, taken = changed[i], word.text
            passed = passed or eaten
        else:
            typed, taken = word.text, None
            passed = passed or speller.knows_word(word) or speller.is_english(typed)
        if not passed and speller.is_like_name(typed, taken):
            out.append(typed)
    return tuple(out)


def _sounds_like(word: str, choice: str) -> bool:
    """Short names keep their consonants when they are misspelt twice: "staton" is no stilton."""
    if len(word) > _SHORT_NAME or sorted(word) == sorted(choice):
        return True
    return _consonants(word) == _consonants(choice)


def _consonants(word: str) -> str:
    return _undoubled("".join(letter for letter in word if letter not in "aeiouy"))


def capitals(said: str) -> frozenset[str]:
    """The words written with a capital within a sentence: most likely names.

    None where most words are written so, or all in capitals.
    """
    within = [hit[1] for hit in _WITHIN.finditer(said)]
    named = [word for word in within if word[0].isupper() and word[1:].islower()]
    return frozenset(map(str.casefold, named if 2 * len(named) < len(within) else ()))


def respelt(
    found: Sequence[Word], speller: Speller, capitals: Collection[str] = ()
) -> tuple[list[Word], dict[int, str]]:
    """The words with misspelt ones put right, and what stood there before, by index.

    `capitals` are strange words that may be names: only of somebody known are they a misspelling.
    Shorthand is written out ("mac n cheese"), and a name written in one word is cut as the tables
    cut it, or the other way round ("kidneybeans", "butter nut"); neither counts as misspelt.
    """
    out: list[Word] = []
    changed: dict[int, str] = {}
    at = 0
    while at < len(found):
        word = found[at]
        at += 1
        if word.text == "4" and at < len(found) and found[at].text in spelt("for_before"):
            out.append(_instead(word, "for"))  # "what's 4 dinner"
            continue
        if not word.is_name:
            out.append(word)
            continue
        after = found[at] if at < len(found) else None
        if after is not None and after.is_name and (one := speller.together(word, after)):
            out.append(Word(one, singular(one), word.start, after.end))
            at += 1
            continue
        if (full := spelt("shorthand").get(word.text)) and not (after and after.text == "/"):
            out += [_instead(word, part) for part in full.split()]
        elif (meant := spelt("sounds_like").get(word.text)) and _awaits_food(found, at - 1):
            changed[len(out)] = word.text
            out.append(_instead(word, meant))
        elif meant := speller.between(out[-1] if out else None, word, after):
            changed[len(out)] = word.text
            out.append(_instead(word, meant))
        elif speller.knows_word(word) or _is_somebody(found, at - 1) or _is_measure(found, at - 1):
            out.append(word)
        elif parts := speller.apart(word.key):
            out += [_instead(word, part) for part in parts]
        elif (
            nearest := (
                speller.nearest_beside(word, out[-1] if out else None, after)
                or speller.nearest(word.text.removesuffix("'s"))
            )
        ) and not (
            speller.is_english(word.text, nearest)
            or (word.text in capitals and not speller.is_called(nearest))
        ):
            changed[len(out)] = word.text
            out.append(_instead(word, nearest))
        else:
            out.append(word)
    return out, changed


def _awaits_food(found: Sequence[Word], at: int) -> bool:
    """ "2 lb of flower": a food stands behind an amount, and behind "no" at a sentence's end."""
    before = at - 1
    while before >= 0 and found[before].text == "of":
        before -= 1
    if before < 0:
        return False
    if unit_at(list(found), before) is not None or found[before].text[0].isdigit():
        return True
    follows = at + 1 < len(found) and found[at + 1].is_name
    return (found[before].key,) in meanings("before_food") and not follows


def _is_somebody(found: Sequence[Word], at: int) -> bool:
    """ "Bertil can't eat fish": only people hate, or are allergic; a strange word there is a name.

    Taken for a food it would be something that another is to keep away from.
    """
    return phrase_from(found, at + 1, "only_people") is not None


def _is_measure(found: Sequence[Word], at: int) -> bool:
    """ "3 glorps of rice": a strange word between a number and "of" is some measure, no food.

    A unit that is misspelt is still put right.
    """
    counted = at > 0 and read_number(list(found), at - 1) is not None
    if not counted or at + 2 >= len(found) or found[at + 1].text != "of":
        return False
    from rapidfuzz.distance import OSA

    return all(OSA.distance(found[at].text, unit, score_cutoff=2) > 2 for unit in spellings())


def _instead(word: Word, meant: str) -> Word:
    """The word that is meant; a plural stays one ("pepers" are peppers, and no pepper)."""
    if word.text.endswith("s") and not meant.endswith("s") and singular(_plural(meant)) == meant:
        return Word(_plural(meant), meant, word.start, word.end)
    return Word(meant, singular(meant), word.start, word.end)

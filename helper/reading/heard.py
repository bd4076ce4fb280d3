"""A sentence taken apart, and whether it can only go on from another."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Sequence

import msgspec
from msgspec.structs import replace

from helper.kitchen.quantities import line_words
from helper.kitchen.words import Word
from helper.reading.reading import Evidence
from helper.reading.skeleton import skeleton
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, holds_phrase, meanings, phrase_from

# Small words around the names of a follow-up: "no, what about the other ones, please".
_SMALL = (
    "link", "linking", "slip", "correction", "polite", "manners", "more", "one", "aside",
    "announce", "batch", "making", "person_pronoun", "hedging",
    "so_much", "alike",
)  # fmt: skip

_STOPS = (".", ",", ";", "-", "!")


class Heard(msgspec.Struct, frozen=True):
    """A sentence taken apart: its words, what they name, and the skeleton that is left."""

    said: str
    found: list[Word]
    spans: list[Span]
    tokens: list[str]
    today: dt.date
    evidence: tuple[Evidence, ...] = ()

    def has(self, *kinds: str) -> bool:
        """True where something of one of these kinds is named."""
        return any(span.kind in kinds for span in self.spans)

    def says(self, kind: str) -> bool:
        """True where a phrase of that kind of the vocabulary is said anywhere."""
        return holds_phrase(self.found, kind)

    def opens(self, kind: str) -> tuple[str, int] | None:
        """The phrase of that kind the sentence begins with, signs and manners passed over."""
        at = 0
        while at < len(self.found):
            hit = phrase_from(self.found, at, kind)
            if hit is not None:
                return hit
            polite = phrase_from(self.found, at, "manners")
            if polite is None and self.found[at].text[0].isalnum():
                return None
            at = polite[1] if polite else at + 1
        return None

    def head(self) -> Heard | None:
        """What stands before the first stop or "please", by itself; None where nothing follows it.

        The rest may be told in passing: "no, 8. One was behind the milk", "three, Ben was out".
        """
        for at, word in enumerate(self.found):
            stops = word.text in _STOPS or phrase_from(self.found, at, "manners") is not None
            if not stops or not any(s.end <= at for s in self.spans):
                continue
            if any(s.start < at < s.end for s in self.spans) or at + 1 >= len(self.found):
                continue
            return self._until(at)
        return None

    def without_in_it(self) -> Heard:
        """ "No rice with it", "nothing with tuna in it": the last two words say nothing more."""
        ends = {s.end for s in self.spans if s.kind in ("without", "diet", "food")}
        idle = next(
            (
                s
                for s in self.spans
                if s.kind == "pronoun" and s.start - 1 in ends and s.length == 1
                and is_small(self.found[s.start - 1], "beside_it")
            ),
            None,
        )  # fmt: skip
        if idle is None:
            return self
        found = [*self.found[: idle.start - 1], *self.found[idle.end :]]
        spans = [
            s if s.end < idle.start else replace(s, start=s.start - 2, end=s.end - 2)
            for s in self.spans
            if s is not idle
        ]
        return replace(self, found=found, spans=spans, tokens=skeleton(found, spans))

    def without_reason(self) -> Heard:
        """The sentence up to "because" and the like, which only tell why."""
        cuts = [at for at in range(1, len(self.found)) if phrase_from(self.found, at, "reason")]
        if not cuts or not any(s.end <= cuts[0] for s in self.spans):
            return self
        return self._until(cuts[0])

    def _until(self, end: int) -> Heard:
        found, spans = self.found[:end], [s for s in self.spans if s.end <= end]
        return replace(self, found=found, spans=spans, tokens=skeleton(found, spans))

    def is_whole(self, kind: str) -> bool:
        """True where all that was said is phrases of that kind, one after the other."""
        said = any(word.text[0].isalnum() for word in self.found)
        return said and self.is_all(0, kind)

    def is_all(self, at: int, *kinds: str) -> bool:
        """True where from word `at` on there are only phrases of these kinds, and signs."""
        while at < len(self.found):
            ends = [hit[1] for kind in kinds if (hit := phrase_from(self.found, at, kind))]
            if not ends and self.found[at].text[0].isalnum():
                return False
            at = max(ends, default=at + 1)
        return True

    @property
    def asks(self) -> bool:
        """True where it ends as a question."""
        return bool(self.found) and self.found[-1].text == "?"

    def left(
        self, kinds: Container[str] = (), after: int = 0, besides: tuple[str, ...] = ()
    ) -> list[Word]:
        """Words that name nothing and are no small words; spans of `kinds` count as words.

        Only those from word `after` on, where the first are known for what they are; phrases of
        the kinds `besides` count as small words too.
        """
        taken = {i for s in self.spans if s.kind not in kinds for i in range(s.start, s.end)}
        out: list[Word] = []
        small = (*_SMALL, *besides)
        at = after
        while at < len(self.found):
            if at in taken or not self.found[at].text[0].isalnum():
                at += 1
                continue
            ends = [hit[1] for kind in small if (hit := phrase_from(self.found, at, kind))]
            if not ends:
                out.append(self.found[at])
            at = max(ends, default=at + 1)
        return out

    @property
    def bare(self) -> bool:
        """True where it holds nothing but names, sums and small words: no request of its own."""
        forms = line_words("form")
        rest = [word for word in self.left() if (word.key,) not in forms]
        return bool(self.spans or self.form()) and not rest

    @property
    def names_only(self) -> bool:
        """True where no word stands beside what is named but "and", "too" and the like."""
        at = 0
        taken = {i for s in self.spans for i in range(s.start, s.end)}
        while at < len(self.found):
            kinds = ("small", "link", "more", "manners", "filler")
            ends = [hit[1] for kind in kinds if (hit := phrase_from(self.found, at, kind))]
            if at not in taken and self.found[at].text[0].isalnum() and not ends:
                return False
            at = at + 1 if at in taken else max(ends, default=at + 1)
        return True

    def form(self) -> str | None:
        """The last form of a food that is said without the food: "the tinned ones"."""
        table = line_words("form")
        taken = {i for s in self.spans if s.kind == "food" for i in range(s.start, s.end)}
        forms = [
            table[(word.key,)]
            for i, word in enumerate(self.found)
            if (word.key,) in table and i not in taken
        ]
        return forms[-1] if forms else None

    def only_number(self) -> int | None:
        """The whole number that is all that was said."""
        names = [word for word in self.found if word.text[0].isalnum()]
        return int(names[0].text) if len(names) == 1 and names[0].text.isdigit() else None


def asks_by_tag(found: Sequence[Word]) -> bool:
    """ "It won't hurt him, will it": a statement that ends in a question; not "so is he"."""
    for at in range(1, len(found)):
        hit = phrase_from(found, at, "tag_question")
        ends = hit is not None and (hit[1] == len(found) or not found[hit[1]].text[0].isalnum())
        if ends and not ended_by(found, at, "same_before"):
            return True
    return False


def is_small(word: Word, *kinds: str) -> bool:
    """True for a word that is a whole phrase of one of these kinds by itself."""
    return any((word.key,) in meanings(kind) for kind in kinds)

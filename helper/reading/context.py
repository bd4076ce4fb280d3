"""What a conversation has just been about, so that "it", "the second one", "and for 8?" mean it."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from helper.reading.reading import Reading


class Context(msgspec.Struct, frozen=True):
    """The talk so far, as far as it matters to the next sentence.

    `last` is the last request understood, `earlier` the one before it; `recipes`, `foods`,
    `people` what was last spoken of; `offered` the list last shown, in its order, for ordinals,
    and `fresh` whether the last answer showed it; `asking` a reading that waits for an answer to
    its question; `changed` whether the last request was carried out and changed the books.
    """

    last: Reading | None = None
    recipes: tuple[str, ...] = ()
    foods: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    offered: tuple[str, ...] = ()
    asking: Reading | None = None
    earlier: Reading | None = None
    fresh: bool = False
    changed: bool = False

    @property
    def open(self) -> Reading | None:
        """The request a follow-up goes on from: the one that waits for an answer, or the last.

        Where it was asked which of two things is meant, nothing is known yet to go on from.
        """
        asking = self.asking
        if asking is None or asking.act is None or asking.question is None:
            return self.last
        if asking.question.about == "act":
            return self.last
        return replace(asking, question=None)

    def dishes(self, base: Reading) -> tuple[str, ...]:
        """The dishes of a request; those spoken of before where it names no food either."""
        return base.recipes or (() if base.foods else self.recipes)

    @property
    def done(self) -> bool:
        """True where the open request has changed the books already."""
        return self.changed and self.asking is None

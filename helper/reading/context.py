"""What a conversation has just been about, so that "it", "the second one", "and for 8?" mean it."""

from __future__ import annotations

import msgspec

from helper.reading.reading import Reading


class Context(msgspec.Struct, frozen=True):
    """The talk so far, as far as it matters to the next sentence.

    `last` is the last request understood; `recipes`, `foods`, `people` what was last spoken of;
    `offered` the list last shown, in its order, for ordinals; `asking` a reading that waits for
    an answer to its question.
    """

    last: Reading | None = None
    recipes: tuple[str, ...] = ()
    foods: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    offered: tuple[str, ...] = ()
    asking: Reading | None = None

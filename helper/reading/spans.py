"""A span: some words of a request that name one thing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec


class Span(msgspec.Struct, frozen=True):
    """Words `start` to before `end` name a thing of a `kind`; `value` is what they mean.

    `certain` False: the words had to be respelt. `rivals` are the other things the same
    words may name (the foods, where a dish is named by them); the act decides between them.
    `whole` is set where the words are a recipe's full title: then the title wins. `also` are
    further things the same words say: "monday to friday" five days and the day they begin.
    """

    kind: str
    start: int
    end: int
    value: Any
    certain: bool = True
    rivals: tuple[Span, ...] = ()
    whole: bool = False
    also: tuple[Span, ...] = ()

    @property
    def length(self) -> int:
        """How many words it covers."""
        return self.end - self.start


def choose(spans: Iterable[Span], order: tuple[str, ...]) -> list[Span]:
    """The longest spans that do not overlap; of equally long ones the kind first in `order`."""
    rank = {kind: i for i, kind in enumerate(order)}
    chosen: list[Span] = []
    taken: set[int] = set()
    for span in sorted(spans, key=lambda s: (-s.length, rank.get(s.kind, 99), s.start)):
        if taken.isdisjoint(range(span.start, span.end)):
            chosen.append(span)
            taken.update(range(span.start, span.end))
    return sorted(chosen, key=lambda span: span.start)

"""Foods said no to: "without onions", "no fish or nuts", "anything but ham"."""

from __future__ import annotations

from collections.abc import Sequence

from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from, spelt


def negated(found: Sequence[Word], spans: list[Span]) -> list[Span]:
    """Turns foods that stand behind "without", "no", "anything but" into `without` spans."""
    out: list[Span] = []
    starts = {span.start: span for span in spans}
    small = meanings("small")
    at = 0
    while at < len(found):
        span = starts.get(at)
        if span is not None:
            out.append(span)
            at = span.end
            continue
        hit = phrase_from(found, at, "without")
        if hit and found[at].text in spelt("no_without"):
            hit = None
        ahead = hit[1] if hit else 0
        while hit and ahead < len(found) and (found[ahead].key,) in small and ahead not in starts:
            if phrase_from(found, ahead, "purpose"):
                break  # "what I don't have for the stew"
            ahead += 1
        if hit and ahead in starts and starts[ahead].kind in ("food", "diet", "recipe"):
            at = _negate_list(found, starts, at, ahead, out)
            continue
        at += 1
    return out


def _negate_list(
    found: Sequence[Word], starts: dict[int, Span], at: int, ahead: int, out: list[Span]
) -> int:
    """A list of foods behind a negation: "no fish or onions" leaves both out."""
    first = at
    while ahead in starts and starts[ahead].kind in ("food", "diet", "recipe"):
        span = starts[ahead]
        parts = span.rivals if span.kind == "recipe" and span.rivals else (span,)
        for part, end in zip(parts, [*(one.end for one in parts[:-1]), span.end], strict=True):
            kind = "without" if part.kind == "food" else part.kind
            if end > first:  # a name inside the name before it has no place of its own
                out.append(Span(kind, first, end, part.value, part.certain))
                first = end
        after = span.end
        while after < len(found) and found[after].text in ("or", ",", "and", "nor"):
            after += 1
        if after == span.end:
            return after
        ahead = after
        if ahead not in starts:
            return span.end
    return ahead

"""Foods said no to: "without onions", "no fish or nuts", "anything but ham"."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from, spelt

_JOINTS = ("or", ",", "and", "nor")  # between the foods of a list


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
        left_out = _left_out(found, starts, at) if hit is None else None
        if left_out:
            hit = phrase_from(found, at, "left_out")
        if hit and found[at].text in spelt("no_without"):
            hit = None
        ahead = hit[1] if hit else 0
        while hit and ahead < len(found) and (found[ahead].key,) in small and ahead not in starts:
            if phrase_from(found, ahead, "purpose"):
                break  # "what I don't have for the stew"
            ahead += 1
        if hit and ahead in starts and starts[ahead].kind in ("food", "diet", "recipe"):
            at = _negate_list(found, starts, at, ahead, out)
            if left_out:
                out[-1] = replace(out[-1], end=left_out)
                at = left_out
            continue
        at += 1
    return out


def _left_out(found: Sequence[Word], starts: dict[int, Span], at: int) -> int | None:
    """ "Leave the ham alone", "leaving the peas and beans out of it": where that ends.

    "Can I leave butter out" asks how it keeps, and leaves nothing out.
    """
    hit = phrase_from(found, at, "left_out")
    asks = phrase_from(found, 0, "questioning") and not phrase_from(found, 0, "link")
    if hit is None or asks:
        return None
    ahead, named = hit[1], False
    while ahead < len(found):
        span = starts.get(ahead)
        if span is not None and span.kind in ("food", "recipe"):
            ahead, named = span.end, True
        elif (found[ahead].key,) in meanings("small") or found[ahead].text in _JOINTS:
            ahead += 1
        else:
            break
    hits = [phrase_from(found, at, "left_out_end") for at in (ahead - 1, ahead)]
    end = max((one[1] for one in hits if one is not None), default=0)
    if not named or not end or ahead < hit[1]:
        return None
    closed = end >= len(found) or not found[end].text[0].isalnum()
    return end if closed or phrase_from(found, end, "polite") else None


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
        while after < len(found) and found[after].text in _JOINTS:
            after += 1
        if after == span.end:
            return after
        ahead = after
        if ahead not in starts:
            return span.end
    return ahead

"""What is left of a request when everything it names is replaced by its kind.

"what can I make with beans and ham" → what can i make with <food>. Requests and example phrases
go through the same function, so they meet on equal terms. The skeleton is compared by features:
its words, its pairs of neighbours, and its first word.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from helper.kitchen.words import Word
from helper.reading.names import Names
from helper.reading.phrases import slots_and_words
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from, word_classes

# Sums told by their form alone ("3.60", "under 40") count as money, degrees as any amount.
_SHOWN = {
    "price?": "money",
    "limit?": "money",
    "per": "each",
    "everyone": "person",
    "heat": "amount",
}

SOME_DAY = dt.date(2026, 1, 7)  # examples are read as of any day, always the same
ASKS = "@?"  # the feature of a question mark

# Kinds whose neighbours of the same kind are one list ("beans, ham and rice").
_LISTS = frozenset({"food", "person", "recipe", "without", "diet"})


def skeleton(found: Sequence[Word], spans: Sequence[Span]) -> list[str]:
    """The words of a request with spans as <kind>, signs left out.

    Polite words are left out too, unless nothing else was said ("help me").
    """
    tokens = _bared(found, spans, polite=False)
    return tokens if tokens and tokens != ["?"] else _bared(found, spans, polite=True)


def skeleton_of(example: str, names: Names) -> list[str]:
    """An example goes the way of a request: what it names in plain words is found as there."""
    found, slots = slots_and_words(example)
    return skeleton(found, names.spot(found, SOME_DAY, slots))


def _bared(found: Sequence[Word], spans: Sequence[Span], polite: bool) -> list[str]:
    starts = {span.start: span for span in spans}
    start, end = (0, len(found)) if polite else _within_manners(found, starts)
    tokens: list[str] = []
    at = start
    while at < end:
        span = starts.get(at)
        if span is not None:
            _add_kind(tokens, span, found)
            at = span.end
            continue
        manners = None if polite else phrase_from(found, at, "manners")
        if manners is not None:
            at = manners[1]
            continue
        word = found[at]
        if word.text[0].isalnum():
            tokens.append(word.key if word.is_name else "<number>")
        elif word.text == "?":
            tokens.append("?")
        at += 1
    return tokens


def _within_manners(found: Sequence[Word], starts: dict[int, Span]) -> tuple[int, int]:
    """Where a sentence begins and ends without its polite opening and close."""
    start, end = 0, len(found)
    while start < end and start not in starts:
        hit = phrase_from(found, start, "polite")
        if hit is None and found[start].text[0].isalnum():
            break
        ahead = hit[1] if hit else start + 1
        if any(start < at < ahead for at in starts):
            break
        start = ahead
    ends = {span.end for span in starts.values()}
    while end > start and end not in ends:
        cut = next(
            (
                at
                for at in range(max(start, end - 4), end)
                if (hit := phrase_from(found, at, "polite")) is not None and hit[1] == end
            ),
            None,
        )
        if cut is None or any(cut < edge < end for edge in ends):
            break
        end = cut
    return start, end


def _add_kind(tokens: list[str], span: Span, found: Sequence[Word]) -> None:
    token = f"<{_SHOWN.get(span.kind, span.kind)}>"
    if span.kind in _LISTS and tokens:
        joined = tokens[-1] in ("and", "or", "with", "n", "plus")
        before = tokens[-2] if joined and len(tokens) > 1 else tokens[-1]
        if before == token and tokens[-1] != "or":
            if joined:
                tokens.pop()
            tokens.extend(word for word, _ in _telling(span, found))
            return
    if span.kind == "food" and tokens[-2:] == ["<amount>", "of"]:
        tokens.pop()
    if span.kind == "without" and token not in tokens[-1:]:
        tokens.append(found[span.start].key)  # how it is said no to: "no", "anything but"
    telling = _telling(span, found)
    tokens.extend(word for word, first in telling if first)
    tokens.append(token)
    tokens.extend(word for word, first in telling if not first)
    if span.rivals and span.kind != span.rivals[0].kind and not span.whole:
        # words that may name a dish or a food count as either
        tokens[tokens.index(token)] = f"<{span.kind}|{span.rivals[0].kind}>"


def _telling(span: Span, found: Sequence[Word]) -> list[tuple[str, bool]]:
    """Words inside a name that say what is wanted with it: leftover rice, ham bones."""
    if span.kind not in ("food", "recipe"):
        return []
    first, last = found[span.start].key, found[span.end - 1].key
    telling = meanings("telling")
    out = [(first, True)] if (first,) in telling and span.length > 1 else []
    return out + ([(last, False)] if (last,) in telling else [])


def features(tokens: Sequence[str]) -> set[str]:
    """The features of a skeleton: words, neighbours, the first word, the kinds present."""
    found: set[str] = {ASKS} if "?" in tokens else set()
    plain = [token for token in tokens if token != "?"]
    for readings in _either(plain):
        found.update(readings)
        found.update(f"{a} {b}" for a, b in zip(readings, readings[1:], strict=False))
        if readings:
            found.add(f"^ {readings[0]}")
            found.add(f"{readings[-1]} $")
        for token in readings:
            found.update(word_classes().get(token, ()))
        small = meanings("filler")
        content = [t for t in readings if t[0] == "<" or (t,) not in small]
        found.update(f"{a}~{b}" for a, b in zip(content, content[1:], strict=False))
    return found


def _either(tokens: list[str]) -> list[list[str]]:
    """A skeleton read both ways where words may name a dish or a food."""
    if not any("|" in token for token in tokens):
        return [tokens]
    ways: list[list[str]] = []
    for pick in (0, 1):
        way = []
        for token in tokens:
            if "|" in token:
                token = f"<{token[1:-1].split('|')[pick]}>"
            way.append(token)
        ways.append(way)
    return ways

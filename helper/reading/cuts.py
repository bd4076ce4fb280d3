"""Where a second request begins in a line: "used the last of the butter, | put some on the list".

Learnt from `phrases/two/*.txt`: "act + act: words || words", and from single requests that look
as if they were two. It is told by the words round the place, and by what was said before it. The
same lines show which acts people ask for in one breath.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.words import Word
from helper.reading.names import Names
from helper.reading.phrases import (
    NOTHING,
    read_phrases,
    read_two,
    slots_and_words,
    sources,
)
from helper.reading.skeleton import SOME_DAY
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, word_classes
from helper.reading.weighing import Scales, learnt
from rules.prepared import prepared

_AROUND = 3  # words on either side of the place that are looked at in their order
_AHEAD = 7  # words behind it that are looked at in any order
_SHARE = 8  # of so many single requests one is learnt from: there are enough
_LEAST = 2  # words a request has


class Cut(msgspec.Struct, frozen=True):
    """A place before word `at`, and how likely a request begins there.

    The request before it ends before word `end`; what joins the two stands between.
    """

    at: int
    end: int
    leaning: float


def cuts(found: Sequence[Word], spans: Sequence[Span]) -> list[Cut]:
    """Every place between two words of a line, likeliest first."""
    tokens, starts = _marks(found, spans)
    weighed = scales()
    places = [
        Cut(starts[i], _end(tokens, starts, i), weighed.leaning(_features(tokens, i)))
        for i in _places(tokens)
    ]
    return sorted(places, key=lambda cut: (-cut.leaning, cut.at))


def told_together(first: str, second: str) -> int:
    """How many of the examples hold these two acts, one behind the other."""
    return _pairs().get(first, {}).get(second, 0)


def _places(tokens: Sequence[str]) -> list[int]:
    """Between words: not before a sign, and not where hardly a word is left on one side."""
    said = [i for i, token in enumerate(tokens) if token[0].isalnum() or token[0] == "<"]
    return said[_LEAST : 1 - _LEAST]


def _marks(found: Sequence[Word], spans: Sequence[Span]) -> tuple[list[str], list[int]]:
    """Words and signs in their order, what is named as its kind, and where each begins."""
    begin = {span.start: span for span in spans}
    tokens: list[str] = []
    starts: list[int] = []
    at = 0
    while at < len(found):
        span = begin.get(at)
        word = found[at]
        tokens.append(f"<{span.kind}>" if span else word.key if word.is_name else word.text)
        starts.append(at)
        at = span.end if span else at + 1
    return tokens, starts


def _features(tokens: Sequence[str], at: int) -> list[str]:
    """What tells of a place: words before (-), behind (+), and both together."""
    before = ["^", *tokens[:at]][-_AROUND:]
    behind = [*tokens[at:], "$"][:_AROUND]
    joining = _joining(tokens, at)
    far = tokens[at : at + _AHEAD]
    small = meanings("filler")
    content = [t for t in tokens[:at] if t.isalpha() and (t,) not in small]
    classes = word_classes()
    out = [
        f"joint {joining}",
        f"-{before[-1]}",
        f"-{' '.join(before[-2:])}",
        f"+{behind[0]}",
        f"+{' '.join(behind[:2])}",
        f"+{' '.join(behind)}",
        f"{joining}|{behind[0]}",
        f"{joining}|{' '.join(behind[:2])}",
        f"{before[-1]}|{behind[0]}",
        f"left {min(at, 8) // 2}",
        f"right {min(len(tokens) - at, 8) // 2}",
        f"first {' '.join(tokens[:2])}",
        f"first {tokens[0]}|{behind[0]}",
    ]
    out += [f"++{token}" for token in far]
    out += [f"--{token}" for token in content]
    out += [f"++{one}" for token in far for one in classes.get(token, ())]
    out += [f"--{one}" for token in content for one in classes.get(token, ())]
    out += [f"{joining}|+{one}" for one in classes.get(behind[0], ())]
    out += [f"named {'<' in ''.join(tokens[:at])} {'<' in ''.join(far)}"]
    return out


def _joining(tokens: Sequence[str], at: int) -> str:
    """The signs and joining words just before a place: ", and", ". oh", "so"."""
    out: list[str] = []
    while at > 0 and len(out) < 2 and _joins(tokens[at - 1]):
        at -= 1
        out.insert(0, tokens[at])
    return " ".join(out)


def _end(tokens: Sequence[str], starts: Sequence[int], at: int) -> int:
    """Where the request before a place ends; a question keeps its mark."""
    while at > 1 and _joins(tokens[at - 1]) and tokens[at - 1] != "?":
        at -= 1
    return starts[at]


def _joins(token: str) -> bool:
    """A sign, or a word that stands between two requests and belongs to neither."""
    sign = not token[0].isalnum() and token[0] != "<"
    return sign or (token,) in meanings("between")


@cache
def scales() -> Scales:
    """What was learnt, worked out once."""
    return learnt("cuts", "cuts.py", _examples)


@cache
def _pairs() -> dict[str, dict[str, int]]:
    return prepared("pairs", dict[str, dict[str, int]], sources("cuts.py"), _counted_pairs)


def _counted_pairs() -> dict[str, dict[str, int]]:
    met = Counter(pair for named, _ in read_two() for pair in zip(named, named[1:], strict=False))
    counted: dict[str, dict[str, int]] = {}
    for (first, second), times in sorted(met.items()):
        counted.setdefault(first, {})[second] = times
    return counted


def _examples() -> Iterable[tuple[bool, Sequence[str]]]:
    names = Names(Foods())
    for _, parts in read_two():
        tokens, ends = _example(parts, names)
        for i in _places(tokens):
            yield i in ends, _features(tokens, i)
    for phrase in read_phrases():
        if phrase.act == NOTHING or zlib.crc32(phrase.text.encode()) % _SHARE:
            continue
        tokens, _ = _example([phrase.text], names)
        for i in _places(tokens):
            if _joining(tokens, i):
                yield False, _features(tokens, i)


def _example(parts: Sequence[str], names: Names) -> tuple[list[str], set[int]]:
    """The marks of an example and those of them at which a further request begins."""
    found, slots = slots_and_words(" ".join(parts))
    tokens, starts = _marks(found, names.spot(found, SOME_DAY, slots))
    lengths = [len(slots_and_words(part)[0]) for part in parts]
    begins = {sum(lengths[:i]) for i in range(1, len(parts))}
    return tokens, {i for i, start in enumerate(starts) if start in begins}

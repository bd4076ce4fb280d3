"""A yes or no learnt from labelled examples: how much each feature speaks for yes.

Kept for the next start like the phrasebook; what hardly tells is dropped, so that little is read.
"""

from __future__ import annotations

import math
from array import array
from collections import Counter
from collections.abc import Callable, Iterable, Sequence

import msgspec

from helper.reading.learning import learn
from helper.reading.phrases import sources
from rules.prepared import prepared

_SEEN = 2  # a feature of fewer examples tells nothing of other sentences
_TELLS = 0.004  # nor does a smaller weight
_YES, _NO = "yes", "no"


class Weighing(msgspec.Struct, array_like=True):
    """Features, one a line, and what each weighs for yes (against no, where negative)."""

    features: str
    weights: bytes

    @classmethod
    def of(cls, examples: Iterable[tuple[bool, Sequence[str]]]) -> Weighing:
        """What examples teach: each is its answer and its features."""
        known = list(examples)
        met = Counter(feature for _, features in known for feature in set(features))
        learnt = learn(
            (_YES if yes else _NO, [f for f in set(features) if met[f] >= _SEEN])
            for yes, features in known
        )
        weights = {
            feature: told.get(_YES, 0.0) - told.get(_NO, 0.0) for feature, told in learnt.items()
        }
        kept = sorted(feature for feature, weight in weights.items() if abs(weight) > _TELLS)
        return cls("\n".join(kept), array("f", [weights[feature] for feature in kept]).tobytes())


def learnt(
    name: str, module: str, examples: Callable[[], Iterable[tuple[bool, Sequence[str]]]]
) -> Scales:
    """What the examples of a module of this folder teach, kept under a name."""
    made_by = sources(module, "weighing.py", "learning.py")
    return Scales(prepared(name, Weighing, made_by, lambda: Weighing.of(examples())))


class Scales:
    """Weighs the features of something heard."""

    def __init__(self, weighing: Weighing) -> None:
        numbers = memoryview(weighing.weights).cast("f")
        self._weights = dict(zip(weighing.features.split("\n"), numbers, strict=False))

    def leaning(self, features: Iterable[str]) -> float:
        """0 (surely no) to 1 (surely yes)."""
        total = sum(self._weights.get(feature, 0.0) for feature in set(features))
        return 1 / (1 + math.exp(-1.5 * total))

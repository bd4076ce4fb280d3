"""How near a request comes to the examples of each act.

Two kinds of evidence are added up: the single nearest example, and weights of words and pairs of
words learnt from all examples. Both are worked out from the phrase files alone when these change,
and kept for the next start (`rules.prepared`), so teaching a wording stays one line in a file.
"""

from __future__ import annotations

import heapq
import math
from array import array
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from functools import cache

import msgspec

from helper.kitchen.foods import Foods
from helper.kitchen.words import words
from helper.reading.learning import learn
from helper.reading.names import Names
from helper.reading.packed import Packed, Rows
from helper.reading.phrases import (
    NOTHING,
    SLOT,
    Phrase,
    read_phrases,
    sources,
)
from helper.reading.skeleton import features, skeleton_of
from rules.prepared import prepared

NEAREST, LEARNT = 0.2, 0.8  # shares of the two kinds of evidence
COMMON = 600  # a feature of more examples than this is added up last
CANDIDATES = 400  # examples compared in full
PAIR = 0.8  # what a pair of words weighs beside a single word
STRANGE = 0.5  # what a word no example has takes from the likeness


class Likeness(msgspec.Struct, frozen=True):
    """How near a request comes to an act: 0 to 1, with the nearest example."""

    act: str
    score: float
    nearest: str


class _Examples(msgspec.Struct, array_like=True):
    """All examples made ready, by number: what a start reads at once and takes apart as needed.

    Texts and features stand one a line. A feature's weight is 0 where only what is learnt counts.
    """

    acts: list[str]
    texts: str
    act_of: bytes
    norms: bytes
    features: str
    weights: bytes
    occurs: Packed
    commons: Packed
    told: Packed  # by feature: the acts it speaks for …
    leanings: Packed  # … and how much for each
    vocabulary: list[str]
    strange: list[str]


class Phrasebook:
    """Compares skeletons with all examples."""

    def __init__(self, examples: _Examples) -> None:
        self.acts = tuple(examples.acts)
        self.vocabulary = frozenset(examples.vocabulary)
        self.strange = frozenset(examples.strange) - self.vocabulary
        self._texts = examples.texts.split("\n")
        self._act_of = examples.act_of
        self._norms = memoryview(examples.norms).cast("f")
        self._numbers = {name: i for i, name in enumerate(examples.features.split("\n"))}
        self._weights = memoryview(examples.weights).cast("f")
        self._occurs, self._commons = Rows(examples.occurs), Rows(examples.commons)
        self._told, self._leanings = Rows(examples.told), Rows(examples.leanings)

    @classmethod
    def of(cls, phrases: Iterable[Phrase]) -> Phrasebook:
        """A phrasebook of these examples."""
        return cls(_examples(phrases))

    def compare(self, tokens: Sequence[str]) -> list[Likeness]:
        """How near the skeleton comes to each act, nearest first."""
        found = features(tokens)
        if not found:
            return []
        nearest = self._nearest(found)
        learnt = self._learnt(found)
        scores = []
        for number, act in enumerate(self.acts):
            near, at = nearest.get(number, (0.0, -1))
            leaning = 1 / (1 + math.exp(-1.5 * learnt[number]))
            text = self._texts[at] if at >= 0 else ""
            scores.append(Likeness(act, NEAREST * near + LEARNT * leaning, text))
        scores.sort(key=lambda one: (-one.score, one.act))
        return scores

    def _leaning(self, feature: str) -> Iterable[tuple[int, float]]:
        """The acts a feature speaks for or against, and how much."""
        at = self._numbers.get(feature)
        return () if at is None else zip(self._told[at], self._leanings[at], strict=True)

    def _nearest(self, found: set[str]) -> dict[int, tuple[float, int]]:
        """Cosine likeness to the nearest example of each act, and its number."""
        sums: dict[int, float] = defaultdict(float)
        common: dict[int, float] = {}
        length = 0.0
        for feature in found:
            if feature[0] == "@":
                continue
            number = self._numbers.get(feature)
            if number is None:
                length += STRANGE if _single(feature) else 0.08
                continue
            square = self._weights[number] ** 2
            length += square
            if len(self._occurs[number]) > COMMON:
                common[number] = square
                continue
            for i in self._occurs[number]:
                sums[i] += square
        norm = math.sqrt(length) or 1.0
        best: dict[int, tuple[float, int]] = {}
        for i in self._candidates(sums, common):
            value = sums[i] + sum(common.get(number, 0.0) for number in self._commons[i])
            act = self._act_of[i]
            score = value / (norm * self._norms[i])
            if score > best.get(act, (0.0, -1))[0]:
                best[act] = (score, i)
        return best

    def _candidates(self, sums: dict[int, float], common: dict[int, float]) -> list[int]:
        """The examples worth a full comparison: those with most of the rarer features in common.

        Features that thousands of examples hold tell little and would cost most of the time.
        """
        if not sums:
            return sorted({i for number in common for i in self._occurs[number]})
        return heapq.nlargest(CANDIDATES, sums, key=lambda i: sums[i] / self._norms[i])

    def _learnt(self, found: set[str]) -> list[float]:
        sums = [0.0] * len(self.acts)
        for feature in found:
            for act, weight in self._leaning(feature):
                sums[act] += weight
        return sums


def _single(feature: str) -> bool:
    return " " not in feature and "~" not in feature


def _examples(phrases: Iterable[Phrase]) -> _Examples:
    phrases = list(phrases)
    names = Names(Foods())
    acts = sorted({phrase.act for phrase in phrases})
    found = _without_rare(features(skeleton_of(phrase.text, names)) for phrase in phrases)
    plain = [{feature for feature in one if feature[0] != "@"} for one in found]
    weights = _weights([phrase.act for phrase in phrases], plain)
    every = sorted({feature for one in found for feature in one})
    numbers = {feature: i for i, feature in enumerate(every)}
    occurs: list[list[int]] = [[] for _ in every]
    for i, one in enumerate(plain):
        for feature in sorted(one):
            occurs[numbers[feature]].append(i)
    commons = [sorted(numbers[f] for f in one if len(occurs[numbers[f]]) > COMMON) for one in plain]
    norms = [math.sqrt(sum(weights[f] ** 2 for f in sorted(one))) or 1.0 for one in plain]
    learnt = learn([(phrase.act, one) for phrase, one in zip(phrases, found, strict=True)])
    leaning = [sorted(learnt.get(feature, {}).items()) for feature in every]
    vocabulary = _words_of(phrase for phrase in phrases if phrase.act != NOTHING)
    strange = _words_of(phrase for phrase in phrases if phrase.act == NOTHING)
    return _Examples(
        acts,
        "\n".join(phrase.text for phrase in phrases),
        bytes(acts.index(phrase.act) for phrase in phrases),
        array("f", norms).tobytes(),
        "\n".join(every),
        array("f", [weights.get(feature, 0.0) for feature in every]).tobytes(),
        Packed.of("I", occurs),
        Packed.of("I", commons),
        Packed.of("B", ([acts.index(act) for act, _ in one] for one in leaning)),
        Packed.of("f", ([weight for _, weight in one] for one in leaning)),
        sorted(vocabulary),
        sorted(strange),
    )


def _without_rare(found: Iterable[set[str]]) -> list[set[str]]:
    """Features of the examples, without neighbours that are met once: they tell next to nothing
    of other sentences and would be more than half of all there is to read at a start."""
    every = list(found)
    met = Counter(feature for one in every for feature in one)
    return [{feature for feature in one if met[feature] > 1 or _single(feature)} for one in every]


def _words_of(phrases: Iterable[Phrase]) -> set[str]:
    return {
        form
        for phrase in phrases
        for word in words(SLOT.sub(" ", phrase.text))
        for form in (word.text, word.key)
        if word.is_name
    }


def _weights(acts: Sequence[str], found: Sequence[set[str]]) -> dict[str, float]:
    """A feature's weight: high where it speaks for few acts."""
    total: dict[str, int] = defaultdict(int)
    counts: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for act, one in zip(acts, found, strict=True):
        total[act] += 1
        for feature in one:
            counts[feature][act] += 1
    most = math.log(len(total)) if len(total) > 1 else 1.0
    weights: dict[str, float] = {}
    for feature, by_act in counts.items():
        shares = [count / total[act] for act, count in by_act.items()]
        whole = sum(shares)
        spread = -sum(s / whole * math.log(s / whole) for s in shares)
        weights[feature] = (1.25 - spread / most) * (1.0 if _single(feature) else PAIR)
    return weights


@cache
def phrasebook() -> Phrasebook:
    """The project's own phrases, worked out once."""
    made_by = sources("phrasebook.py", "learning.py", "packed.py")
    return Phrasebook(prepared("phrases", _Examples, made_by, lambda: _examples(read_phrases())))

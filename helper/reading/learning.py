"""Learning from labelled examples how much each feature speaks for each label.

A passive-aggressive perceptron (Crammer et al., Online Passive-Aggressive Algorithms, JMLR 7,
2006), averaged over all steps. The examples are taken in an order that depends on them alone, so
the result does not depend on how files are sorted.
"""

from __future__ import annotations

import zlib
from collections import defaultdict
from collections.abc import Iterable, Sequence

Example = tuple[str, Iterable[str]]
ROUNDS = 6
STEP = 0.2  # the most one example may move the weights


def learn(examples: Iterable[Example]) -> dict[str, dict[str, float]]:
    """Weights by feature, then label: how much the feature speaks for it."""
    ordered = sorted(
        ((label, sorted(features)) for label, features in examples if features), key=_order
    )
    labels = sorted({label for label, _ in ordered})
    weights: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    # Averaging: each change is also summed up times the step it was made at.
    summed: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    step = 1
    for _ in range(ROUNDS):
        for label, features in ordered:
            scores = dict.fromkeys(labels, 0.0)
            for feature in features:
                for other, weight in weights[feature].items():
                    scores[other] += weight
            rival = max((one for one in labels if one != label), key=scores.__getitem__)
            loss = 1 - scores[label] + scores[rival]
            if loss > 0:
                size = min(STEP, loss / (2 * len(features)))
                for feature in features:
                    for one, change in ((label, size), (rival, -size)):
                        weights[feature][one] += change
                        summed[feature][one] += change * step
            step += 1
    return {
        feature: {
            label: round(weight - summed[feature][label] / step, 4)
            for label, weight in by_label.items()
        }
        for feature, by_label in weights.items()
    }


def _order(example: tuple[str, Sequence[str]]) -> int:
    return zlib.crc32(" ".join(example[1]).encode())

"""Learning from labelled examples how much each feature speaks for each label.

A passive-aggressive perceptron (Crammer et al., Online Passive-Aggressive Algorithms, JMLR 7,
2006), averaged over all steps. The examples are taken in an order that depends on them alone, so
the result does not depend on how files are sorted.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Sequence

Example = tuple[str, Iterable[str]]
ROUNDS = 4
STEP = 0.2  # the most one example may move the weights
TELLS = 0.0005  # a smaller weight says nothing


def learn(examples: Iterable[Example]) -> dict[str, dict[str, float]]:
    """Weights by feature, then label: how much the feature speaks for it."""
    import numpy as np  # only where something is learnt, which is seldom

    ordered = sorted(
        ((label, sorted(features)) for label, features in examples if features), key=_order
    )
    labels = sorted({label for label, _ in ordered})
    names = sorted({feature for _, features in ordered for feature in features})
    number = {feature: i for i, feature in enumerate(names)}
    known = [
        (labels.index(label), np.array([number[feature] for feature in features]))
        for label, features in ordered
    ]
    weights = np.zeros((len(names), len(labels)))
    summed = np.zeros_like(weights)  # averaging: each change times the step it was made at
    step = 1
    for _ in range(ROUNDS):
        for label, rows in known:
            scores = weights[rows].sum(axis=0)
            right = scores[label]
            scores[label] = -np.inf
            rival = int(scores.argmax())
            loss = 1 - right + scores[rival]
            if loss > 0:
                size = min(STEP, loss / (2 * len(rows)))
                for one, change in ((label, size), (rival, -size)):
                    weights[rows, one] += change
                    summed[rows, one] += change * step
            step += 1
    average = np.round(weights - summed / step, 4)
    return {
        feature: {labels[i]: float(row[i]) for i in np.flatnonzero(np.abs(row) > TELLS)}
        for feature, row in zip(names, average, strict=True)
    }


def _order(example: tuple[str, Sequence[str]]) -> int:
    return zlib.crc32(" ".join(example[1]).encode())

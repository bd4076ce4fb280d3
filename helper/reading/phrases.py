"""Example phrasings per act, and how near a request comes to them.

`phrases/<act>.txt` holds one wording a line; `{food}`, `{recipe}`, `{person}` … stand for what a
request may name, `(a|b)` for a choice, `[word]` for what may be left out. `phrases/nothing.txt`
holds wordings that must mean nothing. Adding a line teaches the wording.
"""

from __future__ import annotations

import itertools
import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path

import msgspec

from helper.kitchen.words import Word, words
from helper.reading.acts import acts
from helper.reading.skeleton import features, skeleton
from helper.reading.spans import Span

FOLDER = Path(__file__).parent / "phrases"
NOTHING = "nothing"
KINDS = frozenset(
    [
        "food",
        "recipe",
        "person",
        "everyone",
        "diet",
        "amount",
        "money",
        "servings",
        "days",
        "date",
        "minutes",
        "place",
        "without",
        "ordinal",
        "pronoun",
        "number",
        "scale",
        "shop",
        "claim",
    ]
)
_CHOICE = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]")
_SLOT = re.compile(r"\{(\w+)\}")


class PhraseError(ValueError):
    """A line of a phrase file that cannot be used; says file, line and reason."""


class Phrase(msgspec.Struct, frozen=True):
    """One example: its act, its text and where it stands."""

    act: str
    text: str
    where: str


class Likeness(msgspec.Struct, frozen=True):
    """How near a request comes to an act: 0 to 1, with the nearest example."""

    act: str
    score: float
    nearest: str


def expand(line: str) -> Iterator[str]:
    """Every wording a line stands for: choices and options written out."""
    found = _CHOICE.search(line)
    if found is None:
        yield " ".join(line.split())
        return
    options = found[1].split("|") if found[1] is not None else [*found[2].split("|"), ""]
    for option in options:
        yield from expand(line[: found.start()] + option + line[found.end() :])


def read_phrases(folder: Path = FOLDER) -> list[Phrase]:
    """All phrases of a folder, checked: known act, known slots, no wording under two acts."""
    phrases: list[Phrase] = []
    seen: dict[str, Phrase] = {}
    for path in sorted(folder.glob("*.txt")):
        act = path.stem
        if act != NOTHING and act not in acts():
            raise PhraseError(f"{path.name}: there is no act named {act!r}")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            line = line.strip()
            if not line or line.startswith("#"):
                continue
            where = f"{path.name}:{number}"
            for slot in _SLOT.findall(line):
                if slot not in KINDS:
                    raise PhraseError(f"{where}: unknown slot {{{slot}}}")
            for text in itertools.islice(expand(line), 48):
                twin = seen.get(text)
                if twin is not None and twin.act != act:
                    raise PhraseError(f"{where}: {text!r} stands under {twin.where} too")
                if twin is None:
                    seen[text] = Phrase(act, text, where)
                    phrases.append(seen[text])
    return phrases


def phrase_tokens(text: str) -> list[str]:
    """The skeleton of an example phrase: its slots are spans already."""
    found: list[Word] = []
    spans: list[Span] = []
    for i, part in enumerate(_SLOT.split(text)):
        if i % 2:
            kind = "person" if part == "everyone" else part
            spans.append(Span(kind, len(found), len(found) + 1, None))
            found.append(Word(part, part, 0, 0))
        else:
            found.extend(words(part))
    return skeleton(found, spans)


class Phrasebook:
    """Compares skeletons with all examples.

    Two kinds of evidence are added: the single nearest example (cosine over weighted features),
    and how each feature is spread over the acts (naive Bayes). Rare, telling features weigh more.
    """

    def __init__(self, phrases: Iterable[Phrase]) -> None:
        self.phrases = list(phrases)
        self._tokens = [phrase_tokens(phrase.text) for phrase in self.phrases]
        self._features = [features(tokens) for tokens in self._tokens]
        per_act: dict[str, Counter[str]] = defaultdict(Counter)
        self._per_act_total: Counter[str] = Counter()
        for phrase, found in zip(self.phrases, self._features, strict=True):
            per_act[phrase.act].update(found)
            self._per_act_total[phrase.act] += 1
        self._per_act = per_act
        self._weights = self._weigh()
        self._index: dict[str, list[int]] = defaultdict(list)
        self._norms: list[float] = []
        for i, found in enumerate(self._features):
            for feature in found:
                self._index[feature].append(i)
            self._norms.append(math.sqrt(sum(self._weights[f] ** 2 for f in found)) or 1.0)
        self._log = self._bayes()
        self.vocabulary = frozenset(
            form
            for phrase in self.phrases
            for word in words(_SLOT.sub(" ", phrase.text))
            for form in (word.text, word.key)
            if word.is_name
        )

    def _weigh(self) -> dict[str, float]:
        """A feature's weight: high where it speaks for few acts, 0.3 at least."""
        spread: dict[str, dict[str, float]] = defaultdict(dict)
        for act, counts in self._per_act.items():
            for feature, count in counts.items():
                spread[feature][act] = count / self._per_act_total[act]
        weights: dict[str, float] = {}
        most = math.log(len(self._per_act) or 1) or 1.0
        for feature, shares in spread.items():
            total = sum(shares.values())
            entropy = -sum(s / total * math.log(s / total) for s in shares.values())
            weights[feature] = 0.25 + 1.0 - entropy / most
            if " " in feature or "~" in feature:
                weights[feature] *= 0.8
        return weights

    def _bayes(self) -> dict[str, dict[str, float]]:
        """Log P(feature | act) against the average over acts, by feature then act."""
        table: dict[str, dict[str, float]] = {}
        names = list(self._per_act)
        for feature in self._weights:
            rates = {
                act: (self._per_act[act][feature] + 0.15) / (self._per_act_total[act] + 3.0)
                for act in names
            }
            mean = math.log(sum(rates.values()) / len(rates))
            table[feature] = {act: math.log(rate) - mean for act, rate in rates.items()}
        return table

    def compare(self, tokens: Sequence[str]) -> list[Likeness]:
        """How near the skeleton comes to each act, nearest first."""
        found = features(tokens)
        if not found:
            return []
        nearest = self._nearest(found)
        leaning = self._leaning(found)
        scores = []
        for act in self._per_act:
            near, at = nearest.get(act, (0.0, -1))
            score = 0.62 * near + 0.38 * leaning[act]
            scores.append(Likeness(act, score, self.phrases[at].text if at >= 0 else ""))
        scores.sort(key=lambda one: (-one.score, one.act))
        return scores

    def _nearest(self, found: set[str]) -> dict[str, tuple[float, int]]:
        sums: dict[int, float] = defaultdict(float)
        norm = 0.0
        for feature in found:
            weight = self._weights.get(feature)
            if weight is None:
                # a word no example has: it makes the request less like any of them
                norm += 0.5 if " " not in feature and "~" not in feature else 0.08
                continue
            norm += weight * weight
            for i in self._index[feature]:
                sums[i] += weight * weight
        norm = math.sqrt(norm) or 1.0
        best: dict[str, tuple[float, int]] = {}
        for i, value in sums.items():
            act = self.phrases[i].act
            score = value / (norm * self._norms[i])
            if score > best.get(act, (0.0, -1))[0]:
                best[act] = (score, i)
        return best

    def _leaning(self, found: set[str]) -> dict[str, float]:
        logs = dict.fromkeys(self._per_act, 0.0)
        known = [f for f in found if f in self._log]
        for feature in known:
            share = 1.0 if " " not in feature and "~" not in feature else 0.5
            for act, value in self._log[feature].items():
                logs[act] += share * value
        top = max(logs.values())
        heat = max(1.0, len(known) / 6)
        powers = {act: math.exp((value - top) / heat) for act, value in logs.items()}
        total = sum(powers.values())
        return {act: power / total for act, power in powers.items()}


@cache
def phrasebook() -> Phrasebook:
    """The project's own phrases, loaded once."""
    return Phrasebook(read_phrases())

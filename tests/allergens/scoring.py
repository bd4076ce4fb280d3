"""Counting verdicts over labelled recipe lines, each asked as a line and as a bare food.

`lines_look.jsonl` and `lines_measure.jsonl` hold one line each:

    {"line": "2 T soya sauce", "food": "soya sauce", "contains": ["soy", "wheat"], "may": ["fish"],
     "safe": ["milk"]}

`food` is the bare food to ask about (left out where the line names none); the three lists hold
allergen or diet ids, and an id in none of them is not asked about.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.safety import Minded, Safety
from rules.judge import YES

HERE = Path(__file__).parent
LABELS = ("contains", "may", "safe")


class Case(NamedTuple):
    """One line or food held against one id: its label, and the verdict it got."""

    said: str
    avoid: str
    label: str
    verdict: str

    @property
    def missed(self) -> bool:
        """True where something that is or may be in it was cleared."""
        return self.label != "safe" and self.verdict == YES

    @property
    def false_alarm(self) -> bool:
        """True where something plainly safe was not cleared."""
        return self.label == "safe" and self.verdict != YES


class Score:
    """The cases of one part, counted."""

    def __init__(self, cases: list[Case]) -> None:
        self.cases = cases
        self.total = Counter(case.label for case in cases)
        self.missed = Counter(case.label for case in cases if case.missed)
        self.false_alarms = sum(case.false_alarm for case in cases)

    @property
    def caught(self) -> float:
        """Share of "may" cases answered with "check" or stronger."""
        return 1 - self.missed["may"] / max(1, self.total["may"])

    @property
    def alarm_rate(self) -> float:
        """Share of safe cases that were not cleared."""
        return self.false_alarms / max(1, self.total["safe"])

    @property
    def wrong(self) -> list[Case]:
        """Everything that was not answered as labelled."""
        return [case for case in self.cases if case.missed or case.false_alarm]


def score(part: str) -> Score:
    """The part "look" or "measure", every line asked both ways."""
    foods = Foods()
    safety = Safety(foods)
    return Score(list(_cases(HERE / f"lines_{part}.jsonl", foods, safety)))


def _cases(path: Path, foods: Foods, safety: Safety) -> Iterator[Case]:
    for text in path.read_text(encoding="utf-8").splitlines():
        entry = json.loads(text)
        for said in dict.fromkeys((entry["line"], entry.get("food") or entry["line"])):
            things = [safety.thing(line) for line in read_line(said, foods)]
            for label in LABELS:
                for avoid in entry.get(label, ()):
                    yield Case(said, avoid, label, safety.verdict(things, [Minded(avoid)]))

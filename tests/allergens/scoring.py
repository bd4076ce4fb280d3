"""Counting verdicts over labelled recipe lines and bare foods.

`lines_look.csv` and `lines_measure.csv` hold a line each:

    line,contains,may,none_of,kind
    2 T. soya sauce,soy;wheat;gluten,,milk,typo

`contains` is surely in the food, `may` depends on its label or recipe, `none_of` is surely not in
it; an id in none of the three is not counted. Lines of kind `plain` hold none of the allergens at
all, `plain-typo` are such lines with a slip in them: a guessed name never clears anybody, so
these are counted apart.
"""

from __future__ import annotations

import csv
import datetime
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.safety import Minded, Safety
from rules.judge import CHECK, YES

HERE = Path(__file__).parent
TODAY = datetime.date(2026, 3, 4)
ALLERGENS = (
    "milk",
    "egg",
    "fish",
    "crustacean",
    "tree-nut",
    "peanut",
    "wheat",
    "soy",
    "sesame",
    "gluten",
    "celery",
    "mustard",
    "sulphite",
    "lupin",
    "mollusc",
)
# How a person calls those whose id is no kitchen word.
SPOKEN = {"tree-nut": "tree nut", "crustacean": "crab", "mollusc": "shellfish"}
PLAIN, PLAIN_TYPO = "plain", "plain-typo"
ASKED_ALOUD = 60


class Labelled(NamedTuple):
    """One line with what is known of it."""

    line: str
    contains: tuple[str, ...]
    may: tuple[str, ...]
    none_of: tuple[str, ...]
    kind: str


class Case(NamedTuple):
    """One line held against one id: its label, the verdict it got, and the kind of line."""

    said: str
    avoid: str
    label: str
    verdict: str
    kind: str


class Score:
    """The cases of one part, counted."""

    def __init__(self, cases: list[Case]) -> None:
        self.cases = cases
        self.total = Counter(case.label for case in cases)
        self.plain = self._lines(PLAIN)
        self.plain_typos = self._lines(PLAIN_TYPO)

    def _lines(self, kind: str) -> dict[str, bool]:
        """Each line of a kind of plain lines, and whether it was cleared of everything."""
        cleared: dict[str, bool] = {}
        for case in self.cases:
            if case.kind == kind:
                cleared[case.said] = cleared.get(case.said, True) and case.verdict == YES
        return cleared

    def cleared(self, label: str) -> list[Case]:
        """Cases of a label that were answered "yes"."""
        return [case for case in self.cases if case.label == label and case.verdict == YES]

    def alarms(self) -> list[Case]:
        """Cases that are surely safe and were not answered "yes"."""
        return [case for case in self.cases if case.label == "none_of" and case.verdict != YES]

    @property
    def caught(self) -> float:
        """Share of "may" cases answered "check" or stronger."""
        return 1 - len(self.cleared("may")) / max(1, self.total["may"])

    @property
    def plain_alarm_rate(self) -> float:
        """Share of plain lines that were not cleared of every allergen."""
        return sum(not good for good in self.plain.values()) / max(1, len(self.plain))

    @property
    def wrong(self) -> list[Case]:
        """Everything that was not answered as labelled."""
        return [*self.cleared("contains"), *self.cleared("may"), *self.alarms()]


def labelled(part: str) -> list[Labelled]:
    """The lines of a part, "look" or "measure"."""
    with (HERE / f"lines_{part}.csv").open(encoding="utf-8", newline="") as file:
        return [
            Labelled(
                row["line"],
                _ids(row["contains"]),
                _ids(row["may"]),
                _ids(row["none_of"]),
                row["kind"],
            )
            for row in csv.DictReader(file)
        ]


def _ids(listed: str) -> tuple[str, ...]:
    return tuple(filter(None, listed.split(";")))


def score(part: str) -> Score:
    """Every line of a part as a recipe of one line."""
    foods = Foods()
    safety = Safety(foods)

    def ask(entry: Labelled, avoid: str) -> str:
        things = [safety.thing(line) for line in read_line(entry.line, foods)]
        return safety.verdict(things, [Minded(avoid)])

    return Score(list(_cases(labelled(part), ask, ALLERGENS)))


def score_aloud(part: str) -> Score:
    """Bare foods of a part, asked about in plain words; of a plain food one allergen in turn."""
    talk = Conversation(Household.scratch(today=lambda: TODAY), TODAY)

    def ask(entry: Labelled, avoid: str) -> str:
        article = "an" if avoid[0] in "aeiou" else "a"
        who = f"someone with {article} {SPOKEN.get(avoid, avoid)} allergy"
        answer = talk.say(f"is {entry.line} safe for {who}?")
        verdict = answer.reply.get("verdict")
        return str(verdict) if verdict and answer.reading.act == "safe-for" else CHECK

    bare = [entry for entry in labelled(part) if _is_bare(entry)]
    step = max(1, len(bare) // ASKED_ALOUD)
    return Score(list(_cases(bare[::step][:ASKED_ALOUD], ask, ALLERGENS[::4])))


def _is_bare(entry: Labelled) -> bool:
    """True for a food said alone: no amount, no clause behind it."""
    return not any(sign.isdigit() or sign in ",;/()" for sign in entry.line)


def _cases(
    entries: Sequence[Labelled], ask: Callable[[Labelled, str], str], plain: Sequence[str]
) -> Iterator[Case]:
    """Every label of every line, answered; `plain` are the ids asked of plain lines."""
    for entry in entries:
        none_of = plain if entry.kind in (PLAIN, PLAIN_TYPO) else entry.none_of
        for label, ids in (
            ("contains", entry.contains),
            ("may", entry.may),
            ("none_of", none_of),
        ):
            for avoid in ids:
                yield Case(entry.line, avoid, label, ask(entry, avoid), entry.kind)

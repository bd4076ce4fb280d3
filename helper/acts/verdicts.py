"""Verdicts in words: what stands against a dish for somebody, why, and what would help."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from helper.acts.said import table
from helper.acts.swap_words import used
from helper.answers import Because
from helper.kitchen.recipes import Recipe
from helper.kitchen.roles import NOWHERE, surroundings
from helper.kitchen.safety import CHECK, NO, YES, Minded, Safety
from helper.kitchen.swaps import FORM, Swapping
from rules.avoids import avoids
from rules.facts import Fact
from rules.judge import Finding, Thing, Verdict
from rules.labels import labels
from rules.roles import FAILS
from rules.why import Because as Reason

_MOST_SWAPS = 3
_MOST_REASONS = 6
_RELATIONS = {YES: "good-for", CHECK: "to-check-for", NO: "not-for"}
DIET, AVOID, LOOKED_FOR = "diet", "avoid", "looked for"


class Dish(NamedTuple):
    """What is asked about: its name, and the lines it consists of; its recipe, if it is one."""

    name: str
    things: tuple[Thing, ...]
    recipe: Recipe | None = None


class Eater(NamedTuple):
    """Who it is asked for: a person, or a diet or an avoid that stands for anybody.

    `severity` is a row of the table of severities, by which the verdict is worded.
    """

    name: str
    minds: tuple[Minded, ...]
    severity: str = AVOID


class Judged(NamedTuple):
    """One dish judged for one eater."""

    dish: Dish
    eater: Eater
    verdict: Verdict

    @property
    def value(self) -> str:
        """The verdict: "yes", "check" or "no"."""
        return self.verdict.value


def judged(dish: Dish, eater: Eater, safety: Safety) -> Judged:
    """The verdict on a dish for one eater, with all its findings."""
    findings = safety.findings(dish.things, eater.minds)
    value = safety.verdict(dish.things, eater.minds)
    return Judged(dish, eater, Verdict(value, tuple(findings)))


# -- for people ---------------------------------------------------------------------------------


def headline(one: Judged) -> str:
    """The verdict in one sentence, worded after how grave it is for the eater."""
    wording = next(row for row in table("severities") if row["severity"] == one.eater.severity)
    return wording[one.value].format(who=one.eater.name, dish=one.dish.name)


def rows(one: Judged) -> list[tuple[str, str]]:
    """Line and finding of all that stands against it, gravest first; of a "yes", nothing."""
    if one.value == YES:
        return []
    told: dict[str, list[str]] = {}
    for finding in one.verdict.reasons:
        name = _line_name(finding)
        said = told.setdefault(name, [])
        words = finding_words(finding)
        if words not in said:
            said.append(words)
    return [(name, "; ".join(said)) for name, said in told.items()]


def _line_name(finding: Finding) -> str:
    food = finding.part.food or finding.thing.text
    return f"{food} (optional)" if finding.thing.optional else food


def finding_words(finding: Finding) -> str:
    """Why one line got its verdict, in one short sentence: the rule nearest to the facts."""
    node = finding.because
    if finding.verdict == YES:
        return node.statement.split(": ", 1)[-1]
    while below := next((one for one in node.because if one.rule), None):
        node = below
    return node.statement.split(": ", 1)[-1]


def fixes(one: Judged, ways: Swapping) -> list[str]:
    """What would make it fit: choices, swaps, leaving out, or words on a label. Short, once.

    `ways` are the swaps for everybody asked about: what helps one must not harm another. In a
    recipe they are chosen by what the food does in it, and told with their amounts.
    """
    if one.value == YES:
        return []
    return list(dict.fromkeys(_fixes(one, ways)))


def _fixes(one: Judged, ways: Swapping) -> Iterator[str]:
    for finding in one.verdict.reasons:
        food = finding.part.food
        if food is None or not finding.part.surely:
            continue
        if finding.thing.optional:
            yield f"leave out the {food}"
        for choice in finding.instead:
            if choice != food:
                yield f"{choice} rather than {food}, as the recipe offers"
        if finding.verdict == NO:
            yield from _swaps(one.dish, finding.thing, food, ways)
        words = label_words(finding.avoid)
        if finding.verdict == CHECK and words:
            yield f"{food} with a label that says {words}"


def _swaps(dish: Dish, thing: Thing, food: str, ways: Swapping) -> Iterator[str]:
    """The best swaps for a food where it stands, that everybody asked about may surely have."""
    amount, line, around = None, None, NOWHERE
    if dish.recipe is not None:
        lines = [one.text for one in dish.recipe.lines]
        if thing.text in lines:
            at = lines.index(thing.text)
            line = dish.recipe.lines[at]
            amount, around = line.amount, surroundings(dish.recipe, ways.measures)[at]
    found = [
        one
        for one in ways.options(food, amount, around, line)
        if one.verdict == YES and one.fit != FAILS and one.kind != FORM
    ]
    told = (used(one) if amount else " and ".join(one.foods) for one in found)
    for said in list(dict.fromkeys(told))[:_MOST_SWAPS]:
        yield f"{said} instead of {food}"


def label_words(avoid: str) -> str | None:
    """Words on a label that would clear an avoid, or None where no such words are known."""
    group = avoids().groups.get(avoid)
    said = labels().clearing(avoid)
    if said is None and group is not None and group.members:
        each = [labels().clearing(member) for member in group.members]
        said = None if None in each else " and ".join(dict.fromkeys(str(one) for one in each))
    return said


# -- for programs -------------------------------------------------------------------------------


def reasons_json(ones: Sequence[Judged]) -> list[dict[str, Any]]:
    """The contract's `reasons`; a "yes" gives one for each line, what it rests on."""
    return [
        {
            "food": finding.part.food or finding.thing.text,
            "finding": finding_words(finding),
            "because": [finding.because.as_dict()],
            "source": finding.source,
            "for": one.eater.name,
            "avoid": finding.avoid,
            "verdict": finding.verdict,
            "optional": finding.thing.optional,
            "line": finding.thing.text,
        }
        for one in ones
        for finding in one.verdict.reasons
    ]


def because(ones: Iterable[Judged], safety: Safety) -> tuple[Because, ...]:
    """The whole derivation of each verdict, kept for "why?"."""
    return tuple(tree for one in ones for tree in _derived(one, safety))


def _derived(one: Judged, safety: Safety) -> list[Because]:
    name = one.dish.name
    findings = safety.judge.explained(name, one.dish.things, one.eater.name, one.eater.minds)
    fact = Fact(name, _RELATIONS[one.value], one.eater.name)
    return [_tree(reason) for reason in findings.reasons(fact)[:_MOST_REASONS]]


def _tree(reason: Reason) -> Because:
    return Because(reason.statement, reason.rule, reason.source, tuple(map(_tree, reason.because)))

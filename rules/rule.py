"""Rules: when these conditions hold, unless any of those does, then this holds, because of that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from rules.facts import Fact
from rules.patterns import (
    ANYTHING,
    Binding,
    Condition,
    Guard,
    Pattern,
    PatternError,
    read_condition,
    read_pattern,
    template_variables,
    unify,
    variables,
)


class Rule(NamedTuple):
    """One rule. `because` is a sentence with ?variables; `where` is `file:line` if it has any."""

    id: str
    when: tuple[Condition, ...]
    unless: tuple[Pattern, ...]
    then: tuple[Pattern, ...]
    because: str
    source: str
    where: str = ""

    @property
    def patterns(self) -> tuple[Pattern, ...]:
        """The conditions that facts must match, without the comparisons."""
        return tuple(condition for condition in self.when if isinstance(condition, Pattern))

    @property
    def guards(self) -> tuple[Guard, ...]:
        """The comparisons among the conditions."""
        return tuple(condition for condition in self.when if isinstance(condition, Guard))

    def bind(self, premises: Iterable[Fact]) -> Binding:
        """The variables as these premises (in the order of `patterns`) set them."""
        binding: Binding = {}
        for pattern, fact in zip(self.patterns, premises, strict=True):
            binding = unify(pattern, fact, binding) or binding
        return binding


class RuleError(ValueError):
    """A rule, or a set of rules, that cannot be used; the message says which and why."""


class Flaw(NamedTuple):
    """One thing wrong with a rule: the offending words, and what is the matter with them."""

    words: str
    reason: str


def make_rule(
    id: str,
    when: Iterable[str],
    then: Iterable[str],
    because: str,
    source: str,
    unless: Iterable[str] = (),
    where: str = "",
) -> Rule:
    """Builds a rule from written patterns. Raises RuleError naming every flaw it has."""
    rule, flaws = read_rule(id, when, then, because, source, unless, where)
    if flaws:
        raise RuleError("\n".join(f"rule {id}: {flaw.reason}" for flaw in flaws))
    return rule


def read_rule(
    id: str,
    when: Iterable[str],
    then: Iterable[str],
    because: str,
    source: str,
    unless: Iterable[str] = (),
    where: str = "",
) -> tuple[Rule, list[Flaw]]:
    """Reads a rule as far as it can be read, with all its flaws; usable only if there are none."""
    flaws: list[Flaw] = []
    conditions: list[Condition] = []
    for text in when:
        try:
            conditions.append(read_condition(text))
        except PatternError as error:
            flaws.append(Flaw(text, str(error)))
    rule = Rule(
        id,
        tuple(conditions),
        tuple(_read_patterns(unless, flaws)),
        tuple(_read_patterns(then, flaws)),
        because,
        source,
        where,
    )
    # A line that could not be read would make its variables look unbound: one flaw is enough.
    return rule, flaws or list(_flaws(rule))


def _read_patterns(texts: Iterable[str], flaws: list[Flaw]) -> Iterator[Pattern]:
    for text in texts:
        try:
            yield read_pattern(text)
        except PatternError as error:
            flaws.append(Flaw(text, str(error)))


def _flaws(rule: Rule) -> Iterator[Flaw]:
    if not rule.patterns:
        yield Flaw("when", "when has no condition that a fact could meet")
    if not rule.then:
        yield Flaw("then", "then concludes nothing")
    if not rule.because.strip():
        yield Flaw("because", "because is empty: a rule must be able to say why")
    if not rule.source.strip():
        yield Flaw("source", "it has no source")
    bound = variables(rule.patterns)
    used = {
        "a comparison": variables(rule.guards),
        "unless": variables(rule.unless),
        "then": variables(rule.then),
        "because": template_variables(rule.because),
    }
    for part, names in used.items():
        for name in sorted(names - bound):
            yield Flaw(f"?{name}", f"?{name} in {part} is set by no condition of when")
    for pattern in rule.then:
        if ANYTHING in pattern:
            yield Flaw("?", "a lone ? cannot stand in then: what would it conclude?")

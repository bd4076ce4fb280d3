"""The store: every fact known in one evaluation, found by any of its parts.

Three indexes answer the three questions a join can ask; a fourth look-up answers "is it known".
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rules.facts import Fact, Given, Term
from rules.patterns import Pattern, Var
from rules.rule import Rule


class Support(NamedTuple):
    """One way a fact was derived. The absent premises follow from the rule and these premises."""

    rule: Rule
    premises: tuple[Fact, ...]


class Store:
    """Facts with their origins. A concluded fact waits in `fresh` until the engine admits it."""

    __slots__ = ("by_object", "by_relation", "by_subject", "facts", "fresh", "givens", "supports")

    def __init__(self) -> None:
        # Keyed by itself, so that a probe with a plain tuple finds the one shared fact.
        self.facts: dict[tuple[Term, str, Term], Fact] = {}
        self.by_relation: dict[str, list[Fact]] = {}
        self.by_subject: dict[tuple[str, Term], list[Fact]] = {}
        self.by_object: dict[tuple[str, Term], list[Fact]] = {}
        self.givens: dict[Fact, list[Given]] = {}
        self.supports: dict[tuple[Term, str, Term], list[Support]] = {}
        self.fresh: list[Fact] = []

    def give(self, given: Given) -> None:
        """Takes in a fact from outside; a second source for the same fact is kept beside."""
        sources = self.givens.get(given.fact)
        if sources is None:
            self.givens[given.fact] = [given]
            self.admit(given.fact)
        elif given not in sources:
            sources.append(given)

    def admit(self, fact: Fact) -> None:
        """Makes a new fact visible to look-ups."""
        subject, relation, object_ = fact
        self.facts[fact] = fact
        self.by_relation.setdefault(relation, []).append(fact)
        self.by_subject.setdefault((relation, subject), []).append(fact)
        self.by_object.setdefault((relation, object_), []).append(fact)

    def conclude(self, triple: tuple[Term, str, Term], support: Support) -> None:
        """Records one derivation; the fact waits in `fresh` if it was not known before."""
        supports = self.supports.get(triple)
        if supports is not None:
            supports.append(support)
            return
        fact = self.facts.get(triple)
        if fact is None:
            fact = Fact(*triple)
            self.fresh.append(fact)
        self.supports[fact] = [support]

    def matching(self, pattern: Pattern | Fact) -> Sequence[Fact]:
        """The facts that match, unsorted. A variable named twice must have one value."""
        subject, relation, object_ = pattern
        if isinstance(subject, Var):
            if isinstance(object_, Var):
                facts = self.by_relation.get(relation, ())
                if subject == object_ and subject.name:
                    return [fact for fact in facts if fact[0] == fact[2]]
                return facts
            return self.by_object.get((relation, object_), ())
        if isinstance(object_, Var):
            return self.by_subject.get((relation, subject), ())
        fact = self.facts.get((subject, relation, object_))
        return () if fact is None else (fact,)

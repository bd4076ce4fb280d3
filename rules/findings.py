"""Findings: all that is known after a run, with the ways each fact was come by."""

from __future__ import annotations

from collections.abc import Iterator
from heapq import heappop, heappush
from itertools import count
from typing import NamedTuple, TypeAlias

from rules.facts import Fact, Given, fact_order
from rules.patterns import (
    Binding,
    Pattern,
    Wordings,
    as_fact,
    as_pattern,
    say,
    unify,
)
from rules.rule import Rule
from rules.store import Store, Support
from rules.why import Because, Miss, reasons, why, why_not

_Order: TypeAlias = "tuple[int, int, str, tuple[tuple[object, ...], ...]]"


class Proof(NamedTuple):
    """The shortest proof of a fact: its height (0 if given), its size in steps, its last step."""

    height: int
    size: int
    support: Support | None


class Findings:
    """What holds. Facts come sorted, and so do reasons: the same facts always read the same."""

    def __init__(self, store: Store, rules: tuple[Rule, ...], wordings: Wordings) -> None:
        self.rules = rules
        self.wordings = wordings
        self._store = store
        self._proofs: dict[Fact, Proof] = {}

    # -- what holds -----------------------------------------------------------------------------

    def __contains__(self, fact: object) -> bool:
        return fact in self._store.facts

    def __len__(self) -> int:
        return len(self._store.facts)

    def __iter__(self) -> Iterator[Fact]:
        return iter(sorted(self._store.facts.values(), key=fact_order))

    def match(self, pattern: Pattern | Fact | str) -> list[Fact]:
        """The facts that match, such as `?food is dairy`, sorted."""
        return sorted(self._store.matching(as_pattern(pattern)), key=fact_order)

    def bindings(self, pattern: Pattern | str) -> list[Binding]:
        """What the variables of the pattern may be, in the order of `match`."""
        read = as_pattern(pattern)
        return [unify(read, fact, {}) or {} for fact in self.match(read)]

    # -- how it is known ------------------------------------------------------------------------

    def givens(self, fact: Fact) -> list[Given]:
        """Where the fact was stated, if it was, sorted by source."""
        return sorted(self._store.givens.get(fact, ()))

    def proof(self, fact: Fact) -> Proof:
        """The shortest proof of a fact that holds. Ties go to fewer steps, then to the rule id."""
        if fact not in self._proofs:
            self._prove(fact)
        return self._proofs[fact]

    def supports(self, fact: Fact) -> list[Support]:
        """Every way the fact was derived that does not go round through itself, shortest first."""
        self.proof(fact)
        supports = set(self._store.supports.get(fact, ()))
        return [
            support
            for support in sorted(supports, key=self._order)
            if not self._rests_on(support, fact)
        ]

    def _prove(self, goal: Fact) -> None:
        """Finds the shortest proofs of the goal and of all it could rest on.

        Knuth's generalisation of Dijkstra's algorithm: a derivation enters the heap once all
        its premises are proved, so the first to come out for a fact is its shortest.
        """
        arrivals = count()  # so that two facts from one derivation are never compared themselves
        heap: list[tuple[_Order, int, Fact, Support]] = []
        waiting: dict[Fact, list[tuple[set[Fact], Fact, Support]]] = {}

        def offer(fact: Fact, support: Support) -> None:
            heappush(heap, (self._order(support), next(arrivals), fact, support))

        proofs = self._proofs
        cone = self._cone(goal)
        proofs.update((fact, Proof(0, 1, None)) for fact in cone if fact in self._store.givens)
        for fact in cone:
            if fact in proofs:
                continue
            for support in self._store.supports[fact]:
                missing = {premise for premise in support.premises if premise not in proofs}
                for premise in missing:
                    waiting.setdefault(premise, []).append((missing, fact, support))
                if not missing:
                    offer(fact, support)
        while heap:
            (height, size, *_), _, fact, support = heappop(heap)
            if fact in proofs:
                continue
            proofs[fact] = Proof(height, size, support)
            for missing, consequence, using in waiting.pop(fact, ()):
                missing.remove(fact)
                if not missing:
                    offer(consequence, using)

    def _cone(self, goal: Fact) -> list[Fact]:
        """The goal and every fact without a proof yet that some derivation of it goes through."""
        cone = {goal: None}  # a dict for its order
        below = [goal]
        while below:
            for support in self._store.supports.get(below.pop(), ()):
                for premise in support.premises:
                    if premise not in cone and premise not in self._proofs:
                        cone[premise] = None
                        below.append(premise)
        return list(cone)

    def _order(self, support: Support) -> _Order:
        """Sort key of a derivation whose premises are proved: low, then small, then by name."""
        proofs = [self._proofs[premise] for premise in support.premises]
        return (
            1 + max(proof.height for proof in proofs),
            1 + sum(proof.size for proof in proofs),
            support.rule.id,
            tuple(map(fact_order, support.premises)),
        )

    def _rests_on(self, support: Support, fact: Fact) -> bool:
        """Whether the shortest proofs of the premises go through the fact itself."""
        height = self._proofs[fact].height
        below, seen = list(support.premises), set(support.premises)
        while below:
            premise = below.pop()
            if premise == fact:
                return True
            proof = self._proofs[premise]
            if proof.support and proof.height > height:  # a lower proof has no room for the fact
                new = set(proof.support.premises) - seen
                seen |= new
                below.extend(new)
        return False

    # -- words ----------------------------------------------------------------------------------

    def say(self, pattern: Pattern | Fact) -> str:
        """The statement as a plain sentence."""
        return say(pattern, self.wordings)

    def why(self, fact: Fact | str, depth: int | None = None) -> Because:
        """The shortest reason why a fact holds, down to given facts or `depth` levels below it.

        Raises NotFoundError if it does not hold: then `why_not` is the question.
        """
        return why(self, as_fact(fact), depth)

    def reasons(self, fact: Fact | str, depth: int | None = None) -> list[Because]:
        """Every reason why a fact holds, shortest first. Raises NotFoundError if it does not."""
        return reasons(self, as_fact(fact), depth)

    def why_not(self, pattern: Pattern | Fact | str, depth: int = 1) -> Miss | None:
        """Why nothing matches the pattern: the rule that came nearest, condition by condition.

        Unmet conditions are followed for `depth` further levels. None if something does match.
        """
        return why_not(self, as_pattern(pattern), depth)

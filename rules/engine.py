"""The engine: facts and rules in, findings out.

Rules run forward to a fixed point, layer by layer, semi-naively: after one search over all
facts, only newly concluded facts are looked at, one at a time. Each combination of premises is
found exactly once and kept, so that every finding can be explained afterwards; heights and
shortest proofs are worked out only for what somebody asks about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise

from rules.facts import Fact, Given, Term
from rules.findings import Findings
from rules.joins import Search, compile_rule
from rules.patterns import Var, Wordings
from rules.rule import Rule, RuleError
from rules.store import Store
from rules.strata import stratify


class Engine:
    """Rules made ready once, to be run on as many sets of facts as wanted.

    Neither the order of rules nor that of facts changes any finding. A run costs next to
    nothing beyond its facts, so many small sets may be judged one by one.
    """

    def __init__(self, rules: Iterable[Rule], wordings: Wordings | None = None) -> None:
        """Raises CycleError if an `unless` rests on its own rule, RuleError on a repeated id."""
        self.rules = tuple(sorted(rules, key=lambda rule: rule.id))
        self.wordings: Wordings = wordings or {}
        for one, other in pairwise(self.rules):
            if one.id == other.id:
                raise RuleError(f"two rules have the id {one.id}; every rule needs its own")
        self._layers = [
            _Layer([compile_rule(rule) for rule in layer]) for layer in stratify(self.rules)
        ]

    def run(self, givens: Iterable[Given]) -> Findings:
        """Everything that follows from these facts."""
        store = Store()
        for given in givens:
            store.give(given)
        for layer in self._layers:
            layer.run(store)
        return Findings(store, self.rules, self.wordings)


class _Layer:
    """Rules that may run together, with their triggers sorted by the facts that pull them."""

    def __init__(self, searches: Iterable[Search]) -> None:
        self._openers = [search.opener for search in searches]
        self._triggers: dict[tuple[str, Term | None], list[Callable[[Store, Fact], None]]] = {}
        for search in searches:
            for pattern, pull in search.triggers:
                # Most patterns name their object (`?food is dairy`): that spares most attempts.
                object_ = None if isinstance(pattern.object, Var) else pattern.object
                self._triggers.setdefault((pattern.relation, object_), []).append(pull)

    def run(self, store: Store) -> None:
        for opener in self._openers:
            opener(store)
        fresh, triggers = store.fresh, self._triggers
        while fresh:
            fact = fresh.pop()
            store.admit(fact)
            for pull in triggers.get((fact[1], fact[2]), ()):
                pull(store, fact)
            for pull in triggers.get((fact[1], None), ()):
                pull(store, fact)

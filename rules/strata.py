"""Strata: the order in which rules may run, so that `unless` is only asked of finished matters.

Rules depend on each other where a conclusion of one could match a condition of another. This is
judged by whole patterns, not by relation alone: `?x is dairy` may be denied by a rule that
concludes `?x is safe`, although both speak with the relation `is`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rules.facts import Fact
from rules.patterns import Pattern, overlap
from rules.rule import Rule, RuleError


class CycleError(RuleError):
    """Rules that deny each other in a circle. `cycle` names them, first and last the same."""

    def __init__(self, cycle: tuple[str, ...]) -> None:
        self.cycle = cycle
        super().__init__(
            f"rules go round in a circle through an unless: {' -> '.join(cycle)} "
            f"({cycle[-2]} needs what {cycle[0]} concludes to be absent, yet {cycle[0]} rests "
            f"on {cycle[-2]}); take the unless away or give it a conclusion of its own"
        )


def stratify(rules: Sequence[Rule]) -> list[list[Rule]]:
    """Rules in layers, each of which may deny only what earlier layers conclude.

    Raises CycleError if no such order exists.
    """
    concluders = _Concluders(rules)
    needs = {rule.id: concluders.of(rule.patterns) for rule in rules}
    denies = {rule.id: concluders.of(rule.unless) for rule in rules}
    rests_on = {id: needs[id] | denies[id] for id in needs}
    for rule in rules:
        for denied in sorted(denies[rule.id]):
            path = _path(denied, rule.id, rests_on)
            if path:
                raise CycleError((*path, denied))

    layer = dict.fromkeys(needs, 0)
    settled = False
    while not settled:  # ends: without a circle through an unless no layer can grow for ever
        settled = True
        for id in layer:
            least = max(
                max((layer[other] for other in needs[id]), default=0),
                max((layer[other] + 1 for other in denies[id]), default=0),
            )
            if least > layer[id]:
                layer[id], settled = least, False
    layers: list[list[Rule]] = [[] for _ in range(max(layer.values(), default=-1) + 1)]
    for rule in rules:
        layers[layer[rule.id]].append(rule)
    return [rules_in_layer for rules_in_layer in layers if rules_in_layer]


def unmeetable(
    rules: Iterable[Rule], facts: Iterable[Fact], inputs: frozenset[str]
) -> list[tuple[Rule, Pattern]]:
    """Conditions that nothing can ever meet, which is mostly a slip of the pen.

    A condition can be met by a fact of an input relation, by one of the stated facts, or by the
    conclusion of a rule that can itself fire; two rules that only feed each other never do. For
    a rule that can never fire its first such condition is given. An `unless` that nothing can
    meet is given too: it would let through, silently, what it was written to stop.
    """
    reached = [Pattern(*fact) for fact in facts]

    def dead(patterns: Iterable[Pattern]) -> list[Pattern]:
        return [
            pattern
            for pattern in patterns
            if pattern.relation not in inputs
            and not any(overlap(pattern, known) for known in reached)
        ]

    waiting, firing = list(rules), list[Rule]()
    progress = True
    while progress:
        progress = False
        for rule in waiting.copy():
            if not dead(rule.patterns):
                waiting.remove(rule)
                firing.append(rule)
                reached.extend(rule.then)
                progress = True
    return [(rule, dead(rule.patterns)[0]) for rule in waiting] + [
        (rule, pattern) for rule in firing for pattern in dead(rule.unless)
    ]


class _Concluders:
    """Which rules could conclude a fact that matches a pattern."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self._heads: dict[str, list[tuple[Pattern, str]]] = {}
        for rule in rules:
            for head in rule.then:
                self._heads.setdefault(head.relation, []).append((head, rule.id))

    def of(self, patterns: Iterable[Pattern]) -> set[str]:
        return {
            id
            for pattern in patterns
            for head, id in self._heads.get(pattern.relation, ())
            if overlap(pattern, head)
        }


def _path(start: str, goal: str, edges: dict[str, set[str]]) -> tuple[str, ...]:
    """The shortest way from start to goal along edges, both included; empty if there is none."""
    paths: dict[str, tuple[str, ...]] = {start: (start,)}
    frontier = [start]
    while frontier and goal not in paths:
        following = []
        for id in frontier:
            for other in sorted(edges[id]):
                if other not in paths:
                    paths[other] = (*paths[id], other)
                    following.append(other)
        frontier = following
    return paths.get(goal, ())

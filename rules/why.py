"""Why, and why not: reasons as trees, made from what the engine kept.

`why` follows a finding down to given facts. `why_not` asks the opposite of what is absent: of all
rules that could have concluded it, which came nearest, and what was it lacking?
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from rules.facts import Fact, Term
from rules.patterns import (
    Binding,
    Guard,
    Pattern,
    Var,
    fill,
    fill_template,
    filled,
    say_absent,
    say_guard,
    unify,
    variables,
)
from rules.rule import Rule
from rules.store import Support

if TYPE_CHECKING:
    from rules.findings import Findings

# How many partial matches of one rule are tried for `why_not`; a rule that needs more than this
# is far from firing, and the best match so far serves as well.
_PATIENCE = 2000


class NotFoundError(LookupError):
    """A reason was asked for something that does not hold."""


class Because(NamedTuple):
    """A statement and what it rests on. A given fact has a source and no rule.

    `hidden` counts the reasons left out below because the depth asked for was reached.
    """

    statement: str
    rule: str
    source: str
    because: tuple[Because, ...] = ()
    hidden: int = 0

    def as_dict(self) -> dict[str, Any]:
        """The tree as plain values: statement, rule, source, because."""
        return {
            "statement": self.statement,
            "rule": self.rule,
            "source": self.source,
            "because": [reason.as_dict() for reason in self.because],
        }


class Check(NamedTuple):
    """One condition of a rule held against the case.

    `met` is None where it cannot be judged, because a condition before it failed to say of what.
    Beneath an unmet condition stands either the nearest miss for it, or, where something is
    present that should not be, the reason for that.
    """

    statement: str
    met: bool | None
    miss: Miss | None = None
    because: Because | None = None


class Miss(NamedTuple):
    """Why a statement does not hold: the rule that came nearest, with each condition checked.

    `rule` is empty if no rule could ever conclude it. `bindings` are the variables as far as set.
    """

    statement: str
    rule: str = ""
    source: str = ""
    checks: tuple[Check, ...] = ()
    bindings: tuple[tuple[str, Term], ...] = ()


# -- why ----------------------------------------------------------------------------------------


def why(findings: Findings, fact: Fact, depth: int | None) -> Because:
    """See Findings.why."""
    _require(findings, fact)
    return _cut(_trees(findings, [fact])[fact], depth)


def reasons(findings: Findings, fact: Fact, depth: int | None) -> list[Because]:
    """See Findings.reasons."""
    _require(findings, fact)
    supports = findings.supports(fact)
    trees = _trees(findings, [premise for support in supports for premise in support.premises])
    stated = [_given(findings, fact)] if findings.givens(fact) else []
    derived = [_derived(findings, fact, support, trees) for support in supports]
    return [_cut(tree, depth) for tree in stated + derived]


def _require(findings: Findings, fact: Fact) -> None:
    if fact not in findings:
        raise NotFoundError(f"{say_absent(fact, findings.wordings)}; ask why not")


def _trees(findings: Findings, facts: Iterable[Fact]) -> dict[Fact, Because]:
    """The shortest reason for each of these facts and for all below them.

    Built from the ground up, so that no proof is too tall and shared premises are built once.
    """
    below = set(facts)
    found: set[Fact] = set()
    while below:
        fact = below.pop()
        found.add(fact)
        support = findings.proof(fact).support
        below.update(set(support.premises) - found if support else ())
    trees: dict[Fact, Because] = {}
    for fact in sorted(found, key=lambda fact: findings.proof(fact).height):
        support = findings.proof(fact).support
        trees[fact] = (
            _derived(findings, fact, support, trees) if support else _given(findings, fact)
        )
    return trees


def _given(findings: Findings, fact: Fact) -> Because:
    sources = "; ".join(dict.fromkeys(given.source for given in findings.givens(fact)))
    return Because(findings.say(fact), "", sources)


def _derived(
    findings: Findings, fact: Fact, support: Support, trees: dict[Fact, Because]
) -> Because:
    rule, premises = support
    binding = rule.bind(premises)
    told = iter(premises)
    below = [
        Because(say_guard(condition, binding), "", "")
        if isinstance(condition, Guard)
        else trees[next(told)]
        for condition in rule.when
    ]
    below += [
        Because(say_absent(fill(pattern, binding), findings.wordings), "", "")
        for pattern in rule.unless
    ]
    statement = f"{findings.say(fact)}: {fill_template(rule.because, binding)}"
    return Because(statement, rule.id, rule.source, tuple(below))


def _cut(tree: Because, depth: int | None) -> Because:
    if depth is None or not tree.because:
        return tree
    if depth <= 0:
        return tree._replace(because=(), hidden=len(tree.because))
    return tree._replace(because=tuple(_cut(reason, depth - 1) for reason in tree.because))


# -- why not ------------------------------------------------------------------------------------


def why_not(findings: Findings, pattern: Pattern, depth: int) -> Miss | None:
    """See Findings.why_not."""
    if findings.match(pattern):
        return None
    attempts = [
        _Search(findings, rule, binding).nearest
        for rule in findings.rules
        for head in rule.then
        if (binding := unify(head, pattern, {})) is not None
    ]
    if not attempts:
        return Miss(findings.say(pattern))
    nearest = min(attempts, key=lambda attempt: attempt.order)
    return Miss(
        findings.say(pattern),
        nearest.rule.id,
        nearest.rule.source,
        tuple(_checks(findings, nearest, depth)),
        tuple(sorted(nearest.binding.items())),
    )


def _checks(findings: Findings, attempt: _Attempt, depth: int) -> Iterator[Check]:
    rule, binding, verdicts = attempt
    judged = iter(verdicts)
    for condition in rule.when:
        met = next(judged)
        if isinstance(condition, Guard):
            yield Check(say_guard(condition, binding), met)
            continue
        pattern = fill(condition, binding)
        miss = why_not(findings, pattern, depth - 1) if not met and depth > 0 else None
        # That no rule could conclude it is all a miss without a rule would say; leave it unsaid.
        yield Check(findings.say(pattern), met, miss=miss if miss and miss.rule else None)
    for denied in rule.unless:
        met = next(judged)
        pattern = fill(denied, binding)
        if met is False:
            present = findings.match(pattern)[0]
            because = why(findings, present, depth)
            yield Check(f"{findings.say(present)}, which stands against it", met, because=because)
        else:
            yield Check(say_absent(pattern, findings.wordings), met)


class _Attempt(NamedTuple):
    """A rule matched as far as it goes, with a verdict for each of `when`, then of `unless`."""

    rule: Rule
    binding: Binding
    verdicts: tuple[bool | None, ...]

    @property
    def order(self) -> tuple[int, int, str]:
        """Nearest first: fewest conditions unmet, then most met, then by rule."""
        unmet = sum(not verdict for verdict in self.verdicts)
        return unmet, unmet - len(self.verdicts), self.rule.id


class _Search:
    """Looks for the way to match a rule that leaves the fewest conditions unmet.

    Branch and bound: patterns are tried narrowest first, each with every fact that fits and,
    last, with none; whatever already misses as much as the best so far is not followed.
    """

    def __init__(self, findings: Findings, rule: Rule, binding: Binding) -> None:
        self._findings = findings
        self._rule = rule
        self._patience = _PATIENCE
        self._matches: dict[Pattern, list[Fact]] = {}  # the same look-ups come back all the time
        # To begin with, nothing but the conclusion is matched: every pattern is unmet.
        self.nearest = self._judge(binding, frozenset())
        self._follow(binding, tuple(range(len(rule.patterns))), frozenset())

    def _follow(self, binding: Binding, waiting: tuple[int, ...], met: frozenset[int]) -> None:
        self._patience -= 1
        missed = len(self._rule.patterns) - len(waiting) - len(met)
        if self._patience < 0 or missed >= self.nearest.order[0]:
            return
        if not waiting:
            self.nearest = min(
                self.nearest, self._judge(binding, met), key=lambda attempt: attempt.order
            )
            return
        position = min(waiting, key=lambda p: (len(variables([self._at(p, binding)])), p))
        rest = tuple(other for other in waiting if other != position)
        pattern = self._at(position, binding)
        if pattern not in self._matches:
            self._matches[pattern] = self._findings.match(pattern)
        for fact in self._matches[pattern]:
            extended = unify(pattern, fact, binding)
            if extended is not None:
                self._follow(extended, rest, met | {position})
        self._follow(binding, rest, met)

    def _at(self, position: int, binding: Binding) -> Pattern:
        return fill(self._rule.patterns[position], binding)

    def _judge(self, binding: Binding, met: frozenset[int]) -> _Attempt:
        positions = iter(range(len(self._rule.patterns)))
        verdicts: list[bool | None] = []
        for condition in self._rule.when:
            if isinstance(condition, Guard):
                left, right = filled(condition.left, binding), filled(condition.right, binding)
                if isinstance(left, Var) or isinstance(right, Var):
                    verdicts.append(None)
                else:
                    verdicts.append(condition.met(left, right))
            else:
                verdicts.append(next(positions) in met)
        for denied in self._rule.unless:
            pattern = fill(denied, binding)
            verdicts.append(None if variables([pattern]) else not self._findings.match(pattern))
        return _Attempt(self._rule, binding, tuple(verdicts))

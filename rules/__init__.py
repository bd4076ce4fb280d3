"""A small general rules engine: facts and rules in, findings out, each with its reasons.

    book = load_books(["birds.toml"])
    findings = book.engine().run([*book.facts, given("Pip", "is", "wren", "seen at the feeder")])
    print(*why_lines(findings.why("Pip can fly")), sep="\n")

It knows nothing of any subject; that stands in books of rules.
"""

from __future__ import annotations

from rules.engine import Engine
from rules.explain import why_lines, why_not_lines
from rules.facts import Fact, Given, Term, given
from rules.findings import Findings, Proof
from rules.patterns import Pattern, PatternError
from rules.rule import Rule, RuleError, make_rule
from rules.rulebook import BookError, Rulebook, RulebookError, load_books
from rules.strata import CycleError
from rules.why import Because, Check, Miss, NotFoundError

__all__ = [
    "Because",
    "BookError",
    "Check",
    "CycleError",
    "Engine",
    "Fact",
    "Findings",
    "Given",
    "Miss",
    "NotFoundError",
    "Pattern",
    "PatternError",
    "Proof",
    "Rule",
    "RuleError",
    "Rulebook",
    "RulebookError",
    "Term",
    "given",
    "load_books",
    "make_rule",
    "why_lines",
    "why_not_lines",
]

"""Facts: what is held true, as short statements `subject relation object`.

A fact is only the claim; who says so is kept beside it in a `Given`, because two sources may
state the same fact and neither should hide the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from fractions import Fraction

# A term is a name or a real number. Numbers are plain: whatever has a unit belongs to the caller.
Term: TypeAlias = "str | int | float | Fraction"


class Fact(NamedTuple):
    """One claim, such as `navy bean / is / legume`. Equal claims are one fact, whoever states it.

    It is a plain tuple underneath, so that hashing and comparing cost next to nothing.
    """

    subject: Term
    relation: str
    object: Term


class Given(NamedTuple):
    """A fact as it came in: the claim, who says so, and (if from a file) `file:line`."""

    fact: Fact
    source: str
    where: str = ""


def given(subject: Term, relation: str, object: Term, source: str, where: str = "") -> Given:
    """A fact with its source, in one call: `given("oat", "is", "grain", "common practice")`."""
    return Given(Fact(subject, relation, object), source, where)


def term_text(term: Term) -> str:
    """The term as a person reads it: 0.3 even where floating point makes 0.30000000000000004."""
    return f"{term:.10g}" if isinstance(term, float) else str(term)


def fact_order(fact: Fact) -> tuple[object, ...]:
    """Sort key that is total even where names and numbers meet: numbers first, then names."""
    return (fact[1], *_term_order(fact[0]), *_term_order(fact[2]))


def _term_order(term: Term) -> tuple[bool, Term, str]:
    return (True, 0, term) if isinstance(term, str) else (False, term, "")

"""Patterns: the written form of conditions and conclusions, and how they are read.

A pattern is a triple whose subject or object may be a variable: `?dish uses ?food`. Terms with
spaces stand in double quotes (`?food is "navy bean"`), a bare number is a number, and a lone `?`
matches anything without being remembered. An operator in the middle makes a guard: `?n >= 2`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from operator import eq, ge, gt, le, lt, ne
from typing import Any, NamedTuple, TypeAlias

from rules.facts import Fact, Term, term_text


class Var(NamedTuple):
    """A variable, named without its question mark. The nameless one is the wildcard `?`."""

    name: str


ANYTHING = Var("")

Place: TypeAlias = "Term | Var"
Binding: TypeAlias = "dict[str, Term]"


class Pattern(NamedTuple):
    """A triple with variables allowed in subject and object. Without any, it equals its fact."""

    subject: Place
    relation: str
    object: Place


class Guard(NamedTuple):
    """A comparison of two terms. Order is for numbers only: with a name it is never met."""

    left: Place
    operator: str
    right: Place

    def met(self, left: Term, right: Term) -> bool:
        """Whether the comparison holds between these two values."""
        if self.operator in _ORDERING and (isinstance(left, str) or isinstance(right, str)):
            return False
        return _OPERATORS[self.operator](left, right)


Condition: TypeAlias = "Pattern | Guard"
Wordings: TypeAlias = Mapping[str, str]  # relation -> template such as "{0} contains {1}"


class PatternError(ValueError):
    """A pattern that cannot be read; the message says why and shows the right form."""


_OPERATORS: dict[str, Callable[[Any, Any], bool]] = {
    "=": eq, "!=": ne, "<": lt, "<=": le, ">": gt, ">=": ge,
}  # fmt: skip
_OPERATOR_WORDS = {
    "=": "is", "!=": "is not", "<": "is less than", "<=": "is at most", ">": "is more than",
    ">=": "is at least",
}  # fmt: skip
_ORDERING = frozenset(_OPERATORS) - {"=", "!="}
_TOKEN = re.compile(r'"([^"]*)"|(\S+)')
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_VARIABLE = re.compile(r"\?([A-Za-z_]\w*)")


# -- reading ------------------------------------------------------------------------------------


def read_condition(text: str) -> Condition:
    """Reads one line of `when`. Raises PatternError."""
    left, middle, right = _three_tokens(text)
    if isinstance(middle, str) and middle in _OPERATORS:
        guard = Guard(left, middle, right)
        if middle in _ORDERING and any(isinstance(side, str) for side in (left, right)):
            raise PatternError(f"{text}: {middle} compares numbers, and one side is a name")
        if ANYTHING in (left, right):
            raise PatternError(f"{text}: a comparison needs named variables, not a lone ?")
        return guard
    if not isinstance(middle, str):
        raise PatternError(f"{text}: the relation in the middle must be a plain word")
    return Pattern(left, middle, right)


def read_pattern(text: str) -> Pattern:
    """Reads a pattern where a comparison makes no sense. Raises PatternError."""
    condition = read_condition(text)
    if isinstance(condition, Guard):
        raise PatternError(f"{text}: a comparison cannot stand here, only subject relation object")
    return condition


def read_fact(text: str) -> Fact:
    """Reads a statement without variables. Raises PatternError."""
    pattern = read_pattern(text)
    fact = ground(pattern)
    if fact is None:
        raise PatternError(f"{text}: a fact has no variables")
    return fact


def as_pattern(what: Pattern | Fact | str) -> Pattern:
    """A pattern from whatever names one. Raises PatternError if it is text that cannot be read."""
    return read_pattern(what) if isinstance(what, str) else Pattern(*what)


def as_fact(what: Fact | str) -> Fact:
    """A fact from whatever names one. Raises PatternError if it is text that cannot be read."""
    return read_fact(what) if isinstance(what, str) else what


def _three_tokens(text: str) -> tuple[Place, Place, Place]:
    places = [_read_place(match, text) for match in _TOKEN.finditer(text)]
    if len(places) != 3:
        raise PatternError(
            f"{text}: {len(places)} terms where three are needed: subject relation object; "
            'a term with spaces stands in double quotes, as in ?food is "navy bean"'
        )
    return places[0], places[1], places[2]


def _read_place(match: re.Match[str], text: str) -> Place:
    quoted, bare = match.groups()
    if quoted is not None:
        return str(quoted)
    if '"' in bare:
        raise PatternError(f"{text}: a double quote is not closed or stands inside a word")
    if bare == "?":
        return ANYTHING
    if bare.startswith("?"):
        if not _VARIABLE.fullmatch(bare):
            raise PatternError(f"{text}: {bare} is no variable; write ? and letters: ?food")
        return Var(bare[1:])
    if _NUMBER.fullmatch(bare):
        return float(bare) if "." in bare else int(bare)
    return str(bare)


# -- variables ----------------------------------------------------------------------------------


def variables(conditions: Iterable[Condition]) -> set[str]:
    """Names of all variables in these patterns and guards; the wildcard is none of them."""
    return {
        place.name
        for first, _, last in conditions
        for place in (first, last)
        if isinstance(place, Var) and place.name
    }


def template_variables(template: str) -> set[str]:
    """Names of the variables mentioned in a `because` sentence."""
    return set(_VARIABLE.findall(template))


def filled(place: Place, binding: Binding) -> Place:
    """The value of a variable where it is known, otherwise the place as it is."""
    return binding.get(place.name, place) if isinstance(place, Var) else place


def fill(pattern: Pattern, binding: Binding) -> Pattern:
    """The pattern with every known variable replaced by its value."""
    return Pattern(
        filled(pattern.subject, binding), pattern.relation, filled(pattern.object, binding)
    )


def fill_template(template: str, binding: Binding) -> str:
    """A `because` sentence with its variables replaced."""

    def value(match: re.Match[str]) -> str:
        return term_text(binding[match[1]]) if match[1] in binding else match[0]

    return _VARIABLE.sub(value, template)


def ground(pattern: Pattern | Fact) -> Fact | None:
    """The pattern as a fact, or None while it still has a variable."""
    subject, relation, object_ = pattern
    if isinstance(subject, Var) or isinstance(object_, Var):
        return None
    return Fact(subject, relation, object_)


def unify(pattern: Pattern, target: Pattern | Fact, binding: Binding) -> Binding | None:
    """What the pattern's variables must be to agree with the target, or None if they cannot.

    Variables of the target are left open. The binding handed in is not changed.
    """
    if pattern.relation != target.relation:
        return None
    found = dict(binding)
    for mine, theirs in ((pattern.subject, target.subject), (pattern.object, target.object)):
        mine = filled(mine, found)
        if isinstance(theirs, Var):
            continue
        if isinstance(mine, Var):
            if mine.name:
                found[mine.name] = theirs
        elif mine != theirs:
            return None
    return found


def overlap(one: Pattern, other: Pattern) -> bool:
    """Whether some fact could match both. Variables are taken as free, which errs towards yes."""
    return one.relation == other.relation and all(
        isinstance(a, Var) or isinstance(b, Var) or a == b
        for a, b in ((one.subject, other.subject), (one.object, other.object))
    )


# -- words --------------------------------------------------------------------------------------


def say(pattern: Pattern | Fact, wordings: Wordings) -> str:
    """The statement as a plain sentence, by the wording of its relation."""
    subject, relation, object_ = pattern
    first, last = _place_text(subject), _place_text(object_)
    wording = wordings.get(relation)
    return wording.format(first, last) if wording else f"{first} {relation} {last}"


def say_absent(pattern: Pattern | Fact, wordings: Wordings) -> str:
    """That a statement is not known to hold. Not knowing is all that absence can mean here."""
    return f"nothing says that {say(pattern, wordings)}"


def say_guard(guard: Guard, binding: Binding) -> str:
    """The comparison in words, with its values where they are known."""
    left, right = filled(guard.left, binding), filled(guard.right, binding)
    return f"{_place_text(left)} {_OPERATOR_WORDS[guard.operator]} {_place_text(right)}"


def _place_text(place: Place) -> str:
    if isinstance(place, Var):
        return f"some {place.name.replace('_', ' ')}" if place.name else "anything"
    return term_text(place)

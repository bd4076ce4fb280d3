"""Joins: each rule compiled once into small searches over a store.

A search is a chain of steps, each a closure that looks up facts for one pattern (or tests one
guard or one `unless`) and calls the next step for every success; the last step concludes. Values
live in a flat list of slots, one per variable and constant, so a step only ever needs positions.

Every rule gets one *opener*, which searches all facts, and one *trigger* per pattern, which
starts from one newly admitted fact. Together they find each combination of premises exactly once:
when a new fact could serve at two patterns, the trigger of the later one refuses it at the earlier.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple, TypeAlias

from rules.facts import Fact, Term
from rules.patterns import ANYTHING, Guard, Pattern, Place, Var, overlap
from rules.rule import Rule
from rules.store import Store, Support

Step: TypeAlias = Callable[[Store, "list[Term]", "list[Fact]"], None]
LookUp: TypeAlias = Callable[[Store, "list[Term]"], Sequence[Fact]]

_UNSET = Fact("", "", "")  # stands in slots and premises that the search has yet to reach


class Trigger(NamedTuple):
    """Where a rule can start from one fact: the pattern it must match, and the search."""

    pattern: Pattern
    search: Callable[[Store, Fact], None]


class Search(NamedTuple):
    """A rule made ready to run."""

    rule: Rule
    opener: Callable[[Store], None]
    triggers: tuple[Trigger, ...]


def compile_rule(rule: Rule) -> Search:
    """Lays out the slots of a rule and builds its opener and triggers."""
    layout = _Layout(rule)
    blank = layout.blank
    premises = [_UNSET] * len(rule.patterns)
    chain = _chain(rule, layout, None)

    def opener(store: Store) -> None:
        chain(store, blank.copy(), premises.copy())

    return Search(
        rule,
        opener,
        tuple(
            Trigger(pattern, _trigger(rule, layout, position))
            for position, pattern in enumerate(rule.patterns)
        ),
    )


class _Layout:
    """Gives every variable and constant of a rule its slot; constants are filled in for good."""

    def __init__(self, rule: Rule) -> None:
        self.blank: list[Term] = []
        self.constants: set[int] = set()
        self._slots: dict[Place, int] = {}
        self.when = [self._place(pattern) for pattern in rule.patterns]
        self.guards = [(self.slot(g.left), self.slot(g.right)) for g in rule.guards]
        self.unless = [self._place(pattern) for pattern in rule.unless]
        self.then = [self._place(pattern) for pattern in rule.then]

    def _place(self, pattern: Pattern) -> tuple[int, str, int]:
        return self.slot(pattern.subject), pattern.relation, self.slot(pattern.object)

    def slot(self, place: Place) -> int:
        # Two wildcards need not agree, so each gets a slot of its own that nothing else reads.
        if place != ANYTHING and place in self._slots:
            return self._slots[place]
        slot = len(self.blank)
        self._slots[place] = slot
        if isinstance(place, Var):
            self.blank.append("")
        else:
            self.blank.append(place)
            self.constants.add(slot)
        return slot


def _trigger(rule: Rule, layout: _Layout, position: int) -> Callable[[Store, Fact], None]:
    subject, _, object_ = layout.when[position]
    blank = layout.blank
    premises = [_UNSET] * len(rule.patterns)
    chain = _chain(rule, layout, position)
    subject_fixed, object_fixed = subject in layout.constants, object_ in layout.constants

    def search(store: Store, fact: Fact) -> None:
        if (
            (subject_fixed and blank[subject] != fact[0])
            or (object_fixed and blank[object_] != fact[2])
            or (subject == object_ and fact[0] != fact[2])
        ):
            return
        slots = blank.copy()
        slots[subject], slots[object_] = fact[0], fact[2]
        begun = premises.copy()
        begun[position] = fact
        chain(store, slots, begun)

    return search


def _chain(rule: Rule, layout: _Layout, start: int | None) -> Step:
    """All steps of one search, in an order that keeps look-ups narrow, folded from the end."""
    links: list[Callable[[Step], Step]] = []
    bound = set(layout.constants)
    remaining = list(range(len(layout.when)))
    tests = list(_tests(rule, layout))

    def bind(position: int) -> None:
        remaining.remove(position)
        subject, _, object_ = layout.when[position]
        bound.update((subject, object_))
        for test in tests.copy():
            needed, link = test
            if needed <= bound:  # as early as its variables allow: fewer paths to follow
                tests.remove(test)
                links.append(link)

    if start is not None:
        bind(start)
    while remaining:
        position = max(remaining, key=lambda p: (_known(layout.when[p], bound), -p))
        subject, relation, object_ = layout.when[position]
        look = _look_up(subject, relation, object_, bound)
        links.append(partial(_match, look, position, subject, object_))
        if subject == object_ and subject not in bound:
            links.append(partial(_same_ends, position))
        if (
            start is not None
            and position < start
            and overlap(rule.patterns[position], rule.patterns[start])
        ):
            links.append(partial(_older, position, start))
        bind(position)

    step: Step = partial(_conclude, rule, layout.then)
    for link in reversed(links):
        step = link(step)
    return step


def _known(place: tuple[int, str, int], bound: set[int]) -> int:
    return (place[0] in bound) + (place[2] in bound)


def _tests(rule: Rule, layout: _Layout) -> Iterator[tuple[set[int], Callable[[Step], Step]]]:
    """Guards and `unless`, each with the slots that must be bound before it can be asked."""
    for guard, (left, right) in zip(rule.guards, layout.guards, strict=True):
        yield {left, right}, partial(_guard, guard, left, right)
    for pattern, (subject, relation, object_) in zip(rule.unless, layout.unless, strict=True):
        needed = {
            slot
            for slot, place in ((subject, pattern.subject), (object_, pattern.object))
            if place != ANYTHING
        }
        yield needed, partial(_absent, _look_up(subject, relation, object_, needed))


def _look_up(subject: int, relation: str, object_: int, bound: set[int]) -> LookUp:
    """The narrowest index for one pattern, given which of its ends are bound by then."""
    if subject in bound and object_ in bound:

        def probe(store: Store, slots: list[Term]) -> Sequence[Fact]:
            fact = store.facts.get((slots[subject], relation, slots[object_]))
            return () if fact is None else (fact,)

        return probe
    if subject in bound:
        return lambda store, slots: store.by_subject.get((relation, slots[subject]), ())
    if object_ in bound:
        return lambda store, slots: store.by_object.get((relation, slots[object_]), ())
    return lambda store, slots: store.by_relation.get(relation, ())


# -- the kinds of step; each takes what follows it as `then` --------------------------------------


def _match(look: LookUp, position: int, subject: int, object_: int, then: Step) -> Step:
    def step(store: Store, slots: list[Term], premises: list[Fact]) -> None:
        for fact in look(store, slots):
            slots[subject], _, slots[object_] = premises[position] = fact
            then(store, slots, premises)

    return step


def _same_ends(position: int, then: Step) -> Step:
    def step(store: Store, slots: list[Term], premises: list[Fact]) -> None:
        fact = premises[position]
        if fact[0] == fact[2]:
            then(store, slots, premises)

    return step


def _older(position: int, start: int, then: Step) -> Step:
    def step(store: Store, slots: list[Term], premises: list[Fact]) -> None:
        if premises[position] is not premises[start]:
            then(store, slots, premises)

    return step


def _guard(guard: Guard, left: int, right: int, then: Step) -> Step:
    def step(store: Store, slots: list[Term], premises: list[Fact]) -> None:
        if guard.met(slots[left], slots[right]):
            then(store, slots, premises)

    return step


def _absent(look: LookUp, then: Step) -> Step:
    def step(store: Store, slots: list[Term], premises: list[Fact]) -> None:
        if not look(store, slots):
            then(store, slots, premises)

    return step


def _conclude(
    rule: Rule,
    heads: Sequence[tuple[int, str, int]],
    store: Store,
    slots: list[Term],
    premises: list[Fact],
) -> None:
    support = Support(rule, tuple(premises))
    for subject, relation, object_ in heads:
        store.conclude((slots[subject], relation, slots[object_]), support)

"""Verdicts: may this line, this food, this dish be eaten by whoever minds that.

    judge = Judge(describe)
    judge.line(Thing("butter"), "milk").verdict                       # "no"
    judge.recipe([Thing("butter"), Thing("salt")], ["milk"]).value    # "no"

The rules stand in `books/verdicts.toml`; this module hands them the facts and keeps the answers.
A line may name several foods (choices, foods mentioned on the way); each is judged by the rules
on its own, and the line is as good as the worst of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import NamedTuple

from rules.avoids import avoids
from rules.engine import Engine
from rules.facts import Fact, Given, given
from rules.findings import Findings
from rules.holdings import OWN_BOOKS, PLAIN, Described, holdings, settled
from rules.labels import labels
from rules.patterns import ANYTHING, Pattern
from rules.rulebook import Rulebook, load_books
from rules.tables import HERE
from rules.why import Because

YES, CHECK, NO = "yes", "check", "no"
_RANK = {YES: 0, CHECK: 1, NO: 2}
_RELATION = {YES: "fits", CHECK: "unsure-for", NO: "ruled-out-by"}
_TOLD = "as written"
_TABLE = "the table of foods"
_BY_SUBJECT = ("is-made", "alters")
_PLAIN_SOURCES = (_TOLD, _TABLE, OWN_BOOKS)  # they say what was asked, not what is in a food


def worst(verdicts: Iterable[str]) -> str:
    """The gravest of some verdicts; "yes" where there are none."""
    return max(verdicts, key=_RANK.__getitem__, default=YES)


class Part(NamedTuple):
    """One food named by a line. `surely` False: it was guessed at, or words are left over.

    `near` are the foods a misspelt name may mean, the best guess first (empty text in its place
    where none is good enough). `place` tells a lot in the house from the food in general.
    """

    food: str | None
    surely: bool = True
    claims: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    place: str = ""

    @property
    def label(self) -> str:
        """How the part is called in reasons: "the gluten-free rolled oat in the house"."""
        words = ("the", *self.claims, self.food or "unread line", self.place)
        return " ".join(word for word in words if word)


class Thing(NamedTuple):
    """A line of a recipe, or a food asked about alone, as far as it matters to a verdict.

    `stock` are the lots it would be drawn from: they are judged in place of the main food.
    """

    food: str | None
    certain: bool = True
    claims: tuple[str, ...] = ()
    mentions: tuple[str, ...] = ()
    choices: tuple[Part, ...] = ()
    near: tuple[str, ...] = ()
    stock: tuple[Part, ...] = ()
    optional: bool = False
    text: str = ""

    @property
    def main(self) -> Part:
        """The food the line is about."""
        return Part(self.food, self.certain, self.claims, self.near)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every food the line names: the main one, its choices, those mentioned on the way."""
        main = self.stock or (self.main,)
        if not self.choices and not self.mentions:
            return main
        return (*main, *self.choices, *(Part(food) for food in self.mentions))


class Stand(NamedTuple):
    """How something stands to all ids at once: those it is ruled out by, those it is unsure for."""

    ruled_out: frozenset[str]
    unsure: frozenset[str]

    def to(self, avoid: str) -> str:
        """The verdict for one id."""
        return NO if avoid in self.ruled_out else CHECK if avoid in self.unsure else YES

    def joined(self, others: Iterable[Stand]) -> Stand:
        """The worst of this and others, for every id."""
        others = tuple(others)
        return Stand(
            self.ruled_out.union(*(one.ruled_out for one in others)),
            self.unsure.union(*(one.unsure for one in others)),
        )


_EMPTY = Stand(frozenset(), frozenset())


class Finding(NamedTuple):
    """One line held against one avoid: the verdict, and the part of the line that decided it.

    `instead` names choices the line itself offers that are better than the worst one.
    """

    thing: Thing
    avoid: str
    verdict: str
    part: Part
    because: Because
    instead: tuple[str, ...] = ()

    @property
    def source(self) -> str:
        """Who says so: the source of the fact the verdict rests on."""
        return _deepest_source(self.because)


class Verdict(NamedTuple):
    """A dish held against some avoids: the worst finding counts, and all of them are kept."""

    value: str
    findings: tuple[Finding, ...]

    @property
    def reasons(self) -> tuple[Finding, ...]:
        """The findings that speak against it, gravest first; of a "yes", all of them."""
        against = [finding for finding in self.findings if finding.verdict != YES]
        return tuple(sorted(against or self.findings, key=lambda f: -_RANK[f.verdict]))


Describe = Callable[[str], Described]
Covers = Callable[[str, str], bool]


class Judge:
    """Judges lines by the books. `describe` and `covers` come from the table of foods:

    what a food is (kinds, form, plain food), and whether one food is a sort of another. What was
    judged once is kept, so that a judge should live as long as its table of foods. `known` are
    stands that these rules gave before, for foods named so and no more.
    """

    def __init__(
        self,
        describe: Describe,
        covers: Covers | None = None,
        known: Mapping[str, Stand] | None = None,
    ) -> None:
        self._describe = describe
        self._known = known or {}
        self._covers = covers or (lambda wide, narrow: wide == narrow)
        self._stands: dict[Part, Stand] = {}
        self._lines: dict[tuple[object, ...], Stand] = {}
        self._single: dict[tuple[Part, str, bool], str] = {}

    # -- verdicts -------------------------------------------------------------------------------

    def stand(self, thing: Thing) -> Stand:
        """How a line stands to every allergen and diet."""
        key = thing[:7]  # all but whether it is optional, and its text
        found = self._lines.get(key)
        if found is None:
            first, *rest = (self.of(part) for part in thing.parts)
            found = first.joined(rest) if rest else first
            self._lines[key] = found
        return found

    def dish(self, things: Iterable[Thing]) -> Stand:
        """How a whole dish stands to every allergen and diet: the worst of its lines."""
        return _EMPTY.joined(map(self.stand, things))

    def verdict(self, thing: Thing, avoid: str, danger: bool = True) -> str:
        """How a line stands to one avoid: an allergen, a diet or a food.

        `danger` False: the food is only disliked, so its near kin and unseen traces do not count.
        """
        if avoid in avoids().ids:
            return self.stand(thing).to(avoid)
        return worst(self._part(part, avoid, danger) for part in thing.parts)

    def line(self, thing: Thing, avoid: str, danger: bool = True) -> Finding:
        """As `verdict`, with the part of the line that decided it and the reasons."""
        verdicts = [(self._part(part, avoid, danger), part) for part in thing.parts]
        verdict, part = max(verdicts, key=lambda pair: _RANK[pair[0]])
        offered = (thing.main, *thing.choices) if thing.choices else ()
        instead = tuple(
            one.food
            for one in offered
            if one.food and _RANK[self._part(one, avoid, danger)] < _RANK[verdict]
        )
        fact = Fact(part.label, _RELATION[verdict], avoid)
        because = self._run([part], [(avoid, danger)]).why(fact)
        return Finding(thing, avoid, verdict, part, because, instead)

    def recipe(
        self, things: Sequence[Thing], minded: Iterable[str], danger: bool = True
    ) -> Verdict:
        """A whole dish held against some avoids."""
        findings = [self.line(thing, avoid, danger) for avoid in minded for thing in things]
        return Verdict(worst(finding.verdict for finding in findings), tuple(findings))

    def explained(
        self,
        dish: str,
        things: Sequence[Thing],
        who: str,
        minded: Iterable[tuple[str, bool]],
        told: str = "told by the household",
    ) -> Findings:
        """All the rules over a dish and somebody it is asked about, for "why" and "why not".

        `minded` are (avoid, danger) pairs. Ask the result for `dish not-for who`,
        `dish to-check-for who`, `dish good-for who`.
        """
        minded = tuple(minded)
        parts = [part for thing in things for part in thing.parts]
        facts = [given(dish, "has", part.label, _TOLD) for part in parts]
        facts.append(given(dish, "asked-for", who, _TOLD))
        facts += [given(who, "minds", avoid, told) for avoid, _ in minded]
        return self._run(parts, minded, facts)

    # -- one part -------------------------------------------------------------------------------

    def _part(self, part: Part, avoid: str, danger: bool) -> str:
        if avoid in avoids().ids:
            return self.of(part).to(avoid)
        key = (part, avoid, danger)
        found = self._single.get(key)
        if found is None:
            findings = self._run([part], [(avoid, danger)])
            found = next(
                verdict
                for verdict in (NO, CHECK, YES)
                if Fact(part.label, _RELATION[verdict], avoid) in findings
            )
            self._single[key] = found
        return found

    def of(self, part: Part) -> Stand:
        """How one food of a line stands to every allergen and diet."""
        found = self._stands.get(part)
        if found is None and part.food and part.surely and not (part.claims or part.near):
            found = self._known.get(part.food)
        if found is None:
            findings = self._run([part], ())
            fits, unsure, out = (
                frozenset(
                    str(fact.object)
                    for fact in findings.match(Pattern(part.label, relation, ANYTHING))
                )
                for relation in (_RELATION[YES], _RELATION[CHECK], _RELATION[NO])
            )
            # Nothing is cleared by silence: what no rule speaks of is left open.
            found = Stand(out, unsure | (avoids().ids - fits - out))
            self._stands[part] = found
        return found

    def _run(
        self,
        parts: Iterable[Part],
        against: Iterable[tuple[str, bool]],
        more: Iterable[Given] = (),
    ) -> Findings:
        facts = [*_standing(), *more]
        singles = [(avoid, danger) for avoid, danger in against if avoid not in avoids().ids]
        for avoid, danger in singles:
            facts.append(given("foods", "settles", avoid, _TABLE))
            if danger:
                known = self._describe(avoid).known
                kind = "danger" if known else "unknown danger"
                facts.append(given(avoid, "taken-as", kind, "told by the household"))
                facts += [
                    fact
                    for fact in holdings().givens(self._describe(avoid))
                    if fact.fact.relation == "holds"
                ]
        for part in dict.fromkeys(parts):
            facts += self._about(part, [avoid for avoid, _ in singles])
        return _engine().run(facts)

    def _about(self, part: Part, singles: Sequence[str]) -> list[Given]:
        label = part.label
        how = "surely" if part.surely and part.food else "unsurely"
        facts = [given(label, "reads", how, _TOLD)]
        for words in part.claims:
            facts.append(given(label, "labelled", words, _TOLD))
            facts += labels().givens(words)
        if part.food:
            facts.append(given(label, "names", part.food, _TOLD))
            facts += self._food(part.food, singles)
        for place, food in enumerate(part.near):
            if food:
                relation = "looks-like" if place else "nearest-to"
                facts.append(given(label, relation, food, "likeness of spelling"))
                facts += self._food(food, singles)
        return facts

    def _food(self, food: str, singles: Sequence[str]) -> list[Given]:
        described = self._describe(food)
        facts = holdings().givens(described)
        for subject in (*described.kinds, described.form or PLAIN):
            facts += _of(subject)
        for avoid in singles:
            if food == avoid or self._covers(avoid, food):
                facts.append(given(food, "sort-of", avoid, _TABLE))
            if f" {avoid} " in f" {food} ":
                facts.append(given(food, "speaks-of", avoid, _TABLE))
        return facts


@cache
def _book() -> Rulebook:
    return load_books([HERE / "books/verdicts.toml"])


@cache
def _engine() -> Engine:
    return _book().engine()


@cache
def _standing() -> tuple[Given, ...]:
    """Facts that are needed whatever is judged."""
    kept = (fact for fact in _book().facts if fact.fact.relation not in _BY_SUBJECT)
    return (*kept, *avoids().givens(), *settled())


@cache
def _of(subject: str) -> tuple[Given, ...]:
    """Facts of the book about one kind or form, handed over only where it comes up."""
    return tuple(
        fact
        for fact in _book().facts
        if fact.fact.subject == subject and fact.fact.relation in _BY_SUBJECT
    )


def _deepest_source(because: Because) -> str:
    """The source at the end of the longest chain of reasons, past what was merely said."""

    def ends(node: Because, depth: int) -> Iterable[tuple[int, str]]:
        if not node.because and node.source and node.source not in _PLAIN_SOURCES:
            yield depth, node.source
        for below in node.because:
            yield from ends(below, depth + 1)

    return max(ends(because, 0), key=lambda end: end[0], default=(0, because.source))[1]

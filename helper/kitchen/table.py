"""Everybody at one table, and what may not be put before them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from helper.kitchen.people import Person
from helper.kitchen.recipes import Line
from helper.kitchen.safety import NO, YES, Minded, Safety
from rules.avoids import avoids
from rules.judge import Thing, worst
from rules.why import Because


class Diner(NamedTuple):
    """Somebody who eats, and all they have to mind. A diet asked about alone is a diner, too."""

    name: str
    minds: tuple[Minded, ...]


class Objection(NamedTuple):
    """What speaks against a food: whose avoid, and whether it is a "no" or a "check"."""

    diner: str
    avoid: str
    food: str
    verdict: str

    @property
    def who(self) -> str:
        """The person or, where only a diet was asked about, nobody."""
        return "" if self.diner == self.avoid else self.diner

    def __str__(self) -> str:
        whose = f" ({self.who})" if self.who else ""
        if self.avoid in avoids().diets:
            said = "is not" if self.verdict == NO else "may not be"
        elif self.avoid in avoids().allergens:
            said = "has" if self.verdict == NO else "may have"
        else:
            said = "is" if self.verdict == NO else "may be"
        return f"{self.food} {said} {self.avoid}{whose}"


class Table:
    """The diners of one meal, judged for by the household's own verdicts.

    What was judged once is kept, so that a table should live as long as the books stand.
    """

    def __init__(self, safety: Safety, diners: Iterable[Diner] = ()) -> None:
        self.safety = safety
        self.diners = tuple(one for one in diners if one.minds)
        self._known: dict[tuple[str, tuple[str, ...]], tuple[Objection, ...]] = {}

    def against(self, food: str, claims: tuple[str, ...] = ()) -> tuple[Objection, ...]:
        """All that speaks against a food with these words on its label, gravest first."""
        key = (food, claims)
        if key not in self._known:
            thing = self.safety.bare(food, claims, stock=False)
            self._known[key] = self._objections(food, thing)
        return self._known[key]

    def against_line(self, line: Line) -> tuple[Objection, ...]:
        """All that speaks against a recipe line, gravest first."""
        return self._objections(line.food or line.text, self.safety.thing(line))

    def _objections(self, food: str, thing: Thing) -> tuple[Objection, ...]:
        judge = self.safety.judge
        found = [
            Objection(diner.name, one.avoid, food, verdict)
            for diner in self.diners
            for one in diner.minds
            if (verdict := judge.verdict(thing, one.avoid, one.danger)) != YES
        ]
        return tuple(sorted(found, key=lambda one: one.verdict != NO))

    def verdict(self, food: str) -> str:
        """ "yes", "check" or "no" for everybody together."""
        return worst(one.verdict for one in self.against(food))

    def holds(self, food: str) -> frozenset[str]:
        """The allergens that are in a food for certain."""
        return self.safety.judge.stand(Thing(food)).ruled_out.intersection(avoids().allergens)

    def may_hold(self, food: str) -> frozenset[str]:
        """The allergens that a food may bring, as its label decides."""
        return self.safety.judge.stand(Thing(food)).unsure.intersection(avoids().allergens)

    def clears(self, food: str, parts: Sequence[str]) -> tuple[str, ...]:
        """The ids that rule a food out and that every part put in its place is free of."""
        judge = self.safety.judge
        left = judge.stand(Thing(food)).ruled_out
        for part in parts:
            stand = judge.stand(Thing(part))
            left = left - stand.ruled_out - stand.unsure
        return tuple(sorted(left))

    def why(self, food: str, avoid: str) -> Because:
        """Why a food stands to an avoid as it does, down to facts with sources."""
        return self.safety.judge.line(self.safety.bare(food, stock=False), avoid).because

    def minded(self) -> tuple[str, ...]:
        """Everything that somebody at the table has to mind, once."""
        return tuple(dict.fromkeys(one.avoid for diner in self.diners for one in diner.minds))

    def without(self, foods: Iterable[str]) -> Table:
        """The same table, less what is ruled out by these foods already: who could not have a

        dish anyway is not asked about what takes the place of one thing in it.
        """
        known = {
            (one.diner, one.avoid)
            for food in foods
            for one in self.against(food)
            if one.verdict == NO
        }
        return Table(
            self.safety,
            (
                Diner(
                    diner.name,
                    tuple(one for one in diner.minds if (diner.name, one.avoid) not in known),
                )
                for diner in self.diners
            ),
        )


def diets_without(ids: Iterable[str]) -> frozenset[str]:
    """These diets, and the diets that leave these allergens out."""
    wanted, groups = set(ids), avoids().groups
    return frozenset(
        diet for diet in avoids().diets if diet in wanted or wanted & set(groups[diet].members)
    )


def person_diner(person: Person, safety: Safety) -> Diner:
    """A person of the household as one who eats."""
    return Diner(person.name, safety.minds(person))


def diet_diner(avoid: str) -> Diner:
    """Somebody nameless who keeps to a diet or away from an allergen or a food."""
    return Diner(avoid, tuple(Minded(one) for one in avoids().expanded((avoid,))))

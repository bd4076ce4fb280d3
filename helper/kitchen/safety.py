"""Who of this household may eat what: the judge of the rules, seen from the kitchen.

Lines become things to be judged; people's avoids, the house's own "never" and the labels on what
is in the house are brought together here. The verdicts themselves are the rules' alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import NamedTuple

from helper.kitchen.avoiding import ids_of
from helper.kitchen.doubts import Doubts
from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_general
from helper.kitchen.lines import claim_at
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stands import listed_stands
from helper.kitchen.words import words
from rules.avoids import avoids
from rules.holdings import Described
from rules.judge import CHECK, NO, YES, Finding, Judge, Part, Stand, Thing, worst
from rules.swaps import Swap, swaps_by_food

WITH_SWAPS = "with-swaps"
IN_HOUSE = "in the house"
CHOICE = "choice"


class Minded(NamedTuple):
    """One thing somebody has to mind; `danger` False where it is a matter of liking."""

    avoid: str
    danger: bool = True


class Safety:
    """Verdicts for one household as its books stand: people, its own rules, what is in the house.

    `banned` are foods nobody here is to be served, or (food, person) pairs; they add to what
    people avoid and never take away.
    """

    def __init__(
        self,
        foods: Foods,
        people: Iterable[Person] = (),
        banned: Iterable[tuple[str, str | None]] = (),
        lots: Iterable[Lot] = (),
    ) -> None:
        self.foods = foods
        self.judge = judge()
        self.people = tuple(people)
        self._banned = tuple(banned)
        self._at_home = [(person, self.minds(person)) for person in self.people if person.home]
        self._doubts = Doubts(foods)
        self._stock: defaultdict[str, list[Part]] = defaultdict(list)
        for lot in lots:
            part = Part(lot.food, claims=tuple(sorted(lot.claims)), place=IN_HOUSE)
            if part not in self._stock[lot.food]:
                self._stock[lot.food].append(part)
        self._met: dict[str, tuple[Part, ...]] = {}
        self._fitting: dict[int, tuple[Recipe, dict[str, str]]] = {}
        self._swapped: dict[tuple[str, tuple[Minded, ...]], bool] = {}

    # -- what is judged -------------------------------------------------------------------------

    def thing(self, line: Line, stock: bool = True) -> Thing:
        """A recipe line as the judge takes it; `stock` False leaves out what is in the house."""
        surely, near = self._doubts.of(line)
        claims: Mapping[str, tuple[str, ...]] | None = None
        if line.claims and (line.choices or line.mentions):
            claims = claimed(line.text, self.foods)
        main = line.claims if claims is None else claims.get(line.food or "", ())
        return Thing(
            line.food,
            surely,
            main,
            line.mentions,
            tuple(
                Part(
                    choice.food, self.foods[choice.food].known, (claims or {}).get(choice.food, ())
                )
                for choice in line.choices
            ),
            near,
            self._in_house(line.food) if stock and surely and line.food else (),
            line.optional,
            line.text,
        )

    def things(self, recipe: Recipe, stock: bool = True) -> list[Thing]:
        """The lines of a recipe as the judge takes them."""
        return [self.thing(line, stock) for line in recipe.lines]

    def bare(
        self, food: str, claims: tuple[str, ...] = (), surely: bool = True, stock: bool = True
    ) -> Thing:
        """A food asked about alone, which is a recipe of one line."""
        if not surely:
            return Thing(food, False, (), near=(food,), text=food)
        there = self._in_house(food) if stock and not claims else ()
        return Thing(food, True, claims, stock=there, text=food)

    def unknown(self, said: str) -> Thing:
        """Words that name no food we know."""
        return Thing(said, False, near=self._doubts.near(said), text=said)

    def _in_house(self, food: str) -> tuple[Part, ...]:
        """The lots that a line would be drawn from, where what they are or say differs from it."""
        found = self._met.get(food)
        if found is None:
            there = [
                part
                for lot_food, parts in self._stock.items()
                if lot_food == food or self.foods.covers(food, lot_food)
                for part in parts
            ]
            plain = Part(food, place=IN_HOUSE)
            found = tuple(there) if any(part != plain for part in there) else ()
            self._met[food] = found
        return found

    # -- what is minded -------------------------------------------------------------------------

    def minds(self, person: Person) -> tuple[Minded, ...]:
        """All that somebody has to mind: what they avoid, and what the house never serves."""
        danger = person.severity != CHOICE
        ids = dict.fromkeys(id for said in person.avoids for id in ids_of(said, self.foods))
        own = [Minded(id, danger) for id in ids]
        taken = {minded.avoid for minded in own}
        house = [
            Minded(food, False)
            for food, who in self._banned
            if who in (None, person.name) and food not in taken
        ]
        return (*own, *house)

    # -- verdicts -------------------------------------------------------------------------------

    def findings(self, things: Sequence[Thing], minded: Iterable[Minded]) -> list[Finding]:
        """Every line held against everything that is minded, with reasons."""
        return [self.judge.line(thing, one.avoid, one.danger) for one in minded for thing in things]

    def verdict(self, things: Sequence[Thing], minded: Iterable[Minded]) -> str:
        """The worst of these lines for whoever minds that."""
        return self._worst(things, self.judge.dish(things), minded)

    def _worst(self, things: Sequence[Thing], stand: Stand, minded: Iterable[Minded]) -> str:
        known = avoids().ids
        value = YES
        for avoid, danger in minded:
            if avoid in known:
                one = stand.to(avoid)
            else:
                one = worst(self.judge.verdict(thing, avoid, danger) for thing in things)
            if one == NO:
                return NO
            if one == CHECK:
                value = CHECK
        return value

    def fits(self, recipe: Recipe) -> dict[str, str]:
        """How a recipe suits each person at home: "yes", "with-swaps", "check" or "no".

        "with-swaps": something in it must be changed, and the book of swaps (or a choice the
        recipe itself offers) has a way; labels may be left to check besides.
        """
        kept = self._fitting.get(recipe.id)
        if kept is None or kept[0] != recipe:
            things = self.things(recipe)
            stand = self.judge.dish(things)
            found = {one.name: self._fit(things, stand, minded) for one, minded in self._at_home}
            kept = self._fitting[recipe.id] = (recipe, found)
        return kept[1]

    def fit(self, things: Sequence[Thing], minded: tuple[Minded, ...]) -> str:
        """As one value of `fits`, for any lines and whatever is minded."""
        return self._fit(things, self.judge.dish(things), minded)

    def _fit(self, things: Sequence[Thing], stand: Stand, minded: tuple[Minded, ...]) -> str:
        value = self._worst(things, stand, minded)
        if value != NO:
            return value
        barring = [
            thing
            for thing in things
            if self._worst((thing,), self.judge.stand(thing), minded) == NO
        ]
        return WITH_SWAPS if all(self._can_be_fixed(thing, minded) for thing in barring) else NO

    # -- what would help ------------------------------------------------------------------------

    def swaps(self, food: str, minded: tuple[Minded, ...]) -> list[Swap]:
        """The swaps for a food that bring in nothing that is minded."""
        book = swaps_by_food()
        rows = book.get(food) or book.get(self.foods[food].base, ())
        return [
            swap
            for swap in rows
            if self.verdict([Thing(name) for name in swap.foods], minded) == YES
        ]

    def _can_be_fixed(self, thing: Thing, minded: tuple[Minded, ...]) -> bool:
        if thing.optional:
            return True  # it can be left out
        offered = [Thing(*part[:3]) for part in (thing.main, *thing.choices)]
        rest = [Thing(food) for food in thing.mentions]
        if self.verdict(rest, minded) == NO:
            return False
        if thing.choices and any(self.verdict([one], minded) != NO for one in offered):
            return True
        food = thing.food or ""
        key = (food, minded)
        if key not in self._swapped:
            self._swapped[key] = bool(self.swaps(food, minded))
        return self._swapped[key]


def claimed(text: str, foods: Foods) -> dict[str, tuple[str, ...]]:
    """Which food of a text each label word is said of: the one it stands right before.

    "butter or dairy-free margarine" promises nothing of the butter.
    """
    found = words(text)
    claims: defaultdict[str, list[str]] = defaultdict(list)
    waiting: list[str] = []
    at = 0
    while at < len(found):
        hit = foods.at(found, at)
        claim = claim_at(found, at)
        if hit is not None and (claim is None or hit.end - at >= claim[1]):
            claims[hit.food] += waiting
            waiting, at = [], hit.end
        elif claim is not None:
            waiting.append(claim[0])
            at += claim[1]
        else:
            if not found[at].is_name or not foods.left_over([found[at]]):
                at += 1
                continue
            waiting, at = [], at + 1
    return {food: tuple(said) for food, said in claims.items() if said}


@cache
def judge() -> Judge:
    """The one judge over the tables of foods; a household's own names are unknown to it."""
    foods = Foods()

    def described(name: str) -> Described:
        food = foods[name]
        return Described(name, foods.kinds(name), food.form, food.base, food.known)

    def covers(wide: str, narrow: str) -> bool:
        """A whole kind's name covers all of the kind: "pork" means bacon, too."""
        return foods.covers(wide, narrow) or (
            is_general(foods, wide) and wide in foods.kinds(narrow)
        )

    names = [name for name in foods.names() if foods[name].known]
    return Judge(described, covers, listed_stands(Judge(described, covers), names))


__all__ = ["CHECK", "NO", "WITH_SWAPS", "YES", "Minded", "Safety", "claimed", "judge"]

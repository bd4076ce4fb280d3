"""A whole recipe made to suit everybody at the table, or a plain no.

Every line that somebody cannot have must give way: to a choice the recipe itself offers, to a
swap that harms nobody at the table, or (where it is optional, or only trims the dish) to nothing.
Of all sets of such changes the best is searched for exactly: nothing lost → told for this sort of
dish → fewest labels to read → told for the purpose → fewest things to buy → fewest new things →
cheapest.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.matching import HAVE, MISSING, PART, Match, match
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import Surroundings, coarse_surroundings, surroundings
from helper.kitchen.safety import CHECK, NO
from helper.kitchen.swaps import FORM, HOUSE, Option, Swapping
from helper.kitchen.table import Objection, diets_without
from rules.roles import FAILS, UNTOLD, spare, suits

CHOSEN, SWAPPED, LEFT_OUT = "chosen", "swapped", "left out"

# Of one line's ways the best few are weighed against those of the others; the rest is never best.
_MOST_WAYS = 12


class Change(NamedTuple):
    """What becomes of line `at`. `lines` take its place; `option` is the swap, if it is one.

    `beside` True: not the line's own food gives way but one it mentions ("dredged in flour").
    """

    at: int
    food: str
    kind: str
    lines: tuple[Line, ...]
    against: tuple[Objection, ...]
    option: Option | None = None
    around: Surroundings | None = None
    beside: bool = False

    @property
    def note(self) -> str:
        """How it is done."""
        return self.option.method if self.option else ""


class FittedLine(NamedTuple):
    """A line of the fitted recipe, and the change that put it there, if one did."""

    line: Line
    change: Change | None = None


class Fitted(NamedTuple):
    """A recipe that everybody may have. `checks` are labels that must be read first."""

    recipe: Recipe
    lines: tuple[FittedLine, ...]
    changes: tuple[Change, ...]
    checks: tuple[Objection, ...]

    @property
    def verdict(self) -> str:
        """ "yes", or "check" where a label still decides."""
        return CHECK if self.checks else "yes"


class Refused(NamedTuple):
    """Why a recipe cannot be made to suit: the foods that nothing will do for.

    `failing` are swaps that would harm nobody but fail in this dish.
    """

    recipe: Recipe
    foods: tuple[str, ...]
    against: tuple[Objection, ...]
    failing: tuple[Option, ...] = ()

    @property
    def reason(self) -> str:
        """One sentence."""
        said = "; ".join(dict.fromkeys(str(one) for one in self.against))
        return f"no swap I know will do for {' and '.join(self.foods)}: {said}"


class StandIn(NamedTuple):
    """A swap out of the house for a line that is missing."""

    at: int
    line: Line
    option: Option


class Fitting:
    """Fits recipes to one table. What was found once is kept, so it may look at many recipes.

    With `shopping` False what is in the house goes before all else.
    """

    def __init__(self, ways: Swapping, shopping: bool = True) -> None:
        self.ways = ways
        self.shopping = shopping
        self.table = ways.table
        self._possible: dict[tuple[str, frozenset[str], frozenset[str]], bool] = {}

    # -- one recipe ----------------------------------------------------------------------------

    def fit(self, recipe: Recipe) -> Fitted | Refused:
        """The recipe with the best set of changes; without any where everybody may have it."""
        barred = {
            index: against
            for index, line in enumerate(recipe.lines)
            if (against := self._no_to(line))
        }
        around = surroundings(recipe, self.ways.measures) if barred else ()
        items = [
            found
            for index, against in barred.items()
            for found in self._ways_for(index, recipe.lines[index], around[index], against)
        ]
        hopeless = [item for item in items if not item.ways]
        if hopeless:
            return Refused(
                recipe,
                tuple(dict.fromkeys(item.food for item in hopeless)),
                tuple(one for item in hopeless for one in item.against),
                tuple(one for item in hopeless for one in item.failing),
            )
        changes = tuple(sorted(_best(items, self.shopping), key=lambda change: change.at))
        return self._fitted(recipe, changes)

    def _no_to(self, line: Line) -> tuple[Objection, ...]:
        """What makes a line one that somebody may not have."""
        return tuple(one for one in self.table.against_line(line) if one.verdict == NO)

    def _ways_for(
        self, index: int, line: Line, around: Surroundings, against: tuple[Objection, ...]
    ) -> list[_Item]:
        """What could become of a line that cannot stay as it is."""
        if line.optional:
            change = Change(index, line.food or line.text, LEFT_OUT, (), against, None, around)
            return [_Item(change.food, against, [_Way(change)])]
        items = []
        offered = [(line.food or "", line.amount)]
        offered += [(one.food, one.amount or line.amount) for one in line.choices]
        barred = [food for food, _ in offered if self._barred(food, line)]
        mentioned = [food for food in line.mentions if self.table.verdict(food) == NO]
        if barred or not mentioned:
            items.append(self._item(index, line, around, against, offered, barred))
        for food in mentioned:
            alone = Line(food, food)
            place = around._replace(roles=())
            whole = self.table.against(food)
            items.append(self._item(index, alone, place, whole, [(food, None)], [food], True))
        return items

    def _barred(self, food: str, line: Line) -> bool:
        return bool(self._no_to(replace(line, food=food, choices=(), mentions=())))

    def _item(
        self,
        index: int,
        line: Line,
        around: Surroundings,
        against: Sequence[Objection],
        offered: Sequence[tuple[str, Amount | None]],
        barred: Sequence[str],
        beside: bool = False,
    ) -> _Item:
        food = line.food or line.text
        tell = tuple(one for one in against if one.verdict == NO)
        ways = []
        for name, amount in offered:
            if name not in barred:
                text = _line(name, amount).text
                kept = replace(line, food=name, amount=amount, choices=(), mentions=(), text=text)
                ways.append(_Way(Change(index, food, CHOSEN, (kept,), tell, None, around)))
        options = self.ways.options(food, line.amount, around, line) if line.food else []
        # another form of a food is still that food: it clears nobody
        harmless = [one for one in options if one.verdict != NO and one.kind != FORM]
        if not self.shopping:
            harmless.sort(key=lambda one: not one.in_house)
        for option in [one for one in harmless if one.fit != FAILS][:_MOST_WAYS]:
            lines = tuple(_line(used.food, used.amount) for used in option.use)
            if beside:  # how much is not told where a food is only mentioned
                lines = tuple(_line(used.food, None) for used in option.use)
            change = Change(index, food, SWAPPED, lines, tell, option, around, beside)
            ways.append(_Way(change))
        if around.roles and set(around.roles) <= spare():
            ways.append(_Way(Change(index, food, LEFT_OUT, (), tell, None, around), dropped=1))
        return _Item(food, tell, ways, [one for one in harmless if one.fit == FAILS])

    def _fitted(self, recipe: Recipe, changes: Sequence[Change]) -> Fitted:
        changed: dict[int, list[Change]] = {}
        for change in changes:
            changed.setdefault(change.at, []).append(change)
        lines: list[FittedLine] = []
        checks: list[Objection] = []
        for index, line in enumerate(recipe.lines):
            if index not in changed:
                lines.append(FittedLine(line))
                checks += self.table.against_line(line)
                continue
            if all(change.beside for change in changed[index]):
                gone = {change.food for change in changed[index]}
                kept = tuple(food for food in line.mentions if food not in gone)
                lines.append(FittedLine(replace(line, mentions=kept), changed[index][0]))
            for change in changed[index]:
                lines += [FittedLine(new, change) for new in change.lines]
                if change.option:
                    checks += change.option.against
        fitted = replace(recipe, lines=tuple(one.line for one in lines))
        return Fitted(fitted, tuple(lines), tuple(changes), tuple(dict.fromkeys(checks)))

    # -- many recipes ----------------------------------------------------------------------------

    def can_fit(self, recipe: Recipe) -> bool:
        """Whether some swap may do for every line that somebody cannot have. Quick and coarse:

        the roles of the lines are not worked out, so `fit` may still refuse.
        """
        around: Surroundings | None = None
        for line in recipe.lines:
            if line.optional or not self._no_to(line):
                continue
            offered = (line.food or "", *(choice.food for choice in line.choices))
            if not all(self._barred(food, line) for food in offered):
                continue
            around = around or coarse_surroundings(recipe, self.ways.measures.foods)
            if not self._can_swap(line.food or "", around):
                return False
        return True

    def _can_swap(self, food: str, around: Surroundings) -> bool:
        key = (food, around.sorts, around.named)
        if key not in self._possible:
            self._possible[key] = any(
                suits(row, around.sorts, around.named) != FAILS
                and all(self.table.verdict(part) != NO for part in row.foods)
                for row in self.ways.rows(food)
            )
        return self._possible[key]

    # -- what is missing -------------------------------------------------------------------------

    def stand_ins(self, found: Match) -> tuple[StandIn, ...]:
        """For each missing line the best swap that is in the house and harms nobody.

        A swap that would use up what the rest of the dish needs is not one.
        """
        lines = list(found.recipe.lines)
        wanted = [
            index
            for index, line in enumerate(found.lines)
            if line.needed and line.state in (MISSING, PART) and line.line.food
        ]
        if not wanted:
            return ()
        around = surroundings(found.recipe, self.ways.measures)
        taken: list[StandIn] = []
        for index in wanted:
            line = lines[index]
            for option in self.ways.options(line.food or "", line.amount, around[index], line):
                good = option.in_house and option.fit < UNTOLD and option.verdict != NO
                if good and self._spared(found.recipe, [*taken, StandIn(index, line, option)]):
                    taken.append(StandIn(index, line, option))
                    break
        return tuple(taken)

    def _spared(self, recipe: Recipe, taken: Sequence[StandIn]) -> bool:
        """Whether the stock holds all the swaps together, beside what the other lines take."""
        gone = {one.at for one in taken}
        kept = [line for index, line in enumerate(recipe.lines) if index not in gone]
        new = [Line(used.food, used.food, used.amount) for one in taken for used in one.option.use]
        found = match(replace(recipe, lines=(*kept, *new)), self.ways.stock)
        return all(line.state == HAVE or not line.needed for line in found.lines[len(kept) :])


def _line(food: str, amount: Amount | None) -> Line:
    return Line(f"{amount} {food}" if amount else food, food, amount)


# -- the search -----------------------------------------------------------------------------------


class _Way(NamedTuple):
    """One thing that could become of a line. `dropped` 1 where the dish loses something by it."""

    change: Change
    dropped: int = 0

    @property
    def score(self) -> _Score:
        option = self.change.option
        if option is None:
            return _Score(self.dropped)
        diets = diets_without(one.avoid for one in self.change.against)
        unmeant = option.kind != HOUSE and bool(diets) and diets.isdisjoint(option.reasons)
        untold = option.fit == UNTOLD
        unnamed = option.kind != HOUSE and not option.named
        checks = int(option.verdict == CHECK)
        return _Score(0, int(untold), checks, int(unmeant), int(unnamed))


class _Score(NamedTuple):
    """What adds up over the lines: what is lost, what is not told for the sort of dish, labels to

    read, what the book does not give for this purpose, what it does not tell for the very dish.
    """

    dropped: int = 0
    untold: int = 0
    checks: int = 0
    unmeant: int = 0
    unnamed: int = 0

    def plus(self, other: _Score) -> _Score:
        return _Score(*(one + more for one, more in zip(self, other, strict=True)))


class _Item(NamedTuple):
    """A line that must give way, and its ways."""

    food: str
    against: tuple[Objection, ...]
    ways: list[_Way]
    failing: Sequence[Option] = ()


class _Total(NamedTuple):
    """A set of changes as it is compared: less is better, in this order.

    `beyond` counts what would have to be bought where nothing is to be bought.
    """

    beyond: int
    score: _Score
    to_buy: int
    new: int
    unpriced: int
    cost: Decimal


def _best(items: Sequence[_Item], shopping: bool) -> tuple[Change, ...]:
    """The best way for every item together: branch and bound over all combinations.

    Things bought and brought in count once however many lines use them, so that the choices hang
    together; every part of a total only grows, so a partial total is a bound.
    """
    items = sorted(items, key=lambda item: len(item.ways))
    least = [min(way.score for way in item.ways) for item in items]
    rest = [_summed(least[at:]) for at in range(len(items) + 1)]
    best: list[tuple[_Total, tuple[_Way, ...]]] = []

    def follow(at: int, chosen: tuple[_Way, ...]) -> None:
        total = _total(chosen, shopping)
        if best and total._replace(score=total.score.plus(rest[at])) >= best[0][0]:
            return
        if at == len(items):
            best[:] = [(total, chosen)]
            return
        for way in sorted(items[at].ways, key=lambda way: _total((*chosen, way), shopping)):
            follow(at + 1, (*chosen, way))

    follow(0, ())
    return tuple(way.change for way in best[0][1])


def _summed(scores: Iterable[_Score]) -> _Score:
    total = _Score()
    for score in scores:
        total = total.plus(score)
    return total


def _total(chosen: Sequence[_Way], shopping: bool) -> _Total:
    options = [way.change.option for way in chosen if way.change.option]
    costs = [option.cost for option in options]
    to_buy = len({food for option in options for food in option.missing})
    return _Total(
        0 if shopping else to_buy,
        _summed(way.score for way in chosen),
        to_buy,
        len({food for option in options for food in option.foods}),
        sum(cost is None for cost in costs),
        sum((cost for cost in costs if cost is not None), Decimal(0)),
    )

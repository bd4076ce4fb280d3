"""A recipe against the stock: which lots meet each line, what is missing, what cannot be told.

Lines draw on the lots in the order they are written, the needed ones before the optional ones,
and share what a lot holds. Water is always there. Lines "to taste" never make a dish short.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.measures import Unknown
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Draw, Stock, Taken

HAVE, PART, MISSING, UNSURE, FREE, TASTE, UNREAD = (
    "have",
    "part",
    "missing",
    "unsure",
    "free",
    "to taste",
    "unread",
)

# Short by less than this part of what is asked for is not short: no scale in a kitchen, and no
# household weight of a cabbage, is as exact.
_HAIR = 0.02

# The kind of food that comes from the tap (rules/reference/kinds.csv).
_FROM_THE_TAP = "water"


class LineMatch(msgspec.Struct, frozen=True):
    """How one line is met.

    `state`: have, part, missing, unsure (some is there, it cannot be told whether enough, or
    whether it will do: see `unknown`), free (water), to taste, unread. `food` and `amount` are
    those of the choice taken where the line offers several. `short` is the amount missing, in the
    recipe's unit; None with state missing where the line gives no amount.
    """

    line: Line
    state: str
    food: str | None
    amount: Amount | None
    draws: tuple[Draw, ...] = ()
    short: Amount | None = None
    unknown: tuple[Unknown, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What the cook must do or check first, one sentence a lot, none twice."""
        said = []
        for draw in self.draws:
            if draw.do:
                said.append(f"{draw.lot.food}: {draw.do}")
            if draw.doubtful:
                said.append(f"look at your {draw.lot.food} first, it is past its date")
        return tuple(dict.fromkeys(said))

    @property
    def needed(self) -> bool:
        """True for lines the dish cannot do without."""
        return not self.line.optional and self.state not in (TASTE, FREE)


class Match(msgspec.Struct, frozen=True):
    """A recipe, at the servings asked for, against the stock."""

    recipe: Recipe
    lines: tuple[LineMatch, ...]

    def _needed(self, *states: str) -> tuple[LineMatch, ...]:
        return tuple(line for line in self.lines if line.needed and line.state in states)

    @property
    def have(self) -> tuple[LineMatch, ...]:
        """Needed lines the house meets in full."""
        return self._needed(HAVE)

    @property
    def missing(self) -> tuple[LineMatch, ...]:
        """Needed lines of which some or all must be bought."""
        return self._needed(MISSING, PART)

    @property
    def unsure(self) -> tuple[LineMatch, ...]:
        """Needed lines that cannot be told: a measure is unknown, or the line was not read."""
        return self._needed(UNSURE, UNREAD)

    @property
    def to_taste(self) -> tuple[LineMatch, ...]:
        """Salt, pepper and the like, without amount."""
        return tuple(line for line in self.lines if line.state == TASTE)

    @property
    def optional(self) -> tuple[LineMatch, ...]:
        """Lines that may be left out, met or not."""
        return tuple(line for line in self.lines if line.line.optional)

    @property
    def draws(self) -> tuple[Draw, ...]:
        """Every draw of the needed lines, in their order."""
        return tuple(draw for line in self.lines if line.needed for draw in line.draws)


def scale(recipe: Recipe, servings: float) -> Recipe | None:
    """The recipe for so many servings; None where it never said how many it serves."""
    if not recipe.servings or servings <= 0:
        return None
    return times(recipe, servings / recipe.servings, servings)


def times(recipe: Recipe, ratio: float, servings: float | None = None) -> Recipe:
    """Every amount times `ratio`; package sizes stay as they are."""
    lines = tuple(_scaled(line, ratio) for line in recipe.lines)
    serves = servings if servings is not None else (recipe.servings or 0) * ratio or None
    return msgspec.structs.replace(recipe, lines=lines, servings=serves)


def _scaled(line: Line, ratio: float) -> Line:
    choices = tuple(
        msgspec.structs.replace(choice, amount=choice.amount.times(ratio))
        if choice.amount
        else choice
        for choice in line.choices
    )
    amount = line.amount and line.amount.times(ratio)
    return msgspec.structs.replace(line, amount=amount, choices=choices)


def from_the_tap(foods: Foods, food: str) -> bool:
    """True for water, which every kitchen has and nobody pays for by the cup."""
    return _FROM_THE_TAP in foods.kinds(food) or food == _FROM_THE_TAP


def detail_of(line: Line) -> str:
    """The size or cut that matters for weight, "drained" among them."""
    return line.detail or ("drained" if "drained" in line.preparation else "")


def match(recipe: Recipe, stock: Stock) -> Match:
    """Plans a recipe against the stock as it is; `stock` is left with nothing drawn."""
    stock.fresh()
    found: dict[int, LineMatch] = {}
    for wanted in (False, True):
        for place, line in enumerate(recipe.lines):
            if line.optional is wanted:
                found[place] = _match_line(line, stock)
    stock.fresh()
    return Match(recipe, tuple(found[place] for place in range(len(recipe.lines))))


def match_all(recipes: Iterable[Recipe], stock: Stock) -> tuple[Match, ...]:
    """Plans several recipes, one after the other, that share the stock."""
    stock.fresh()
    done = []
    for recipe in recipes:
        lines = sorted(range(len(recipe.lines)), key=lambda i: recipe.lines[i].optional)
        found = {place: _match_line(recipe.lines[place], stock) for place in lines}
        done.append(Match(recipe, tuple(found[place] for place in range(len(recipe.lines)))))
    stock.fresh()
    return tuple(done)


def _match_line(line: Line, stock: Stock) -> LineMatch:
    if line.food is None or line.unread:
        return LineMatch(line, UNREAD, line.food, line.amount)
    if from_the_tap(stock.measures.foods, line.food):
        return LineMatch(line, FREE, line.food, line.amount)
    if line.to_taste and line.amount is None:
        taken = stock.take(line.food, None, claims=line.claims)
        return LineMatch(line, TASTE, line.food, None, taken.draws)
    options = [
        (line.food, line.amount),
        *((choice.food, choice.amount or line.amount) for choice in line.choices),
    ]
    best: LineMatch | None = None
    for food, amount in options:
        taken = stock.take(food, amount, detail_of(line), line.size, line.claims)
        this = _judged(line, food, amount, taken)
        if best is None or _rank(this) < _rank(best):
            best = this
        if this.state == HAVE:
            break
    assert best is not None
    stock.draw(Taken(best.draws))
    return best


def _judged(line: Line, food: str, amount: Amount | None, taken: Taken) -> LineMatch:
    if amount is None:
        state, short = (HAVE if taken.draws else MISSING), None
    elif taken.short is None or taken.short.number <= _HAIR * amount.number:
        state, short = HAVE, None
    elif taken.unknown:
        state, short = UNSURE, taken.short
    else:
        state, short = (PART if taken.draws else MISSING), taken.short
    doubts = tuple(doubt for draw in taken.draws for doubt in _doubts(draw, food))
    if state == HAVE and doubts:
        state = UNSURE
    return LineMatch(line, state, food, amount, taken.draws, short, (*taken.unknown, *doubts))


def _doubts(draw: Draw, food: str) -> Iterator[Unknown]:
    """What only the person can tell of a lot: whether it is still good, whether it will do."""
    lot = draw.lot
    if draw.doubtful:
        what = f"whether the {lot.food} of {lot.best_by} is still good"
        yield Unknown(lot.food, what, f"Is the {lot.food} still good?")
    if not draw.sure:
        what = f"whether your {lot.food} will do for {food}"
        yield Unknown(lot.food, what, f"Will your {lot.food} do for {food}?")


def _rank(found: LineMatch) -> tuple[int, float]:
    """Orders the choices of a line: met, cannot be told, partly met by how much, missing."""
    order = {HAVE: 0, UNSURE: 1, PART: 2, MISSING: 3}[found.state]
    if found.short is None or not found.amount or not found.amount.number:
        return order, 0.0
    return order, found.short.number / found.amount.number


def questions(found: Match) -> tuple[Unknown, ...]:
    """Everything that must be asked before a match can be told in full, none twice."""
    return tuple(dict.fromkeys(one for line in found.lines for one in line.unknown))

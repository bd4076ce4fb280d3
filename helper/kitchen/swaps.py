"""What can stand in for a food: by the book, by another of its own forms, by the house's rules.

Each swap is scaled to the amount asked about, held against everybody at the table, looked up in
the stock and costed; then ranked: safe for all → suits the dish → in the house → cheaper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

import msgspec
from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.costing import cost
from helper.kitchen.facts import changes, state
from helper.kitchen.foods import Foods
from helper.kitchen.forms import across
from helper.kitchen.kin import is_general, is_sort
from helper.kitchen.matching import FREE, HAVE, TASTE, match
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import NOWHERE, Surroundings
from helper.kitchen.safety import NO, YES
from helper.kitchen.spoons import handy
from helper.kitchen.stock import Stock
from helper.kitchen.table import Objection, Table
from rules.judge import worst
from rules.roles import FAILS, SUITS, UNTOLD, failing, suits, takes_over, told_for
from rules.swaps import ANYWHERE, Swap, swaps_by_food

# Where a swap comes from: a row of the book, another form of the food, a rule of the house.
BOOK, FORM, HOUSE = "book", "form", "house"

# Where no amount is asked about, another form is told for one of these, the first that converts.
_FORM_UNITS = ("cup", "lb", "oz", "g")


class Used(msgspec.Struct, frozen=True):
    """One thing a swap takes, scaled."""

    food: str
    amount: Amount


class HouseSwap(msgspec.Struct, frozen=True):
    """A standing rule of the household: `use` instead of `food`. `id` and `text` as kept."""

    food: str
    use: str
    id: int = 0
    text: str = ""


class Option(msgspec.Struct, frozen=True):
    """One way to do without a food, at the amount asked about.

    `kind` is BOOK, FORM or HOUSE; `place` its line in the book. `amount` of `food` becomes all
    of `use`. `brings` are allergens that come in with it, `may_bring` those a label decides
    about, `clears` the ids it is free of and the food is not. `against` is what speaks against
    it at this table. `fit` is SUITS (`named`: for the very dish), UNTOLD or FAILS, the last with
    the words of the book in `warnings`. `covers` counts the `roles` of the food it takes over,
    `missing` are the foods not in the house. `reasons` is what the book tells it for. `cost`
    None: some price is not known.
    """

    id: str
    kind: str
    food: str
    amount: Amount
    use: tuple[Used, ...]
    roles: tuple[str, ...] = ()
    works_in: tuple[str, ...] = ()
    fails_in: tuple[str, ...] = ()
    method: str = ""
    source: str = ""
    brings: tuple[str, ...] = ()
    may_bring: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()
    against: tuple[Objection, ...] = ()
    fit: int = SUITS
    named: bool = False
    warnings: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    cost: Decimal | None = None
    covers: int = 0
    place: int = 0
    reasons: tuple[str, ...] = ()

    @property
    def verdict(self) -> str:
        """ "yes", "check" or "no" for everybody at the table."""
        return worst(one.verdict for one in self.against)

    @property
    def in_house(self) -> bool:
        """True where all of it is there."""
        return not self.missing

    @property
    def foods(self) -> tuple[str, ...]:
        """What it takes, without amounts."""
        return tuple(one.food for one in self.use)


class Swapping:
    """Finds swaps for one household's table, stock and prices."""

    def __init__(
        self,
        measures: Measures,
        table: Table,
        stock: Stock,
        prices: Prices,
        house: Iterable[HouseSwap] = (),
    ) -> None:
        self.measures = measures
        self.table = table
        self.stock = stock
        self.prices = prices
        self.house = tuple(house)
        self._without: dict[str, Stock] = {}

    def at(self, table: Table) -> Swapping:
        """The same for another table."""
        return Swapping(self.measures, table, self.stock, self.prices, self.house)

    def options(
        self,
        food: str,
        amount: Amount | None = None,
        around: Surroundings = NOWHERE,
        line: Line | None = None,
    ) -> list[Option]:
        """Every swap for a food where it stands, best first; those that fail there come last.

        `amount` None: told for the amount of each row of the book. `line` gives the size and cut
        the amount is measured by. Swaps for a role the food does not play there are left out.
        """
        detail, size = (line.detail, line.size) if line else ("", None)
        found = [*self._by_house(food, amount, around)]
        for row in self.rows(food):
            if not takes_over(row, around.roles):
                continue
            option = self._scaled(food, amount, row, detail, size)
            if option is not None:
                found.append(self._placed(option, row, around))
        found += self._forms(food, amount, detail, size, {option.foods for option in found})
        if around.label:
            found = _unique(found)
        return sorted(map(self._judged, found), key=_order)

    def rows(self, food: str) -> list[Swap]:
        """The rows of the book that speak of a food: its own, those of the plain food it is a

        sort of, and for a general name those of its sorts.
        """
        book, foods = swaps_by_food(), self.measures.foods
        names = [food]
        while (base := foods[names[-1]].base) and base not in names:
            if not _alike(foods, base, food):
                break
            names.append(base)
        kind = foods[food].kind
        if kind in book and is_sort(foods, kind, food) and _alike(foods, kind, food):
            names.append(kind)
        rows = [row for name in dict.fromkeys(names) for row in book.get(name, ())]
        usual = foods[kind].base
        if usual in book and _alike(foods, usual, food):
            # The kind's plain name means one usual sort of it (flour is white wheat flour). What
            # that can stand in for by itself, its swaps can, too.
            if not rows or any(row.foods == (usual,) for row in rows):
                rows += book[usual]
        if not rows and is_general(foods, food):
            rows = [row for name in book if is_sort(foods, food, name) for row in book[name]]
        return [row for row in rows if food not in row.foods or row.food == food]

    # -- the three kinds of swap -----------------------------------------------------------------

    def _scaled(
        self, food: str, amount: Amount | None, row: Swap, detail: str, size: Amount | None
    ) -> Option | None:
        """A row of the book at the amount asked about; None where that cannot be measured."""
        unit = row.unit or None
        ratio = 1.0
        asked = amount or Amount(row.amount, unit)
        if amount is not None:
            got = self.measures.convert(food, amount, unit, detail, size)
            got = got or self.measures.convert(row.food, amount, unit, detail, size)
            if got is None:
                return None
            ratio = got.amount.number / row.amount
        use = tuple(
            Used(part.food, handy(Amount(part.number * ratio, part.unit or None)))
            for part in row.use
        )
        option = Option(
            row.id, BOOK, food, asked, use, row.roles, row.works_in, row.fails_in, row.method,
            row.source, place=row.line, reasons=row.reasons,
        )  # fmt: skip
        if row.at_most is not None and row.amount * ratio > row.at_most * 1.001:
            told = next(text for text in row.fails_in if text.startswith("more than"))
            return replace(option, fit=FAILS, warnings=(told,))
        return option

    def _placed(self, option: Option, row: Swap, around: Surroundings) -> Option:
        covers = len(set(row.roles) & set(around.roles))
        if option.fit == FAILS or not (around.sorts or around.named):
            return replace(option, covers=covers)
        fit = suits(row, around.sorts, around.named)
        warnings = failing(row, around.sorts, around.named) if fit == FAILS else ()
        named = told_for(row, around.named)
        return replace(option, fit=fit, named=named, warnings=warnings, covers=covers)

    def _by_house(self, food: str, amount: Amount | None, around: Surroundings) -> Iterator[Option]:
        """The house's own rules; their amounts are those of the book where it knows the pair."""
        foods = self.measures.foods
        for rule in self.house:
            if not is_sort(foods, rule.food, food):
                continue
            row = next((row for row in self.rows(food) if row.foods == (rule.use,)), None)
            known = self._scaled(food, amount, row, "", None) if row else None
            asked = amount or Amount(1, "cup")
            option = known or Option("", "", food, asked, (Used(rule.use, asked),), (), (ANYWHERE,))
            yield replace(
                option, id=f"house-{rule.id}", kind=HOUSE, fit=SUITS, warnings=(),
                source=f"your own rule: {rule.text}" if rule.text else "your own rule",
            )  # fmt: skip

    def _forms(
        self,
        food: str,
        amount: Amount | None,
        detail: str,
        size: Amount | None,
        taken: set[tuple[str, ...]],
    ) -> Iterator[Option]:
        """The food's other forms: dry, canned, cooked, frozen … by the tables of yields."""
        foods = self.measures.foods
        here = state(foods[food].form)
        asked = amount or Amount(1, "can" if here == "canned" else "cup")
        for other in foods.family(food):
            change = changes().get((state(foods[other].form), here))
            if other == food or change is None or (other,) in taken:
                continue
            package = self.measures.usual_package(other)
            units = [package.package] if package and package.package and here != "dry" else []
            for unit in (*units, asked.unit, *_FORM_UNITS):
                met = across(self.measures, food, asked, other, unit, detail, size)
                if met is not None and met.amount.number:
                    use = (Used(other, handy(met.amount)),)
                    source = "; ".join(met.basis) or change.source
                    yield Option(
                        f"form-{other}", FORM, food, asked, use, (), (ANYWHERE,),
                        method=met.do, source=source,
                    )  # fmt: skip
                    break

    # -- what it means for this household ---------------------------------------------------------

    def _judged(self, option: Option) -> Option:
        recipe = Recipe(0, "", tuple(
            Line(used.food, used.food, used.amount) for used in option.use
        ))  # fmt: skip
        found = match(recipe, self._stock_without(option.food))
        costed = cost(found, self.prices)
        missing = [line.food for line in found.lines if line.state not in (HAVE, FREE, TASTE)]
        against: list[Objection] = []
        for line in found.lines:
            claims = [frozenset(draw.lot.claims) for draw in line.draws]
            sure = frozenset.intersection(*claims) if claims and line.state == HAVE else frozenset()
            against += self.table.against(line.food or "", tuple(sorted(sure)))
        table = self.table
        before = table.holds(option.food)
        held = before.union(*(table.holds(food) for food in option.foods))
        open_ = held.union(*(table.may_hold(food) for food in option.foods))
        return replace(
            option,
            missing=tuple(food for food in missing if food),
            cost=None if costed.at_least else costed.total,
            against=tuple(sorted(dict.fromkeys(against), key=lambda one: one.verdict != NO)),
            brings=tuple(sorted(held - before)),
            may_bring=tuple(sorted(open_ - held - table.may_hold(option.food))),
            clears=table.clears(option.food, option.foods),
        )

    def _stock_without(self, food: str) -> Stock:
        """The stock without a food: what is to do without it is not made of it."""
        if food not in self.stock.by_food:
            return self.stock
        if food not in self._without:
            rest = [lot for lot in self.stock.lots if lot.food != food]
            self._without[food] = Stock(rest, self.measures, self.stock.today)
        return self._without[food]


def _alike(foods: Foods, one: str, other: str) -> bool:
    """True where both foods are in the same state, so that amounts of them mean the same."""
    return state(foods[one].form) == state(foods[other].form)


def _order(option: Option) -> tuple[object, ...]:
    return (
        option.fit == FAILS,
        option.verdict == NO,
        option.kind != HOUSE,
        option.fit == UNTOLD,
        option.verdict != YES,
        not option.named,
        not option.in_house,
        option.kind == FORM,
        -option.covers,
        option.cost is None,
        option.cost or Decimal(0),
        option.place,
    )


def _nearness(option: Option) -> tuple[object, ...]:
    """Sorts rows for the same foods by how near to the dish they are told."""
    return option.kind != HOUSE, option.fit, not option.named, option.place


def _unique(options: Iterable[Option]) -> list[Option]:
    """One option for each set of foods, the one told for the nearest sort of dish: rows of the

    book differ by the dish they are told for.
    """
    found: dict[tuple[str, ...], Option] = {}
    for option in sorted(options, key=_nearness):
        found.setdefault(option.foods, option)
    return list(found.values())

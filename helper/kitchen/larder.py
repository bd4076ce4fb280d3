"""What dishes draw on, as plain numbers for the menu model: stores, packages and needs.

A store is one food as it lies in the house or the shop, in one unit. A need is one way of asking
for a food ("cups of chopped onion"), with every store that can meet it. The same kinships, yields
and packages decide here as in `stock`, `matching` and `buying`.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal
from functools import cache

import msgspec

from helper.kitchen.amounts import Amount
from helper.kitchen.facts import state
from helper.kitchen.forms import across
from helper.kitchen.kin import FORM
from helper.kitchen.lots import Lot
from helper.kitchen.matching import detail_of, from_the_tap
from helper.kitchen.menu_problem import Need, Pack, Store
from helper.kitchen.prices import Known, Prices
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Stock, past_its_date
from rules.tables import rows

# "Some" of a food takes this part of a package; what is bought without a known size is plenty.
_SOME = 0.01
_PLENTY = 1e5

Option = tuple[str, Amount | None]


class Sold(msgspec.Struct, frozen=True):
    """A package that can be bought. `size` None where no package of the food is known."""

    food: str
    package: str | None
    size: Amount | None
    price: Decimal | None
    known: Known | None = None


class Taken(msgspec.Struct, frozen=True):
    """What one cooking of a recipe takes of every need, and the foods nobody can measure."""

    uses: Mapping[int, float]
    unsure: tuple[str, ...] = ()


class _Shelf(msgspec.Struct):
    """A store being put together."""

    food: str
    unit: str | None
    claims: frozenset[str]
    lots: list[tuple[Lot, float]]
    bought: bool = False


class Larder:
    """The stock and the shop as stores; dishes are read in one after the other.

    `due_by`: lots with a date from `today` to that day count as due. `shop` False leaves out
    everything that would have to be bought.
    """

    def __init__(
        self, stock: Stock, prices: Prices, today: dt.date, due_by: dt.date, shop: bool = True
    ) -> None:
        self._stock, self._prices, self._shop = stock, prices, shop
        self._today, self._due_by = today, due_by
        self._measures = stock.measures
        self._shelves: list[_Shelf] = []
        self._of_food: defaultdict[str, list[int]] = defaultdict(list)
        self._needs: list[Need] = []
        self._needed: dict[object, int | None] = {}
        self.sold: list[Sold] = []
        self._packs: list[Pack] = []
        self._unmeasured: dict[tuple[str, str, frozenset[str]], int] = {}
        for lot in stock.lots:
            if not past_its_date(lot, today):
                self._put_away(lot)

    # -- the stores --------------------------------------------------------------------------

    def _put_away(self, lot: Lot) -> None:
        claims = frozenset(lot.claims)
        for place in self._of_food[lot.food]:
            shelf = self._shelves[place]
            if shelf.claims == claims:
                left = self._measures.convert(lot.food, lot.left, shelf.unit)
                if left is not None:
                    shelf.lots.append((lot, left.amount.number))
                    return
        self._of_food[lot.food].append(len(self._shelves))
        self._shelves.append(_Shelf(lot.food, lot.left.unit, claims, [(lot, lot.left.number)]))

    def _shelf_for(self, food: str, unit: str | None, claims: frozenset[str]) -> int:
        """The store that bought packages of a food go to."""
        for place in self._of_food[food]:
            shelf = self._shelves[place]
            if shelf.claims >= claims and (not claims or shelf.bought or shelf.claims == claims):
                if self._measures.convert(food, Amount(1, unit), shelf.unit) is not None:
                    return place
        self._of_food[food].append(len(self._shelves))
        self._shelves.append(_Shelf(food, unit, claims, [], True))
        return len(self._shelves) - 1

    def _bare_shelf(self, food: str, of: str, claims: frozenset[str]) -> int:
        """A store that nothing else can be measured against."""
        key = (food, of, claims)
        if key not in self._unmeasured:
            self._unmeasured[key] = len(self._shelves)
            self._shelves.append(_Shelf(food, None, claims, [], True))
        return self._unmeasured[key]

    # -- the dishes --------------------------------------------------------------------------

    def taken(self, recipe: Recipe) -> Taken:
        """What the needed lines of a recipe, at the amounts they stand at, take of every need."""
        uses: defaultdict[int, float] = defaultdict(float)
        unsure: list[str] = []
        for line in recipe.lines:
            if line.optional or (line.to_taste and line.amount is None):
                continue
            if line.food is None or line.unread:
                unsure.append(line.text)
                continue
            if from_the_tap(self._measures.foods, line.food):
                continue
            need = self._need(line)
            if need is None:
                unsure.append(line.food)
            elif need >= 0:
                uses[need] += 1.0 if line.amount is None else line.amount.number
        return Taken(dict(uses), tuple(dict.fromkeys(unsure)))

    def _need(self, line: Line) -> int | None:
        """The place of the need a line asks for; -1 where some of it is there and that will do,
        None where it cannot be measured."""
        assert line.food is not None
        unit = line.amount.unit if line.amount else None
        ratios = tuple((choice.food, self._ratio(line, choice.amount)) for choice in line.choices)
        claims = frozenset(line.claims)
        detail, size = detail_of(line), line.size
        key = (line.food, line.amount is None, unit, ratios, detail, size, claims)
        if key not in self._needed:
            options: list[Option] = [
                (line.food, None if line.amount is None else Amount(1, unit)),
                *ratios,
            ]
            self._needed[key] = self._new_need(options, detail, size, claims)
        return self._needed[key]

    @staticmethod
    def _ratio(line: Line, amount: Amount | None) -> Amount | None:
        """What one unit of the line comes to in another of its choices."""
        if line.amount is None:
            return None
        if amount is None or not line.amount.number:
            return Amount(1, line.amount.unit)
        return Amount(amount.number / line.amount.number, amount.unit)

    def _new_need(
        self, options: list[Option], detail: str, size: Amount | None, claims: frozenset[str]
    ) -> int | None:
        if any(amount is None for _, amount in options):
            if any(self._some_here(food, claims) for food, _ in options):
                return -1
            sources = self._some_bought(options[0][0], claims)
        else:
            sources = {}
            blind = False
            for food, amount in options:
                assert amount is not None
                found, unmeasured = self._here(food, amount, detail, size, claims)
                blind = blind or unmeasured
                for store, rate in found.items():
                    # what the line names first is what is measured out, as in `matching`
                    sources.setdefault(store, rate)
            if blind:
                return None
            for food, amount in options if self._shop else ():
                assert amount is not None
                for store, rate in self._bought(food, amount, detail, size, claims).items():
                    sources.setdefault(store, rate)
        if not sources:
            # nothing that could meet it: an empty store, so that the dish cannot be chosen
            sources = {self._bare_shelf(options[0][0], "none", claims): 1.0}
        self._needs.append(Need(options[0][0], tuple(sources.items())))
        return len(self._needs) - 1

    def _here(
        self, food: str, amount: Amount, detail: str, size: Amount | None, claims: frozenset[str]
    ) -> tuple[dict[int, float], bool]:
        """Stores in the house that can meet a need, and whether some cannot be measured."""
        found: dict[int, float] = {}
        seen = False
        for kin in self._stock.pantry.standing_for(food):
            for place in self._of_food[kin.food]:
                shelf = self._shelves[place]
                if not shelf.lots or not claims <= shelf.claims:
                    continue
                seen = True
                lot = shelf.lots[0][0]
                rate = self._stock.rate(food, amount.unit, detail, size, lot)
                if rate is None or not rate.amount.number:
                    continue
                per = self._measures.convert(lot.food, rate.amount, shelf.unit)
                if per is not None:
                    found[place] = per.amount.number * amount.number
        return found, seen and not found

    def _some_here(self, food: str, claims: frozenset[str]) -> bool:
        return any(
            claims <= shelf.claims and bool(shelf.lots)
            for kin in self._stock.pantry.standing_for(food)
            if kin.rank <= FORM
            for shelf in (self._shelves[place] for place in self._of_food[kin.food])
        )

    # -- the shop ----------------------------------------------------------------------------

    def _bought(
        self, food: str, amount: Amount, detail: str, size: Amount | None, claims: frozenset[str]
    ) -> dict[int, float]:
        """Stores that shopping can fill for a need, packages put on sale there."""
        for name in self._on_sale(food):
            found: dict[int, float] = {}
            for sold in self._sorts(name):
                assert sold.size is not None
                packed = self._packed(sold, amount, size)
                rate = packed or self._measured(food, amount, sold, detail, size)
                if rate is None or (packed and found):
                    continue  # of packages only counted, the one bought last is meant
                place = self._offer(sold, claims)
                per = self._measures.convert(
                    sold.food, Amount(rate, sold.size.unit), self._shelves[place].unit
                )
                if per is not None:
                    found[place] = per.amount.number
            if found:
                return found
        return self._unheard_of(food, amount, claims)

    def _on_sale(self, food: str) -> tuple[str, ...]:
        """Foods to look for in the shop, in the order of `buying`: priced ones first."""
        foods = self._measures.foods
        base = foods[food].base
        cooked = base and state(foods[food].form) == "cooked"
        usual = (base, food) if cooked else (food,)
        return tuple(
            dict.fromkeys((*(known.food for known in self._prices.candidates(food)), *usual))
        )

    def _sorts(self, food: str) -> list[Sold]:
        """Packages of exactly this food: the newest price of every size known, or else usual
        ones without a price."""
        sorts: dict[tuple[str | None, Amount], Sold] = {}
        for known in self._prices.history(food):
            if known.size.number > 0:
                sorts.setdefault(
                    (known.package, known.size),
                    Sold(food, known.package, known.size, known.price, known),
                )
        if sorts:
            return list(sorts.values())
        return [Sold(food, one.package, one.amount, None) for one in self._measures.packages(food)][
            :1
        ]

    @staticmethod
    def _packed(sold: Sold, amount: Amount, size: Amount | None) -> float | None:
        """A need counted in the very packages that are sold."""
        if sold.size is None or sold.package is None or size is not None:
            return None
        return amount.number * sold.size.number if amount.unit == sold.package else None

    def _measured(
        self, food: str, amount: Amount, sold: Sold, detail: str, size: Amount | None
    ) -> float | None:
        assert sold.size is not None
        met = across(
            self._measures, food, Amount(1, amount.unit), sold.food, sold.size.unit, detail, size
        )
        return met.amount.number * amount.number if met and met.amount.number else None

    def _offer(self, sold: Sold, claims: frozenset[str]) -> int:
        """Puts a package on sale, once; returns the store it would fill."""
        assert sold.size is not None
        place = self._shelf_for(sold.food, sold.size.unit, claims)
        if not any(
            pack.store == place and self.sold[number] == sold
            for number, pack in enumerate(self._packs)
        ):
            holds = self._measures.convert(sold.food, sold.size, self._shelves[place].unit)
            if holds is not None:
                self._packs.append(Pack(place, holds.amount.number, _cents(sold.price)))
                self.sold.append(sold)
        return place

    def _unheard_of(self, food: str, amount: Amount, claims: frozenset[str]) -> dict[int, float]:
        """A food without any known package: as much as it takes, at a price nobody knows."""
        place = self._bare_shelf(food, f"some {amount.unit}", claims)
        if not any(pack.store == place for pack in self._packs):
            self._packs.append(Pack(place, _PLENTY, None))
            self.sold.append(Sold(food, None, None, None))
        return {place: amount.number}

    def _some_bought(self, food: str, claims: frozenset[str]) -> dict[int, float]:
        """A need for "some" of a food that is not there: a small part of any package."""
        if not self._shop:
            return {}
        for name in self._on_sale(food):
            found: dict[int, float] = {}
            for sold in self._sorts(name)[:1]:  # the one bought last, as `buying` does
                assert sold.size is not None
                place = self._offer(sold, claims)
                pack = next(
                    p
                    for n, p in enumerate(self._packs)
                    if p.store == place and self.sold[n] == sold
                )
                found[place] = min(pack.holds * _SOME, found.get(place, _PLENTY))
            if found:
                return found
        return self._unheard_of(food, Amount(_SOME), claims)

    # -- what it comes to --------------------------------------------------------------------

    @property
    def needs(self) -> list[Need]:
        """Every need read in so far."""
        return self._needs

    @property
    def packs(self) -> list[Pack]:
        """Every package on sale, in the order of `sold`."""
        return self._packs

    @property
    def stores(self) -> list[Store]:
        """Every store, with what is on hand, what it cost and what of it is due."""
        cheapest: dict[int, float] = {}
        for pack in self._packs:
            if pack.cents is not None:
                each = pack.cents / pack.holds
                cheapest[pack.store] = min(each, cheapest.get(pack.store, each))
        return [
            self._store(place, shelf, cheapest.get(place, 0.0))
            for place, shelf in enumerate(self._shelves)
        ]

    def _store(self, place: int, shelf: _Shelf, new: float) -> Store:
        here = sum(left for _, left in shelf.lots)
        due = sum(left for lot, left in shelf.lots if self.is_due(lot))
        paid = sum(
            float(lot.price) * 100 * lot.left.number / lot.size.number
            for lot, _ in shelf.lots
            if lot.price is not None and lot.size.number
        )
        each = paid / here if here and paid else new
        saved = sum(left * due_weight(lot.place) for lot, left in shelf.lots if self.is_due(lot))
        return Store(shelf.food, here, each, due, each * saved / due if due else 0.0)

    def is_due(self, lot: Lot) -> bool:
        """Whether a lot has a date within the days planned for."""
        return lot.best_by is not None and self._today <= lot.best_by <= self._due_by


@cache
def _weights() -> dict[str, float]:
    return {row["place"]: float(row["weight"]) for row in rows("books/due_weights.csv")}


def due_weight(place: str) -> float:
    """What a cent's worth of due food counts, in cents at the till, if it is used in time."""
    return _weights().get(place, 1.0)


def _cents(price: Decimal | None) -> int | None:
    return None if price is None else round(price * 100)

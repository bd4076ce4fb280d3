"""The house as the acts see it: the books, what is known of foods, and the day.

Everything worked out from the books is kept until the books change.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any, TypeVar

from msgspec.structs import replace

from helper.acts.heeding import Heeding
from helper.household.books import Household
from helper.kitchen.foods import Foods
from helper.kitchen.index import RecipeIndex, card
from helper.kitchen.keeping import Keeping
from helper.kitchen.lots import Lot
from helper.kitchen.measures import Measures
from helper.kitchen.people import Person
from helper.kitchen.prices import Prices
from helper.kitchen.safety import Safety
from helper.kitchen.stock import Stock
from helper.reading.context import Context
from helper.reading.names import Names
from helper.reading.phrasebook import phrasebook

T = TypeVar("T")

# With more recipes changed at once than this, indexing all of them anew is quicker.
_MANY = 100


class House:
    """One household on one day, during one conversation.

    `books` is the only thing here that can be changed. `last` is what the last answer left
    behind for "why?".
    """

    def __init__(self, books: Household, today: dt.date) -> None:
        self.books = books
        self.today = today
        self.context = Context()
        self.last: Any = None
        self._kept: dict[str, tuple[int, Any]] = {}
        self._index: RecipeIndex | None = None
        self._indexed: dict[int, Any] = {}
        self._named: tuple[object, Names] | None = None

    def kept(self, name: str, make: Callable[[], T]) -> T:
        """Something worked out from the books, made anew only after a change in them."""
        known = self._kept.get(name)
        if known is None or known[0] != self.books.version:
            known = (self.books.version, make())
            self._kept[name] = known
        value: T = known[1]
        return value

    @property
    def currency(self) -> str:
        """The household's currency, an ISO 4217 code."""
        return str(self.books.settings.get("currency", "USD"))

    @property
    def lots(self) -> list[Lot]:
        """All lots with something left in them."""
        return [lot for lot in self.books.lots() if lot.left.number > 1e-9]

    @property
    def people(self) -> list[Person]:
        """Everybody who eats here, visitors too; at `home` those who are at the table today."""
        return [replace(one, home=one.eats_on(self.today)) for one in self.books.people()]

    def at_table(self, day: dt.date) -> tuple[Person, ...]:
        """Who eats here on a day."""
        return tuple(one for one in self.books.people() if one.eats_on(day))

    def person(self, name: str) -> Person | None:
        """The person of that name, whatever its capitals."""
        return next((p for p in self.people if p.name.casefold() == name.casefold()), None)

    @property
    def foods(self) -> Foods:
        """Foods of the tables and the household's own."""
        return self.kept("foods", self._foods)

    def _foods(self) -> Foods:
        listed = Foods()
        for name in self._own_foods(listed):
            listed.add_own(name)
        return listed

    def _own_foods(self, listed: Foods) -> list[str]:
        """Names of this household's goods that the tables do not have."""
        own = {lot.food for lot in self.books.lots()}
        own.update(price.food for price in self.books.prices())
        return sorted(name for name in own if name not in listed)

    @property
    def measures(self) -> Measures:
        """Conversions through foods, with what the household has told of its own packages."""
        return self.kept("measures", self._measures)

    def _measures(self) -> Measures:
        told = {
            (fact.food, fact.package): fact.size
            for fact in self.books.told()
            if fact.kind == "size" and fact.size is not None
        }
        return Measures(self.foods, told)

    @property
    def stock(self) -> Stock:
        """The lots as plans draw on them; those past their date last, and marked."""
        return self.kept("stock", lambda: Stock(self.lots, self.measures, self.today))

    @property
    def prices(self) -> Prices:
        """Every price known."""
        return self.kept(
            "prices", lambda: Prices(self.books.prices(), self.books.lots(), self.measures)
        )

    @property
    def index(self) -> RecipeIndex:
        """Which recipes hold which foods."""
        return self.kept("index", self._recipe_index)

    def _recipe_index(self) -> RecipeIndex:
        """Made once; after a change in the books only the recipes that changed are indexed again.

        A recipe's paper is replaced when it changes, so the same paper is the same recipe.
        """
        papers = self.books.papers("recipes")
        changed = [
            record
            for record in self._indexed.keys() | papers.keys()
            if self._indexed.get(record) is not papers.get(record)
        ]
        if self._index is None or len(changed) > _MANY:
            self._index = RecipeIndex(self.foods, (card(one) for one in self.books.recipes()))
        else:
            for record in changed:
                self._index.remove(record)
                recipe = self.books.recipe(record)
                if recipe is not None:
                    self._index.add(card(recipe))
        self._indexed = dict(papers)
        return self._index

    @property
    def keeping(self) -> Keeping:
        """How long food keeps."""
        return self.kept("keeping", lambda: Keeping(self.foods))

    @property
    def cautions(self) -> Heeding:
        """What to be careful of, ready to be shown."""
        return self.kept("cautions", lambda: Heeding(self.foods))

    @property
    def names(self) -> Names:
        """All names a request may hold."""
        return self.kept("names", self._names)

    def _names(self) -> Names:
        titles = [recipe.title for recipe in self.books.recipes()]
        shops = {lot.shop for lot in self.books.lots() if lot.shop}
        shops |= {price.shop for price in self.books.prices() if price.shop}
        return Names(
            self.foods,
            titles,
            [person.name for person in self.people],
            shops,
            phrasebook().vocabulary,
            phrasebook().strange,
            {person.name: person.note for person in self.people if person.note},
        )

    @property
    def safety(self) -> Safety:
        """Who of the household may eat what, as the books stand."""
        return self.kept("safety", self._safety)

    def _safety(self) -> Safety:
        banned = [
            (rule.food, rule.person)
            for rule in self.books.house_rules()
            if rule.kind == "never" and rule.food and not rule.more.get("days")
        ]
        return Safety(self.foods, self.people, banned, self.lots)

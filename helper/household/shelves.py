"""The tables in memory: JSON text for every record, and the records lately asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

import msgspec

from helper.household.journal import Change
from helper.household.pages import Pages, title_key
from helper.household.records import NOTHING, read
from helper.kitchen.lots import PriceSeen

if TYPE_CHECKING:
    from tinydb.table import Table

# Recipes are the one table that grows large and is read in full; this many are kept as records.
RECIPES_AT_HAND = 512

Papers = dict[int, msgspec.Raw]


class _Titled(msgspec.Struct):
    title: str


_titles = msgspec.json.Decoder(_Titled)


class Shelves(Pages):
    """All tables, read when asked; `apply` is the only way anything in them changes."""

    def __init__(self) -> None:
        self._tables: dict[str, Papers] = {}
        self._ids: dict[str, int] = {}
        self._forget()

    def _forget(self) -> None:
        self._read: dict[str, dict[int, Any]] = {}
        self._listed: dict[str, list[Any]] = {}
        self._recipes: dict[int, Any] = {}
        self._titles: dict[str, int] | None = None
        self._priced: dict[str, list[PriceSeen]] | None = None

    def lay_out(self, tables: dict[str, Papers], ids: dict[str, int]) -> None:
        """Begin anew with these tables and the highest numbers given out in them."""
        self._tables, self._ids = tables, dict(ids)
        for table, papers in tables.items():
            self._ids[table] = max(self._ids.get(table, 0), max(papers, default=0))
        self._forget()

    def apply(self, changes: Iterable[Change]) -> None:
        """Carry out changes."""
        for change in changes:
            papers = self._tables.setdefault(change.table, {})
            old = papers.get(change.id, NOTHING)
            if change.after == NOTHING:
                papers.pop(change.id, None)
            else:
                # A copy, so that the rest of the journal's line does not stay in memory with it.
                papers[change.id] = change.after.copy()
            self._ids[change.table] = max(self._ids.get(change.table, 0), change.id)
            self._noticed(change, old)

    def _noticed(self, change: Change, old: msgspec.Raw) -> None:
        table, record = change.table, change.id
        if table == "recipes":
            self._recipes.pop(record, None)
            self._retitled(record, old, change.after)
            return
        if table == "prices":
            self._priced = None
        self._listed.pop(table, None)
        at_hand = self._read.get(table)
        if at_hand is not None:
            at_hand.pop(record, None)

    def _retitled(self, record: int, old: msgspec.Raw, new: msgspec.Raw) -> None:
        titles = self._titles
        if titles is None:
            return
        if old != NOTHING:
            titles.pop(title_key(_titles.decode(old).title), None)
        if new != NOTHING:
            titles[title_key(_titles.decode(new).title)] = record
        # Two recipes of one title: which of them is meant has to be found out again.
        if len(titles) != len(self._tables["recipes"]):
            self._titles = None

    def papers(self, table: str) -> Mapping[int, msgspec.Raw]:
        """A table as it is written down, by number."""
        return self._tables.get(table, {})

    def paper(self, table: str, record: int) -> msgspec.Raw:
        """One record as it is written down; null where there is none."""
        return self._tables.get(table, {}).get(record, NOTHING)

    def tables(self) -> dict[str, Papers]:
        """All tables as they are written down."""
        return self._tables

    def changes_to(self, tables: Mapping[str, Papers]) -> tuple[Change, ...]:
        """The changes that would make these tables of what is laid out."""
        return tuple(
            Change(table, record, before, after)
            for table in sorted(self._tables.keys() | tables.keys())
            for record in sorted(self.papers(table).keys() | tables.get(table, {}).keys())
            if (before := self.paper(table, record))
            != (after := tables.get(table, {}).get(record, NOTHING))
        )

    def last_ids(self) -> dict[str, int]:
        """The highest number ever given out, by table."""
        return self._ids

    def last_id(self, table: str) -> int:
        """The highest number ever given out in a table."""
        return self._ids.get(table, 0)

    def get(self, table: str, record: int) -> Any:
        """One record, or None."""
        at_hand = self._recipes if table == "recipes" else self._read.setdefault(table, {})
        found = at_hand.get(record)
        if found is None and (paper := self.paper(table, record)) != NOTHING:
            found = at_hand[record] = read(table, paper)
            if at_hand is self._recipes and len(at_hand) > RECIPES_AT_HAND:
                del at_hand[next(iter(at_hand))]
        return found

    def each(self, table: str) -> Iterator[Any]:
        """All records of a table; of recipes no more are kept in memory than were before."""
        if table != "recipes":
            yield from self._list(table)
            return
        papers = self.papers(table)
        few = len(papers) <= RECIPES_AT_HAND
        for record in sorted(papers):
            if few or record in self._recipes:
                yield self.get(table, record)
            else:
                yield read(table, papers[record])

    def all(self, table: str) -> list[Any]:
        """All records of a table, in a list of the caller's own."""
        return list(self.each(table)) if table == "recipes" else list(self._list(table))

    def _list(self, table: str) -> list[Any]:
        listed = self._listed.get(table)
        if listed is None:
            listed = [self.get(table, record) for record in sorted(self.papers(table))]
            self._listed[table] = listed
        return listed

    def recipe_titles(self) -> dict[str, int]:
        """Number of each recipe by `title_key` of its title; the first of a title counts."""
        if self._titles is None:
            self._titles = {}
            for record, paper in sorted(self.papers("recipes").items()):
                self._titles.setdefault(title_key(_titles.decode(paper).title), record)
        return self._titles

    def prices(self, food: str | None = None) -> list[PriceSeen]:
        """Prices paid and seen, of one food or of all."""
        if food is None:
            return self.all("prices")
        if self._priced is None:
            self._priced = {}
            for price in self._list("prices"):
                self._priced.setdefault(price.food, []).append(price)
        return list(self._priced.get(food, ()))

    def table(self, name: str) -> Table:
        """A TinyDB table to search by queries; it is changed in a draft only."""
        from helper.household.storage import Papers, Tables, TablesStorage

        return Tables(
            storage=lambda: TablesStorage(lambda: {name: Papers(self.papers(name))})
        ).table(name)

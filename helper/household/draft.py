"""A change being prepared: it sees itself, the household does not see it until it is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import msgspec

from helper.household.journal import Change
from helper.household.pages import Pages, title_key
from helper.household.records import KINDS, NOTHING, R, Setting, read, written
from helper.household.troubles import BooksDamaged, Unwritable

if TYPE_CHECKING:
    from tinydb.table import Table

    from helper.household.books import Household


def _paper(table: str, record: object) -> msgspec.Raw:
    """A record as it is written, proven readable: nothing else gets into the books."""
    try:
        paper = written(record)
        read(table, paper)
    except (BooksDamaged, ValueError, OverflowError) as error:
        reason = error.what if isinstance(error, BooksDamaged) else str(error)
        raise Unwritable("That cannot be kept in the books", reason, "Say it otherwise.") from None
    return paper


class Draft(Pages):
    """Records to add, put and remove in one step, over the household as it is.

    `summary` and `meta` may be filled in along the way; they go into the journal's event.
    """

    def __init__(self, household: Household) -> None:
        self._household = household
        self._before: dict[tuple[str, int], msgspec.Raw] = {}
        self._after: dict[str, dict[int, msgspec.Raw]] = {}
        self._given: dict[str, int] = {}
        self.summary = ""
        self.meta: dict[str, Any] = {}

    def add(self, table: str, record: R) -> R:
        """Add a record; it is given the next number, and returned with it."""
        number = self._given.get(table, self._household.last_id(table)) + 1
        self._given[table] = number
        numbered: R = msgspec.structs.replace(record, id=number)  # type: ignore[type-var]
        self._lay(table, number, _paper(table, numbered))
        return numbered

    def put(self, table: str, record: R) -> R:
        """Put a record in the place of the one with its number."""
        self._lay(table, record.id, _paper(table, record))
        return record

    def remove(self, table: str, record: int) -> None:
        """Take a record away; nothing happens where there is none."""
        self._lay(table, record, NOTHING)

    def choose(self, name: str, value: Any) -> None:
        """Set one of the household's settings."""
        for setting in self.all("settings"):
            if setting.name == name:
                self.put("settings", Setting(setting.id, name, value))
                return
        self.add("settings", Setting(0, name, value))

    def _lay(self, table: str, record: int, paper: msgspec.Raw) -> None:
        self._before.setdefault((table, record), self._household.paper(table, record))
        self._after.setdefault(table, {})[record] = paper

    @property
    def changes(self) -> tuple[Change, ...]:
        """What this draft would change; records left as they were are not among it."""
        return tuple(
            Change(table, record, before, after)
            for (table, record), before in self._before.items()
            if (after := self._after[table][record]) != before
        )

    def get(self, table: str, record: int) -> Any:
        """One record as it would be, or None."""
        own = self._after.get(table, {})
        if record in own:
            return read(table, own[record])
        return self._household.get(table, record)

    def each(self, table: str) -> Iterator[Any]:
        """All records of a table as they would be."""
        own = self._after.get(table)
        if not own:
            yield from self._household.each(table)
            return
        waiting = sorted(own, reverse=True)
        for record in self._household.each(table):
            while waiting and waiting[-1] < record.id:
                yield from self._own(table, waiting.pop())
            if waiting and waiting[-1] == record.id:
                yield from self._own(table, waiting.pop())
            else:
                yield record
        while waiting:
            yield from self._own(table, waiting.pop())

    def _own(self, table: str, record: int) -> Iterator[Any]:
        found = read(table, self._after[table][record])
        if found is not None:
            yield found

    def recipe_titles(self) -> dict[str, int]:
        """Number of each recipe by `title_key` of its title, as they would be."""
        own = self._after.get("recipes", {})
        if not own:
            return self._household.recipe_titles()
        titles = {
            title: record
            for title, record in self._household.recipe_titles().items()
            if record not in own
        }
        for record, paper in own.items():
            recipe = read("recipes", paper)
            if recipe is not None:
                titles[title_key(recipe.title)] = record
        return titles

    def table(self, name: str) -> Table:
        """A TinyDB table to search and edit by queries; edits land in this draft."""
        from helper.household.storage import Papers, Tables, TablesStorage

        def put(record: int, document: dict[str, Any] | None) -> None:
            if document is None:
                self.remove(name, record)
            else:
                # Through the record's own type, so that nothing unreadable gets into the books.
                self.put(name, msgspec.convert(document, KINDS[name], strict=False))

        return Tables(
            storage=lambda: TablesStorage(lambda: {name: Papers(self._papers(name), put)})
        ).table(name)

    def _papers(self, table: str) -> Mapping[int, msgspec.Raw]:
        papers = {**self._household.papers(table), **self._after.get(table, {})}
        return {record: paper for record, paper in papers.items() if paper != NOTHING}

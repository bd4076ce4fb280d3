"""Books of an older program, brought up to date.

`SCHEMA` counts the shapes the tables have had. A change of shape adds one to it, and an upgrade
here under the old number: a function from (table, document) to the document in its new shape, or
to None where it is to go. Fields with a default can be added to a record without any of this.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import msgspec

from helper.household.journal import Change, Event
from helper.household.records import NOTHING, written
from helper.household.troubles import cannot_write

if TYPE_CHECKING:
    from helper.household.keeper import Keeper

# An act of the journal's own: it gives the books a new shape.
UPGRADE = "upgrade"

Document = dict[str, Any]
Upgrade = Callable[[str, Document], Document | None]

SCHEMA = 1
UPGRADES: dict[int, Upgrade] = {}


def upgraded(tables: Mapping[str, Mapping[int, msgspec.Raw]], schema: int) -> tuple[Change, ...]:
    """The changes that bring tables of an older schema up to date."""
    changes = []
    for table, papers in tables.items():
        for record, before in papers.items():
            document: Document | None = msgspec.json.decode(before)
            for step in range(schema, SCHEMA):
                if document is not None and step in UPGRADES:
                    document = UPGRADES[step](table, document)
            after = NOTHING if document is None else written(document)
            if after != before:
                changes.append(Change(table, record, before, after))
    return tuple(changes)


def bring_up(keeper: Keeper) -> None:
    """Back older books up and bring them up to date. Raises what writing raises."""
    with keeper.alone():
        if keeper.schema >= SCHEMA:
            return
        if keeper.damage is not None:
            raise keeper.damage
        old = keeper.schema
        backup = keeper.folder / f"backup-schema-{old}"
        try:
            keeper.disk.make_folder(backup)
            for path in (keeper.journal.path, keeper.tables.path):
                if keeper.disk.stamp(path) is not None:
                    keeper.disk.put_file(backup / path.name, keeper.disk.read(path))
        except OSError as error:
            raise cannot_write(error, backup) from error
        newest = next(keeper.journal.newest_first(keeper.offset), None)
        keeper.append(
            Event(
                keeper.seq + 1,
                newest.time if isinstance(newest, Event) else "",
                UPGRADE,
                summary=f"Brought up from books {old} to {SCHEMA}",
                meta={"schema": SCHEMA},
                changes=upgraded(keeper.shelves.tables(), old),
            )
        )
        keeper.schema = SCHEMA
    keeper.notices.append(
        f"These books were of an older kind and have been brought up to date. "
        f"The old ones are kept in {backup.name}."
    )

"""Books of an older program, brought up to date.

`SCHEMA` counts the shapes the tables have had. A change of shape adds one to it, and an upgrade
here under the old number: a function from (table, document) to the document in its new shape, or
to None where it is to go. Fields with a default can be added to a record without any of this.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import msgspec

from helper.household.journal import Change
from helper.household.records import NOTHING, written

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

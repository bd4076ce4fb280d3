"""The household: its books opened, asked, changed through one door, and changes taken back."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from helper.household.disk import Disk, MemoryDisk
from helper.household.draft import Draft
from helper.household.journal import BadLine, Entry, Event, Journal
from helper.household.pages import Pages
from helper.household.records import NOTHING, Record
from helper.household.shelves import Shelves
from helper.household.troubles import (
    BooksBusy,
    BooksDamaged,
    CannotUndo,
    CannotWrite,
    Clash,
    NewerBooks,
    cannot_read,
    cannot_write,
)
from helper.household import upgrades

if TYPE_CHECKING:
    from tinydb.table import Table

    from helper.household.storage import Snapshot

# The journal's own events: they found the books or reshape them, and are not taken back.
FOUNDING, UPGRADE, UNDO = "books", "upgrade", "undo"

"""Keeping files and memory together: opening, following the journal, adding to it, snapshots.

The keeper knows where in the journal the shelves stand. Everything others have added since is
read before anything is written, and a snapshot is only trusted where it fits the journal.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from helper.household import upgrades
from helper.household.disk import PATIENCE, Disk, Stamp
from helper.household.journal import BadLine, Change, Entry, Event, Journal
from helper.household.shelves import Shelves
from helper.household.troubles import (
    BooksBusy,
    BooksDamaged,
    CannotWrite,
    NewerBooks,
    cannot_read,
    cannot_write,
)

if TYPE_CHECKING:
    from helper.household.storage import Snapshot

# An act of the journal's own: it founds the books.
FOUNDING = "books"

# A new snapshot is worth its writing once this much would have to be read again at opening.
WORTH_CLOSING_EVENTS, WORTH_CLOSING_BYTES = 200, 1 << 20
WORTH_STOPPING_EVENTS, WORTH_STOPPING_BYTES = 5_000, 1 << 24


class _Founded(msgspec.Struct):
    """What a founding event says: the schema, and the change that tables taken over had got to."""

    schema: int = 1
    tables: int = 0


class Keeper:
    """The files of one household and the shelves they are laid out on."""

    def __init__(self, folder: Path, disk: Disk, shelves: Shelves) -> None:
        from helper.household.storage import SnapshotFile

        self.folder = folder
        self.disk = disk
        self.journal = Journal(folder / "journal.jsonl", disk)
        self._lock_path = folder / "books.lock"
        self.tables = SnapshotFile(folder / "tables.json", disk)
        self.shelves = shelves
        self.notices: list[str] = []
        self.damage: BooksDamaged | None = None
        self.seq = 0
        self.schema = 0
        self.offset = 0
        self._seal = b""
        self._stamp: Stamp | None = None
        self._tail_events = 0
        self._tail_start = 0
        self._orphaned = False
        self._behind = False
        # What tables taken over have beyond the journal, to be written down with the next change.
        self._missing: tuple[Change, ...] = ()
        self._taken_to = 0

    # Opening

    def open(self) -> None:
        """Snapshot, then whatever the journal has beyond it; older books are brought up to date."""
        try:
            self.disk.make_folder(self.folder)
        except OSError as error:
            raise cannot_write(error, self.folder) from error
        try:
            snapshot, whole = self.tables.load()
            self._begin(snapshot, whole)
            if self.journal.size() > self.offset:
                self._tidy()
        except OSError as error:
            raise cannot_read(error, self.folder) from error
        if 0 < self.schema < upgrades.SCHEMA:
            upgrades.bring_up(self)

    def _begin(self, snapshot: Snapshot | None, whole: bool) -> None:
        if snapshot is not None:
            self._check_schema(snapshot.books.schema)
            if self._fits(snapshot):
                if not whole:
                    self._tell_rebuilt("was garbled")
                self._lay_out(snapshot)
                self.catch_up()
                return
            if snapshot.books.seq and not self._tells_anything():
                self._take_over(snapshot)
                return
        self.rebuild()
        if snapshot is not None and snapshot.books.seq > max(self.seq, self._taken_to):
            if self.damage is None and snapshot.books.first.encode() == self.journal.first_seal():
                self._take_the_rest(snapshot)
            else:
                self._keep_ahead(snapshot.books.seq)
        elif snapshot is not None or not whole:
            self._tell_rebuilt("did not fit the journal" if whole else "was garbled")

    def tell_once(self, notice: str) -> None:
        """Add a notice that may have been given before."""
        if notice not in self.notices:
            self.notices.append(notice)

    def _tell_rebuilt(self, why: str) -> None:
        self.notices.append(
            f"{self.tables.path.name} {why}; the tables were made again from the journal. "
            "Nothing is lost."
        )

    def _fits(self, snapshot: Snapshot) -> bool:
        books = snapshot.books
        if not books.offset:
            return not self.journal.size() and not books.seq
        if self.journal.size() < books.offset:
            return False
        return self.journal.seal_at(books.offset) == books.seal.encode() + b"\n"

    def _lay_out(self, snapshot: Snapshot) -> None:
        books = snapshot.books
        self.shelves.lay_out(snapshot.tables, books.ids)
        self.seq, self.schema, self.offset = books.seq, books.schema, books.offset
        self._seal = books.seal.encode()
        self._tail_start, self._tail_events = books.offset, 0

    def _tells_anything(self) -> bool:
        """Whether one line of the journal at least is as it was written."""
        return any(not isinstance(entry, BadLine) for entry, _, _ in self.journal.entries())

    def _take_over(self, snapshot: Snapshot) -> None:
        """The journal is lost, the tables are not: go on from them in a new journal."""
        self._lay_out(snapshot)
        self._orphan()

    def _orphan(self) -> None:
        stamp = self.disk.stamp(self.journal.path)
        state = "is missing" if stamp is None else "cannot be read" if stamp[1] else "is empty"
        self.offset, self._seal, self._tail_start, self._stamp = 0, b"", 0, stamp
        self._orphaned = True
        self.notices.append(
            f"{self.journal.path.name} {state}. The tables are as they last were, but what "
            "happened before cannot be told or taken back. If you have the file, put it back now."
        )

    def _take_the_rest(self, snapshot: Snapshot) -> None:
        """The journal has lost its end, the tables have not: go on from them, in this journal."""
        ahead = snapshot.books
        self._missing = self.shelves.changes_to(snapshot.tables)
        self._taken_to = ahead.seq
        self.shelves.lay_out(snapshot.tables, ahead.ids)
        self._behind = True
        self.notices.append(
            f"The journal ends at change {self.seq}, but the tables had got to change {ahead.seq}. "
            "The books are as the tables have them; what happened in between cannot be told or "
            "taken back. If you have the longer journal, put it back now."
        )

    def _keep_ahead(self, seq: int) -> None:
        """The tables knew of changes that the journal has lost: keep them where nobody writes."""
        self._behind = True
        aside = self.tables.path.with_name("tables.ahead.json")
        with contextlib.suppress(OSError):
            self.disk.replace(self.tables.path, aside)
        self.notices.append(
            f"The journal ends at change {self.seq}, but the tables had got to change {seq}. "
            f"The books follow the journal; the other tables are kept in {aside.name}. "
            "If you have a longer journal, put it back."
        )

    def rebuild(self) -> None:
        """Make the tables again from the first line of the journal."""
        self.shelves.lay_out({}, {})
        self.seq, self.schema, self.offset, self._seal = 0, 0, 0, b""
        self._tail_start, self._tail_events = 0, 0
        self.damage, self._stamp, self._orphaned = None, None, False
        self._missing, self._taken_to = (), 0
        self.catch_up()

    # Following the journal

    def catch_up(self) -> bool:
        """Read what was added since the last look; say whether anything was. One stat if not."""
        stamp = self.disk.stamp(self.journal.path)
        if stamp is None and self.offset:
            self._orphan()
        if stamp is None or stamp == self._stamp:
            return False
        changed = self.offset and self.journal.seal_at(self.offset) != self._seal + b"\n"
        if (changed or self._orphaned) and not self._tells_anything():
            if not self._orphaned:
                self._orphan()
            self._stamp = stamp
            return False
        if changed or self._orphaned or self.damage is not None:
            self.tell_once("The journal was changed from outside; it was read anew.")
            self.rebuild()
            return True
        before = self.seq
        bad: list[BadLine] = []
        for entry, position, seal in self.journal.entries(self.offset):
            if isinstance(entry, BadLine):
                bad.append(entry)
                continue
            if bad:
                self._damaged(bad[0].start, f"a line cannot be trusted: {bad[0].wrong}")
                bad = []
            self._follow(entry)
            # Together, and last: if this is broken off, the entry is merely followed once more.
            self.seq, self.offset, self._seal = max(self.seq, entry.seq), position, seal
        self._stamp = stamp
        return self.seq != before

    def _follow(self, entry: Entry) -> None:
        if entry.seq != self.seq + 1 and self.offset and self.damage is None:
            self._damaged(self.offset, f"change {entry.seq} follows on change {self.seq}")
        if entry.act in (FOUNDING, upgrades.UPGRADE):
            self._founded(entry)
        self.shelves.apply(entry.changes)
        self._tail_events += 1

    def _founded(self, entry: Entry) -> None:
        try:
            told = msgspec.json.decode(entry.meta, type=_Founded)
        except msgspec.DecodeError as error:
            self._damaged(self.offset, f"of what kind the books are makes no sense: {error}")
            return
        self._check_schema(told.schema)
        self.schema = told.schema
        self._missing, self._taken_to = (), max(self._taken_to, told.tables)

    def _check_schema(self, schema: int) -> None:
        if schema > upgrades.SCHEMA:
            raise NewerBooks(
                f"These books were written by a newer version of this program (books {schema}, "
                f"this program knows {upgrades.SCHEMA})",
                str(self.folder),
                "Nothing was touched. Use the newer version.",
            )

    def _damaged(self, position: int, wrong: str) -> None:
        number = 1 + self.disk.read(self.journal.path, 0, position).count(b"\n")
        self.damage = BooksDamaged(
            f"The journal is damaged: {wrong}",
            f"{self.journal.path}, line {number}",
            "All else can be read, but nothing will be written until that line is put right: "
            "put back a copy of the file, or have the line set aside with --mend.",
        )
        self.tell_once(str(self.damage))

    def _tidy(self) -> None:
        """A torn end of the journal: nobody's, if we can have the books to ourselves."""
        try:
            with self.alone(patience=1.0):
                pass
        except (CannotWrite, BooksBusy):
            self.notices.append(
                "The last line of the journal is not whole. It was never acknowledged and is left "
                "out; it could not be set aside, as the books cannot be written just now."
            )

    # Writing

    @contextlib.contextmanager
    def alone(self, patience: float = PATIENCE) -> Iterator[None]:
        """Have the books alone, with all that others wrote already read and torn ends set aside."""
        with contextlib.ExitStack() as held:
            try:
                held.enter_context(self.disk.lock(self._lock_path, patience))
                self.catch_up()
                if self.damage is None and self._stamp is not None and self._stamp[1] > self.offset:
                    self._set_aside()
            except OSError as error:
                raise cannot_write(error, self.folder) from error
            yield

    def _set_aside(self) -> None:
        size = self.journal.set_aside(self.offset)
        self._stamp = self.disk.stamp(self.journal.path)
        aside = self.journal.torn_path.name
        if self._orphaned or self._behind:
            self.notices.append(
                f"{size} bytes of {self.journal.path.name} that are no whole change were set "
                f"aside in {aside}."
            )
            return
        self.notices.append(
            f"The journal ended in the middle of a change ({size} bytes), which was never "
            f"acknowledged. It was set aside in {aside}."
        )

    def append(self, event: Event) -> Event:
        """Add an event and carry it out; return it as it is in the journal. Call it `alone`."""
        if not self.offset or self._missing:
            self._append(self._founding(event))
            self._missing = ()
            event = msgspec.structs.replace(event, seq=event.seq + 1)
        self._append(event)
        return event

    def _append(self, event: Event) -> None:
        end, seal = self.journal.append(event, self.offset)
        self.shelves.apply(event.changes)
        self.seq, self.offset, self._seal = event.seq, end, seal
        self._tail_events, self._orphaned = self._tail_events + 1, False
        with contextlib.suppress(OSError):
            # The change is safe by now; whatever is wrong will show at the next look.
            self._stamp = self.disk.stamp(self.journal.path)

    def _founding(self, first: Event) -> Event:
        changes = self._missing
        if self._orphaned:
            changes = Shelves().changes_to(self.shelves.tables())
        self.schema = self.schema or upgrades.SCHEMA
        return Event(
            first.seq,
            first.time,
            FOUNDING,
            summary="Taken over from the tables" if changes else "The books were begun",
            meta={"schema": self.schema, "tables": self._taken_to},
            changes=changes,
        )

    # Snapshots

    def worth_saving(self, *, closing: bool) -> bool:
        """Whether the journal beyond the snapshot has grown long enough to be summed up."""
        size = self.offset - self._tail_start
        if closing:
            return self._tail_events >= WORTH_CLOSING_EVENTS or size >= WORTH_CLOSING_BYTES
        return self._tail_events >= WORTH_STOPPING_EVENTS or size >= WORTH_STOPPING_BYTES

    def save(self) -> bool:
        """Write a snapshot, unless somebody else is busy here; a failure loses nothing."""
        try:
            with self.alone(patience=0):
                if self.damage is not None or not self.offset or self._missing:
                    return False
                self.tables.save(self.snapshot())
        except (OSError, CannotWrite, BooksBusy):
            return False
        self._tail_start, self._tail_events = self.offset, 0
        return True

    def snapshot(self) -> Snapshot:
        """The tables as they are, with their place in the journal."""
        from helper.household.storage import Header, Snapshot

        header = Header(
            self.schema,
            self.seq,
            self.offset,
            self._seal.decode(),
            self.shelves.last_ids(),
            self.journal.first_seal().decode(errors="replace"),
        )
        return Snapshot(header, self.shelves.tables())

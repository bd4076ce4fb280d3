"""The household: its books opened, asked, changed through one door, and changes taken back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Self

from helper.household.disk import Disk, MemoryDisk
from helper.household.draft import Draft
from helper.household.journal import BadLine, Change, Event
from helper.household.keeper import FOUNDING, Keeper
from helper.household.mending import looked_over, mend
from helper.household.records import NOTHING, Record, written
from helper.household.shelves import Shelves
from helper.household.troubles import CannotUndo, Clash, cannot_read, cannot_write
from helper.household.upgrades import UPGRADE

UNDO = "undo"
_OWN_ACTS = (FOUNDING, UPGRADE)
# The folder of files written for use outside.
HANDED_OUT = "pages"

# How often a change is tried again when others keep getting in first.
_TRIES = 20


def _clock() -> dt.datetime:
    return dt.datetime.now().astimezone()


def _decent(text: str) -> str:
    """Text that can be written: half characters, as a broken terminal sends them, become "?"."""
    return text.encode(errors="replace").decode()


class Household(Shelves):
    """One household's books.

    `notices` tells what was found on the way (a torn line set aside, tables made again …), for
    the person to read once. `version` grows with every change, so whoever works something out
    from the books can keep it until the version changes.
    """

    def __init__(
        self,
        folder: Path,
        disk: Disk,
        today: Callable[[], dt.date],
        now: Callable[[], dt.datetime],
    ) -> None:
        super().__init__()
        self.folder = folder
        self.today = today
        self.now = now
        self._keeper = Keeper(folder, disk, self)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        today: Callable[[], dt.date] = dt.date.today,
        now: Callable[[], dt.datetime] = _clock,
        disk: Disk | None = None,
    ) -> Household:
        """Open the books in a folder, or begin them there.

        Raises NewerBooks, CannotRead or CannotWrite. Books that are merely damaged open.
        """
        household = cls(folder, disk or Disk(), today, now)
        household._keeper.open()
        return household

    @classmethod
    def scratch(
        cls,
        tables: Mapping[str, Iterable[Record]] | None = None,
        *,
        prepared: bytes | None = None,
        today: Callable[[], dt.date] = dt.date.today,
        now: Callable[[], dt.datetime] = _clock,
    ) -> Household:
        """Books in memory that nothing is kept of, from records or from `prepare`d bytes."""
        from helper.household.storage import read_snapshot

        household = cls(Path("scratch"), MemoryDisk(), today, now)
        if prepared is not None:
            snapshot = read_snapshot(prepared)
            if snapshot is None:
                raise ValueError("these bytes are no prepared books")
            household.lay_out(snapshot.tables, snapshot.books.ids)
        for table, records in (tables or {}).items():
            for record in records:
                household.apply([Change(table, record.id, NOTHING, written(record))])
        return household

    def prepare(self) -> bytes:
        """The tables as bytes for `scratch`, without their history."""
        from helper.household.storage import Header, Snapshot, snapshot_written
        from helper.household.upgrades import SCHEMA

        return snapshot_written(Snapshot(Header(SCHEMA, ids=self.last_ids()), self.tables()))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def hand_out(self, name: str, text: str) -> Path | None:
        """Writes a file to be used outside, in a folder beside the books, over an older one.

        Returns where; None for books in memory. The books themselves do not change. Raises
        CannotWrite.
        """
        disk = self._keeper.disk
        if not disk.lasting:
            return None
        path = self.folder / HANDED_OUT / name
        try:
            disk.make_folder(path.parent)
            disk.put_file(path, text.encode())
        except OSError as error:
            raise cannot_write(error, path) from error
        return path.absolute()

    def close(self) -> None:
        """Sum the journal up in a snapshot if it has grown; nothing depends on this."""
        if self._keeper.worth_saving(closing=True):
            self._keeper.save()

    def checkpoint(self) -> bool:
        """Write a snapshot now; False where that was not possible (nothing is lost by it)."""
        return self._keeper.save()

    @property
    def version(self) -> int:
        """The number of the latest change."""
        return self._keeper.seq

    @property
    def notices(self) -> list[str]:
        """What the person should know about the state of the books."""
        return self._keeper.notices

    def refresh(self) -> bool:
        """Take in what other terminals have written; say whether there was anything."""
        try:
            return self._keeper.catch_up()
        except OSError as error:
            raise cannot_read(error, self.folder) from error

    def check(self) -> list[str]:
        """Look the whole journal over and work the tables out again; what is wrong, in words."""
        self.refresh()
        try:
            return looked_over(self._keeper.journal, self)
        except OSError as error:
            raise cannot_read(error, self.folder) from error

    def mend(self) -> str:
        """Set the journal's bad lines aside so that books can be written again; say what was done.

        The journal as it was is kept beside it. To be called only when the person asks for it.
        """
        return mend(self._keeper)

    # The one door

    def draft(self) -> Draft:
        """A change to be prepared."""
        return Draft(self)

    def write(
        self,
        draft: Draft,
        *,
        act: str,
        said: str = "",
        summary: str = "",
        meta: Mapping[str, Any] | None = None,
    ) -> Event:
        """Write a draft, whole or not at all; when this returns it is on the disk.

        Raises Clash where somebody else changed one of its records since the draft was begun,
        BooksDamaged, BooksBusy or CannotWrite. Nothing is changed then.
        """
        return self._write(draft.changes, act, said, summary or draft.summary, draft.meta, meta)

    def _write(
        self,
        changes: tuple[Change, ...],
        act: str,
        said: str,
        summary: str,
        *metas: Mapping[str, Any] | None,
    ) -> Event:
        keeper = self._keeper
        with keeper.alone():
            if keeper.damage is not None:
                raise keeper.damage
            for change in changes:
                if self.paper(change.table, change.id) != change.before:
                    raise Clash(change.table, change.id)
            meta = {name: value for one in metas if one for name, value in one.items()}
            time = self.now().isoformat(timespec="seconds")
            said, summary = _decent(said), _decent(summary)
            event = Event(keeper.seq + 1, time, act, said, summary, meta, changes)
            event = keeper.append(event)
        if keeper.worth_saving(closing=False):
            keeper.save()
        return event

    def change(
        self,
        prepare: Callable[[Draft], object],
        *,
        act: str,
        said: str = "",
        summary: str = "",
        meta: Mapping[str, Any] | None = None,
    ) -> Event:
        """Prepare and write a change, again from the start where others got in between."""
        for tried in range(_TRIES):
            self.refresh()
            draft = self.draft()
            prepare(draft)
            try:
                return self.write(draft, act=act, said=said, summary=summary, meta=meta)
            except Clash:
                if tried == _TRIES - 1:
                    raise
        raise AssertionError("unreachable")

    # Taking back, and looking back

    def undo(self, seq: int | None = None, *, said: str = "") -> Event:
        """Take back the latest change that still stands, or change `seq`.

        Said again it takes back the one before, and so on. Raises CannotUndo with the reason.
        """
        self.refresh()
        event = self._standing(seq)
        later = self._later(event)
        if later is not None:
            raise CannotUndo(
                f"Later changes stand on it: {later.summary or later.act}",
                f"change {later.seq}, {later.day}",
                "Take that back first.",
            )
        changes = tuple(change.reversed for change in reversed(event.changes))
        summary = f"Taken back: {event.summary or event.act}"
        meta = {"undoes": event.seq, "undone_act": event.act}
        return self._write(changes, UNDO, said, summary, meta)

    def _standing(self, seq: int | None) -> Event:
        undone: set[int] = set()
        for event in self.events():
            if event.act == UNDO:
                undone.add(event.meta["undoes"])
            elif event.act == UPGRADE and event.changes:
                raise CannotUndo(
                    "Changes from before the books were brought up to date cannot be taken back",
                    f"change {event.seq}, {event.day}",
                )
            elif event.act in _OWN_ACTS or event.seq in undone:
                if event.seq == seq:
                    raise CannotUndo("That has already been taken back", f"change {seq}")
            elif seq is None or event.seq == seq:
                return event
        raise CannotUndo("There is nothing to take back", "" if seq is None else f"change {seq}")

    def _later(self, event: Event) -> Event | None:
        """The latest change that has touched what `event` left behind, if any has."""
        moved = {
            (change.table, change.id)
            for change in event.changes
            if self.paper(change.table, change.id) != change.after
        }
        if not moved:
            return None
        touched = (
            one for one in self.events() if any((c.table, c.id) in moved for c in one.changes)
        )
        return next(touched, event)

    def events(
        self,
        limit: int | None = None,
        *,
        acts: Collection[str] | None = None,
        since: dt.date | None = None,
    ) -> Iterator[Event]:
        """Events newest first: at most `limit`, of these `acts`, of the day `since` or later."""
        keeper = self._keeper
        found = 0
        if not keeper.offset:
            return
        try:
            for event in keeper.journal.newest_first(keeper.offset):
                if isinstance(event, BadLine):
                    keeper.tell_once(f"A line of the history is left out: {event.wrong}.")
                    continue
                if (since is not None and event.day < since) or found == limit:
                    return
                if acts is None or event.act in acts:
                    found += 1
                    yield event
        except OSError as error:
            raise cannot_read(error, keeper.journal.path) from error

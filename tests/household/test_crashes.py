"""Whatever step the disk fails at: the books are as before or as after, and nothing told is lost.

After SQLite's way of testing: the file layer fails at the n-th step, for every n.
"""

from __future__ import annotations

import contextlib
import errno
import itertools
import os
from pathlib import Path
from typing import Any

import pytest
from tinydb import TinyDB
from tinydb.storages import JSONStorage
from tinydb.table import Document

from helper.household import upgrades
from helper.household.books import Household
from helper.household.disk import Disk
from helper.household.draft import Draft
from helper.household.storage import SnapshotFile
from helper.household.troubles import CannotRead, CannotWrite
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from tests.household.failing_disk import Death, FailingDisk

FOLDER = Path("house")
JOURNAL = FOLDER / "journal.jsonl"
TABLES = FOLDER / "tables.json"


def one_more(name: str) -> Any:
    """A change of two tables at once: somebody comes, and the bread is counted by heads."""

    def prepare(draft: Draft) -> None:
        draft.add("people", Person(0, name))
        heads = Amount(len(draft.people()))
        if draft.lot(1) is None:
            draft.add("stock", Lot(0, "bread", heads, Amount(1)))
        else:
            draft.put("stock", Lot(1, "bread", heads, Amount(1)))

    return prepare


class Story:
    """A household that grows by one head at a time, with what it was told of each."""

    def __init__(self) -> None:
        self.told: list[str] = []
        self.doubtful: set[str] = set()
        self.attempted = ""

    def change(self, household: Household, name: str) -> None:
        self.attempted = name
        try:
            household.change(one_more(name), act="add")
        except CannotRead:
            return
        except CannotWrite as trouble:
            if trouble.what.startswith("Perhaps"):
                self.doubtful.add(name)
            return
        self.told.append(name)

    def undo(self, household: Household) -> None:
        last = household.people()[-1].name
        self.attempted = f"-{last}"
        self.doubtful.add(last)
        try:
            household.undo()
        except (CannotRead, CannotWrite):
            return
        self.doubtful.discard(last)
        self.told.remove(last)

    def live(self, disk: Disk, sittings: str = "123") -> None:
        for sitting in sittings:
            try:
                household = Household.open(FOLDER, disk=disk)
            except (CannotRead, CannotWrite):
                continue
            self.change(household, f"A{sitting}")
            self.change(household, f"B{sitting}")
            household.checkpoint()
            self.change(household, f"C{sitting}")
            if household.people():
                self.undo(household)
            household.close()

    def must_be(self, household: Household) -> None:
        names = [person.name for person in household.people()]
        heads = 0 if household.lot(1) is None else household.lots()[0].left.number
        assert heads == len(names), "half a change"
        assert len(set(names)) == len(names), "a change done twice"
        allowed = self.doubtful | {self.attempted}
        assert set(self.told) - self.doubtful <= set(names), "a change that was told is lost"
        assert set(names) <= set(self.told) | allowed, "a refused change is there all the same"


def steps_of_a_life() -> int:
    disk = FailingDisk()
    Story().live(disk)
    return disk.steps


@pytest.mark.parametrize("seed", range(12))
def test_dying_at_any_step_loses_nothing_that_was_told(seed: int) -> None:
    for step in range(1, steps_of_a_life() + 1):
        disk, story = FailingDisk(at=step, seed=seed * 10_000 + step), Story()
        with pytest.raises(Death):
            story.live(disk)
        # Some die once more while they pick up the pieces.
        story.doubtful.add(story.attempted.removeprefix("-"))
        disk = FailingDisk(disk.after_death(), at=disk.chance.randint(1, 60), seed=step)
        with contextlib.suppress(Death):
            story.live(disk, "45")
        left = disk.after_death()
        household = Household.open(FOLDER, disk=FailingDisk(left))
        story.must_be(household)
        # And life goes on from there, in books that can be read once more.
        household.change(one_more("later"), act="add")
        again = Household.open(FOLDER, disk=household._keeper.disk)
        assert again.people() == household.people()
        assert again.people()[-1].name == "later"


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES])
def test_an_error_at_any_step_is_told_and_changes_nothing(error: int, lasting: bool) -> None:
    counted = FailingDisk(at=1_000_000, error=error)
    Story().live(counted)
    for step in range(1, counted.steps + 1):
        disk = FailingDisk(at=step, error=error, lasting=lasting, seed=step)
        story = Story()
        story.live(disk)
        story.attempted = ""
        story.must_be(Household.open(FOLDER, disk=FailingDisk(disk.as_seen())))


def three_heads() -> dict[Path, bytearray]:
    disk, story = FailingDisk(), Story()
    household = Household.open(FOLDER, disk=disk)
    for name in ("Ada", "Ben", "Cleo"):
        story.change(household, name)
    return disk.as_seen()


def test_dying_while_mending_keeps_every_whole_line() -> None:
    files = three_heads()
    files[JOURNAL] = bytearray(bytes(files[JOURNAL]).replace(b"Ben", b"Bob"))
    for step in itertools.count(1):
        disk = FailingDisk(files, at=step, seed=step)
        finished = False
        with contextlib.suppress(Death):
            Household.open(FOLDER, disk=disk).mend()
            finished = True
        household = Household.open(FOLDER, disk=FailingDisk(disk.after_death()))
        assert [one.name for one in household.people()] == ["Ada", "Cleo"]
        if finished:
            assert household.check() == []
            break
        household.mend()
        household.change(one_more("Dora"), act="add")
        assert household.check() == []


def test_dying_while_books_are_brought_up_to_date(monkeypatch: pytest.MonkeyPatch) -> None:
    def upgrade(table: str, document: dict[str, Any]) -> dict[str, Any]:
        return {**document, "name": document["name"] + "!"} if table == "people" else document

    files = three_heads()
    monkeypatch.setattr(upgrades, "SCHEMA", 2)
    monkeypatch.setitem(upgrades.UPGRADES, 1, upgrade)
    for step in itertools.count(1):
        disk = FailingDisk(files, at=step, seed=step)
        finished = False
        with contextlib.suppress(Death):
            Household.open(FOLDER, disk=disk)
            finished = True
        left = FailingDisk(disk.after_death())
        household = Household.open(FOLDER, disk=left)
        assert [one.name for one in household.people()] == ["Ada!", "Ben!", "Cleo!"]
        backup = left.as_seen()[FOLDER / "backup-schema-1" / "journal.jsonl"]
        assert backup.startswith(files[JOURNAL])
        if finished:
            break


def test_a_journal_cut_anywhere_opens_with_all_whole_changes() -> None:
    disk, story = FailingDisk(), Story()
    household = Household.open(FOLDER, disk=disk)
    for name in ("Ada", "Ben", "Cleo"):
        story.change(household, name)
    whole = bytes(disk.as_seen()[JOURNAL])
    ends = [position + 1 for position, byte in enumerate(whole) if byte == 10]
    for cut in range(len(whole)):
        left = FailingDisk({JOURNAL: bytearray(whole[:cut])})
        opened = Household.open(FOLDER, disk=left)
        expected = max(0, sum(end <= cut for end in ends) - 1)
        assert [one.name for one in opened.people()] == story.told[:expected]
        torn = cut - max([end for end in ends if end <= cut], default=0)
        if torn:
            assert any("set aside" in notice for notice in opened.notices)
            assert left.as_seen()[FOLDER / "journal.torn"].startswith(whole[cut - torn : cut])
        else:
            assert opened.notices == []


def test_a_journal_cut_anywhere_beside_newer_tables_loses_no_record() -> None:
    disk, story = FailingDisk(), Story()
    household = Household.open(FOLDER, disk=disk)
    for name in ("Ada", "Ben", "Cleo"):
        story.change(household, name)
    household.checkpoint()
    story.change(household, "Dora")
    whole = bytes(disk.as_seen()[JOURNAL])
    tables = disk.as_seen()[TABLES]
    summed_up = whole.index(b"Dora") - whole[: whole.index(b"Dora")][::-1].index(10)
    for cut in range(summed_up):
        left = FailingDisk({JOURNAL: bytearray(whole[:cut]), TABLES: bytearray(tables)})
        opened = Household.open(FOLDER, disk=left)
        expected = ["Ada", "Ben", "Cleo"]
        assert [one.name for one in opened.people()] == expected
        assert any("The tables are as" in one or "the tables had" in one for one in opened.notices)
        other = Household.open(FOLDER, disk=left)
        opened.change(one_more("Eve"), act="add")
        opened.change(lambda draft: draft.remove("people", 1), act="forget")
        other.refresh()
        expected = ["Ben", "Cleo", "Eve"]
        assert [one.name for one in other.people()] == expected
        # The journal has it all by itself, whatever old tables are found beside it.
        for beside in ({}, {TABLES: bytearray(tables)}):
            files = {JOURNAL: left.as_seen()[JOURNAL], **beside}
            again = Household.open(FOLDER, disk=FailingDisk(files))
            assert [one.name for one in again.people()] == expected
            assert again.check() == []


# The harness itself is proven on a storage known to break: TinyDB's own.


class _Handle:
    """A Python file over the failing disk, as far as TinyDB's storage needs one."""

    def __init__(self, disk: FailingDisk, path: Path) -> None:
        self.disk, self.path, self.at = disk, path, 0
        self.file = disk.open(path)

    def seek(self, at: int, whence: int = 0) -> None:
        self.at = at if whence == 0 else len(self.disk.names[self.path].seen)

    def tell(self) -> int:
        return self.at

    def read(self, size: int = -1) -> str:
        return self.disk.read(self.path, self.at).decode()

    def write(self, text: str) -> None:
        self.disk.write_at(self.file, text.encode(), self.at)
        self.at += len(text.encode())

    def flush(self) -> None:
        """Nothing is held back."""

    def fileno(self) -> int:
        return self.file

    def truncate(self) -> None:
        self.disk.truncate(self.file, self.at)


class TheirStorage(JSONStorage):
    """TinyDB's JSON storage, its file on the failing disk."""

    def __init__(self, disk: FailingDisk, path: Path) -> None:
        self._mode, self.kwargs = "r+", {}
        self._handle = _Handle(disk, path)


def tables_lost(storage: Any, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many of the deaths leave a TinyDB file that is neither as before nor as after."""
    path, lost = FOLDER / "db.json", 0
    for seed in range(20):
        for step in range(1, 60):
            disk = FailingDisk(at=step, seed=seed * 100 + step)
            monkeypatch.setattr(os, "fsync", disk.sync)
            states: list[Any] = [[]]
            try:
                db = TinyDB(disk, path, storage=storage)
                for size in (200, 3, 80, 1):
                    states.append([{"pantry": "x" * size}])
                    db.upsert(Document(states[-1][0], 1))
                    states = states[-1:]
            except Death:
                pass
            else:
                break
            monkeypatch.undo()
            try:
                found = TinyDB(FailingDisk(disk.after_death()), path, storage=storage).all()
            except ValueError:
                lost += 1
            else:
                lost += found not in states
    return lost


def test_the_harness_finds_what_breaks_tinydbs_own_storage(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert tables_lost(TheirStorage, monkeypatch) > 0


def test_our_storage_under_tinydb_survives_the_same_deaths(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def ours(disk: FailingDisk, path: Path) -> SnapshotFile:
        return SnapshotFile(path, disk)

    assert tables_lost(ours, monkeypatch) == 0


def test_a_file_is_put_in_place_whole(tmp_path: Path) -> None:
    target = tmp_path / "tables.json"
    Disk().put_file(target, b"old")
    Disk().put_file(target, b"new", previous=tmp_path / "tables.previous.json")
    assert target.read_bytes() == b"new"
    assert (tmp_path / "tables.previous.json").read_bytes() == b"old"
    assert sorted(os.listdir(tmp_path)) == ["tables.json", "tables.previous.json"]

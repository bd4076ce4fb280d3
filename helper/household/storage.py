"""The tables in memory and in their snapshot, as a TinyDB storage.

TinyDB's own JSON storage overwrites its file in place and shortens it last: a kill in between
leaves neither the old tables nor the new. Here a file is written aside and put in place in one
step, sealed, with the generation before it kept. Documents stay as JSON text until a query looks
at them, so a table of ten thousand recipes costs its text and little more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, MutableMapping
from pathlib import Path
from typing import Any, cast

import msgspec
from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from helper.household.disk import Disk
from helper.household.journal import seal_holds, sealed
from helper.household.troubles import OutsideTheDoor

Document = dict[str, Any]


class Header(msgspec.Struct, frozen=True):
    """How far along the journal the tables are.

    `offset` is the position in the journal after event `seq`, `seal` that event's seal, `first`
    the seal of the journal's first line, by which books know their own; `ids` the highest number
    ever given out in each table.
    """

    schema: int
    seq: int = 0
    offset: int = 0
    seal: str = ""
    ids: dict[str, int] = {}
    first: str = ""


class Snapshot(msgspec.Struct):
    """The file of the tables: documents as JSON text, by table and number."""

    books: Header
    tables: dict[str, dict[int, msgspec.Raw]] = {}


_snapshots = msgspec.json.Decoder(Snapshot)


def read_snapshot(data: bytes) -> Snapshot | None:
    """The snapshot in a file's bytes, or None where they are not what was once written."""
    sealed_part = memoryview(data)[:-1]
    if not seal_holds(sealed_part):
        return None
    try:
        return _snapshots.decode(sealed_part)
    except (msgspec.DecodeError, RecursionError):
        return None


def snapshot_written(snapshot: Snapshot) -> bytes:
    """A snapshot as its file holds it."""
    return sealed(msgspec.json.encode(snapshot)) + b"\n"


class Papers(MutableMapping[Any, Document]):
    """One table as TinyDB wants it: documents by number, made of their JSON text when looked at.

    TinyDB asks by number or by the number as text. `put` takes what is written back.
    """

    def __init__(
        self,
        papers: Mapping[int, msgspec.Raw],
        put: Callable[[int, Document | None], None] | None = None,
    ) -> None:
        self._papers = papers
        self._put = put

    def __getitem__(self, record: int | str) -> Document:
        return cast(Document, msgspec.json.decode(self._papers[int(record)]))

    def __setitem__(self, record: int | str, document: Document) -> None:
        self._write(int(record), {**document, "id": int(record)})

    def __delitem__(self, record: int | str) -> None:
        self._write(int(record), None)

    def _write(self, record: int, document: Document | None) -> None:
        if self._put is None:
            raise OutsideTheDoor(
                "The household's tables only change through its journal",
                f"number {record}",
                "Change them in a draft.",
            )
        self._put(record, document)

    def __iter__(self) -> Iterator[int]:
        return iter(self._papers)

    def __len__(self) -> int:
        return len(self._papers)


class BookTable(Table):
    """A TinyDB table that is edited in place.

    The stock table rebuilds all its numbers at every change; ours has them as they are, so a
    change costs as much in a table of ten thousand as in one of ten.
    """

    def _update_table(self, updater: Callable[[dict[int, Mapping[str, Any]]], None]) -> None:
        tables = self._storage.read()
        papers: Any = {} if tables is None else tables.get(self.name, {})
        looked_at = _LookedAt(papers)
        updater(cast("dict[int, Mapping[str, Any]]", looked_at))
        looked_at.settle()
        self.clear_cache()


class _LookedAt(MutableMapping[int, Document]):
    """What a TinyDB update sees: documents it may change in place, all settled at the end."""

    def __init__(self, papers: MutableMapping[Any, Document]) -> None:
        self._papers = papers
        self._seen: dict[int, Document] = {}
        self._gone: set[int] = set()

    def __getitem__(self, record: int) -> Document:
        if record in self._gone:
            raise KeyError(record)
        if record not in self._seen:
            self._seen[record] = self._papers[record]
        return self._seen[record]

    def __setitem__(self, record: int, document: Document) -> None:
        self._gone.discard(record)
        self._seen[record] = document

    def __delitem__(self, record: int) -> None:
        self[record]
        self._seen.pop(record, None)
        self._gone.add(record)

    def __iter__(self) -> Iterator[int]:
        yield from (one for one in list(self._papers) if one not in self._gone)
        yield from [one for one in self._seen if one not in self._papers]

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def settle(self) -> None:
        for record in self._gone:
            del self._papers[record]
        for record, document in self._seen.items():
            if record not in self._papers or self._papers[record] != document:
                self._papers[record] = document


class TablesStorage(Storage):
    """TinyDB storage over tables held in memory by somebody else: a household, or a draft."""

    def __init__(self, tables: Callable[[], dict[str, Papers]]) -> None:
        super().__init__()
        self._tables = tables

    def read(self) -> dict[str, dict[str, Any]] | None:
        """The tables by name."""
        return cast("dict[str, dict[str, Any]]", self._tables())

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Whole tables are never written at once."""
        raise OutsideTheDoor("The household's tables only change through its journal")


class Tables(TinyDB):
    """TinyDB over the books: queries on any table by name."""

    table_class = BookTable


class SnapshotFile(Storage):
    """A TinyDB storage in a file that is whole at every moment, and the one before it.

    `read` and `write` speak TinyDB; `load` and `save` speak snapshots, which is what a household
    uses, as it rewrites the file now and then and not at every change.
    """

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        super().__init__()
        self.path = path
        self.previous_path = path.with_name(f"{path.stem}.previous{path.suffix}")
        self._disk = disk or Disk()

    def load(self) -> tuple[Snapshot | None, bool]:
        """The newest snapshot that is whole, and whether the newest file was so."""
        whole = True
        for path in (self.path, self.previous_path):
            try:
                found = read_snapshot(self._disk.read(path))
            except FileNotFoundError:
                continue
            if found is not None:
                return found, whole
            whole = False
        return None, whole

    def save(self, snapshot: Snapshot) -> None:
        """Write a snapshot; the one before becomes the previous generation."""
        self._disk.put_file(self.path, snapshot_written(snapshot), previous=self.previous_path)

    def read(self) -> dict[str, dict[str, Any]] | None:
        """All tables as TinyDB knows them: documents by number as text."""
        snapshot, _ = self.load()
        if snapshot is None:
            return None
        return {
            name: {str(record): msgspec.json.decode(paper) for record, paper in table.items()}
            for name, table in snapshot.tables.items()
        }

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Put all tables in the file, whole or not at all."""
        tables = {
            name: {int(one): msgspec.Raw(msgspec.json.encode(doc)) for one, doc in table.items()}
            for name, table in data.items()
        }
        self.save(Snapshot(Header(schema=0), tables))

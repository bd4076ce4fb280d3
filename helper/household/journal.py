"""The journal: one line of JSON for every change, sealed, and only ever added to.

A line ends in a seal, the CRC-32 of all that stands before it, so a line that a failing disk has
garbled is known for what it is. A line counts once it is whole, sealed and ended; an end that is
none of these was never acknowledged to anybody. It is put aside into `journal.torn` and reported.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from helper.household.disk import Disk
from helper.household.records import NOTHING, read
from helper.household.troubles import cannot_write

_SEAL = b',"sum":"%08x"}'
SEAL_LENGTH = len(_SEAL % 0)
_CHUNK = 1 << 20
_BLOCK = 1 << 16

T = TypeVar("T")


class Change(msgspec.Struct, frozen=True):
    """One record before and after, as the books write it; null where there was or is none."""

    table: str
    id: int
    before: msgspec.Raw = NOTHING
    after: msgspec.Raw = NOTHING

    def record_before(self) -> Any:
        """The record as it was, or None."""
        return read(self.table, self.before)

    def record_after(self) -> Any:
        """The record as it became, or None."""
        return read(self.table, self.after)

    @property
    def reversed(self) -> Change:
        """The change that takes this one back."""
        return Change(self.table, self.id, self.after, self.before)


class Event(msgspec.Struct, frozen=True):
    """One change of the books: the `act` done, the words `said`, a `summary` for people.

    `time` is local time with its offset (ISO 8601); `meta` holds what statistics need (costs,
    servings …) as plain JSON.
    """

    seq: int
    time: str
    act: str
    said: str = ""
    summary: str = ""
    meta: dict[str, Any] = {}
    changes: tuple[Change, ...] = ()

    @property
    def when(self) -> dt.datetime:
        """The time, to reckon with."""
        return dt.datetime.fromisoformat(self.time)

    @property
    def day(self) -> dt.date:
        """The day, where the household lives."""
        return dt.date.fromisoformat(self.time[:10])


class Entry(msgspec.Struct, frozen=True):
    """What of an event counts for the tables; the rest is left unread when lines are replayed."""

    seq: int
    act: str
    meta: msgspec.Raw = NOTHING
    changes: tuple[Change, ...] = ()


class BadLine(msgspec.Struct, frozen=True):
    """A line that cannot be trusted: where it starts (bytes), and what is wrong with it."""

    start: int
    wrong: str


def sealed(body: bytes) -> bytes:
    """A JSON object with its seal as last field."""
    return body[:-1] + _SEAL % zlib.crc32(body[:-1])


def seal_holds(line: bytes | memoryview) -> bool:
    """Whether a sealed object (without its line end) is as it was written."""
    body = memoryview(line)[:-SEAL_LENGTH]
    return line[-SEAL_LENGTH:] == _SEAL % zlib.crc32(body)


def line_written(event: Event) -> bytes:
    """An event as the journal holds it, line end and all."""
    return sealed(_encoder.encode(event)) + b"\n"


_encoder = msgspec.json.Encoder(decimal_format="string")
_events = msgspec.json.Decoder(Event)
_entries = msgspec.json.Decoder(Entry)


class Journal:
    """The journal file of one household. Positions are byte offsets at the start of a line."""

    def __init__(self, path: Path, disk: Disk) -> None:
        self.path = path
        self.torn_path = path.with_suffix(".torn")
        self._disk = disk

    def entries(self, start: int = 0) -> Iterator[tuple[Entry | BadLine, int, bytes]]:
        """Ended lines from `start` on, each with the position after it and its seal."""
        for line, position in self.lines(start):
            entry = _decoded(_entries, line, position)
            yield entry, position, line[-SEAL_LENGTH:]

    def lines(self, start: int = 0) -> Iterator[tuple[bytes, int]]:
        """Ended lines as they stand, without their ends, each with the position after it."""
        rest, position = b"", start
        if self._disk.stamp(self.path) is None:
            return
        while chunk := self._disk.read(self.path, position + len(rest), max(_CHUNK, len(rest))):
            first = chunk.find(b"\n")
            if first < 0:
                rest += chunk
                continue
            lines = (rest + chunk).split(b"\n")
            rest = lines.pop()
            for line in lines:
                position += len(line) + 1
                yield line, position

    def newest_first(self, end: int) -> Iterator[Event | BadLine]:
        """Events from position `end` backwards, read block by block."""
        rest, position, tail = b"", end, end
        while position > 0:
            size = min(max(_BLOCK, len(rest)), position)
            position -= size
            block = self._disk.read(self.path, position, size)
            if b"\n" not in block and position:
                rest = block + rest
                continue
            first, *lines = (block + rest).split(b"\n")
            rest = first
            for line in reversed(lines):
                if line:
                    yield self.told(line, tail)
                    tail -= len(line) + 1
        if rest:
            yield self.told(rest, tail)

    def told(self, line: bytes, end: int) -> Event | BadLine:
        """The event in a line that ends at a position."""
        return _decoded(_events, line, end)

    def seal_at(self, position: int) -> bytes:
        """The seal of the line that ends at a position; empty at the very start or past the end."""
        if position <= SEAL_LENGTH:
            return b""
        return self._disk.read(self.path, position - SEAL_LENGTH - 1, SEAL_LENGTH + 1)

    def first_seal(self) -> bytes:
        """The seal of the first line: it marks these books among all others."""
        line, _ = next(self.lines(), (b"", 0))
        return line[-SEAL_LENGTH:]

    def size(self) -> int:
        """Bytes in the file."""
        stamp = self._disk.stamp(self.path)
        return 0 if stamp is None else stamp[1]

    def append(self, event: Event, end: int) -> tuple[int, bytes]:
        """Add an event at position `end`; return the position after it, and its seal.

        When this returns it is on the disk. On an error the file is cut back to `end`, and
        CannotWrite says whether that could be done. Call it with the books locked. One line at a
        time: of two lines on their way to the disk, the second might arrive without the first.
        """
        line = line_written(event)
        file = -1
        try:
            file = self._disk.open(self.path)
            if not end:
                self._disk.sync_folder(self.path.parent)
            self._disk.write(file, line)
            self._disk.sync(file)
        except OSError as error:
            certain = file < 0 or self._cut_back(file, end)
            raise cannot_write(error, self.path, certain=certain) from error
        finally:
            if file >= 0:
                # What is written is safe by now; an error on letting go changes nothing.
                with contextlib.suppress(OSError):
                    self._disk.close(file)
        return end + len(line), line[-SEAL_LENGTH - 1 : -1]

    def _cut_back(self, file: int, end: int) -> bool:
        try:
            self._disk.truncate(file, end)
            self._disk.sync(file)
        except OSError:
            return False
        return True

    def set_aside(self, end: int) -> int:
        """Move what follows position `end` into `journal.torn`; return how many bytes that were.

        Copied and safe there before it is cut off here. Call it with the books locked.
        """
        torn = self._disk.read(self.path, end)
        if not torn:
            return 0
        try:
            self.put_aside(torn)
            file = self._disk.open(self.path)
            try:
                self._disk.truncate(file, end)
                self._disk.sync(file)
            finally:
                self._disk.close(file)
        except OSError as error:
            raise cannot_write(error, self.torn_path) from error
        return len(torn)

    def put_aside(self, torn: bytes) -> None:
        """Add bytes that cannot be used to `journal.torn`."""
        file = self._disk.open(self.torn_path)
        try:
            self._disk.write(file, torn + b"\n")
            self._disk.sync(file)
        finally:
            self._disk.close(file)
        self._disk.sync_folder(self.torn_path.parent)


def _decoded(decoder: msgspec.json.Decoder[T], line: bytes, end: int) -> T | BadLine:
    if seal_holds(line):
        try:
            return decoder.decode(line)
        except (msgspec.DecodeError, RecursionError) as error:
            return BadLine(end - len(line) - 1, str(error))
    return BadLine(end - len(line) - 1, "it is not as it was written")

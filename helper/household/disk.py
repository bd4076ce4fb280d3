"""Every touch of the disk, in one place, so that a test can make any single step fail."""

from __future__ import annotations

import contextlib
import errno
import os
import time
from collections.abc import Iterator
from pathlib import Path

from helper.household.troubles import BooksBusy

# Books are private to the person who keeps them.
FOLDER_MODE = 0o700
FILE_MODE = 0o600

# A change takes well under a second; whoever holds the books longer is stuck.
PATIENCE = 10.0
_PAUSE = 0.002

Stamp = tuple[int, int, int]


class Disk:
    """The real disk. Files are named by path, open files by number; all errors are OSError.

    `lasting`: what is written can be opened by other programs.
    """

    lasting = True

    def make_folder(self, folder: Path) -> None:
        """Make a private folder (and those above it) where there is none."""
        if folder.is_dir():
            return
        if folder.exists():
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=FOLDER_MODE, exist_ok=True)
        self.sync_folder(folder.parent)

    def stamp(self, path: Path) -> Stamp | None:
        """Which file it is, how long, and when last written; None where there is none."""
        try:
            seen = os.stat(path)
        except FileNotFoundError:
            return None
        return seen.st_ino, seen.st_size, seen.st_mtime_ns

    def read(self, path: Path, start: int = 0, size: int = -1) -> bytes:
        """Bytes of a file: `size` of them from `start`, or all there are."""
        with open(path, "rb", buffering=0) as file:
            if start:
                file.seek(start)
            if size < 0:
                return file.readall()
            parts = []
            while size > 0 and (part := file.read(size)):
                parts.append(part)
                size -= len(part)
            return b"".join(parts)

    def open(self, path: Path, *, fresh: bool = False) -> int:
        """Open for adding at the end; `fresh` empties it first. Made private if it is new."""
        flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)
        return os.open(path, flags | (os.O_TRUNC if fresh else 0), FILE_MODE)

    def write(self, file: int, data: bytes) -> None:
        """Add bytes at the end."""
        view = memoryview(data)
        while view:
            view = view[os.write(file, view) :]

    def sync(self, file: int) -> None:
        """Wait until all that was written is on the disk."""
        os.fsync(file)

    def truncate(self, file: int, size: int) -> None:
        """Cut the file off after `size` bytes."""
        os.ftruncate(file, size)

    def close(self, file: int) -> None:
        """Be done with an open file."""
        os.close(file)

    def replace(self, source: Path, target: Path) -> None:
        """Put one file in the place of another, in one step."""
        os.replace(source, target)

    def remove(self, path: Path) -> None:
        """Take a file away, if it is there."""
        path.unlink(missing_ok=True)

    def sync_folder(self, folder: Path) -> None:
        """Wait until new names in a folder are on the disk (where the system has such a thing)."""
        if os.name == "nt":
            return
        file = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(file)
        finally:
            os.close(file)

    @contextlib.contextmanager
    def lock(self, path: Path, patience: float = PATIENCE) -> Iterator[None]:
        """Have the books alone, waiting up to `patience` seconds.

        The lock is the operating system's and dies with the process: none is ever left behind.
        """
        import filelock

        deadline = time.monotonic() + patience
        file = os.open(path, os.O_RDWR | os.O_CREAT, FILE_MODE)
        try:
            while not filelock.lock_descriptor(file, blocking=False):
                if time.monotonic() > deadline:
                    raise BooksBusy(
                        "Another program is writing in these books and does not let go",
                        str(path),
                        "Nothing was changed. Close the other program, or wait, and say it again.",
                    )
                time.sleep(_PAUSE)
            yield
        finally:
            os.close(file)

    def put_file(self, path: Path, data: bytes, *, previous: Path | None = None) -> None:
        """Write a whole file in the place of an old one: the old or the new, never a mixture.

        The old one is kept under the name `previous`, if that is given.
        """
        fresh = path.with_name(f"{path.name}.{os.getpid()}.new")
        try:
            file = self.open(fresh, fresh=True)
            try:
                self.write(file, data)
                self.sync(file)
            finally:
                self.close(file)
            if previous is not None and self.stamp(path) is not None:
                self.replace(path, previous)
            self.replace(fresh, path)
        except OSError:
            with contextlib.suppress(OSError):
                self.remove(fresh)
            raise
        self.sync_folder(path.parent)


class MemoryDisk(Disk):
    """A disk that is forgotten when the program ends: for trying things out."""

    lasting = False

    def __init__(self) -> None:
        self.files: dict[Path, bytearray] = {}
        self._open: dict[int, bytearray] = {}
        self._next = 1

    def make_folder(self, folder: Path) -> None:
        """Folders need no making here."""

    def stamp(self, path: Path) -> Stamp | None:
        """As on a real disk; files here have no time."""
        data = self.files.get(path)
        return None if data is None else (id(data), len(data), 0)

    def read(self, path: Path, start: int = 0, size: int = -1) -> bytes:
        """As on a real disk."""
        data = self.files.get(path)
        if data is None:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(path))
        return bytes(data[start:] if size < 0 else data[start : start + size])

    def open(self, path: Path, *, fresh: bool = False) -> int:
        """As on a real disk."""
        if fresh or path not in self.files:
            self.files[path] = bytearray()
        file, self._next = self._next, self._next + 1
        self._open[file] = self.files[path]
        return file

    def write(self, file: int, data: bytes) -> None:
        """As on a real disk."""
        self._open[file].extend(data)

    def sync(self, file: int) -> None:
        """Nothing to wait for."""

    def truncate(self, file: int, size: int) -> None:
        """As on a real disk."""
        del self._open[file][size:]

    def close(self, file: int) -> None:
        """As on a real disk."""
        del self._open[file]

    def replace(self, source: Path, target: Path) -> None:
        """As on a real disk."""
        if source not in self.files:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(source))
        self.files[target] = self.files.pop(source)

    def remove(self, path: Path) -> None:
        """As on a real disk."""
        self.files.pop(path, None)

    def sync_folder(self, folder: Path) -> None:
        """Nothing to wait for."""

    @contextlib.contextmanager
    def lock(self, path: Path, patience: float = PATIENCE) -> Iterator[None]:
        """Nobody else is here."""
        yield

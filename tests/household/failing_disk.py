"""A disk that dies, forgets and refuses: every step of it can be made to fail.

It keeps what a power cut would leave apart from what a program sees. Whatever was written but not
waited for is pending; after a death each pending write is done, dropped or garbled by chance, and
of the pending new names (made, replaced, removed) only the first so many are kept.
"""

from __future__ import annotations

import errno
import os
import random
from collections.abc import Callable
from pathlib import Path

from helper.household.disk import MemoryDisk, Stamp

Names = dict[Path, "Platter"]


class Death(BaseException):
    """The power is gone."""


class Platter:
    """One file: its bytes as the program sees them, as the disk holds them, and what is between."""

    def __init__(self) -> None:
        self.seen = bytearray()
        self.safe = b""
        self.pending: list[tuple[int, bytes | None]] = []

    def write(self, data: bytes, at: int) -> None:
        if at > len(self.seen):
            self.seen.extend(bytes(at - len(self.seen)))
        self.seen[at : at + len(data)] = data
        self.pending.append((at, data))

    def truncate(self, size: int) -> None:
        del self.seen[size:]
        self.pending.append((size, None))

    def sync(self) -> None:
        self.safe, self.pending = bytes(self.seen), []

    def after_death(self, chance: random.Random) -> bytearray:
        left = bytearray(self.safe)
        for at, data in self.pending:
            fate = chance.choice(("done", "done", "dropped", "garbled", "short"))
            if fate == "dropped":
                continue
            if data is None:
                del left[at:]
                continue
            if fate == "garbled" and data:
                bad = bytearray(data)
                for _ in range(chance.randint(1, 8)):
                    bad[chance.randrange(len(bad))] = chance.choice((0, 10, chance.randrange(256)))
                data = bytes(bad)
            if fate == "short":
                data = data[: chance.randrange(len(data) + 1)]
            left.extend(bytes(max(0, at - len(left))))
            left[at : at + len(data)] = data
        return left


class FailingDisk(MemoryDisk):
    """Fails at step `at`: dies, or raises an error of the system once or from then on."""

    def __init__(
        self,
        files: dict[Path, bytearray] | None = None,
        *,
        at: int = -1,
        error: int | None = None,
        lasting: bool = False,
        seed: int = 0,
    ) -> None:
        super().__init__()
        self.at, self.error, self.lasting = at, error, lasting
        self.steps = 0
        self.chance = random.Random(seed)
        self.names: Names = {}
        self.safe_names: Names = {}
        self.renamings: list[Callable[[Names], object]] = []
        self.opened: dict[int, Platter] = {}
        for path, data in (files or {}).items():
            platter = self.names[path] = self.safe_names[path] = Platter()
            platter.seen, platter.safe = bytearray(data), bytes(data)

    def _step(self) -> None:
        self.steps += 1
        if self.at < 0 or self.steps < self.at or (self.steps > self.at and not self.lasting):
            return
        if self.error is None:
            raise Death
        raise OSError(self.error, os.strerror(self.error))

    def _rename(self, renaming: Callable[[Names], object]) -> None:
        renaming(self.names)
        self.renamings.append(renaming)

    def after_death(self) -> dict[Path, bytearray]:
        """The files as found when the power is back."""
        for renaming in self.renamings[: self.chance.randint(0, len(self.renamings))]:
            renaming(self.safe_names)
        return {path: one.after_death(self.chance) for path, one in self.safe_names.items()}

    def as_seen(self) -> dict[Path, bytearray]:
        """The files as the next program sees them, if the power stays on."""
        return {path: bytearray(one.seen) for path, one in self.names.items()}

    # Looking does not count as a step when dying, but can fail with an error.

    def stamp(self, path: Path) -> Stamp | None:
        if self.error is not None:
            self._step()
        one = self.names.get(path)
        return None if one is None else (id(one), len(one.seen), len(one.pending))

    def read(self, path: Path, start: int = 0, size: int = -1) -> bytes:
        if self.error is not None:
            self._step()
        if path not in self.names:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(path))
        seen = self.names[path].seen
        return bytes(seen[start:] if size < 0 else seen[start : start + size])

    def open(self, path: Path, *, fresh: bool = False) -> int:
        self._step()
        if path not in self.names:
            platter = Platter()
            self._rename(lambda names: names.setdefault(path, platter))
        elif fresh:
            self.names[path].truncate(0)
        self._next += 1
        self.opened[self._next] = self.names[path]
        return self._next

    def write(self, file: int, data: bytes) -> None:
        self.write_at(file, data, len(self.opened[file].seen))

    def write_at(self, file: int, data: bytes, at: int) -> None:
        """Write anywhere in a file, as our own books never do."""
        try:
            self._step()
        except BaseException:
            # A failing write may have got some way.
            self.opened[file].write(data[: self.chance.randrange(len(data) + 1)], at)
            raise
        self.opened[file].write(data, at)

    def sync(self, file: int) -> None:
        self._step()
        self.opened[file].sync()

    def truncate(self, file: int, size: int) -> None:
        self._step()
        self.opened[file].truncate(size)

    def close(self, file: int) -> None:
        del self.opened[file]
        self._step()

    def replace(self, source: Path, target: Path) -> None:
        self._step()

        def renaming(names: Names) -> None:
            if source in names:
                names[target] = names.pop(source)

        self._rename(renaming)

    def remove(self, path: Path) -> None:
        self._step()
        self._rename(lambda names: names.pop(path, None))

    def sync_folder(self, folder: Path) -> None:
        self._step()
        self.safe_names, self.renamings = dict(self.names), []

"""What can go wrong with the books: always what happened, where, and what to do about it."""

from __future__ import annotations

import errno
from pathlib import Path


class Trouble(Exception):
    """Something the person has to know. Nothing was changed unless the text says so.

    `what` happened, `where` (a file, a line, a record), and what to `do` next.
    """

    def __init__(self, what: str, where: str = "", do: str = "") -> None:
        super().__init__(what, where, do)
        self.what = what
        self.where = where
        self.do = do

    def __str__(self) -> str:
        place = f" ({self.where})" if self.where else ""
        advice = f" {self.do}" if self.do else ""
        return f"{self.what}{place}.{advice}"


class CannotRead(Trouble):
    """The disk would not give up the books."""


class CannotWrite(Trouble):
    """The disk would not take a change; the books are as they were."""


class BooksBusy(Trouble):
    """Another program has held the books for too long."""


class BooksDamaged(Trouble):
    """A line in the middle of the journal cannot be trusted; reading goes on, writing does not."""


class NewerBooks(Trouble):
    """A newer version of this program has written these books."""


class Clash(Trouble):
    """Somebody else changed the same record in the meantime; nothing was written."""

    def __init__(self, table: str, record: int) -> None:
        super().__init__(
            "Somebody else has just changed the same thing",
            f"{table}, number {record}",
            "Nothing was written. Look at it again and repeat the change.",
        )
        self.table = table
        self.record = record


class CannotUndo(Trouble):
    """Nothing to take back, or later changes stand on what would be taken back."""


class Unwritable(Trouble):
    """A record that could not be read again once it is written: an endless number, broken text."""


class OutsideTheDoor(Trouble):
    """A program fault: tables were to be changed without the journal."""


_WHY_NOT = {
    errno.ENOSPC: ("the disk is full", "Make room on the disk, then say it again."),
    errno.EDQUOT: ("your share of the disk is used up", "Make room, then say it again."),
    errno.EROFS: ("the disk can only be read", "Use another folder, or make this one writable."),
    errno.EACCES: ("the files are not yours to use", "Ask their owner, or use another folder."),
    errno.EPERM: ("the files are not yours to use", "Ask their owner, or use another folder."),
    errno.EIO: ("the disk reports an error", "Copy the household folder to another disk soon."),
    errno.ENOTDIR: ("a part of the path is a file", "Name a folder."),
    errno.EISDIR: ("a folder stands where a file should", "Move that folder away."),
}


def why_not(error: OSError) -> tuple[str, str]:
    """The reason behind a refusal of the operating system, and what to do about it."""
    reason = (error.strerror or str(error)).lower()
    return _WHY_NOT.get(error.errno or 0, (reason, "Nothing is lost; try again."))


def cannot_read(error: OSError, path: Path) -> CannotRead:
    """A refused reading, worded."""
    reason, advice = why_not(error)
    return CannotRead(f"The books cannot be read: {reason}", str(path), advice)


def cannot_write(error: OSError, path: Path, *, certain: bool = True) -> CannotWrite:
    """A refused writing, worded; `certain` False where the change may have got to the disk."""
    reason, advice = why_not(error)
    if certain:
        return CannotWrite(f"Not written: {reason}", str(path), f"Nothing was changed. {advice}")
    doubt = "The change may or may not be kept: look before you say it again."
    return CannotWrite(f"Perhaps not written: {reason}", str(path), f"{doubt} {advice}")

"""What was said in earlier chats, for the arrow keys: a private file, never in the way."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable
from pathlib import Path

from prompt_toolkit.history import FileHistory, History, InMemoryHistory

_NAME = "said.txt"


class PrivateHistory(FileHistory):
    """A history file only its owner can read; a disk that refuses it costs the history alone."""

    def load_history_strings(self) -> Iterable[str]:
        """What was said before, newest first; nothing where the file cannot be read."""
        try:
            return list(super().load_history_strings())
        except OSError:
            return []

    def store_string(self, string: str) -> None:
        """Add what was said just now."""
        with contextlib.suppress(OSError):
            os.close(os.open(self.filename, os.O_CREAT | os.O_WRONLY, 0o600))
            super().store_string(string.encode(errors="replace").decode())


def history_in(folder: Path | None) -> History:
    """The history kept in a folder, or one that is forgotten."""
    return InMemoryHistory() if folder is None else PrivateHistory(str(folder / _NAME))

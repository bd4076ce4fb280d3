"""The fault log: errors in the program itself, for whoever mends it, out of the person's way."""

from __future__ import annotations

import contextlib
import datetime as dt
import traceback
from pathlib import Path

_LARGEST = 1 << 20


class FaultLog:
    """Appends what went wrong to `faults.log` in a folder; begins anew when it grows large."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "faults.log"

    def __call__(self, said: str, fault: Exception) -> None:
        """Note one fault. A disk that will not take it must not make things worse."""
        when = dt.datetime.now().isoformat(timespec="seconds")
        told = "".join(traceback.format_exception(fault))
        with contextlib.suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            full = self.path.exists() and self.path.stat().st_size > _LARGEST
            with self.path.open("w" if full else "a", encoding="utf-8", errors="replace") as log:
                self.path.chmod(0o600)
                log.write(f"{when} over {said[:500]!r}\n{told}\n")

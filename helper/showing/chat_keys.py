"""Keys pressed while an answer is worked out: kept for the prompt, not scattered over the answer.

Between two prompts the terminal itself would echo them wherever the cursor stands.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from typing import IO


@contextlib.contextmanager
def kept_keys(source: IO[str]) -> Iterator[None]:
    """Within, a terminal shows nothing of what is typed; Ctrl-C still breaks off."""
    if sys.platform == "win32" or not source.isatty():
        yield
        return
    import termios

    terminal = source.fileno()
    try:
        before = termios.tcgetattr(terminal)
    except termios.error:
        yield
        return
    silent = before.copy()
    silent[3] &= ~termios.ECHO
    termios.tcsetattr(terminal, termios.TCSANOW, silent)
    try:
        yield
    finally:
        termios.tcsetattr(terminal, termios.TCSANOW, before)

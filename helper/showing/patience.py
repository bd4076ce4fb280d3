"""A word to the person where something takes longer than a moment."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from threading import Timer
from typing import IO

_MOMENT = 1.0
_WORD = "One moment ..."


@contextlib.contextmanager
def patience(file: IO[str], moment: float = _MOMENT) -> Iterator[None]:
    """Say "one moment" on a terminal if what is done inside takes longer than that.

    A pipe is told nothing: whoever reads it can wait.
    """
    if not file.isatty():
        yield
        return
    timer = Timer(moment, lambda: print(_WORD, file=file, flush=True))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()

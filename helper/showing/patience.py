"""A word to the person where something takes longer than a moment, and a sign that it goes on."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from threading import Event, Thread
from typing import IO

_MOMENT = 1.0
_WORD = "One moment ..."


@contextlib.contextmanager
def patience(file: IO[str], moment: float = _MOMENT) -> Iterator[None]:
    """Say "one moment" on a terminal if what is done inside takes longer than that (seconds).

    A dot is added for every such moment more; a dumb terminal, which may be read aloud, gets none.
    A pipe is told nothing: whoever reads it can wait.
    """
    if not file.isatty():
        yield
        return
    done = Event()
    teller = Thread(target=_tell, args=(file, moment, done), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def _tell(file: IO[str], moment: float, done: Event) -> None:
    if done.wait(moment):
        return
    dots = os.environ.get("TERM") != "dumb"
    print(_WORD, end="" if dots else "\n", file=file, flush=True)
    if not dots:
        return
    while not done.wait(moment or _MOMENT):
        print(".", end="", file=file, flush=True)
    print(file=file, flush=True)

from __future__ import annotations

import io
import time

from helper.showing.patience import patience


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def said(file: io.StringIO, moment: float, takes: float) -> str:
    with patience(file, moment):
        time.sleep(takes)
    return file.getvalue()


def test_what_takes_long_is_announced() -> None:
    assert said(Terminal(), 0.0, 0.2) == "One moment ...\n"


def test_what_is_quick_is_not() -> None:
    assert said(Terminal(), 30.0, 0.0) == ""


def test_a_pipe_is_told_nothing() -> None:
    assert said(io.StringIO(), 0.0, 0.2) == ""

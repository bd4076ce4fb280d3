from __future__ import annotations

import io
import time

import pytest

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


def test_what_goes_on_shows_that_it_does() -> None:
    told = said(Terminal(), 0.01, 0.4)
    assert told.startswith("One moment ....")
    assert told.endswith(".\n")


def test_a_terminal_read_aloud_is_told_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert said(Terminal(), 0.01, 0.4) == "One moment ...\n"


def test_what_is_quick_is_not() -> None:
    assert said(Terminal(), 30.0, 0.0) == ""


def test_a_pipe_is_told_nothing() -> None:
    assert said(io.StringIO(), 0.0, 0.2) == ""

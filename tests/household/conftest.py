"""A household on the real disk, small enough to be kept in one's head."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from helper.household.books import Household

NOON = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "house"


@pytest.fixture
def reopened(folder: Path) -> Callable[[], Household]:
    def opened() -> Household:
        return Household.open(folder, today=NOON.date, now=lambda: NOON)

    return opened

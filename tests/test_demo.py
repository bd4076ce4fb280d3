"""The demo household."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import msgspec
import pytest

from helper.demo import NOMINAL_DAY, demo_books
from rules import prepared


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(prepared, "_folders", lambda: [tmp_path / "cache"])
    return tmp_path / "cache"


def test_the_demo_has_a_full_kitchen() -> None:
    books = demo_books(NOMINAL_DAY)
    assert len(books.people()) == 10
    assert len(list(books.recipes())) >= 60
    assert len(books.lots()) >= 100
    assert books.prices()


def test_its_dates_move_with_the_day_and_can_not_be_undone() -> None:
    today = NOMINAL_DAY + dt.timedelta(400)
    moved, plain = demo_books(today), demo_books(NOMINAL_DAY)
    for one, other in zip(moved.lots(), plain.lots(), strict=True):
        if other.best_by is not None and one.best_by is not None:
            assert (one.best_by - other.best_by).days == 400
    assert not list(moved.events())


def test_every_copy_is_private(own_cache: Path) -> None:
    first = demo_books(NOMINAL_DAY)
    first.change(lambda draft: draft.remove("stock", 1), act="use-stock")
    assert len(demo_books(NOMINAL_DAY).lots()) == len(first.lots()) + 1


@pytest.mark.parametrize("garbled", [b"{garbled", b"", msgspec.msgpack.encode(b"{garbled")])
def test_a_garbled_cache_is_made_again(own_cache: Path, garbled: bytes) -> None:
    demo_books(NOMINAL_DAY)
    (cached,) = own_cache.glob("demo-*")
    cached.write_bytes(garbled)
    assert demo_books(NOMINAL_DAY).lots()


def test_without_a_cache_the_files_are_read(own_cache: Path) -> None:
    own_cache.write_text("a file where the folder should be", encoding="utf-8")
    assert demo_books(NOMINAL_DAY).lots()

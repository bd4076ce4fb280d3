"""What is kept for the next start: made once, and made again whenever it might be out of date."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rules import prepared as module
from rules.prepared import prepared


class Kitchen:
    """A table on the disk, and how often it was worked out."""

    def __init__(self, folder: Path) -> None:
        self.source = folder / "table.csv"
        self.source.write_text("one")
        self.worked = 0

    def ask(self) -> str:
        def make() -> str:
            self.worked += 1
            return self.source.read_text()

        return prepared("table", str, [self.source], make)


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    places = [tmp_path / "beside", tmp_path / "cache"]
    monkeypatch.setattr(module, "_folders", lambda: places)
    return places


def test_it_is_worked_out_once(tmp_path: Path, folders: list[Path]) -> None:
    kitchen = Kitchen(tmp_path)
    assert [kitchen.ask(), kitchen.ask()] == ["one", "one"]
    assert kitchen.worked == 1


def test_a_changed_table_is_noticed(tmp_path: Path, folders: list[Path]) -> None:
    kitchen = Kitchen(tmp_path)
    kitchen.ask()
    kitchen.source.write_text("two")
    os.utime(kitchen.source, (1, 1))  # as long as before, and older
    assert kitchen.ask() == "two"
    assert len(list(folders[0].iterdir())) == 1  # what is out of date is cleared away


def test_garbled_results_are_made_again(tmp_path: Path, folders: list[Path]) -> None:
    kitchen = Kitchen(tmp_path)
    kitchen.ask()
    (kept,) = folders[0].iterdir()
    kept.write_bytes(b"\xc1")
    assert kitchen.ask() == "one"


def test_where_one_folder_cannot_be_written_the_next_is_used(
    tmp_path: Path, folders: list[Path]
) -> None:
    folders[0].write_text("a file where the folder should be")
    kitchen = Kitchen(tmp_path)
    assert [kitchen.ask(), kitchen.ask()] == ["one", "one"]
    assert (kitchen.worked, len(list(folders[1].iterdir()))) == (1, 1)


def test_where_nothing_can_be_written_it_works_all_the_same(
    tmp_path: Path, folders: list[Path]
) -> None:
    for folder in folders:
        folder.write_text("a file where the folder should be")
    kitchen = Kitchen(tmp_path)
    assert [kitchen.ask(), kitchen.ask()] == ["one", "one"]

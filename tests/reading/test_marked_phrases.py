"""Lines of examples that name their acts themselves are checked like all other phrases."""

from __future__ import annotations

from pathlib import Path

import pytest

from helper.reading.phrases import PhraseError, read_marked, read_two


def test_an_act_nobody_knows_is_named_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("cost: and for 8\nprize: and butter\n", encoding="utf-8")
    with pytest.raises(PhraseError, match=r"a\.txt:2.*prize"):
        read_marked(tmp_path)


def test_a_slot_nobody_knows_is_named(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("cost: and the {dish}\n", encoding="utf-8")
    with pytest.raises(PhraseError, match=r"a\.txt:1.*dish"):
        read_marked(tmp_path)


def test_as_many_acts_as_parts_are_wanted(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("cost + stock: what is it, and how much is left\n", "utf-8")
    with pytest.raises(PhraseError, match="as many acts"):
        read_two(tmp_path)


def test_each_part_has_its_act(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("stock + cost: is there rice, and || what is it\n", "utf-8")
    assert read_two(tmp_path) == [(("stock", "cost"), ["is there rice, and", "what is it"])]

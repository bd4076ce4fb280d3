"""Labelled recipe lines: nothing that is in a food is ever cleared."""

from __future__ import annotations

import pytest

from tests.allergens.scoring import PLAIN, labelled, score, score_aloud

PARTS = ("look", "measure")


@pytest.mark.parametrize("part", PARTS)
def test_recipes_of_one_line(part: str) -> None:
    found = score(part)
    assert not found.cleared("contains")
    assert found.caught >= 0.97
    assert found.plain_alarm_rate <= 0.05


@pytest.mark.parametrize("part", PARTS)
def test_bare_foods_asked_about_in_words(part: str) -> None:
    found = score_aloud(part)
    assert not found.cleared("contains")
    assert found.caught >= 0.97
    assert found.plain_alarm_rate <= 0.05


def test_both_parts_hold_enough_of_every_label() -> None:
    for part in PARTS:
        entries = labelled(part)
        assert len(entries) >= 400
        assert sum(entry.kind == PLAIN for entry in entries) >= 100
        assert all(not set(entry.none_of) & {*entry.contains, *entry.may} for entry in entries), (
            "no line is labelled both ways"
        )

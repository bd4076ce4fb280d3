"""Labelled recipe lines: nothing that is in a food is ever cleared."""

from __future__ import annotations

import pytest

from tests.allergens.scoring import HERE, score

PARTS = [part for part in ("look", "measure") if (HERE / f"lines_{part}.jsonl").exists()]


@pytest.mark.parametrize("part", PARTS)
def test_labelled_lines(part: str) -> None:
    found = score(part)
    assert not [case for case in found.cases if case.missed and case.label == "contains"]
    assert found.caught >= 0.97
    assert found.alarm_rate <= 0.05

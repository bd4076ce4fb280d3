"""The book of seasons."""

from __future__ import annotations

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.seasons import Seasons, months_written
from rules.tables import rows

BOOK = list(rows("books/seasons.csv"))


@pytest.mark.parametrize("row", BOOK, ids=[f"{row['food']}-{row['region']}" for row in BOOK])
def test_every_row_answers_in_its_region(foods: Foods, row: dict[str, str]) -> None:
    found = Seasons(foods, row["region"]).of(row["food"])
    assert found is not None
    assert found.region == row["region"]
    assert found.source == row["source"]
    if row["months"] != "all":
        assert found.months == tuple(int(one) for one in row["months"].split(";"))


def test_a_region_without_a_row_goes_by_the_wider_one(foods: Foods) -> None:
    found = Seasons(foods, "US north").of("kale")
    assert found is not None
    assert found.region == "US"


def test_a_sort_goes_by_its_wider_name(foods: Foods) -> None:
    found = Seasons(foods).of("red potato")
    assert found is not None
    assert found.food == "potato"


def test_the_shortest_seasons_come_first(foods: Foods) -> None:
    found = Seasons(foods).within([11])
    assert len(found[0].months) < 12
    assert len(found[-1].months) == 12
    assert "sweet potato" in {one.food for one in found}
    assert "asparagus" not in {one.food for one in found}


def test_a_kind_narrows_it_down(foods: Foods) -> None:
    found = {one.food for one in Seasons(foods).within([6], "berry")}
    assert "strawberry" in found
    assert "zucchini" not in found


@pytest.mark.parametrize(
    ("months", "text"),
    [
        ((9, 10, 11, 12, 1, 2), "September to February"),
        ((3, 4, 5, 9, 10, 11), "March to May and September to November"),
        ((6,), "June"),
        (range(1, 13), "all year"),
    ],
)
def test_months_in_words(months: tuple[int, ...], text: str) -> None:
    assert months_written(months) == text

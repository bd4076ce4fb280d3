"""Foods, and measures over a few figures of our own, so that a test shows what it rests on."""

from __future__ import annotations

import pytest

from helper.kitchen.facts import Facts
from helper.kitchen.foods import Foods
from helper.kitchen.measures import Measures

# Figures of the tables, few enough to reckon with by hand; "test" stands for their source.
WEIGHTS = [
    ("navy bean", "cup", "", "200", "test"),
    ("cooked navy bean", "cup", "", "180", "test"),
    ("onion", "cup", "chopped", "160", "test"),
    ("onion", "piece", "", "110", "test"),
    ("onion", "piece", "large", "150", "test"),
    ("all-purpose flour", "cup", "", "125", "test"),
    ("garlic", "clove", "", "3", "test"),
]
TRIM = [("onion", "10", "ends and skins", "test")]
PACKAGES = [
    ("canned navy bean", "can", "15", "oz", "9", "oz", "", "test", "test"),
    ("navy bean", "bag", "1", "lb", "", "", "", "test", "test"),
]
YIELDS = [
    ("navy bean", "dry", "1", "lb", "cooked", "6", "cup", "soaked", "test", "test"),
    (
        "canned navy bean",
        "canned",
        "1",
        "can",
        "drained",
        "1.5",
        "cup",
        "15 oz can",
        "test",
        "test",
    ),
]


@pytest.fixture(scope="session")
def foods() -> Foods:
    return Foods()


@pytest.fixture
def measures(foods: Foods) -> Measures:
    """Measures over the few figures above."""
    given: dict[str, list[tuple[str, ...]]] = {
        "weights": list(WEIGHTS),
        "trim": list(TRIM),
        "packages": list(PACKAGES),
        "yields": list(YIELDS),
    }
    return Measures(foods, facts=Facts(given))


@pytest.fixture(scope="session")
def published(foods: Foods) -> Measures:
    """Measures over the reference tables."""
    return Measures(foods)

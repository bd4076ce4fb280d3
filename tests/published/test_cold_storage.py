"""How long food keeps in the cold, as FoodSafety.gov publishes it.

The chart counts months; the book counts days, thirty and a half to the month.
"""

from __future__ import annotations

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.keeping import Keeping

SOURCE = "FoodSafety.gov, Cold Food Storage Chart"
EGGS = "FoodSafety.gov, Egg Storage Chart"
HAM = "FoodSafety.gov, Ham Storage Chart"

# food, state, fridge days, freezer months (None: not in the chart; (0, 0): does not freeze well)
CHART = [
    (SOURCE, "egg salad", "leftover", (3, 4), (0, 0)),
    (SOURCE, "chicken salad", "leftover", (3, 4), (0, 0)),
    (SOURCE, "ham salad", "leftover", (3, 4), (0, 0)),
    (SOURCE, "tuna salad", "leftover", (3, 4), (0, 0)),
    (SOURCE, "macaroni salad", "leftover", (3, 4), (0, 0)),
    (SOURCE, "hot dog", "opened", (7, 7), (1, 2)),
    (SOURCE, "hot dog", "unopened", (14, 14), None),
    (SOURCE, "lunch meat", "opened", (3, 5), (1, 2)),
    (SOURCE, "lunch meat", "unopened", (14, 14), None),
    (SOURCE, "bacon", "raw", (7, 7), (1, 1)),
    (SOURCE, "sausage", "raw", (1, 2), (1, 2)),
    (SOURCE, "sausage", "cooked", (7, 7), (1, 2)),
    (SOURCE, "ground beef", "raw", (1, 2), (3, 4)),
    (SOURCE, "ground turkey", "raw", (1, 2), (3, 4)),
    (SOURCE, "ground pork", "raw", (1, 2), (3, 4)),
    (SOURCE, "beef steak", "raw", (3, 5), (4, 12)),
    (SOURCE, "pork chop", "raw", (3, 5), (4, 12)),
    (SOURCE, "lamb chop", "raw", (3, 5), (4, 12)),
    (SOURCE, "beef roast", "raw", (3, 5), (4, 12)),
    (SOURCE, "pork roast", "raw", (3, 5), (4, 12)),
    (HAM, "ham", "raw", (5, 7), (3, 4)),
    (HAM, "ham", "unopened", (14, 14), (1, 2)),
    (HAM, "sliced ham", "cut", (3, 5), (1, 2)),
    (HAM, "spiral ham", "cut", (3, 5), (1, 2)),
    (HAM, "whole ham", "cooked", (7, 7), (1, 2)),
    (HAM, "pork leg", "raw", (3, 5), (6, 6)),
    (HAM, "pork leg", "cooked", (3, 4), (3, 4)),
    (HAM, "country ham", "cooked", (7, 7), (1, 1)),
    (SOURCE, "whole chicken", "raw", (1, 2), (12, 12)),
    (SOURCE, "whole turkey", "raw", (1, 2), (12, 12)),
    (SOURCE, "chicken piece", "raw", (1, 2), (9, 9)),
    (SOURCE, "chicken thigh", "raw", (1, 2), (9, 9)),
    (SOURCE, "turkey piece", "raw", (1, 2), (9, 9)),
    (SOURCE, "salmon", "raw", (1, 3), (2, 3)),
    (SOURCE, "cod", "raw", (1, 3), (6, 8)),
    (SOURCE, "crab meat", "cooked", (2, 4), (2, 4)),
    (SOURCE, "egg", "fresh", (21, 35), (0, 0)),
    (SOURCE, "egg white", "raw", (2, 4), (12, 12)),
    (SOURCE, "egg yolk", "raw", (2, 4), None),
    (EGGS, "hard-cooked egg", "cooked", (7, 7), (0, 0)),
    (SOURCE, "liquid egg substitute", "opened", (3, 3), None),
    (SOURCE, "quiche", "leftover", (3, 4), None),
    (SOURCE, "soup", "leftover", (3, 4), (2, 3)),
    (SOURCE, "stew", "leftover", (3, 4), (2, 3)),
    (SOURCE, "cooked meat", "leftover", (3, 4), (2, 6)),
    (SOURCE, "cooked chicken", "leftover", (3, 4), (2, 6)),
    (SOURCE, "chicken nugget", "leftover", (3, 4), (1, 3)),
    (SOURCE, "pizza", "leftover", (3, 4), (1, 2)),
]


@pytest.fixture(scope="module")
def keeping() -> Keeping:
    return Keeping(Foods())


@pytest.mark.parametrize(
    ("food", "state", "fridge", "freezer"),
    [row[1:] for row in CHART],
    ids=[f"{source}: {food} {state}" for source, food, state, *_ in CHART],
)
def test_cold_storage(
    keeping: Keeping,
    food: str,
    state: str,
    fridge: tuple[int, int],
    freezer: tuple[int, int] | None,
) -> None:
    cold = keeping.time(food, "fridge", state)
    assert cold is not None
    assert (cold.days_min, cold.days_max) == fridge
    if freezer is not None:
        frozen = keeping.time(food, "freezer", state)
        assert frozen is not None
        months = (frozen.days_min / 30.42, frozen.days_max / 30.42)
        assert months == pytest.approx(freezer, abs=0.1)

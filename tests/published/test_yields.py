"""Yields: every row by itself, against the weights it must agree with, and against publications."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rules.reference import make_weights

REFERENCE = Path(make_weights.__file__).parent
GRAMS_PER_POUND = 453.59237


def rows_of(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


YIELDS = rows_of("yields.csv")
FOODS = {row.food for row in make_weights.read_listing()}
CUP = {
    row["food"]: float(row["grams"])
    for row in rows_of("weights_more.csv") + rows_of("weights.csv")
    if (row["unit"], row["detail"]) == ("cup", "")
}
TRIM = {row["food"]: int(row["refuse_percent"]) for row in rows_of("trim.csv")}
UNITS = {"", "lb", "oz", "cup", "tbsp", "tsp", "can", "package", "slice", "stick", "stalk", "clove"}
PULSES = [
    "navy bean",
    "black bean",
    "pinto bean",
    "kidney bean",
    "great northern bean",
    "lima bean",
    "chickpea",
    "lentil",
    "split pea",
    "black-eyed pea",
    "soybean",
    "bean",
]


def case(row: dict[str, str]) -> str:
    made = " ".join(filter(None, (row["from_amount"], row["from_unit"], row["from_form"])))
    return f"{made} {row['food']} to {row['to_unit']} {row['to_form']} [{row['source']}]"


def made_of(food: str, from_form: str, from_unit: str, to_form: str, to_unit: str) -> float:
    """Of the first row that fits: how much one unit gives."""
    wanted = (food, from_form, from_unit, to_form, to_unit)
    for row in YIELDS:
        keys = ("food", "from_form", "from_unit", "to_form", "to_unit")
        if tuple(row[key] for key in keys) == wanted:
            return float(row["to_amount"]) / float(row["from_amount"])
    raise KeyError(wanted)


def between(from_form: str, from_unit: str, to_form: str, to_unit: str) -> list[dict[str, str]]:
    keys = ("from_form", "from_unit", "to_form", "to_unit")
    wanted = (from_form, from_unit, to_form, to_unit)
    return [row for row in YIELDS if tuple(row[key] for key in keys) == wanted]


@pytest.mark.parametrize("row", YIELDS, ids=case)
def test_a_yield_can_be_used(row: dict[str, str]) -> None:
    assert row["food"] in FOODS
    assert float(row["from_amount"]) > 0
    assert float(row["to_amount"]) > 0
    assert {row["from_unit"], row["to_unit"]} <= UNITS
    assert row["source"]
    assert row["basis"] in {"retrieved", "memory", "practice"}


@pytest.mark.parametrize("row", between("dry", "lb", "dry", "cup"), ids=case)
def test_a_pound_of_dry_food_fills_the_cups_its_weight_says(row: dict[str, str]) -> None:
    if row["food"] not in CUP:
        pytest.skip("no cup weight of this food is known")
    by_weight = GRAMS_PER_POUND / CUP[row["food"]]
    # Old tables and cup weights of later books differ by a handful.
    assert float(row["to_amount"]) == pytest.approx(by_weight, rel=0.2)


@pytest.mark.parametrize("row", between("as purchased", "lb", "edible", "lb"), ids=case)
def test_trimming_agrees_with_the_refuse(row: dict[str, str]) -> None:
    # The yields peel what the release also has with its skin on.
    refuse = TRIM.get(f"peeled {row['food']}", TRIM[row["food"]])
    assert float(row["to_amount"]) == pytest.approx(1 - refuse / 100, abs=0.006)


@pytest.mark.parametrize("food", PULSES)
def test_a_pound_of_pulses_cooks_to_a_believable_pot(food: str) -> None:
    dry = made_of(food, "dry", "lb", "dry", "cup")
    cooked = made_of(food, "dry", "lb", "cooked", "cup")
    assert 1.9 <= dry <= 3.1
    assert 1.8 <= cooked / dry <= 3.3


@pytest.mark.parametrize(
    "food",
    [
        "canned bean",
        "canned navy bean",
        "canned kidney bean",
        "canned pinto bean",
        "canned chickpea",
        "canned great northern bean",
        "canned black bean",
    ],
)
def test_a_tin_drains_to_about_a_cup_and_a_half(food: str) -> None:
    assert made_of(food, "canned", "can", "drained", "cup") == pytest.approx(1.5, abs=0.2)


@pytest.mark.parametrize(
    ("food", "steps", "published", "source"),
    [
        ("black bean", ("dry", "lb", "cooked", "cup"), 18.3 / 4, "USDA Food Buying Guide"),
        ("black-eyed pea", ("dry", "lb", "cooked", "cup"), 28.3 / 4, "USDA Food Buying Guide"),
        ("bean", ("dry", "lb", "cooked", "cup"), 6, "U.S. Dry Bean Council"),
        ("bean", ("dry", "lb", "dry", "cup"), 2, "U.S. Dry Bean Council"),
        ("long-grain rice", ("dry", "lb", "cooked", "cup"), 8, "Quantity Cookery (1922)"),
        ("long-grain brown rice", ("dry", "lb", "cooked", "cup"), 6.5, "USDA Food Buying Guide"),
        ("pearl barley", ("dry", "cup", "cooked", "cup"), 4, "NMSU Guide E-132"),
        ("rolled oat", ("dry", "lb", "dry", "cup"), 5.5, "Quantity Cookery (1922)"),
        ("cornmeal", ("dry", "cup", "cooked mush", "cup"), 4, "NMSU Guide E-132"),
        ("canned bean", ("canned", "can", "drained", "cup"), 1.5, "U.S. Dry Bean Council"),
        ("pork tenderloin", ("raw", "lb", "roasted", "lb"), 0.73, "USDA SR28"),
        ("onion", ("as purchased", "lb", "edible", "lb"), 0.90, "USDA SR28 11282"),
        ("carrot", ("as purchased", "lb", "edible", "lb"), 0.89, "USDA SR28 11124"),
        ("cabbage", ("as purchased", "lb", "edible", "lb"), 0.80, "USDA SR28 11109"),
        ("banana", ("as purchased", "lb", "edible", "lb"), 0.64, "USDA SR28 09040"),
        ("broccoli", ("as purchased", "lb", "edible", "lb"), 0.61, "USDA SR28 11090"),
    ],
    ids=lambda value: value if isinstance(value, str) else None,
)
def test_published_yield(
    food: str, steps: tuple[str, str, str, str], published: float, source: str
) -> None:
    assert made_of(food, *steps) == pytest.approx(published, abs=0.01), source

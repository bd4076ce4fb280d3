"""Cautions: every row of the book is called for by something, and ordinary cooking by nothing."""

from __future__ import annotations

import pytest

from helper.kitchen.cautions import Cautions
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.recipes import Recipe
from rules.tables import rows

BOOK = list(rows("books/cautions.csv"))
WORDS = list(rows("books/caution_words.csv"))


@pytest.fixture(scope="module")
def cautions(foods: Foods) -> Cautions:
    return Cautions(foods)


def recipe(foods: Foods, lines: list[str], *steps: str) -> Recipe:
    return Recipe(1, "Supper", tuple(read_lines(lines, foods)), steps)


def told(row: dict[str, str]) -> str:
    """A sentence that tells of the row's first food and first technique."""
    technique = row["techniques"].split(";")[0]
    phrases = [
        w["words"].split(";")[0]
        for w in WORDS
        if w["sort"] == "technique" and w["name"] == technique
    ]
    return " ".join([row["foods"].split(";")[0], *phrases])


@pytest.mark.parametrize("row", BOOK, ids=[row["id"] for row in BOOK])
def test_every_row_is_called_for(cautions: Cautions, row: dict[str, str]) -> None:
    foods = [food for food in row["foods"].split(";") if food]
    for food in foods or [""]:
        found = cautions.about(
            [food] if food else [],
            [state for state in row["states"].split(";") if state][:1],
            said=told(row),
            least="info",
            most=99,
        )
        assert row["id"] in {care.id for care in found}, food


@pytest.mark.parametrize("row", BOOK, ids=[row["id"] for row in BOOK])
def test_every_row_is_well_formed(foods: Foods, row: dict[str, str]) -> None:
    kinds = {one["kind"] for one in rows("reference/kinds.csv")}
    for food in row["foods"].split(";"):
        assert not food or food in foods or food in kinds
    known = {word["name"] for word in WORDS}
    for name in (*row["techniques"].split(";"), *row["states"].split(";")):
        assert name in ("", "any") or name in known
    assert row["severity"] in ("info", "caution", "danger")
    assert row["text"].endswith(".")
    assert row["source"]


def ids(found: tuple[object, ...]) -> list[str]:
    return [care.id for care in found]  # type: ignore[attr-defined]


def test_raw_kidney_beans_in_a_slow_cooker(cautions: Cautions, foods: Foods) -> None:
    dish = recipe(foods, ["1 lb dry kidney beans"], "Put all in the slow cooker for 8 hours.")
    assert ids(cautions.recipe(dish)) == ["kidney-bean-slow-cooker", "slow-cooker-off"]


def test_canned_kidney_beans_need_no_such_word(cautions: Cautions, foods: Foods) -> None:
    dish = recipe(foods, ["1 can kidney beans"], "Put all in the slow cooker for 2 hours.")
    assert "kidney-bean-slow-cooker" not in ids(cautions.recipe(dish))


def test_rinsing_beans_is_not_rinsing_chicken(cautions: Cautions, foods: Foods) -> None:
    lines = ["1 lb chicken thighs", "1 can navy beans"]
    beans = recipe(foods, lines, "Rinse the beans.", "Roast the chicken.")
    chicken = recipe(foods, lines, "Rinse the chicken and pat it dry.")
    assert "rinse-poultry" not in ids(cautions.recipe(beans))
    assert "rinse-poultry" in ids(cautions.recipe(chicken))


def test_plain_cooking_calls_for_nothing(cautions: Cautions, foods: Foods) -> None:
    dish = recipe(
        foods, ["2 cups flour", "1 cup milk", "2 tbsp sugar"], "Mix and bake at 350 F until brown."
    )
    assert cautions.recipe(dish) == ()


def test_the_most_severe_come_first_and_are_two_at_most(cautions: Cautions) -> None:
    found = cautions.about(
        ["soup"], ["leftover", "cooked"], ["store", "reheat", "cool"], least="info"
    )
    assert len(found) == 2
    assert found[0].severity == "danger"


@pytest.mark.parametrize(
    ("line", "food", "fahrenheit"),
    [
        ("2 lb chicken thighs", "chicken thigh", 165),
        ("1 lb ground beef", "ground beef", 160),
        ("1 lb frozen cod", "frozen cod", 145),
        ("3 lb pork shoulder", "pork shoulder", 145),
    ],
)
def test_raw_meat_has_a_heat_to_reach(
    cautions: Cautions, foods: Foods, line: str, food: str, fahrenheit: float
) -> None:
    heats = cautions.heats(recipe(foods, [line]))
    assert [heat.fahrenheit for heat in heats] == [fahrenheit]


@pytest.mark.parametrize(
    "line", ["1 lb cooked ham", "2 cups cooked chicken", "1 can tuna", "1 ham bone", "2 eggs"]
)
def test_what_is_cooked_already_has_none(cautions: Cautions, foods: Foods, line: str) -> None:
    assert cautions.heats(recipe(foods, [line])) == ()


def test_every_row_of_temperatures_is_found(cautions: Cautions) -> None:
    for row in rows("books/temperatures.csv"):
        heat = cautions.temperature(row["food"])
        assert heat is not None
        assert (heat.food, heat.fahrenheit) == (row["food"], float(row["temp_f"]))

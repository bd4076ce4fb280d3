"""Ingredient lines as people write them, and as the demo household has them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.demo import demo_folder, read_demo
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lines import after_amount, read_line, read_lines
from helper.kitchen.recipes import Choice, Line


def one(text: str, foods: Foods) -> Line:
    (line,) = read_line(text, foods)
    return line


@pytest.mark.parametrize(
    ("text", "number", "unit", "food"),
    [
        ("1 lb dry navy beans", 1, "lb", "navy bean"),
        ("2 cups all-purpose flour", 2, "cup", "all-purpose flour"),
        ("1 large onion, chopped", 1, None, "onion"),
        ("2 stalks celery, sliced", 2, "stalk", "celery"),
        ("1 1/2 tsp salt", 1.5, "tsp", "salt"),
        ("½ cup milk", 0.5, "cup", "milk"),
        ("1½ cups milk", 1.5, "cup", "milk"),
        ("1/2 tsp black pepper", 0.5, "tsp", "black pepper"),
        ("a pinch of nutmeg", 1, "pinch", "nutmeg"),
        ("half a cup of sugar", 0.5, "cup", "granulated sugar"),
        ("three eggs", 3, None, "egg"),
        ("a dozen eggs", 12, None, "egg"),
        ("1 stick butter, softened", 1, "stick", "butter"),
        ("200 g butter", 200, "g", "butter"),
        ("flour, 2 cups", 2, "cup", "all-purpose flour"),
        ("- 2 carrots, sliced", 2, None, "carrot"),
        ("• 1 bay leaf", 1, None, "bay leaf"),
        ("2 T butter", 2, "tbsp", "butter"),
        ("3 tablespoons plus 1 teaspoon sugar", 10 / 3, "tbsp", "granulated sugar"),
        ("1 lb (450 g) ground beef", 1, "lb", "ground beef"),
        ("1 cup shredded cheddar cheese (4 oz)", 1, "cup", "cheddar cheese"),
        ("12 oz cheddar cheese, shredded (about 3 cups)", 12, "oz", "cheddar cheese"),
        ("1 small clove garlic", 1, "clove", "garlic"),
        ("2 large cloves garlic, minced", 2, "clove", "garlic"),
        ("1 small head cabbage", 1, "head", "cabbage"),
        ("1 large can tomatoes", 1, "can", "canned tomato"),
        ("2 canisters rolled oats", 2, "canister", "rolled oat"),
        ("1 basket strawberries", 1, "basket", "strawberry"),
        ("6 large rolls", 6, None, "roll"),
        ("8 cups water", 8, "cup", "water"),
        ("2 cups warm water (about 110°F)", 2, "cup", "water"),
        ("2 1/4 tsp active dry yeast (1 envelope)", 2.25, "tsp", "active dry yeast"),
        ("10 oz stale bread, cubed (about 6 cups)", 10, "oz", "stale bread"),
        ("2 cups all-purpose flour, plus more for the board", 2, "cup", "all-purpose flour"),
        ("3 tbsp butter, melted, plus more for the griddle", 3, "tbsp", "butter"),
        ("1 1/2 cups rolled oats, ground to meal", 1.5, "cup", "rolled oat"),
        ("12 oz kale, stems out, chopped", 12, "oz", "kale"),
        ("1 turkey carcass, broken up", 1, None, "turkey carcass"),
        ("1 tbsp oil for the pan", 1, "tbsp", "oil"),
        ("4 cups tinned tomatoes", 4, "cup", "canned tomato"),
    ],
)
def test_amount_and_food(
    foods: Foods, text: str, number: float, unit: str | None, food: str
) -> None:
    line = one(text, foods)
    assert line.food == food
    assert line.amount is not None
    assert line.amount.number == pytest.approx(number)
    assert line.amount.unit == unit
    assert line.certain, "every word of it is accounted for"
    assert line.text == text.lstrip("-\u2022 "), "as written, but for the bullet"


@pytest.mark.parametrize(
    ("text", "food", "amount", "size"),
    [
        ("2 (15 oz) cans kidney beans, drained", "canned kidney bean", Amount(2, "can"), 15),
        ("1 (28 oz) can tomatoes, crushed by hand", "canned tomato", Amount(1, "can"), 28),
        ("1 can (15.5 oz) pinto beans", "canned pinto bean", Amount(1, "can"), 15.5),
        ("2 x 400 g tins chickpeas", "canned chickpea", Amount(2, "can"), 400),
        ("1 butternut squash, about 2 lb, peeled", "butternut squash", Amount(1), 2),
        ("1 head cabbage (about 2 1/2 lb)", "cabbage", Amount(1, "head"), 2.5),
        ("1/2 head cabbage, shredded (about 1 1/4 lb)", "cabbage", Amount(0.5, "head"), 2.5),
        ("4 chicken thighs (6 oz each)", "chicken thigh", Amount(4), 6),
        ("4 chicken thighs (about 2 lb)", "chicken thigh", Amount(4), 0.5),
    ],
)
def test_how_big_one_of_them_is(
    foods: Foods, text: str, food: str, amount: Amount, size: float
) -> None:
    line = one(text, foods)
    assert (line.food, line.amount) == (food, amount)
    assert line.size is not None
    assert line.size.number == pytest.approx(size)
    assert line.certain


def test_a_weight_told_as_a_range_stays_a_range(foods: Foods) -> None:
    line = one("1 butternut squash (2 1/2 to 3 lb), peeled and cubed", foods)
    assert line.size == Amount(2.5, "lb", 3.0)
    assert line.preparation == "peeled and cubed"


@pytest.mark.parametrize(
    ("text", "number", "food", "part"),
    [
        ("juice of 1 lemon", 1, "lemon", "juice"),
        ("Juice and grated zest of 2 limes", 2, "lime", "juice and grated zest"),
        ("zest of half an orange", 0.5, "orange", "zest"),
        ("the juice of a lemon", 1, "lemon", "juice"),
    ],
)
def test_a_part_of_a_fruit(foods: Foods, text: str, number: float, food: str, part: str) -> None:
    line = one(text, foods)
    assert (line.food, line.amount) == (food, Amount(number))
    assert part in line.preparation
    assert line.certain


@pytest.mark.parametrize(
    ("text", "food", "choice"),
    [
        ("5 oz spinach, or 1 cup frozen", "spinach", Choice("frozen spinach", Amount(1, "cup"))),
        (
            "1 can (15.5 oz) pinto beans, or 1 1/2 cups refried beans",
            "canned pinto bean",
            Choice("refried bean", Amount(1.5, "cup")),
        ),
        ("1/2 cup butter or margarine", "butter", Choice("margarine")),
        (
            "1 tbsp grated ginger root or 1 tsp ground ginger",
            "ginger",
            Choice("ground ginger", Amount(1, "tsp")),
        ),
    ],
)
def test_what_may_be_taken_instead(foods: Foods, text: str, food: str, choice: Choice) -> None:
    line = one(text, foods)
    assert line.food == food
    assert line.choices == (choice,)


def test_salt_and_pepper_are_two_things_to_taste(foods: Foods) -> None:
    lines = read_line("salt and pepper to taste", foods)
    assert [(line.food, line.to_taste) for line in lines] == [
        ("salt", True), ("black pepper", True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "text", ["grated parmesan cheese for the table (optional)", "1 tbsp parsley, if you like"]
)
def test_what_may_be_left_out(foods: Foods, text: str) -> None:
    assert one(text, foods).optional


def test_foods_named_on_the_way_are_kept(foods: Foods) -> None:
    assert one("1 cup milk, plus extra butter for the tin", foods).mentions == ("butter",)
    assert one("1 lb liver, dredged in flour", foods).mentions == ("all-purpose flour",)


@pytest.mark.parametrize("text", ["1 cup flurble", "2 cups marzipork crumbs", "1 tbsp zorb sauce"])
def test_what_is_not_known_is_never_certain(foods: Foods, text: str) -> None:
    assert not one(text, foods).certain


def test_a_label_that_is_a_number(foods: Foods) -> None:
    assert one("1 can 0.0 beer", foods).claims == ("alcohol-free",)


def test_a_line_of_signs_is_unread(foods: Foods) -> None:
    (line,) = read_line("***", foods)
    assert line.unread


def test_sections_are_carried_along(foods: Foods) -> None:
    lines = read_lines(["2 eggs", "For the sauce:", "1 cup milk"], foods)
    assert [line.section for line in lines] == ["", "For the sauce"]


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("1 large onion, chopped", "large onion, chopped"),
        ("2 (15 oz) cans Kidney beans", "Kidney beans"),
        ("salt to taste", "salt to taste"),
        ("1½ cups milk", "milk"),
        ("juice of 1 lemon", None),
    ],
)
def test_what_stands_behind_the_amount(text: str, rest: str | None) -> None:
    assert after_amount(text) == rest


@given(st.text(max_size=80))
def test_any_text_is_read_or_marked(foods: Foods, text: str) -> None:
    for line in read_line(text, foods):
        assert line.unread or line.food
        assert line.unread is False or line.certain is False


def _demo_lines() -> list[tuple[str, Line]]:
    return [(recipe.title, line) for recipe in read_demo().recipes() for line in recipe.lines]


def test_every_line_of_the_demo_recipes_is_read() -> None:
    assert len(_files()) > 40
    unclear = [
        f"{title}: {line.text}" for title, line in _demo_lines() if line.unread or not line.certain
    ]
    # "trimmings" of a list of vegetables: nobody can say which
    assert unclear == [one for one in unclear if "trimmings" in one]


def test_every_line_of_the_demo_recipes_names_a_food_of_the_tables(foods: Foods) -> None:
    unknown = {line.food for _, line in _demo_lines() if line.food not in foods}
    assert unknown == set()


def _files() -> list[Path]:
    return list((demo_folder() / "recipes").glob("*.txt"))

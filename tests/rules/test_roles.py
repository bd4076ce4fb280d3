"""What ingredients do in a dish, told by the rules over the recipe's own words and amounts."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.measures import Measures
from helper.kitchen.recipes import Recipe
from helper.kitchen.roles import coarse_surroundings, named_surroundings, surroundings
from helper.kitchen.units import units
from rules.roles import (
    BOOK,
    FAILS,
    SUITS,
    UNTOLD,
    Dish,
    Ingredient,
    failing,
    places,
    roles,
    roles_of,
    suits,
)
from rules.rulebook import load_books
from rules.swaps import Part, Swap, faults, place_of, swaps, swaps_by_food
from rules.tables import rows


@cache
def foods() -> Foods:
    return Foods()


@cache
def measures() -> Measures:
    return Measures(foods())


def recipe(title: str, lines: Sequence[str], steps: Sequence[str] = ()) -> Recipe:
    return Recipe(1, title, tuple(read_lines(lines, foods())), tuple(steps))


def played(dish: Recipe, food: str) -> tuple[str, ...]:
    for line, place in zip(dish.lines, surroundings(dish, measures()), strict=True):
        if line.food == food:
            return place.roles
    raise AssertionError(f"{dish.title} has no {food}")


FLOUR = "all-purpose flour"


@pytest.mark.parametrize(
    ("title", "lines", "steps", "food", "role", "not_role"),
    [
        ("Cream gravy", ["1/4 cup bacon fat", "1/4 cup flour", "2 cups milk"],
         ["Stir in the flour, then whisk in the milk until it thickens."],
         FLOUR, "thickener", "structure"),
        ("Everyday loaf", ["6 cups flour", "2 1/4 tsp active dry yeast", "2 cups water"],
         ["Knead ten minutes and let rise."], FLOUR, "structure", "thickener"),
        ("Banana bread", ["3 bananas", "2 cups flour", "1 tsp baking soda", "2 eggs"],
         ["Mash the bananas, stir in flour and soda."], FLOUR, "structure", "thickener"),
        ("Pancakes", ["2 cups flour", "4 tsp baking powder", "2 eggs", "1 3/4 cups milk"],
         ["Whisk and fry."], "egg", "binder", "coating"),
        ("Meat loaf", ["2 lb ground beef", "2 eggs", "1 cup dry breadcrumbs"],
         ["Mix and shape a loaf."], "egg", "binder", "structure"),
        ("Meat loaf", ["2 lb ground beef", "2 eggs", "1 cup dry breadcrumbs"],
         ["Mix and shape a loaf."], "dry breadcrumb", "binder", "coating"),
        ("Fried chicken", ["3 lb chicken thighs", "1/2 cup flour"],
         ["Dredge the chicken in flour.", "Fry until brown."], FLOUR, "coating", "structure"),
        ("Potato soup", ["2 lb potatoes", "3 tbsp flour", "4 cups chicken broth"],
         ["Simmer."], FLOUR, "thickener", "structure"),
        ("Chicken and dumplings",
         ["8 cups chicken broth", "3 tbsp flour", "2 cups whole wheat flour",
          "3 tsp baking powder"],
         ["Thicken the broth with the flour.", "Drop in the dumplings."],
         FLOUR, "thickener", "structure"),
        ("Oat squares", ["3 cups rolled oats", "1 cup walnuts", "3/4 cup butter"],
         ["Press in hard."], "walnut", "garnish", "structure"),
        ("Clam chowder", ["1 can clams", "2 cups milk", "chopped parsley"],
         ["Sprinkle with parsley."], "parsley", "garnish", "flavour"),
        ("Clam chowder", ["1 can clams", "2 cups milk", "2 tsp parsley"],
         ["Simmer with the parsley."], "parsley", "flavour", "garnish"),
    ],
)  # fmt: skip
def test_the_same_food_plays_the_role_its_dish_gives_it(
    title: str, lines: list[str], steps: list[str], food: str, role: str, not_role: str
) -> None:
    found = played(recipe(title, lines, steps), food)
    assert role in found
    assert not_role not in found


def test_a_role_can_say_why_down_to_what_the_recipe_says() -> None:
    dish = recipe("Cream gravy", ["1/4 cup flour", "2 cups milk"], ["Whisk until it thickens."])
    place = surroundings(dish, measures())[0]
    assert place.found is not None
    reason = place.found.why(place.label, "thickener")
    told = [reason.statement, *(below.statement for below in reason.because)]
    assert any("thickener" in line for line in told)
    assert any("sauce" in line for line in told)
    assert reason.rule
    assert reason.source


def test_a_loaf_is_a_meat_loaf_only_with_meat_or_pulses_in_it() -> None:
    def sorts(dish: Recipe) -> frozenset[str]:
        return surroundings(dish, measures())[0].sorts

    assert "meat-loaf" in sorts(recipe("Sunday loaf", ["2 lb ground beef"]))
    assert "meat-loaf" in sorts(recipe("Lentil loaf", ["2 cups cooked lentils"]))
    bread = ["6 cups flour", "2 tsp active dry yeast"]
    assert "meat-loaf" not in sorts(recipe("Sunday loaf", bread))
    assert "yeast-bread" in sorts(recipe("Sunday loaf", bread))


def test_a_glance_at_title_and_foods_agrees_with_the_rules_on_sauce_and_yeast() -> None:
    gravy = recipe("Cream gravy", ["1/4 cup flour", "2 cups milk"])
    loaf = recipe("Everyday loaf", ["6 cups flour", "2 tsp active dry yeast"])
    assert "sauce" in coarse_surroundings(gravy, foods()).sorts
    assert "yeast-bread" in coarse_surroundings(loaf, foods()).sorts


def test_a_dish_that_is_only_named_is_known_by_its_name() -> None:
    assert "sauce" in named_surroundings("in a white sauce").sorts
    assert named_surroundings("at all").sorts == frozenset()


# -- where swaps work -----------------------------------------------------------------------------


def swap(id: str) -> Swap:
    return next(one for one in swaps() if one.id == id)


def test_a_place_a_dish_is_named_by_outweighs_a_warning_of_the_same_sort() -> None:
    rice = swap("all-purpose-flour-to-masa-harina-water")  # stews; fails in white sauce
    assert suits(rice, {"soup"}, {"stew"}) == SUITS
    assert suits(rice, {"sauce"}, {"white sauce"}) == FAILS
    assert failing(rice, {"sauce"}, {"white sauce"}) == ("white sauce",)


def test_a_narrower_warning_stands_even_where_the_name_suits() -> None:
    arrowroot = swap("all-purpose-flour-to-arrowroot")  # gravy; slimy in a milk sauce
    assert suits(arrowroot, {"sauce"}, {"gravy"}) == SUITS
    assert suits(arrowroot, {"sauce", "milk-sauce"}, {"gravy"}) == FAILS


def test_what_the_book_does_not_speak_of_is_neither_good_nor_bad() -> None:
    almond = swap("milk-to-unsweetened-almond-milk")
    assert suits(almond, {"meringue"}, set()) == UNTOLD


# -- the books ------------------------------------------------------------------------------------


def test_the_book_of_roles_has_no_error_and_knows_only_foods_and_kinds_of_the_tables() -> None:
    kinds = {row["kind"] for row in rows("reference/kinds.csv")}
    book = load_books([BOOK], {"foods": set(foods().names()), "kinds": kinds})
    assert [str(error) for error in book.errors] == []
    assert {"thickener", "structure", "leavening", "binder", "fat", "sweetener", "coating",
            "liquid", "flavour", "garnish", "body"} == roles()  # fmt: skip


def test_the_book_of_swaps_has_no_error() -> None:
    assert [str(one) for one in faults(set(foods().names()), set(units()), roles())] == []


def test_a_fault_in_the_book_of_swaps_is_told_with_file_and_line() -> None:
    found = faults(set(foods().names()) - {"buttermilk"}, set(units()), roles())
    first = swaps_by_food()["buttermilk"][0]
    assert f"rules/books/swaps.csv:{first.line}: unknown food 'buttermilk'" in map(str, found)


def test_there_are_many_swaps_and_every_one_has_a_source() -> None:
    assert len(swaps()) >= 250
    assert all(one.source for one in swaps())


def test_parts_of_a_measuring_set_are_exact() -> None:
    sour = swap("buttermilk-to-white-vinegar-milk")
    assert sour.use == (Part(1, "tbsp", "white vinegar"), Part(15 / 16, "cup", "milk"))


def test_every_place_the_roles_tell_of_is_one_a_swap_speaks_of() -> None:
    spoken = {place_of(text) for one in swaps() for text in (*one.works_in, *one.fails_in)}
    assert sorted(set(places()) - spoken) == []


def test_an_ingredient_unknown_to_the_rules_has_no_role() -> None:
    found = roles_of(Dish("Supper", ingredients=(Ingredient("moon dust", "moon dust"),)))
    assert found.of("moon dust") == ()

"""Whole recipes made to suit everybody at the table, from the demo's recipes and real books."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helper.demo import NOMINAL_DAY, demo_books
from helper.kitchen.amounts import Amount
from helper.kitchen.fitting import (
    CHOSEN,
    LEFT_OUT,
    SWAPPED,
    Change,
    Fitted,
    Fitting,
    Refused,
    _best,
    _Item,
    _total,
    _Way,
)
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.lots import Lot
from helper.kitchen.matching import match
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, NO, Safety
from helper.kitchen.stock import Stock
from helper.kitchen.swaps import Option, Swapping, Used
from helper.kitchen.table import Objection, Table, diet_diner

FOODS = Foods()
MEASURES = Measures(FOODS)
SAFETY = Safety(FOODS)


def lot(id: int, food: str, number: float, unit: str | None, price: str = "2.00") -> Lot:
    return Lot(id, food, Amount(number, unit), Amount(number, unit), price=Decimal(price))


def fitting(*avoids: str, lots: tuple[Lot, ...] = ()) -> Fitting:
    table = Table(SAFETY, [diet_diner(avoid) for avoid in avoids])
    stock, prices = Stock(lots, MEASURES), Prices([], lots, MEASURES)
    return Fitting(Swapping(MEASURES, table, stock, prices))


@cache
def recipes() -> dict[str, Recipe]:
    return {recipe.title: recipe for recipe in demo_books(NOMINAL_DAY).recipes()}


def written(title: str, *lines: str) -> Recipe:
    return Recipe(1, title, tuple(read_lines(lines, FOODS)))


def put_in(found: Fitted | Refused, food: str) -> set[str]:
    """What takes the place of a food."""
    assert isinstance(found, Fitted)
    return {
        line.food or "" for change in found.changes if change.food == food for line in change.lines
    }


# -- the cases everybody asks about ---------------------------------------------------------------


def test_gluten_free_gravy_gets_half_as_much_starch_and_the_method() -> None:
    found = fitting("gluten-free", lots=(lot(1, "corn starch", 1, "lb"),)).fit(
        recipes()["Cream gravy"]
    )
    assert isinstance(found, Fitted)
    (change,) = [one for one in found.changes if one.kind == SWAPPED]
    assert change.food == "all-purpose flour"
    (line,) = change.lines
    assert line.food == "corn starch"
    assert line.amount is not None
    tablespoons = line.amount.to("tbsp")
    assert tablespoons is not None
    assert tablespoons.number == pytest.approx(2)  # 1/4 cup of flour is 4 tablespoons
    assert "cold" in change.note


def test_what_is_told_for_the_very_dish_goes_before_what_is_in_the_house() -> None:
    beans = (lot(1, "navy bean", 1, "lb"), lot(2, "canned navy bean", 15, "oz"))
    found = fitting("gluten-free", lots=beans).fit(recipes()["Cream gravy"])
    assert "corn starch" in put_in(found, "all-purpose flour")


def test_without_shopping_what_is_in_the_house_goes_first() -> None:
    beans = (lot(1, "canned navy bean", 45, "oz"),)
    ways = fitting("gluten-free", lots=beans).ways
    found = Fitting(ways, shopping=False).fit(recipes()["Cream gravy"])
    assert isinstance(found, Fitted)
    assert all(change.option.in_house for change in found.changes if change.option)


def test_a_kneaded_loaf_is_warned_of_and_gets_another_answer_than_the_gravy() -> None:
    found = fitting("gluten-free").fit(recipes()["Everyday yeast loaf"])
    assert "psyllium husk" in put_in(found, "bread flour")
    assert isinstance(found, Fitted)
    assert found.changes[0].note.startswith("Warning")


def test_nut_free_oat_squares_get_seeds_and_say_to_read_the_label() -> None:
    found = fitting("nut-free").fit(recipes()["Oat squares with walnuts"])
    assert put_in(found, "walnut") <= {"sunflower seed", "pumpkin seed"}
    assert isinstance(found, Fitted)
    assert {one.verdict for one in found.checks} == {CHECK}


def test_dairy_free_white_sauce_gives_up_both_butter_and_milk() -> None:
    lots = (lot(1, "unsweetened oat milk", 32, "fl oz"), lot(2, "vegetable oil", 48, "fl oz"))
    found = fitting("dairy-free", lots=lots).fit(recipes()["White sauce"])
    assert put_in(found, "milk") == {"unsweetened oat milk"}
    assert put_in(found, "butter") == {"vegetable oil"}


def test_egg_free_pancakes_get_something_told_for_pancakes() -> None:
    found = fitting("egg-free").fit(recipes()["Pancakes"])
    assert isinstance(found, Fitted)
    (change,) = found.changes
    assert change.option is not None
    assert {"pancake", "fritter", "any"} & set(change.option.works_in)


# -- what holds for every fit ---------------------------------------------------------------------


def test_nothing_swapped_in_harms_anybody_else_at_the_table() -> None:
    found = fitting("dairy-free", "nut", "soy").fit(recipes()["White sauce"])
    assert isinstance(found, Fitted)
    assert not {"unsweetened soy milk", "unsweetened almond milk"} & put_in(found, "milk")


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(sorted(recipes())),
    st.sets(
        st.sampled_from(
            [
                "gluten-free",
                "dairy-free",
                "egg-free",
                "nut-free",
                "soy",
                "vegan",
                "pork-free",
                "fish",
                "sesame",
                "low-lactose",
            ]  # fmt: skip
        ),
        min_size=1,
        max_size=4,
    ),
)
def test_a_fitted_recipe_has_no_line_that_anybody_may_not_have(
    title: str, avoids: set[str]
) -> None:
    fit = fitting(*sorted(avoids))
    found = fit.fit(recipes()[title])
    if isinstance(found, Refused):
        assert found.foods
        assert any(one.verdict == NO for one in found.against)
        return
    for line in found.recipe.lines:
        assert all(one.verdict != NO for one in fit.table.against_line(line)), line.text
    unchanged = len(recipes()[title].lines) - len({change.at for change in found.changes})
    assert sum(one.change is None for one in found.lines) == unchanged


def test_a_recipe_that_suits_everybody_stays_as_it_is() -> None:
    recipe = written("Plain rice", "1 cup long-grain rice", "2 cups water")
    found = fitting("vegan", "gluten-free").fit(recipe)
    assert isinstance(found, Fitted)
    assert found.changes == ()
    assert found.recipe == recipe


def test_where_nothing_will_do_the_answer_is_a_plain_no_with_the_food() -> None:
    found = fitting("vegan").fit(written("Mussels", "2 lb mussels", "1 cup water"))
    assert isinstance(found, Refused)
    assert found.foods == ("mussel",)
    assert "not vegan" in found.reason


def test_an_optional_line_is_left_out_rather_than_swapped() -> None:
    found = fitting("nut-free").fit(
        written("Banana bread", "3 bananas", "2 cups sugar", "1/2 cup walnuts (optional)")
    )
    assert isinstance(found, Fitted)
    assert [change.kind for change in found.changes] == [LEFT_OUT]


def test_a_choice_the_recipe_offers_is_taken_before_any_swap() -> None:
    found = fitting("dairy-free").fit(
        written("Fried potatoes", "2 lb potatoes", "2 tbsp butter or vegetable oil")
    )
    assert isinstance(found, Fitted)
    (change,) = found.changes
    assert change.kind == CHOSEN
    assert [line.food for line in change.lines] == ["vegetable oil"]


def test_what_is_in_the_house_goes_before_what_must_be_bought() -> None:
    gravy = recipes()["Cream gravy"]
    for food in ("corn starch", "potato starch", "sweet rice flour"):
        fit = fitting("wheat", lots=(lot(1, food, 1, "lb"),))
        assert put_in(fit.fit(gravy), "all-purpose flour") == {food}


def test_the_same_food_twice_gives_way_to_one_thing() -> None:
    found = fitting("dairy-free").fit(
        written("Cream gravy", "2 tbsp butter", "2 cups milk", "1 tbsp butter")
    )
    assert len(put_in(found, "butter")) == 1


def test_the_quick_look_never_refuses_what_can_be_fitted() -> None:
    for avoid in ("gluten-free", "dairy-free", "egg-free", "nut-free", "vegan"):
        fit = fitting(avoid)
        for recipe in recipes().values():
            found = fit.fit(recipe)
            if isinstance(found, Fitted) and all(
                change.kind != LEFT_OUT or recipe.lines[change.at].optional
                for change in found.changes
            ):
                assert fit.can_fit(recipe), (recipe.title, avoid)


# -- what is missing ------------------------------------------------------------------------------


def test_a_missing_line_is_met_by_a_swap_in_the_house() -> None:
    recipe = written("Biscuits", "1 cup buttermilk", "2 cups flour", "2 tsp baking soda")
    lots = (
        lot(1, "milk", 32, "fl oz"),
        lot(2, "white vinegar", 16, "fl oz"),
        lot(3, "all-purpose flour", 5, "lb"),
        lot(4, "baking soda", 1, "lb"),
    )
    fit = fitting(lots=lots)
    (one,) = fit.stand_ins(match(recipe, fit.ways.stock))
    assert one.line.food == "buttermilk"
    assert set(one.option.foods) == {"white vinegar", "milk"}


def test_a_swap_is_no_help_where_the_dish_itself_needs_the_stock() -> None:
    recipe = written("Biscuits", "1 cup buttermilk", "2 cups milk", "2 tsp baking soda")
    scant = (lot(1, "milk", 16, "fl oz"), lot(2, "white vinegar", 16, "fl oz"))
    fit = fitting(lots=(*scant, lot(3, "baking soda", 1, "lb")))
    assert fit.stand_ins(match(recipe, fit.ways.stock)) == ()


# -- the search against a plain look at everything ------------------------------------------------

_NAMES = st.sampled_from(["oil", "lard", "tofu", "oats"])


@st.composite
def ways(draw: st.DrawFn, at: int) -> _Way:
    used = tuple(sorted(draw(st.sets(_NAMES, min_size=1, max_size=2))))
    missing = tuple(food for food in used if draw(st.booleans()))
    against = (Objection("x", "x", used[0], CHECK),) if draw(st.booleans()) else ()
    cost = draw(st.none() | st.integers(0, 5).map(Decimal))
    option = Option(
        "id", "book", "butter", Amount(1, "cup"),
        tuple(Used(food, Amount(1, "cup")) for food in used),
        missing=missing, against=against, cost=cost, fit=draw(st.integers(0, 1)),
    )  # fmt: skip
    return _Way(Change(at, "butter", SWAPPED, (), (), option), draw(st.integers(0, 1)))


@settings(max_examples=150, deadline=None)
@given(
    st.integers(1, 4).flatmap(
        lambda count: st.tuples(
            *(st.lists(ways(at), min_size=1, max_size=4) for at in range(count))
        )
    )
)
def test_the_set_found_is_the_best_there_is(listed: tuple[list[_Way], ...]) -> None:
    items = [_Item("butter", (), options) for options in listed]
    chosen = _best(items, True)
    every = [_total(combination, True) for combination in product(*listed)]
    by_change = {id(way.change): way for options in listed for way in options}
    assert _total([by_change[id(change)] for change in chosen], True) == min(every)

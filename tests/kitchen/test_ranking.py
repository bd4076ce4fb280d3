"""Which dish: the index, and the order of the answer."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from helper.kitchen.amounts import Amount
from helper.kitchen.due import due
from helper.kitchen.foods import Foods
from helper.kitchen.index import RecipeIndex, card
from helper.kitchen.lots import Lot
from helper.kitchen.measures import Measures
from helper.kitchen.prices import Prices
from helper.kitchen.ranking import Kitchen, Meals, Wish, find_meals
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Stock

DAY = dt.date(2026, 11, 24)
FOODS = ["rice", "navy bean", "ham", "onion", "carrot", "butter"]


def recipe(number: int, *foods: str, minutes: int | None = None) -> Recipe:
    lines = tuple(Line(food, food, Amount(4, "oz")) for food in foods)
    return Recipe(number, f"dish {number}", lines, servings=4, minutes=minutes)


def lot(number: int, food: str, price: str = "1.00", best_by: dt.date | None = None) -> Lot:
    size = Amount(2, "lb")
    return Lot(number, food, size, size, price=Decimal(price), best_by=best_by)


def ranked(
    wish: Wish, recipes: list[Recipe], lots: list[Lot], measures: Measures, **more: object
) -> Meals:
    index = RecipeIndex(measures.foods, (card(one) for one in recipes))
    by_id = {one.id: one for one in recipes}
    stock, prices = Stock(lots, measures, DAY), Prices([], lots, measures)
    return find_meals(
        wish,
        Kitchen(index, by_id.__getitem__, stock, prices, **more),  # type: ignore[arg-type]
    )


def order(found: Meals) -> list[int]:
    return [meal.recipe.id for meal in found.meals]


def test_more_of_what_was_asked_for_comes_first(measures: Measures) -> None:
    recipes = [recipe(1, "navy bean"), recipe(2, "navy bean", "ham", "carrot"), recipe(3, "rice")]
    found = ranked(Wish(DAY, ("bean", "ham")), recipes, [lot(1, "navy bean")], measures)
    assert order(found) == [2, 1]
    assert found.meals[0].asked == ("bean", "ham")


def test_then_what_is_safe(measures: Measures) -> None:
    recipes = [recipe(1, "rice", "butter"), recipe(2, "rice", "carrot")]
    found = ranked(
        Wish(DAY, ("rice",)),
        recipes,
        [lot(1, "rice"), lot(2, "butter")],
        measures,
        fits=lambda one: {"Ada": "no" if any(x.food == "butter" for x in one.lines) else "yes"},
    )
    assert order(found) == [2, 1]
    assert "safe for who eats: Ada no" in found.meals[1].why


def test_a_verdict_nobody_knows_is_never_safe(measures: Measures) -> None:
    recipes = [recipe(1, "rice"), recipe(2, "rice", "carrot")]
    found = ranked(
        Wish(DAY),
        recipes,
        [lot(1, "rice")],
        measures,
        fits=lambda one: {"Ada": "?" if one.id == 1 else "yes"},
    )
    assert order(found) == [2, 1]


def test_then_fewest_to_buy_then_what_is_due_then_the_cost(measures: Measures) -> None:
    lots = [
        lot(1, "rice", "9.00"),
        lot(2, "onion", "1.00"),
        lot(3, "carrot", "9.00", DAY + dt.timedelta(2)),
    ]
    recipes = [recipe(1, "rice"), recipe(2, "onion"), recipe(3, "carrot"), recipe(4, "ham")]
    found = ranked(Wish(DAY), recipes, lots, measures)
    assert order(found) == [3, 2, 1, 4]
    assert found.meals[0].uses_soon == ("carrot",)
    assert "uses carrot (2 days left)" in found.meals[0].why
    assert "1 to buy" in found.meals[3].why


def test_what_is_not_wanted_and_what_takes_too_long_stay_out(measures: Measures) -> None:
    recipes = [
        recipe(1, "rice", "ham", minutes=20),
        recipe(2, "rice", minutes=90),
        recipe(3, "rice", minutes=20),
        recipe(4, "rice"),
    ]
    found = ranked(Wish(DAY, without=("ham",), minutes=30), recipes, [], measures)
    assert order(found) == [3]


def test_what_one_of_the_eaters_may_not_have_is_not_named_to_them(measures: Measures) -> None:
    recipes = [recipe(1, "rice", "butter"), recipe(2, "rice")]
    found = ranked(
        Wish(DAY, strict=True),
        recipes,
        [lot(1, "rice")],
        measures,
        fits=lambda one: {"Ada": "no" if one.id == 1 else "yes", "Bo": "yes"},
    )
    assert order(found) == [2]


def test_a_budget_a_head_and_in_all(measures: Measures) -> None:
    # 4 oz of a 2-lb bag at 8.00 is 1.00 for four servings
    recipes = [recipe(1, "rice"), recipe(2, "rice", "onion")]
    lots = [lot(1, "rice", "8.00"), lot(2, "onion", "8.00")]
    assert order(
        ranked(Wish(DAY, budget=Decimal("0.25"), a_head=True), recipes, lots, measures)
    ) == [1]
    assert order(ranked(Wish(DAY, budget=Decimal("2.00")), recipes, lots, measures)) == [1, 2]


def test_from_one_place_means_something_of_it_is_used(measures: Measures) -> None:
    frozen = Lot(2, "ham", Amount(1, "lb"), Amount(1, "lb"), place="freezer")
    recipes = [recipe(1, "rice"), recipe(2, "ham")]
    found = ranked(Wish(DAY, place="freezer"), recipes, [lot(1, "rice"), frozen], measures)
    assert order(found) == [2]


def test_a_cold_lot_past_its_date_is_asked_about_and_not_counted(measures: Measures) -> None:
    old = Lot(
        1, "ham", Amount(1, "lb"), Amount(1, "lb"), place="fridge", best_by=DAY - dt.timedelta(2)
    )
    found = ranked(
        Wish(DAY), [recipe(1, "ham"), recipe(2, "rice")], [old, lot(2, "rice")], measures
    )
    assert order(found) == [2, 1]
    assert found.meals[1].match.unsure[0].unknown[0].ask == "Is the ham still good?"
    assert found.meals[1].uses_soon == ()
    assert not ranked(Wish(DAY, stock_only=True), [recipe(1, "ham")], [old], measures).meals


def test_a_fresh_lot_is_taken_before_one_past_its_date(measures: Measures) -> None:
    size = Amount(1, "lb")
    old = Lot(1, "ham", size, size, place="fridge", best_by=DAY - dt.timedelta(2))
    new = Lot(2, "ham", size, size, place="fridge", best_by=DAY + dt.timedelta(2))
    found = ranked(Wish(DAY), [recipe(1, "ham")], [old, new], measures)
    assert [draw.lot.id for draw in found.meals[0].match.draws] == [2]


def test_no_fish_means_none_of_any_kind(measures: Measures) -> None:
    recipes = [recipe(1, "canned tuna"), recipe(2, "cod"), recipe(3, "rice")]
    assert order(ranked(Wish(DAY, without=("fish",)), recipes, [], measures)) == [3]


def test_a_food_no_recipe_holds_is_said(measures: Measures) -> None:
    found = ranked(Wish(DAY, ("carrot", "ham")), [recipe(1, "ham")], [], measures)
    assert found.nowhere == ("carrot",)


def test_servings_asked_for_are_the_servings_shown(measures: Measures) -> None:
    found = ranked(Wish(DAY, servings=8), [recipe(1, "rice")], [lot(1, "rice")], measures)
    assert found.meals[0].match.lines[0].amount == Amount(8, "oz")


def test_asking_for_beans_finds_every_sort_and_form(foods: Foods) -> None:
    recipes = [recipe(1, "navy bean"), recipe(2, "canned pinto bean"), recipe(3, "green bean")]
    index = RecipeIndex(foods, (card(one) for one in recipes))
    assert index.recipes_with("bean") == (1, 2)


@given(
    st.lists(
        st.tuples(st.integers(0, 9), st.booleans(), st.lists(st.sampled_from(FOODS), max_size=4)),
        max_size=25,
    ),
    st.sets(st.sampled_from(FOODS)),
    st.sets(st.sampled_from(FOODS)),
)
def test_an_index_kept_up_to_date_is_an_index_made_anew(
    foods: Foods, steps: list[tuple[int, bool, list[str]]], first: set[str], then: set[str]
) -> None:
    kept = RecipeIndex(foods)
    recipes: dict[int, Recipe] = {}
    kept.short_of(first.__contains__, object())
    for number, adding, names in steps:
        if adding:
            recipes[number] = recipe(number, *names)
            kept.add(card(recipes[number]))
        else:
            recipes.pop(number, None)
            kept.remove(number)
    for there in (first, then):
        short = kept.short_of(there.__contains__, object())
        counts = {kept.ids[place]: short[place] for place in kept.places()}
        assert counts == {
            number: sum(line.food not in there for line in one.lines)
            for number, one in recipes.items()
        }
    for food in FOODS:
        assert set(kept.recipes_with(food)) == {
            number
            for number, one in recipes.items()
            if any(line.food == food for line in one.lines)
        }


def test_what_is_due_comes_by_the_days_left() -> None:
    lots = [
        lot(1, "rice"),
        lot(2, "ham", best_by=DAY + dt.timedelta(5)),
        lot(3, "onion", best_by=DAY - dt.timedelta(1)),
        lot(4, "carrot", best_by=DAY + dt.timedelta(30)),
    ]
    found = due(lots, DAY)
    assert [(one.lot.food, one.days_left, one.past) for one in found] == [
        ("onion", -1, True),
        ("ham", 5, False),
    ]

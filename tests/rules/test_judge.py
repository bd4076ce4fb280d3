"""Verdicts by the rules alone: traps, labels, guesses, what is unknown, and their reasons."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helper.kitchen.foods import Foods
from helper.kitchen.safety import judge
from rules.avoids import avoids
from rules.explain import why_lines, why_not_lines
from rules.facts import Fact
from rules.holdings import allergen_rows, diet_rows
from rules.judge import CHECK, NO, YES, Part, Thing, worst
from rules.rulebook import load_books
from rules.tables import HERE, rows

JUDGE = judge()
FOODS = Foods()
ALLERGENS = st.sampled_from(avoids().allergens)
IDS = st.sampled_from(sorted(avoids().ids))
NAMES = st.sampled_from(sorted(name for name in FOODS.names()))


def test_the_book_of_verdicts_has_no_fault() -> None:
    assert load_books([HERE / "books/verdicts.toml"]).errors == ()


# -- names that sound like something else -------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "avoid", "expected"),
    [
        ("butter beans", "milk", YES),
        ("eggplant", "egg", YES),
        ("cream of tartar", "milk", YES),
        ("cocoa butter", "milk", YES),
        ("peanut butter", "milk", YES),
        ("peanut butter", "peanut", NO),
        ("apple butter", "milk", YES),
        ("glutinous rice", "gluten-free", YES),
        ("nutmeg", "nut-free", YES),
        ("water chestnuts", "nut-free", YES),
        ("butternut squash", "nut-free", YES),
        ("coconut milk", "milk", CHECK),
        ("buckwheat", "gluten-free", CHECK),
        ("malt vinegar", "gluten-free", NO),
        ("distilled vinegar", "gluten-free", YES),
        ("soy sauce", "gluten-free", NO),
        ("graham flour", "wheat", NO),
        ("lactose-free milk", "milk", NO),
        ("lactose-free milk", "low-lactose", YES),
        ("ghee", "milk", NO),
        ("worcestershire sauce", "vegetarian", NO),
        ("gelatin", "vegetarian", NO),
        ("lard", "pork-free", NO),
        ("honey", "vegan", NO),
        ("red wine", "alcohol-free", NO),
        ("salmon", "pescatarian", YES),
        ("carrots", "vegan", YES),
        ("oyster mushrooms", "mollusc", YES),
        ("oysters", "mollusc", NO),
        ("duck eggs", "egg", NO),
    ],
)
def test_a_name_counts_for_what_it_is(said: str, avoid: str, expected: str) -> None:
    food = FOODS.named(said)
    assert food is not None, f"the table of foods does not know {said}"
    assert JUDGE.verdict(Thing(food), avoid) == expected


# -- what is not known --------------------------------------------------------------------------


@given(avoid=IDS)
def test_an_unknown_food_is_to_be_checked_for_everything(avoid: str) -> None:
    assert JUDGE.verdict(Thing("zorbo"), avoid) == CHECK


@given(avoid=IDS)
def test_an_unread_line_is_to_be_checked_for_everything(avoid: str) -> None:
    assert JUDGE.verdict(Thing(None, certain=False), avoid) == CHECK


@given(food=NAMES, avoid=IDS)
@settings(max_examples=60)
def test_an_unsure_name_clears_nobody(food: str, avoid: str) -> None:
    assert JUDGE.verdict(Thing(food, certain=False, claims=("gluten-free",)), avoid) != YES


@given(avoid=ALLERGENS)
def test_a_soup_without_a_label_is_to_be_checked(avoid: str) -> None:
    assert JUDGE.verdict(Thing("vegetable soup"), avoid) != YES


def test_a_misspelt_name_is_ruled_out_by_its_best_guess() -> None:
    assert JUDGE.verdict(Thing("butter", False, near=("peanut butter",)), "peanut") == NO


def test_a_poor_guess_only_raises_a_doubt() -> None:
    assert JUDGE.verdict(Thing(None, False, near=("", "peanut butter")), "peanut") == CHECK


# -- labels -------------------------------------------------------------------------------------


@given(food=NAMES, avoid=ALLERGENS)
@settings(max_examples=200)
def test_what_a_food_contains_is_never_cleared_without_a_label(food: str, avoid: str) -> None:
    row = allergen_rows().get(food)
    if row is not None and ("holds", avoid) in row.says:
        assert JUDGE.verdict(Thing(food), avoid) == NO
    elif row is not None and ("may-hold", avoid) in row.says:
        assert JUDGE.verdict(Thing(food), avoid) == CHECK


@pytest.mark.parametrize(
    ("food", "claim", "avoid", "expected"),
    [
        ("rolled oat", "gluten-free", "gluten-free", YES),
        ("rolled oat", "gluten-free", "wheat", CHECK),
        ("rolled oat", "wheat-free", "gluten-free", CHECK),
        ("bread", "gluten-free", "wheat", NO),
        ("dark chocolate", "vegan", "milk", CHECK),
        ("dark chocolate", "dairy-free", "milk", YES),
        ("margarine", "lactose-free", "dairy-free", CHECK),
        ("margarine", "organic", "milk", CHECK),
        ("margarine", "words nobody knows", "milk", CHECK),
        ("carrot", "may contain milk", "milk", CHECK),
        ("carrot", "may contain milk", "dairy-free", CHECK),
    ],
)
def test_a_label_clears_exactly_what_it_says(
    food: str, claim: str, avoid: str, expected: str
) -> None:
    assert JUDGE.verdict(Thing(food, claims=(claim,)), avoid) == expected


def test_a_lot_in_the_house_speaks_for_the_line_it_is_used_in() -> None:
    labelled = Part("rolled oat", claims=("gluten-free",), place="in the house")
    plain = Part("rolled oat", place="in the house")
    assert JUDGE.verdict(Thing("rolled oat", stock=(labelled,)), "gluten-free") == YES
    assert JUDGE.verdict(Thing("rolled oat", stock=(labelled, plain)), "gluten-free") == CHECK


# -- lines that name several foods --------------------------------------------------------------


def test_of_two_choices_the_worse_counts_and_the_better_is_told() -> None:
    finding = JUDGE.line(Thing("butter", choices=(Part("olive oil"),)), "milk")
    assert finding.verdict == NO
    assert finding.instead == ("olive oil",)


def test_a_food_named_on_the_way_counts() -> None:
    finding = JUDGE.line(Thing("cod", mentions=("all-purpose flour",)), "gluten-free")
    assert (finding.verdict, finding.part.food) == (NO, "all-purpose flour")


@given(foods=st.lists(NAMES, min_size=1, max_size=4), avoid=IDS)
@settings(max_examples=60)
def test_a_dish_is_as_good_as_its_worst_line(foods: list[str], avoid: str) -> None:
    things = [Thing(food) for food in foods]
    expected = worst(JUDGE.verdict(thing, avoid) for thing in things)
    assert JUDGE.recipe(things, [avoid]).value == expected
    assert JUDGE.dish(things).to(avoid) == expected


# -- single foods -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("food", "avoid", "danger", "expected"),
    [
        ("walnut", "walnut", True, NO),
        ("pecan", "walnut", True, CHECK),
        ("pecan", "walnut", False, YES),
        ("carrot", "walnut", True, YES),
        ("vegetable soup", "cilantro", True, CHECK),
        ("vegetable soup", "cilantro", False, YES),
        ("cilantro", "cilantro", False, NO),
        ("zorbo", "cilantro", False, CHECK),
    ],
)
def test_a_single_food_somebody_keeps_away_from(
    food: str, avoid: str, danger: bool, expected: str
) -> None:
    assert JUDGE.verdict(Thing(food), avoid, danger) == expected


# -- reasons ------------------------------------------------------------------------------------


@given(food=NAMES, avoid=IDS)
@settings(max_examples=60)
def test_every_verdict_rests_on_facts_with_sources(food: str, avoid: str) -> None:
    finding = JUDGE.line(Thing(food), avoid)
    ends = [finding.because]
    while ends:
        reason = ends.pop()
        ends += reason.because
        if not reason.because and not reason.statement.startswith("nothing says"):
            assert reason.source, reason.statement
    assert finding.source


def test_why_leads_down_to_the_row_of_the_book() -> None:
    lines = "\n".join(why_lines(JUDGE.line(Thing("butter"), "dairy-free").because, 9))
    assert "dairy-free leaves out milk" in lines
    assert "butter contains milk" in lines
    assert allergen_rows()["butter"].source in lines


def test_why_not_shows_what_stands_against_it() -> None:
    things = [Thing("butter"), Thing("all-purpose flour")]
    findings = JUDGE.explained("gravy", things, "Tove", [("gluten-free", True)])
    miss = findings.why_not(Fact("gravy", "good-for", "Tove"), 4)
    assert miss is not None
    said = "\n".join(why_not_lines(miss, 9))
    assert "all-purpose flour contains gluten" in said
    assert "butter" not in said


@pytest.mark.parametrize(
    ("food", "avoid", "expected"),
    [
        ("ketchup", "tomato", CHECK),
        ("tomato paste", "tomato", NO),
        ("bacon", "pork", NO),
        ("coconut milk", "coconut", CHECK),
        ("chicken broth", "onion", CHECK),
        ("granulated sugar", "tomato", YES),
        ("carrot", "some additive nobody knows", CHECK),
    ],
)
def test_a_dangerous_food_is_looked_for_where_it_may_hide(
    food: str, avoid: str, expected: str
) -> None:
    assert JUDGE.verdict(Thing(food), avoid) == expected


# -- the books it rests on ----------------------------------------------------------------------


def test_the_books_name_only_ids_that_exist() -> None:
    said = {id for row in allergen_rows().values() for _, id in row.says}
    assert said <= set(avoids().allergens)
    assert set(diet_rows()) <= set(avoids().diets)
    members = {member for group in avoids().groups.values() for member in group.members}
    assert members <= set(avoids().groups)
    cleared = {id for row in rows("books/claims.csv") for id in row["clears"].split(";") if id}
    assert cleared <= avoids().ids


def test_every_food_of_the_table_is_on_record_for_everything() -> None:
    """A verdict of "check" for want of a row would be a hole in the books."""
    unknown = [
        (food, id)
        for food in FOODS.names()
        for id in ("milk", "vegan", "vegetarian", "pork-free", "alcohol-free", "low-lactose")
        if "no book of ours" in JUDGE.line(Thing(food), id).because.statement
    ]
    assert unknown == []

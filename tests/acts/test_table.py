"""May somebody have this; who eats here; what the house never serves."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.house import House
from helper.acts.table import house_rule, safe_for, set_person
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe
from helper.reading.reading import Evidence, Reading

TODAY = dt.date(2026, 11, 25)
FOODS = Foods()


def recipe(number: int, title: str, *lines: str) -> Recipe:
    return Recipe(number, title, tuple(read_lines(lines, FOODS)), servings=4)


@pytest.fixture
def house() -> House:
    tables = {
        "people": [
            Person(1, "Tove", ("gluten-free",)),
            Person(2, "Ola", ("dairy-free",), "intolerance"),
            Person(3, "Ada", ("cilantro",), "choice"),
        ],
        "recipes": [
            recipe(1, "Cream gravy", "2 tbsp butter", "2 tbsp flour", "1 cup milk"),
            recipe(2, "Rice pot", "1 cup rice", "2 cups water", "1 tsp salt"),
            recipe(3, "Oat bowl", "1 cup rolled oats", "1 cup water"),
            recipe(4, "Green rice", "1 cup rice", "1 cup cilantro"),
            recipe(5, "Potatoes", "2 lb potatoes", "2 tbsp butter or olive oil"),
            recipe(6, "Odd pot", "1 cup rice", "2 tbsp zorbo"),
        ],
        "stock": [Lot(1, "rolled oat", Amount(1, "lb"), Amount(1, "lb"), claims=("gluten-free",))],
    }
    return House(Household.scratch(tables, today=lambda: TODAY), TODAY)


def ask(house: House, said: str = "", **fields: object) -> dict[str, object]:
    return safe_for(Reading(said=said, act="safe-for", **fields), house).reply


# -- may somebody have this -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("title", "who", "expected"),
    [
        ("Cream gravy", "Tove", "no"),
        ("Cream gravy", "Ola", "no"),
        ("Cream gravy", "Ada", "yes"),
        ("Rice pot", "Tove", "yes"),
        ("Green rice", "Ada", "no"),
        ("Odd pot", "Tove", "check"),
        ("Odd pot", "Ada", "check"),
    ],
)
def test_a_dish_is_judged_for_a_person(house: House, title: str, who: str, expected: str) -> None:
    assert ask(house, recipes=(title,), people=(who,))["verdict"] == expected


def test_everybody_is_judged_and_the_worst_counts(house: House) -> None:
    reply = ask(house, recipes=("Cream gravy",), marks=("everyone",))
    assert reply["verdict"] == "no"
    assert reply["for"] == {"Tove": "no", "Ola": "no", "Ada": "yes"}


def test_a_bare_food_is_a_dish_of_one_line(house: House) -> None:
    assert ask(house, foods=("barley",), people=("Tove",))["verdict"] == "no"
    assert ask(house, foods=("coconut milk",), diets=("dairy-free",))["verdict"] == "check"
    assert ask(house, foods=("eggplant",), diets=("egg",))["verdict"] == "yes"


def test_a_food_looked_for_in_a_dish_is_what_it_is_held_against(house: House) -> None:
    assert ask(house, recipes=("Cream gravy",), foods=("milk",))["verdict"] == "no"
    assert ask(house, recipes=("Rice pot",), foods=("milk",))["verdict"] == "yes"
    assert ask(house, foods=("worcestershire sauce", "fish"))["verdict"] == "no"


@pytest.mark.parametrize(
    ("foods", "verdict"),
    [
        (("milk", "butter"), "no"),  # "is there milk in the butter"
        (("butter", "milk"), "no"),
        (("lupin", "pasta"), "check"),  # "can someone allergic to lupin eat pasta"
        (("egg", "carrot"), "yes"),
    ],
)
def test_what_people_keep_away_from_is_looked_for_wherever_it_is_named(
    house: House, foods: tuple[str, ...], verdict: str
) -> None:
    assert ask(house, foods=foods)["verdict"] == verdict


def test_reasons_name_the_line_the_rule_and_the_source(house: House) -> None:
    reply = ask(house, recipes=("Cream gravy",), people=("Tove",))
    (reason,) = reply["reasons"]
    assert reason["food"] == "all-purpose flour"
    assert reason["finding"] == "all-purpose flour contains gluten"
    assert reason["source"]
    assert reason["because"][0]["because"]


def test_fixes_bring_in_nothing_that_is_minded(house: House) -> None:
    fixes = ask(house, recipes=("Cream gravy",), people=("Tove",))["fixes"]
    assert any("corn starch" in fix for fix in fixes)
    assert not any(fix.startswith("all-purpose") for fix in fixes)


def test_fixes_are_chosen_for_what_the_food_does_there_with_their_amounts(house: House) -> None:
    fixes = ask(house, recipes=("Cream gravy",), people=("Tove",))["fixes"]
    assert "1 tbsp corn starch instead of all-purpose flour" in fixes


def test_what_helps_one_harms_no_other_who_is_asked_about(house: House) -> None:
    alone = ask(house, foods=("worcestershire sauce",), diets=("vegetarian",))["fixes"]
    assert any("soy sauce" in fix for fix in alone)  # type: ignore[attr-defined]
    both = ask(house, foods=("worcestershire sauce",), diets=("vegetarian", "soy"))["fixes"]
    assert both
    assert not any("soy sauce" in fix for fix in both)  # type: ignore[attr-defined]


def test_a_label_is_asked_for_where_it_would_settle_the_matter(house: House) -> None:
    fixes = ask(house, foods=("coconut milk",), diets=("dairy-free",))["fixes"]
    assert "coconut milk with a label that says dairy-free" in fixes


def test_the_better_choice_of_a_line_is_told(house: House) -> None:
    reply = ask(house, recipes=("Potatoes",), people=("Ola",))
    assert reply["verdict"] == "no"
    assert any(fix.startswith("olive oil rather than butter") for fix in reply["fixes"])


def test_a_label_in_the_house_counts_and_is_mentioned(house: House) -> None:
    answer = safe_for(Reading("", "safe-for", recipes=("Oat bowl",), people=("Tove",)), house)
    assert answer.reply["verdict"] == "yes"
    said = " ".join(getattr(block, "text", "") for block in answer.blocks)
    assert "gluten-free rolled oat in the house" in said


def test_asked_in_general_the_shelf_does_not_speak_for_the_shop(house: House) -> None:
    assert ask(house, foods=("rolled oat",), diets=("gluten-free",))["verdict"] == "check"


def test_a_misspelt_food_is_never_cleared(house: House) -> None:
    evidence = (Evidence("carot", "food", "carrot", certain=False),)
    reply = ask(house, foods=("carrot",), people=("Tove",), evidence=evidence)
    assert reply["verdict"] == "check"


def test_a_word_in_no_table_is_not_answered_by_what_came_before(house: House) -> None:
    evidence = (Evidence("Tove", "person", "Tove"),)
    reply = ask(
        house, "is zorbo ok for Tove", foods=("carrot",), people=("Tove",), evidence=evidence
    )
    assert reply["verdict"] == "check"
    assert reply["reasons"][0]["food"] == "zorbo"


def test_an_allergy_said_in_words_is_what_it_is_held_against(house: House) -> None:
    evidence = (
        Evidence("rice pot", "recipe", "Rice pot, 100.0"),
        Evidence("peanut allergy", "diet", "peanut"),
    )
    reply = ask(house, recipes=("Rice pot",), without=("peanut",), evidence=evidence)
    assert reply["for"] == {"peanut": "yes"}


def test_rolled_oats_are_a_food_though_a_dish_is_named_after_them(house: House) -> None:
    evidence = (Evidence("rolled oats", "recipe", "Oat bowl, 60.0"),)
    reply = ask(house, recipes=("Oat bowl",), diets=("gluten-free",), evidence=evidence)
    assert [reason["food"] for reason in reply["reasons"]] == ["rolled oat"]
    assert reply["verdict"] == "check"


def test_a_dish_is_no_food_because_its_first_word_is(house: House) -> None:
    evidence = (Evidence("oat bowls", "recipe", "Oat bowl, 90.0"),)
    reply = ask(house, recipes=("Oat bowl",), people=("Ola",), evidence=evidence)
    assert [reason["line"] for reason in reply["reasons"]] == ["1 cup rolled oats", "1 cup water"]


def test_a_food_that_is_a_dish_of_the_house_is_that_dish(house: House) -> None:
    assert ask(house, foods=("cream gravy",), people=("Ada",))["verdict"] == "yes"


def test_a_dish_called_by_the_start_of_its_title_is_no_food(house: House) -> None:
    reply = ask(house, "can Tove have the oat bowl", foods=("rolled oat",), people=("Tove",))
    assert [reason["line"] for reason in reply["reasons"]] == ["1 cup rolled oats", "1 cup water"]


def test_a_guessed_title_clears_nobody(house: House) -> None:
    evidence = (Evidence("rice put", "recipe", "Rice pot, 80.0", certain=False),)
    fields = {"recipes": ("Rice pot",), "people": ("Tove",), "evidence": evidence}
    answer = safe_for(Reading("is the rice put ok for Tove", "safe-for", **fields), house)
    assert not answer.understood
    assert answer.reply["choices"] == ["Rice pot"]


def test_a_word_beside_a_food_may_make_another_food_of_it(house: House) -> None:
    evidence = (Evidence("rice", "food", "rice"), Evidence("Tove", "person", "Tove"))
    fields = {"foods": ("rice",), "people": ("Tove",), "evidence": evidence}
    assert ask(house, "can Tove have rice zorbos", **fields)["verdict"] == "check"
    assert ask(house, "can Tove have rice", **fields)["verdict"] == "yes"


def test_a_stranger_is_asked_about(house: House) -> None:
    answer = safe_for(Reading("can Inga have barley?", "safe-for", foods=("barley",)), house)
    assert not answer.understood
    assert "Inga" in answer.reply["question"]


def test_the_label_and_the_doctor_have_the_last_word_once(house: House) -> None:
    answer = safe_for(Reading("", "safe-for", recipes=("Cream gravy",)), house)
    said = [getattr(block, "text", "") for block in answer.blocks]
    assert said[-1].startswith("The label and the doctor")
    assert sum("doctor" in text for text in said) == 1


def test_the_derivation_is_kept_for_why(house: House) -> None:
    answer = safe_for(Reading("", "safe-for", recipes=("Cream gravy",), people=("Tove",)), house)
    (tree,) = answer.because
    assert tree.statement.startswith("Cream gravy is not for Tove")
    assert any("Tove has to mind gluten-free" in reason.statement for reason in tree.because)


# -- how dishes suit people, for lists ------------------------------------------------------------


def test_fits_tells_swaps_from_no(house: House) -> None:
    safety = house.safety
    found = {one.title: safety.fits(one) for one in house.books.recipes()}
    assert found["Cream gravy"] == {"Tove": "with-swaps", "Ola": "with-swaps", "Ada": "yes"}
    assert found["Rice pot"] == {"Tove": "yes", "Ola": "yes", "Ada": "yes"}
    assert found["Odd pot"] == {"Tove": "check", "Ola": "check", "Ada": "check"}
    assert found["Potatoes"]["Ola"] == "with-swaps"


# -- who eats here --------------------------------------------------------------------------------


def tell(house: House, said: str, **fields: object) -> dict[str, object]:
    answer = set_person(Reading(said=said, act="set-person", **fields), house)
    assert answer.understood, answer.reply
    person = answer.reply["person"]
    assert isinstance(person, dict)
    return person


def test_an_allergy_is_added_and_nothing_is_lost(house: House) -> None:
    person = tell(house, "Tove is allergic to peanuts", people=("Tove",), foods=("peanut",))
    assert person["avoids"] == ["gluten-free", "peanut"]
    assert person["severity"] == "allergy"


def test_severity_follows_the_words(house: House) -> None:
    assert tell(house, "new person Bo, lactose intolerant", diets=("low-lactose",))["severity"] == (
        "intolerance"
    )
    assert tell(house, "Wren doesn't like olives", foods=("olive",))["severity"] == "choice"
    assert tell(house, "Idris is vegan", diets=("vegan",))["severity"] == "choice"
    assert tell(house, "Nils can't have fish", foods=("fish",))["severity"] == "allergy"


def test_a_milder_word_does_not_lower_what_was_grave(house: House) -> None:
    person = tell(house, "Tove doesn't like olives", people=("Tove",), foods=("olive",))
    assert person["severity"] == "allergy"


def test_an_avoid_goes_only_when_that_is_said(house: House) -> None:
    person = tell(house, "Tove can eat gluten again", people=("Tove",), diets=("gluten",))
    assert person["avoids"] == []
    assert ask(house, recipes=("Cream gravy",), people=("Tove",))["verdict"] == "yes"


def test_what_was_spoken_of_before_changes_nobody(house: House) -> None:
    evidence = (Evidence("Tove", "person", "Tove"), Evidence("olives", "food", "olive"))
    person = tell(
        house,
        "Tove doesn't like olives",
        people=("Tove",),
        foods=("olive",),
        diets=("dairy-free",),
        evidence=evidence,
    )
    assert person["avoids"] == ["gluten-free", "olive"]


def test_portions_and_visitors(house: House) -> None:
    assert tell(house, "Ada eats half a portion", people=("Ada",))["portion"] == 0.5
    assert tell(house, "Ada eats for two", people=("Ada",))["portion"] == 2
    visitor = tell(house, "Wren is coming to dinner and can't eat fish", foods=("fish",))
    assert visitor["name"] == "Wren"
    assert visitor["home"] is False


def test_a_relation_stands_for_a_name(house: House) -> None:
    assert tell(house, "my sister is vegan", diets=("vegan",))["name"] == "Sister"


def test_words_for_a_group_are_taken_apart(house: House) -> None:
    person = tell(house, "Ada is allergic to shellfish", people=("Ada",), diets=("shellfish",))
    assert {"crustacean", "mollusc"} <= set(person["avoids"])


# -- rules of the house ---------------------------------------------------------------------------


def rule(house: House, said: str, **fields: object) -> dict[str, object]:
    answer = house_rule(Reading(said=said, act="house-rule", **fields), house)
    assert answer.understood, answer.reply
    found = answer.reply["rule"]
    assert isinstance(found, dict)
    return found


def test_a_food_never_served_counts_for_everybody(house: House) -> None:
    assert rule(house, "never use rice", foods=("rice",))["kind"] == "never"
    assert ask(house, recipes=("Rice pot",), people=("Ada",))["verdict"] == "no"


@pytest.mark.parametrize(
    ("said", "foods"),
    [
        ("always use olive oil instead of butter", ("olive oil", "butter")),
        ("olive oil does for butter in this house", ("olive oil", "butter")),
        ("instead of butter use olive oil", ("butter", "olive oil")),
    ],
)
def test_which_food_takes_whose_place(house: House, said: str, foods: tuple[str, ...]) -> None:
    found = rule(house, said, foods=foods)
    assert (found["kind"], found["food"], found["other"]) == ("instead", "butter", "olive oil")


def test_a_rule_for_a_day_holds_on_that_day_only(house: House) -> None:
    found = rule(house, "no rice on Fridays", foods=("rice",), date=dt.date(2026, 11, 27))
    assert found["days"] == "friday"
    assert ask(house, recipes=("Rice pot",), people=("Ada",))["verdict"] == "yes"


def test_no_house_rule_switches_off_an_allergy(house: House) -> None:
    rule(house, "flour does for rice flour", foods=("all-purpose flour", "rice flour"))
    assert ask(house, foods=("all-purpose flour",), people=("Tove",))["verdict"] == "no"


def test_what_is_allowed_makes_no_rule_against_it(house: House) -> None:
    said = "house rule: gluten is fine for Tove"
    answer = house_rule(
        Reading(said, "house-rule", diets=("gluten-free",), people=("Tove",)), house
    )
    assert not answer.understood
    assert not house.books.house_rules()


def test_a_rule_is_about_what_its_own_sentence_names(house: House) -> None:
    carried = ("cilantro", "rice")
    evidence = (Evidence("rice", "without", "rice"),)
    rule(house, "no rice on Fridays", without=carried, evidence=evidence)
    assert [one.food for one in house.books.house_rules()] == ["rice"]


def test_the_same_rule_is_kept_once(house: House) -> None:
    rule(house, "never use rice", foods=("rice",))
    rule(house, "never use rice", foods=("rice",))
    assert len(house.books.house_rules()) == 1

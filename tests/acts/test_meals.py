"""Finding meals, a recipe's page, and what is missing: by their fields and by what is read."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.meals import find_meals, missing, show_recipe
from helper.answers import Answer
from helper.conversation import Conversation
from helper.demo import NOMINAL_DAY, demo_books
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_lines
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe, Remark
from helper.reading.reading import Reading
from helper.showing.text import plain_text

DAY = dt.date(2026, 11, 24)
FOODS = Foods()


def lot(
    number: int, food: str, amount: float, unit: str | None, price: str | None = None, **more: Any
) -> Lot:
    size = Amount(amount, unit)
    paid = None if price is None else Decimal(price)
    return Lot(number, food, size, size, price=paid, **more)


def dish(number: int, title: str, *lines: str, servings: float | None = 4, **more: Any) -> Recipe:
    return Recipe(number, title, tuple(read_lines(lines, FOODS)), servings=servings, **more)


RECIPES = [
    dish(
        1, "Bean and ham soup", "1 lb dry navy beans", "8 oz ham, diced", "1 onion, chopped",
        "8 cups water", "salt to taste", servings=8, minutes=120,
        steps=("1. Simmer the beans in the 8 cups water.", "2. Add the ham."),
    ),
    dish(2, "Plain rice", "2 cups long-grain white rice", minutes=25),
    dish(3, "Buttered carrots", "1 lb carrots", "2 tbsp butter", minutes=20),
    dish(4, "Bean dip", "2 cups cooked navy beans", "1/2 cup sour cream", servings=None),
    dish(5, "Walnut bread", "3 cups bread flour", "1 cup walnuts", oven_f=375),
    dish(6, "Ham hash", "1 lb ham", "2 lb potatoes", minutes=35),
]  # fmt: skip
LOTS = [
    lot(1, "navy bean", 2, "lb", "3.20"),
    lot(2, "ham", 1, "lb", "4.00", place="fridge", best_by=DAY + dt.timedelta(3)),
    lot(3, "onion", 3, None, "0.90"),
    lot(4, "long-grain white rice", 5, "lb", "4.00"),
    lot(5, "carrot", 1, "lb", "1.00"),
    lot(6, "sour cream", 8, "oz", "1.00", place="fridge", best_by=DAY - dt.timedelta(2)),
]
PEOPLE = [
    Person(1, "Ola", ("milk",), "allergy"),
    Person(2, "Tove", ("tree-nut",), "allergy"),
    Person(3, "Per"),
]


@pytest.fixture
def house() -> House:
    prices = [PriceSeen(1, "potato", Amount(5, "lb"), Decimal("3.00"), "bag", date=DAY)]
    books = Household.scratch(
        {"recipes": RECIPES, "stock": LOTS, "people": PEOPLE, "prices": prices}
    )
    return House(books, DAY)


def asked(act: str, **fields: Any) -> Reading:
    return replace(Reading(said=fields.pop("said", "asked"), act=act), **fields)


def found(house: House, **fields: Any) -> Answer:
    return find_meals(asked("find-meals", **fields), house)


def titles(answer: Answer) -> list[str]:
    return [meal["recipe"] for meal in answer.reply["meals"]]


def meal(answer: Answer, title: str) -> dict[str, Any]:
    return next(one for one in answer.reply["meals"] if one["recipe"] == title)


# -- find-meals -----------------------------------------------------------------------------------


def test_the_fields_of_a_meal(house: House) -> None:
    answer = found(house, foods=("bean", "ham"))
    best = answer.reply["meals"][0]
    assert best["recipe"] == "Bean and ham soup"
    assert best["servings"] == 8
    assert [one["food"] for one in best["have"]] == ["navy bean", "ham", "onion"]
    assert best["have"][0] == {"food": "navy bean", "amount": 1, "unit": "lb"}
    assert best["missing"] == []
    assert best["uses_soon"] == ["ham"]
    # 1.60 of beans, 2.00 of ham, 0.30 of onion
    assert (best["cost"], best["cost_per_serving"]) == ("3.90", "0.49")
    assert best["unpriced"] == []
    # ham may hold milk: the label decides
    assert best["fits"] == {"Ola": "check", "Tove": "yes", "Per": "yes"}
    assert json.loads(json.dumps(answer.reply)) == answer.reply


def test_the_answer_names_the_best_first_and_says_how_it_is_ranked(house: House) -> None:
    text = plain_text(found(house, foods=("bean", "ham")))
    assert text.startswith("Bean and ham soup comes first: $0.49 a serving")
    assert "everything is in the house" in text
    assert "Ranked by: more of the foods you named, then who can eat it" in text.replace("\n", " ")


def test_numbers_of_the_list_can_be_picked(house: House) -> None:
    answer = found(house, foods=("bean", "ham"))
    assert list(answer.offered) == titles(answer)


def test_what_is_missing_is_told_with_its_amount(house: House) -> None:
    answer = found(house, foods=("ham",))
    assert meal(answer, "Ham hash")["missing"] == [{"food": "potato", "amount": 2, "unit": "lb"}]


def test_scaled_to_the_servings_asked_for(house: House) -> None:
    best = meal(found(house, foods=("bean",), servings=4), "Bean and ham soup")
    assert best["servings"] == 4
    assert best["have"][0]["amount"] == 0.5


def test_what_one_person_may_not_have_is_not_offered_to_them(house: House) -> None:
    assert "Walnut bread" in titles(found(house, foods=("walnut",)))
    answer = found(house, people=("Tove",))
    assert "Walnut bread" not in [
        one["recipe"] for one in answer.reply["meals"] if one["fits"]["Tove"] == "no"
    ]
    assert "no" not in {one["fits"]["Tove"] for one in answer.reply["meals"]}


def test_a_diet_is_an_eater_too(house: House) -> None:
    answer = found(house, foods=("carrot", "rice"), diets=("vegan",))
    assert meal(answer, "Plain rice")["fits"] == {"vegan": "yes"}


def test_without_milk_leaves_out_the_butter(house: House) -> None:
    assert "Buttered carrots" in titles(found(house, foods=("carrot",)))
    answer = found(house, foods=("carrot",), without=("milk",))
    assert titles(answer) == []


def test_a_budget_a_head_and_in_all(house: House) -> None:
    a_head = found(house, foods=("ham",), money=Decimal("0.50"), per="head")
    assert titles(a_head) == ["Bean and ham soup"]
    in_all = found(house, foods=("ham",), money=Decimal("3.00"))
    assert titles(in_all) == []
    assert in_all.reply["in_the_way"]


def test_time_that_is_not_known_is_not_short(house: House) -> None:
    answer = found(house, minutes=30)
    assert set(titles(answer)) == {"Plain rice", "Buttered carrots"}


def test_without_shopping_nothing_is_missing(house: House) -> None:
    answer = found(house, said="what can I cook without shopping")
    assert answer.reply["meals"]
    assert all(not one["missing"] and not one["unsure"] for one in answer.reply["meals"])


def test_from_the_fridge(house: House) -> None:
    assert set(titles(found(house, place="fridge"))) == {
        "Bean and ham soup", "Ham hash", "Bean dip",
    }  # fmt: skip


def test_what_is_due_within_some_days(house: House) -> None:
    assert set(titles(found(house, days=3))) == {"Bean and ham soup", "Ham hash"}


def test_a_lot_past_its_date_is_asked_about(house: House) -> None:
    answer = found(house, foods=("sour cream",))
    dip = meal(answer, "Bean dip")
    assert [one["food"] for one in dip["unsure"]] == ["sour cream"]
    assert dip["uses_soon"] == []
    assert "Past its date, so not counted: sour cream" in plain_text(answer)


def test_nothing_fits_says_what_is_in_the_way_and_what_is_near(house: House) -> None:
    answer = found(house, foods=("ham",), minutes=5)
    assert answer.understood
    assert answer.reply["meals"] == []
    assert answer.reply["in_the_way"] == ["in 5 minutes"]
    assert set(answer.reply["nearest"]) == {"Bean and ham soup", "Ham hash"}
    assert "In the way: in 5 minutes." in plain_text(answer)


def test_a_food_no_recipe_holds_is_said(house: House) -> None:
    text = plain_text(found(house, foods=("turnip", "ham")))
    assert text.startswith("No recipe here holds turnip.")


def test_a_food_that_is_not_in_the_books_is_said(house: House) -> None:
    assert "Not in the books: potato." in plain_text(found(house, foods=("potato",)))


def test_dinners_come_before_sides(house: House) -> None:
    answer = found(house, said="what's for dinner")
    assert titles(answer)[0] == "Bean and ham soup"


@pytest.mark.parametrize("servings", [-2, 0.0001 - 0.0002, 1e9])
def test_absurd_servings_are_refused(house: House, servings: float) -> None:
    answer = found(house, servings=servings)
    assert not answer.understood
    assert "I cannot cook for" in answer.reply["question"]


def test_no_recipes_at_all() -> None:
    house = House(Household.scratch({}), DAY)
    text = plain_text(found(house, foods=("bean",)))
    assert "no recipes in the books yet" in text


def test_the_reasons_name_the_lots_behind_the_cost(house: House) -> None:
    answer = found(house, foods=("bean", "ham"))

    def sentences(steps: Any) -> list[str]:
        return [s for one in steps for s in (one.statement, *sentences(one.because))]

    said = sentences(answer.because)
    assert said[0] == "1. Bean and ham soup"
    assert any("1 lb from the 2 lb of navy bean at 3.20" in one for one in said)
    assert any(one.startswith("uses ham (3 days left)") for one in said)


def test_a_change_in_the_books_shows_at_once(house: House) -> None:
    assert not found(house, foods=("turnip",)).reply["meals"]
    house.books.change(
        lambda draft: draft.add("recipes", dish(0, "Turnip stew", "1 lb turnips")),
        act="keep-recipe",
    )
    assert titles(found(house, foods=("turnip",))) == ["Turnip stew"]
    house.books.undo()
    assert not found(house, foods=("turnip",)).reply["meals"]


# -- show-recipe ----------------------------------------------------------------------------------


def shown(house: House, *recipes: str, **fields: Any) -> Answer:
    return show_recipe(asked("show-recipe", recipes=recipes, **fields), house)


def test_a_recipe_with_its_lines_and_steps(house: House) -> None:
    answer = shown(house, "Bean and ham soup")
    reply = answer.reply
    assert (reply["recipe"], reply["servings"]) == ("Bean and ham soup", 8)
    assert reply["steps"] == ["Simmer the beans in the 8 cups water.", "Add the ham."]
    ham = reply["lines"][1]
    assert {name: ham[name] for name in ("food", "amount", "unit", "note", "swap")} == {
        "food": "ham", "amount": 8, "unit": "oz", "note": "diced", "swap": None,
    }  # fmt: skip
    assert reply["cost_per_serving"] == "0.49"
    assert plain_text(answer).startswith("Bean and ham soup: for 8, 2 hours, $0.49 a serving.")


def test_scaled_amounts_read_as_cooks_write_them(house: House) -> None:
    answer = shown(house, "Bean and ham soup", servings=12)
    lines = {line["food"]: (line["amount"], line["unit"]) for line in answer.reply["lines"]}
    assert lines["navy bean"] == (1.5, "lb")
    assert lines["onion"] == (1.5, None)
    text = plain_text(answer)
    assert "1 1/2 lb   dry navy beans" in text
    assert "Amounts named in the steps are those for 8." in text


def test_double(house: House) -> None:
    answer = shown(house, "Buttered carrots", scale=2.0)
    assert answer.reply["servings"] == 8
    assert answer.reply["lines"][0]["amount"] == 2


def test_a_recipe_that_never_says_for_how_many(house: House) -> None:
    answer = shown(house, "Bean dip", servings=6)
    assert answer.reply["servings"] is None
    assert "never says how many it serves" in plain_text(answer)


def test_the_oven_in_both_degrees(house: House) -> None:
    assert "oven 375°F (190°C)" in plain_text(shown(house, "Walnut bread"))


def test_each_line_says_whether_it_is_there(house: House) -> None:
    answer = shown(house, "Ham hash")
    assert [line["state"] for line in answer.reply["lines"]] == ["have", "missing"]


def test_fitted_to_somebody(house: House) -> None:
    answer = shown(house, "Buttered carrots", people=("Ola",))
    (line,) = [one for one in answer.reply["lines"] if one["swap"]]
    assert line["swap"]["for"] == "butter"
    assert line["food"] != "butter"
    assert "for the butter" in plain_text(answer)


def test_without_a_food(house: House) -> None:
    answer = shown(house, "Buttered carrots", without=("butter",))
    assert all(line["food"] != "butter" for line in answer.reply["lines"])


def test_what_only_gives_taste_is_left_out_and_said_at_its_step(house: House) -> None:
    reply = shown(house, "Bean and ham soup", without=("ham",)).reply
    assert [line["food"] for line in reply["lines"]] == ["navy bean", "onion", "water", "salt"]
    assert reply["left_out"] == ["ham"]
    assert reply["steps"][-1] == "Add the ham. (Leave out the ham.)"


def test_the_technique_of_a_swap_is_told_at_its_step(house: House) -> None:
    answer = shown(house, "Bean and ham soup", diets=("vegan",))
    (line, *_) = [one for one in answer.reply["lines"] if one["swap"]]
    assert line["swap"]["note"] in answer.reply["steps"][-1]
    assert answer.reply["steps"][-1].startswith("Add the ham. (")


def test_who_cannot_have_it_is_said_unasked(house: House) -> None:
    assert "Tove" in plain_text(shown(house, "Walnut bread"))


def test_remarks_are_shown(house: House) -> None:
    house.books.change(
        lambda draft: draft.add("remarks", Remark(0, "Plain rice", "better with stock")),
        act="remark",
    )
    answer = shown(house, "Plain rice")
    assert answer.reply["remarks"] == ["better with stock"]
    assert "better with stock" in plain_text(answer)


def test_a_title_nobody_knows(house: House) -> None:
    answer = shown(house, "Bean and hem sop")
    assert not answer.understood
    assert answer.reply["choices"][0] == "Bean and ham soup"


def test_only_a_food_named_asks_which_recipe(house: House) -> None:
    answer = show_recipe(asked("show-recipe", foods=("bean",)), house)
    assert not answer.understood
    assert set(answer.reply["choices"]) == {"Bean and ham soup", "Bean dip"}
    one = show_recipe(asked("show-recipe", foods=("walnut",)), house)
    assert one.reply["recipe"] == "Walnut bread"


def test_salt_and_pepper_stand_in_the_page_once(house: House) -> None:
    new = dish(0, "Eggs", "4 eggs", "salt and pepper to taste")
    house.books.change(lambda draft: draft.add("recipes", new), act="keep-recipe")
    assert plain_text(shown(house, "Eggs")).count("salt and pepper") == 1


# -- missing --------------------------------------------------------------------------------------


def lacking(house: House, *recipes: str, **fields: Any) -> Answer:
    return missing(asked("missing", recipes=recipes, **fields), house)


def test_what_to_buy_in_whole_packages(house: House) -> None:
    answer = lacking(house, "Ham hash")
    assert answer.reply["missing"] == [{"food": "potato", "amount": 2, "unit": "lb"}]
    assert [one["food"] for one in answer.reply["have"]] == ["ham"]
    assert answer.reply["to_buy"] == [
        {"food": "potato", "packages": 1, "package": "bag", "amount": 5, "unit": "lb",
         "cost": "3.00"}
    ]  # fmt: skip
    assert answer.reply["till_cost"] == "3.00"
    assert plain_text(answer).startswith("1 thing to buy for Ham hash (for 4): $3.00 at the till.")


def test_nothing_missing(house: House) -> None:
    answer = lacking(house, "Bean and ham soup")
    assert answer.reply["to_buy"] == []
    assert plain_text(answer).startswith("Nothing is missing for Bean and ham soup (for 8).")


def test_recipes_cooked_together_share_the_stock(house: House) -> None:
    alone = lacking(house, "Ham hash").reply["missing"]
    both = lacking(house, "Ham hash", "Bean and ham soup").reply["missing"]
    assert "ham" not in [one["food"] for one in alone]
    assert {"food": "ham", "amount": 8, "unit": "oz"} in both


def test_what_must_be_looked_at_is_not_counted_as_there(house: House) -> None:
    answer = lacking(house, "Bean dip")
    assert [one["food"] for one in answer.reply["unsure"]] == ["sour cream"]
    assert "sour cream" in plain_text(answer).splitlines()[0]


def test_a_price_nobody_knows(house: House) -> None:
    answer = lacking(house, "Walnut bread")
    assert answer.reply["unpriced"]
    assert "price" in plain_text(answer)


# -- in conversation ------------------------------------------------------------------------------


def test_for_how_many_is_remembered(house: House) -> None:
    talk = Conversation(house.books, DAY)
    assert talk.say("show me the bean and ham soup").reply["servings"] == 8
    assert talk.say("and for 16?").reply["servings"] == 16
    answer = talk.say("what am I missing for it")
    assert answer.reply["recipes"] == [{"recipe": "Bean and ham soup", "servings": 16}]


def test_a_number_of_the_list_shows_that_recipe(house: House) -> None:
    talk = Conversation(house.books, DAY)
    answer = talk.say("what can I make with ham")
    assert answer.reading.act == "find-meals"
    second = titles(answer)[1]
    assert talk.say("number 2").reply["recipe"] == second


def test_two_titles_that_fit_are_asked_about(house: House) -> None:
    new = dish(0, "Bean and turnip soup", "1 lb turnips")
    house.books.change(lambda draft: draft.add("recipes", new), act="keep-recipe")
    talk = Conversation(house.books, DAY)
    answer = talk.say("show me the bean soup")
    assert not answer.understood
    assert set(answer.reply["choices"]) == {"Bean and ham soup", "Bean and turnip soup"}
    assert talk.say("the turnip one").reply["recipe"] == "Bean and turnip soup"


def test_a_sort_of_dish_said_no_to_is_not_offered() -> None:
    said = ("what can I make with ham", "not soup though")
    talk = Conversation(demo_books(NOMINAL_DAY), NOMINAL_DAY)
    before, after = [[one["recipe"] for one in talk.say(s).reply["meals"]] for s in said]
    assert any("soup" in title.lower() for title in before)
    assert after
    assert not any("soup" in title.lower() for title in after)

"""What to use instead, asked in words: amounts, roles, who eats, what is in the house."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from functools import cache
from typing import Any

import pytest

from helper.acts.house import House
from helper.acts.swap_order import pair
from helper.acts.swaps import swap
from helper.answers import Answer, Items, Say
from helper.conversation import Conversation
from helper.demo import NOMINAL_DAY, demo_books
from helper.household.books import Household
from helper.household.records import HouseRule
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.kitchen.recipes import Line, Recipe
from helper.reading.reading import Evidence, Reading, Said
from rules.swaps import Swap, swaps

TODAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def chat() -> Conversation:
    return Conversation(Household.scratch({}), TODAY)


def lot(id: int, food: str, number: float, unit: str | None, price: str = "2.00") -> Lot:
    return Lot(id, food, Amount(number, unit), Amount(number, unit), price=Decimal(price))


def house(**tables: Any) -> House:
    recipes = list(demo_books(NOMINAL_DAY).recipes())
    return House(Household.scratch({"recipes": recipes, **tables}), TODAY)


@cache
def bare() -> House:
    return house()


def asked(
    at: House, food: str = "", recipe: str = "", amount: Amount | None = None, **more: Any
) -> Answer:
    amounts = (Said(amount, food),) if amount else ()
    return swap(
        Reading(
            said=more.pop("said", f"what can I use instead of {food}"),
            act="swap",
            foods=(food,) if food else (),
            recipes=(recipe,) if recipe else (),
            amounts=amounts,
            **more,
        ),
        at,
    )


def text(answer: Answer) -> str:
    return " ".join(
        part
        for block in answer.blocks
        for part in (
            [block.text] if isinstance(block, Say) else block.items
            if isinstance(block, Items) else []
        )
    )  # fmt: skip


def used(swap: dict[str, Any]) -> dict[str, tuple[float, str | None]]:
    return {one["food"]: (one["amount"], one["unit"]) for one in swap["use"]}


# -- every row can be asked for -------------------------------------------------------------------


@cache
def told_for(food: str) -> list[dict[str, Any]]:
    answer = asked(bare(), food)
    return [*answer.reply["swaps"], *answer.reply["fails"]]


@pytest.mark.parametrize("row", swaps(), ids=lambda row: row.id)
def test_every_row_of_the_book_is_told_to_who_asks_for_its_food(row: Swap) -> None:
    told = [one for one in told_for(row.food) if one["note"].casefold().startswith(
        row.method.casefold()[:40])]  # fmt: skip
    assert any(
        {one["food"] for one in swap["use"]} == set(row.foods)
        and swap["works_in"] == list(row.works_in)
        and swap["source"]
        for swap in told
    )


# -- amounts --------------------------------------------------------------------------------------


def test_the_amount_asked_for_is_the_amount_swapped() -> None:
    one = asked(bare(), "buttermilk", amount=Amount(2, "cup")).reply
    sour = next(s for s in one["swaps"] if set(used(s)) == {"white vinegar", "milk"})
    assert used(sour)["white vinegar"] == (2, "tbsp")
    number, unit = used(sour)["milk"]
    milk = Amount(number, unit).to("tbsp")
    assert milk is not None
    assert milk.number == pytest.approx(30)  # two cups less what the vinegar takes
    assert (one["for"], one["amount"], one["unit"]) == ("buttermilk", 2, "cup")


def test_without_an_amount_each_swap_says_what_it_is_for() -> None:
    first = asked(bare(), "buttermilk").reply["swaps"][0]
    assert first["for"] == {"food": "buttermilk", "amount": 1, "unit": "cup"}


def test_the_line_of_the_dish_tells_how_much_and_servings_scale_it() -> None:
    whole = asked(bare(), "all-purpose flour", "Cream gravy").reply
    assert (whole["amount"], whole["unit"]) == (0.25, "cup")
    meat = asked(bare(), "egg", "Meat loaf", servings=4).reply  # written for 8, with 2 eggs
    assert (meat["amount"], meat["unit"]) == (1, None)


@pytest.mark.parametrize("number", [0.0, -1.0])
def test_an_amount_that_cannot_be_is_refused(number: float) -> None:
    assert not asked(bare(), "milk", amount=Amount(number, "cup")).understood


# -- roles ----------------------------------------------------------------------------------------


def test_flour_in_gravy_gives_a_thickener_with_ratio_and_method() -> None:
    answer = asked(bare(), "all-purpose flour", "Cream gravy", diets=("gluten-free",))
    assert answer.reply["roles"] == ["thickener"]
    first = answer.reply["swaps"][0]
    assert first["clears"]
    assert "gluten" in first["clears"]
    assert first["note"]
    foods = {food for one in answer.reply["swaps"] for food in used(one)}
    assert "corn starch" in foods
    assert not {"bread flour", "cake flour"} & foods
    starch = next(s for s in answer.reply["swaps"] if "corn starch" in used(s))
    assert used(starch)["corn starch"] == (2, "tbsp")


def test_the_same_flour_in_a_yeast_loaf_gets_a_warning_and_another_answer() -> None:
    answer = asked(bare(), "all-purpose flour", "Everyday yeast loaf", diets=("gluten-free",))
    assert answer.reply["roles"] == ["structure"]
    assert "corn starch" not in {f for one in answer.reply["swaps"] for f in used(one)}
    assert any("psyllium husk" in used(one) for one in answer.reply["swaps"][:1])
    assert any("kneaded loaf" in one["note"] for one in answer.reply["fails"])
    assert "warning" in text(answer).lower()


def test_walnuts_in_oat_squares_give_way_to_seeds() -> None:
    at = house(people=[Person(1, "Ola", ("tree-nut", "peanut"))])
    answer = asked(at, "walnut", "Oat squares with walnuts", people=("Ola",))
    assert {"sunflower seed", "pumpkin seed"} & {f for s in answer.reply["swaps"] for f in used(s)}
    assert "label" in text(answer)


def test_a_dish_that_is_no_recipe_here_is_known_by_its_name() -> None:
    answer = asked(bare(), "milk", said="what can I use instead of milk in a custard")
    told = {food for one in answer.reply["swaps"] for food in used(one)}
    assert "unsweetened soy milk" in told
    assert "rice milk" not in told  # it does not set a custard


def test_without_a_dish_each_role_of_the_food_gets_an_answer() -> None:
    answer = asked(bare(), "egg")
    said = text(answer)
    assert all(role in said for role in ("binder", "leavening", "coating"))


# -- who eats, and what is there ------------------------------------------------------------------


def test_what_harms_a_person_who_was_named_is_left_out() -> None:
    at = house(people=[Person(1, "Ola", ("milk",)), Person(2, "Tove", ("soy",))])
    answer = asked(at, "milk", "White sauce", people=("Ola", "Tove"))
    told = {food for one in answer.reply["swaps"] for food in used(one)}
    assert told
    assert not told & {"unsweetened soy milk", "evaporated milk", "lactose-free milk"}
    assert "Tove" in text(answer) or "Ola" in text(answer)


def test_what_would_harm_somebody_at_home_comes_after_what_would_not() -> None:
    at = house(
        people=[Person(1, "Tove", ("soy",))],
        stock=[lot(1, "unsweetened soy milk", 32, "fl oz")],
    )
    told = asked(at, "milk").reply["swaps"]
    verdicts = [one["verdict"] for one in told]
    assert verdicts.index("no") > verdicts.index("yes")
    assert "unsweetened soy milk" not in used(told[0])


def test_what_is_in_the_house_comes_first_and_is_marked() -> None:
    at = house(stock=[lot(1, "plain yogurt", 32, "oz")])
    first, second, *_ = asked(at, "buttermilk").reply["swaps"]
    assert set(used(first)) == {"plain yogurt"}
    assert first["in_stock"]
    assert not second["in_stock"]


def test_the_cheaper_of_two_in_the_house_comes_first() -> None:
    for dear, cheap in (("plain yogurt", "sour milk"), ("sour milk", "plain yogurt")):
        at = house(stock=[lot(1, dear, 32, "fl oz", "9.00"), lot(2, cheap, 32, "fl oz", "1.00")])
        first = asked(at, "buttermilk").reply["swaps"][0]
        assert set(used(first)) == {cheap}
        assert Decimal(first["cost"]) < 1


def test_what_a_swap_brings_in_and_clears_is_told() -> None:
    told = asked(bare(), "milk").reply["swaps"]
    soy = next(one for one in told if "unsweetened soy milk" in used(one))
    assert soy["adds_allergens"] == ["soy"]
    assert "milk" in soy["clears"]


def test_dry_beans_and_canned_beans_stand_for_each_other() -> None:
    dry = asked(bare(), "canned navy bean", amount=Amount(2, "can")).reply["swaps"]
    assert any(set(used(one)) == {"navy bean"} for one in dry)
    canned = asked(bare(), "navy bean", amount=Amount(1, "lb")).reply["swaps"]
    assert any(set(used(one)) == {"canned navy bean"} for one in canned)


# -- the house's own rules ------------------------------------------------------------------------


def own_rule(**more: Any) -> HouseRule:
    return HouseRule(1, "bacon fat does for butter", "instead", "butter", "bacon fat", **more)


def test_a_rule_of_the_house_wins_over_the_book() -> None:
    at = house(rules=[own_rule()], stock=[lot(1, "vegetable oil", 48, "fl oz")])
    first = asked(at, "butter", "White sauce").reply["swaps"][0]
    assert set(used(first)) == {"bacon fat"}
    assert "your own rule" in first["source"]


def test_no_rule_of_the_house_wins_over_what_somebody_may_not_have() -> None:
    at = house(rules=[own_rule()], people=[Person(1, "Ola", ("pork-free",))])
    answer = asked(at, "butter", "White sauce", people=("Ola",))
    assert "bacon fat" not in {food for one in answer.reply["swaps"] for food in used(one)}


# -- one swap judged ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "old", "new"),
    [
        ("can I use oil instead of butter", "butter", "oil"),
        ("swap butter for oil", "butter", "oil"),
        ("substitute oil for butter", "butter", "oil"),
        ("substitute butter with oil", "butter", "oil"),
        ("replace butter by oil", "butter", "oil"),
        ("instead of butter could I use oil", "butter", "oil"),
        ("how much oil replaces 1 cup butter", "butter", "oil"),
        ("can oil take the place of butter", "butter", "oil"),
        ("I'm out of butter, will oil do", "butter", "oil"),
        ("the recipe says butter but I only have oil", "butter", "oil"),
        ("is oil as good as butter", "butter", "oil"),
    ],
)
def test_which_food_gives_way_is_told_by_the_words_around_them(
    said: str, old: str, new: str
) -> None:
    order = tuple(sorted((old, new), key=said.index))
    found = pair(Reading(said=said, act="swap", foods=order), bare().foods)
    assert found is not None
    assert (found.old, found.new) == (old, (new,))


def test_what_there_is_none_of_gives_way(chat: Conversation) -> None:
    answer = chat.say("I have no butter, can I use margarine")
    assert answer.reading.act == "swap"
    assert answer.reply["for"] == "butter"


def test_a_food_after_in_is_the_dish_and_no_part_of_the_swap() -> None:
    said = "substitute for milk in a custard"
    assert pair(Reading(said=said, act="swap", foods=("milk", "custard")), bare().foods) is None


def judged(at: House, said: str, *foods: str, **more: Any) -> Answer:
    return swap(Reading(said=said, act="swap", foods=foods, **more), at)


def test_a_good_swap_is_a_yes_with_amounts() -> None:
    answer = judged(
        bare(), "can I use oil instead of butter in the white sauce", "oil", "butter",
        recipes=("White sauce",),
    )  # fmt: skip
    assert answer.reply["verdict"] == "yes"
    (one,) = answer.reply["swaps"]
    number, unit = used(one)["vegetable oil"]
    oil = Amount(number, unit).to("tbsp")
    assert oil is not None
    assert oil.number == pytest.approx(3)  # 3/4 tablespoon for each of four
    assert text(answer).startswith("Yes")


def test_a_swap_that_fails_in_the_dish_is_a_no_with_the_reason_and_something_better() -> None:
    answer = judged(
        bare(), "can I use almond milk instead of milk in the white sauce", "almond milk", "milk",
        recipes=("White sauce",),
    )  # fmt: skip
    assert answer.reply["verdict"] == "no"
    assert answer.reply["swaps"] == []
    assert "white sauce" in answer.reply["reason"]
    assert answer.reply["instead"]


def test_a_swap_that_harms_a_person_named_is_a_no() -> None:
    at = house(people=[Person(1, "Ola", ("tree-nut",))])
    answer = judged(
        at, "can I use almond milk instead of milk in the pancakes for Ola", "almond milk", "milk",
        recipes=("Pancakes",), people=("Ola",),
    )  # fmt: skip
    assert answer.reply["verdict"] == "no"
    assert "tree-nut" in text(answer)


def test_a_misspelt_food_is_never_a_plain_yes() -> None:
    guess = (Evidence("margerine", "food", "margarine", certain=False),)
    answer = judged(
        bare(), "can I use margerine instead of butter", "margarine", "butter", evidence=guess
    )
    assert answer.reply["verdict"] == "check"
    assert "if you mean margarine" in text(answer)


def test_a_swap_nobody_told_of_is_no_known_rule_and_never_a_yes() -> None:
    answer = judged(bare(), "can I use honey instead of salt", "honey", "salt")
    assert answer.reply["verdict"] == "unknown"
    assert answer.reply["swaps"] == []
    assert "no rule" in text(answer)


# -- whole dishes, and gaps -----------------------------------------------------------------------


def test_a_dish_and_a_diet_without_a_food_fits_the_whole_dish() -> None:
    answer = asked(bare(), recipe="White sauce", diets=("dairy-free",), said="dairy-free it")
    assert {one["for"]["food"] for one in answer.reply["swaps"]} == {"butter", "milk"}


def test_a_dish_that_cannot_be_fitted_is_a_plain_no() -> None:
    mussels = Recipe(1, "Mussels", (Line("2 lb mussels", "mussel", Amount(2, "lb")),))
    at = House(Household.scratch({"recipes": [mussels]}), TODAY)
    answer = asked(at, recipe="Mussels", diets=("vegan",), said="vegan it")
    assert answer.understood
    assert answer.reply["verdict"] == "no"
    assert "mussel" in text(answer)


def test_nothing_named_is_asked_about() -> None:
    assert not asked(bare(), said="what can I use instead").understood
    answer = asked(bare(), recipe="Plain rice", said="what can I swap in the rice")
    assert not answer.understood
    assert answer.reply["choices"]


def test_a_food_without_any_swap_is_said_to_have_none() -> None:
    answer = asked(bare(), "dandelion green")
    assert answer.understood
    assert answer.reply["swaps"] == []
    assert "no swap" in text(answer)


def test_asked_in_words_and_then_why() -> None:
    books = Household.scratch(
        {
            "recipes": list(demo_books(NOMINAL_DAY).recipes()),
            "stock": [lot(1, "corn starch", 1, "lb")],
        }
    )
    chat = Conversation(books, TODAY)
    answer = chat.say("what can I use instead of the flour in the cream gravy")
    assert answer.reading.act == "swap"
    assert "corn starch" in text(answer)
    told = str(chat.say("why").reply)
    assert "thickener" in told
    assert "in the house" in told


def test_what_is_to_do_without_a_food_is_not_made_of_it() -> None:
    here = house(stock=[lot(1, "egg", 12, None)])
    reply = asked(here, "egg", amount=Amount(2)).reply
    frozen = [one for one in reply["swaps"] if one["use"][0]["food"] == "frozen whole egg"]
    assert frozen
    assert not frozen[0]["in_stock"]


def test_an_odd_amount_is_told_in_the_largest_measure_it_fills() -> None:
    reply = asked(bare(), "canned navy bean", amount=Amount(2, "can")).reply
    dry = [one["use"][0] for one in reply["swaps"] if one["use"][0]["food"] == "navy bean"]
    assert dry[0]["unit"] == "cup"
    assert 1 < dry[0]["amount"] < 1.5

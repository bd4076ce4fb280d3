"""Recipes made, kept, remarked on and written out."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from msgspec.structs import replace

from helper.acts import cooking, costs
from helper.acts.house import House
from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot
from helper.reading.reading import Reading, Said
from tests.acts.samples import SOUP

TODAY = dt.date(2026, 11, 25)


def house(*texts: str, **more: float) -> House:
    foods = Foods()
    recipes = [recipe_from_text(text, foods) for text in texts or (SOUP,)]
    lots = [
        Lot(
            1,
            "navy bean",
            Amount(3, "lb"),
            Amount(1, "lb"),
            3,
            "bag",
            Decimal("1.59"),
            bought=TODAY,
        ),
        Lot(2, "onion", Amount(more.get("onions", 5)), Amount(5), 1, "bag", Decimal("1.00")),
        Lot(3, "olive oil", Amount(17, "fl oz"), Amount(17, "fl oz"), 1, "bottle", Decimal(6)),
    ]
    numbered = [replace(one, id=at) for at, one in enumerate(recipes, 1) if one is not None]
    tables = {"recipes": numbered, "stock": lots}
    return House(Household.scratch(tables, today=lambda: TODAY), TODAY)


def made(here: House, words: str = "made the bean soup", **more: object) -> dict[str, object]:
    answer = cooking.cooked(Reading(words, recipes=("Bean soup",), **more), here)  # type: ignore[arg-type]
    assert answer.changed
    return answer.reply


def left(here: House) -> dict[str, float]:
    return {lot.food: lot.left.number for lot in here.lots}


# -- made --------------------------------------------------------------------------------------


def test_a_dish_takes_what_it_needs_and_costs_what_that_cost() -> None:
    here = house()
    reply = made(here)
    assert reply["servings"] == 4
    assert reply["cost"] == "1.79"  # a bag of beans and a fifth of the onions
    assert reply["short"] == []
    assert left(here) == {"navy bean": 2, "onion": 4, "olive oil": 17}


def test_a_dish_for_more_takes_more() -> None:
    here = house()
    assert made(here, servings=8.0)["cost"] == "3.58"
    assert left(here)["navy bean"] == 1


def test_double_the_recipe() -> None:
    here = house()
    assert made(here, scale=2.0)["servings"] == 8


def test_what_the_books_lack_is_told_and_nothing_goes_below_nothing() -> None:
    here = house(onions=0.25)
    reply = made(here)
    assert reply["short"] == [{"food": "onion", "amount": 0.75, "unit": None}]
    assert "onion" not in left(here)
    assert reply["at_least"] is True


def test_what_was_taken_is_not_short_though_it_may_not_be_the_very_thing() -> None:
    here = house("White sauce\n\n2 cups whole milk\n\nHeat the milk.\n")
    milk = Lot(9, "milk", Amount(1, "gallon"), Amount(1, "gallon"), price=Decimal("3.84"))
    here.books.change(lambda draft: draft.add("stock", milk), act="add-stock")
    reply = cooking.cooked(Reading("made the sauce", recipes=("White sauce",)), here).reply
    assert [one["food"] for one in reply["taken"]] == ["milk"]
    assert reply["short"] == []


def test_what_is_left_is_a_lot_that_cost_its_share_and_is_due_soon() -> None:
    here = house()
    reply = made(here, "made the bean soup, 2 servings left over", servings=2.0)
    assert reply["servings"] == 4  # the 2 were what is left, not what was made
    (over,) = reply["leftovers"]  # type: ignore[misc]
    assert (over["amount"], over["unit"], over["place"]) == (2, "portion", "fridge")
    assert over["made_from"] == "Bean soup"
    assert over["best_by"] == "2026-11-28"
    (lot,) = [one for one in here.lots if one.made_from]
    assert lot.state == "leftover"
    assert lot.price == Decimal("1.79") / 4


def test_half_of_it_is_left() -> None:
    reply = made(house(), "made the bean soup, half is left", marks=("half_left",))
    assert reply["leftovers"][0]["amount"] == 2  # type: ignore[index]


def test_leftovers_put_into_the_freezer_keep_longer() -> None:
    reply = made(
        house(), "made the bean soup, froze 2 portions", amounts=(Said(Amount(2, "portion")),)
    )
    (over,) = reply["leftovers"]  # type: ignore[misc]
    assert over["place"] == "freezer"
    assert over["best_by"] > "2026-12-25"


def test_more_left_than_was_made_is_refused() -> None:
    here = house()
    reading = Reading(
        "made the bean soup, 9 portions left over",
        recipes=("Bean soup",),
        amounts=(Said(Amount(9, "portion")),),
    )
    assert not cooking.cooked(reading, here).changed
    assert here.books.version == 0


def test_what_was_saved_from_the_pot_is_kept_and_has_cost_nothing() -> None:
    here = house()
    reply = made(
        here,
        "made the bean soup and saved 2 cups of bean cooking liquid",
        amounts=(Said(Amount(2, "cup"), "bean cooking liquid"),),
    )
    (saved,) = reply["byproducts"]  # type: ignore[misc]
    assert (saved["food"], saved["amount"], saved["price"]) == ("bean cooking liquid", 2, "0.00")
    assert saved["place"] == "fridge"
    assert reply["cost"] == "1.79"


def test_what_is_named_before_what_was_saved_was_not_saved() -> None:
    here = house()
    reply = made(here, "made the bean soup without the onion, froze 2 portions", foods=("onion",))
    assert reply["byproducts"] == []


def test_undoing_a_dish_puts_everything_back() -> None:
    here = house()
    before = left(here)
    made(here, "made the bean soup, 2 servings left over", servings=2.0)
    here.books.undo()
    assert left(here) == before


def test_cooking_again_and_again_costs_what_was_paid_and_no_more() -> None:
    here = house()
    paid = [Decimal(str(made(here)["cost"])) for _ in range(3)]
    onions = here.lots[0]
    worth = onions.left.number / onions.size.number * 1
    used = Decimal("1.59") * 3 + 1 - Decimal(str(worth))
    assert abs(sum(paid) - used) <= Decimal("0.005") * 3


def test_what_a_dish_is_said_to_cost_is_what_is_booked_when_it_is_cooked() -> None:
    here = house()
    for servings in (3.0, 2.0, 5.0):
        asked = Reading("cost", recipes=("Bean soup",), servings=servings)
        said = costs.cost(asked, here).reply
        reply = made(here, servings=servings)
        assert reply["cost"] == said["total"]
        for parts in (said["lines"], reply["taken"]):
            assert sum(Decimal(one["cost"]) for one in parts) == Decimal(said["total"])


def test_a_dish_nobody_knows_is_not_made() -> None:
    answer = cooking.cooked(Reading("made the goulash", recipes=("Goulash",)), house())
    assert not answer.understood


# -- kept --------------------------------------------------------------------------------------


def test_a_pasted_recipe_is_kept_with_what_could_not_be_read() -> None:
    here = house()
    text = "keep this recipe:\n\n" + SOUP.replace("Bean soup", "Other soup").replace(
        "1 onion, chopped", "2 tbsp zorgle\nqwx vbnt plor"
    )
    answer = cooking.keep_recipe(Reading(text), here)
    assert answer.reply["recipe"] == "Other soup"
    assert answer.reply["unsure"] == ["2 tbsp zorgle"]
    assert answer.reply["unread"] == ["qwx vbnt plor"]
    kept = here.books.recipe_titled("Other soup")
    assert kept is not None
    assert (kept.servings, len(kept.lines), len(kept.steps), kept.minutes) == (4, 6, 2, 90)


def test_the_same_title_takes_the_place_of_the_old_recipe() -> None:
    here = house()
    answer = cooking.keep_recipe(Reading(SOUP.replace("Serves 4", "Serves 6")), here)
    assert answer.reply["updated"] is True
    assert [one.servings for one in here.books.recipes()] == [6]


@pytest.mark.parametrize(
    ("said", "title", "foods"),
    [
        (
            "save this recipe for egg rice: 2 cups cooked rice, 3 eggs, 1 tbsp oil. Fry it all.",
            "Egg rice",
            ["cooked rice", "egg", "oil"],
        ),
        (
            "save this: Quick slaw for 4: 1/2 cabbage, 2 carrots. Shred and mix.",
            "Quick slaw",
            ["cabbage", "carrot"],
        ),
        (
            "save this: Quick slaw. 1/2 cabbage, 2 carrots. Shred and mix.",
            "Quick slaw",
            ["cabbage", "carrot"],
        ),
    ],
)
def test_a_recipe_said_in_one_line(said: str, title: str, foods: list[str]) -> None:
    answer = cooking.keep_recipe(Reading(said), house())
    assert answer.reply["recipe"] == title
    assert [line["food"] for line in answer.reply["lines"]] == foods
    assert len(answer.reply["steps"]) == 1


def test_asking_without_a_recipe_asks_for_it() -> None:
    here = house()
    assert not cooking.keep_recipe(Reading("keep this recipe"), here).understood
    assert here.books.version == 0


# -- remarked on and written out -----------------------------------------------------------------


def test_remarks_carry_a_verdict_only_where_one_was_said() -> None:
    here = house()
    for marks, verdict in ((("liked",), "liked"), (("disliked",), "disliked"), ((), None)):
        reading = Reading("about the soup", recipes=("Bean soup",), marks=marks)
        assert cooking.remark(reading, here).reply["verdict"] == verdict
    assert [one.verdict for one in here.books.remarks("bean soup")] == ["liked", "disliked", None]


def test_a_recipe_said_in_one_line_keeps_its_steps() -> None:
    talk = Conversation(Household.scratch(), dt.date(2026, 11, 25))
    said = (
        "keep this recipe: Tea bread. 2 cups flour, 1 cup raisins, salt. "
        "Soak raisins in the tea overnight. Bake at 350F one hour. Serves 10."
    )
    assert talk.say(said).understood
    kept = talk.say("show me the tea bread").reply
    assert kept["servings"] == 10
    assert [line["food"] for line in kept["lines"]] == ["all-purpose flour", "raisin", "salt"]
    assert len(kept["steps"]) == 2

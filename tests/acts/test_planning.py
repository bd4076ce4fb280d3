"""Planning: menus for who is at home, changed by talking; the list; how far the stock goes."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from helper.acts.house import House
from helper.acts.planning import lasts, menu, shopping
from helper.answers import Answer, Items, Say, Table
from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.records import Menu
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Level, Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Line, Recipe
from helper.reading.reading import Reading, Said

TODAY = dt.date(2026, 11, 25)  # a Wednesday


def dish(number: int, title: str, oven: bool = False, **foods: float) -> Recipe:
    lines = tuple(
        Line(f"{oz} oz {name}", name.replace("_", " "), Amount(oz, "oz"))
        for name, oz in foods.items()
    )
    return Recipe(number, title, lines, ("Cook it.",), 4, minutes=20 + 20 * number,
                  oven_f=350 if oven else None)  # fmt: skip


def lot(number: int, food: str, oz: float, price: str, best_by: int | None = None) -> Lot:
    size = Amount(oz, "oz")
    due = None if best_by is None else TODAY + dt.timedelta(best_by)
    return Lot(number, food, size, size, price=Decimal(price), best_by=due)


def seen(number: int, food: str, oz: float, price: str) -> PriceSeen:
    return PriceSeen(number, food, Amount(oz, "oz"), Decimal(price), "bag", "corner shop", TODAY)


DISHES = (
    dish(1, "Rice and bean stew", rice=8, navy_bean=8),
    dish(2, "Ham hash", ham=12, potato=16),
    dish(3, "Onion soup", onion=16),
    dish(4, "Lentil bake", True, lentil=12, onion=4),
    dish(5, "Cod stew", cod=16, potato=8),
)
PRICES = (
    seen(1, "rice", 32, "2.00"), seen(2, "navy bean", 16, "1.60"), seen(3, "ham", 16, "4.00"),
    seen(4, "potato", 80, "2.50"), seen(5, "onion", 48, "1.80"), seen(6, "lentil", 16, "1.50"),
    seen(7, "cod", 16, "7.00"),
)  # fmt: skip
ADA = Person(1, "Ada")
BO = Person(2, "Bo", portion=1.0)


def house(*lots: Lot, people: tuple[Person, ...] = (ADA, BO), **tables: object) -> House:
    given = {"stock": lots, "people": people, "recipes": DISHES, "prices": PRICES, **tables}
    return House(Household.scratch(given, today=lambda: TODAY), TODAY)  # type: ignore[arg-type]


def ask(here: House, said: str, **fields: object) -> Answer:
    answer = menu(Reading(said, act="menu", **fields), here)  # type: ignore[arg-type]
    if answer.understood:
        here.context = type(here.context)(last=answer.reading, recipes=answer.recipes)
    return answer


def planned(answer: Answer) -> dict[str, str]:
    return {day["date"]: day["meals"][0]["recipe"] for day in answer.reply["days"]}


def text(answer: Answer) -> str:
    parts = [block.text for block in answer.blocks if isinstance(block, Say)]
    parts += [one for block in answer.blocks if isinstance(block, Items) for one in block.items]
    parts += [" ".join(row) for block in answer.blocks if isinstance(block, Table)
              for row in block.rows]  # fmt: skip
    return "\n".join(parts)


# -- a menu --------------------------------------------------------------------------------


def test_the_cheapest_dinners_for_the_portions_at_home() -> None:
    answer = ask(house(), "plan dinners for two days", days=2)
    # half a recipe each: 8 oz onion at 1.80 a bag, 6 oz lentil and 2 oz onion from the same bag
    assert set(planned(answer).values()) == {"Onion soup", "Lentil bake"}
    assert answer.reply["till_cost"] == "3.30"
    assert answer.reply["optimal"] is True
    assert [meal["servings"] for day in answer.reply["days"] for meal in day["meals"]] == [2, 2]
    assert [(one["food"], one["packages"]) for one in answer.reply["to_buy"]] == [
        ("onion", 1), ("lentil", 1)
    ]  # fmt: skip


def test_what_a_menu_costs_is_opened_into_what_is_bought_and_eaten() -> None:
    answer = ask(house(), "plan dinners for two days", days=2)
    bought = sum(Decimal(one["cost"]) for one in answer.reply["to_buy"])
    assert bought == Decimal(answer.reply["till_cost"])
    till, *_ = answer.because
    assert len(till.because) == 2
    assert "3.30" in till.statement


def test_a_menu_is_kept_and_taken_back() -> None:
    here = house()
    answer = ask(here, "plan dinners for two days", days=2)
    assert answer.changed
    (kept,) = here.books.menus()
    assert [meal.recipe for meal in kept.meals] == list(planned(answer).values())
    here.books.undo()
    assert here.books.menus() == []


def test_a_new_menu_takes_the_place_of_what_was_planned_before() -> None:
    here = house()
    ask(here, "plan dinners for five days", days=5)
    ask(here, "plan dinners for two days", days=2)
    assert sum(len(one.meals) for one in here.books.menus()) == 2


def test_wishes_for_days_and_over_all() -> None:
    answer = ask(
        house(), "plan 3 dinners, fish on friday, nothing that needs the oven on thursday", days=3
    )
    assert planned(answer)["2026-11-27"] == "Cod stew"
    assert planned(answer)["2026-11-26"] != "Lentil bake"
    stews = ask(house(), "plan 3 dinners with two stews", days=3)
    assert sum(title.endswith("stew") for title in planned(stews).values()) == 2


def test_a_wish_nothing_fits_is_said() -> None:
    answer = ask(house(), "plan 2 dinners, pasta on thursday", days=2)
    assert len(answer.reply["days"]) == 2
    assert answer.reply["given_up"] == [{"kind": "wish", "what": "pasta on thursday", "by": 1}]
    assert "pasta on thursday" in text(answer)


def test_over_the_budget_the_cheapest_possible_is_named_and_nothing_is_kept() -> None:
    here = house()
    answer = ask(here, "plan 2 dinners under $2", days=2, money=Decimal(2))
    assert answer.reply["days"] == []
    assert answer.reply["limit"] == "budget"
    assert answer.reply["cheapest"] == "3.30"
    assert not answer.changed
    assert here.books.menus() == []
    assert "3.30" in text(answer)


def test_a_wish_that_breaks_the_budget_is_named() -> None:
    answer = ask(house(), "plan 2 dinners under $5, fish on thursday", days=2, money=Decimal(5))
    assert answer.reply["limit"] == "wishes"
    assert "fish on thursday" in answer.reply["in_the_way"]


def test_an_allergy_is_kept_whatever_it_costs() -> None:
    allergic = Person(1, "Ada", ("fish",), "allergy")
    answer = ask(house(lot(1, "cod", 64, "1.00"), people=(allergic, BO)), "plan 4 dinners", days=4)
    assert "Cod stew" not in planned(answer).values()
    assert len(answer.reply["days"]) == 4


def test_what_is_not_wanted_stays_out() -> None:
    answer = ask(house(), "plan 3 dinners without onion", days=3, without=("onion",))
    assert set(planned(answer).values()) == {"Rice and bean stew", "Ham hash", "Cod stew"}


def test_due_food_is_used_where_the_till_cost_is_the_same() -> None:
    lots = (lot(1, "rice", 80, "5.00"), lot(2, "navy bean", 80, "8.00"),
            lot(3, "ham", 80, "9.00", 2),
            lot(4, "potato", 80, "2.50", 1))  # fmt: skip
    answer = ask(house(*lots), "plan dinner for one day", days=1)
    assert list(planned(answer).values()) == ["Ham hash"]
    assert answer.reply["till_cost"] == "0.00"
    assert answer.reply["uses_soon"] == ["potato", "ham"]


def test_beans_are_put_to_soak_and_frozen_meat_to_thaw_the_day_before() -> None:
    frozen = Lot(1, "ham", Amount(32, "oz"), Amount(32, "oz"), price=Decimal(8), place="freezer")
    answer = ask(
        house(frozen, lot(2, "potato", 80, "2.50")), "plan 2 dinners, stew on friday",
        days=2, date=TODAY + dt.timedelta(1),
    )  # fmt: skip
    prep = {one["date"]: one["text"] for one in answer.reply["prep"]}
    assert "fridge" in prep["2026-11-25"]
    assert "Never thaw on the counter" in prep["2026-11-25"]
    assert all(one["source"] for one in answer.reply["prep"])


def test_leftovers_are_lunches_of_the_next_day() -> None:
    answer = ask(house(), "plan 2 dinners, leftovers as lunches", days=2)
    assert [len(day["meals"]) for day in answer.reply["days"]] == [1, 2, 1]
    lunch = answer.reply["days"][1]["meals"][0]
    assert (lunch["slot"], lunch["servings"]) == ("lunch", 2)
    assert answer.reply["days"][0]["meals"][0]["servings"] == 4


def test_nobody_knows_for_how_many_so_it_is_asked() -> None:
    answer = ask(house(people=()), "plan dinners for two days", days=2)
    assert not answer.understood
    assert "how many" in answer.reply["question"]


@pytest.mark.parametrize("days", [0, -3, 400])
def test_senseless_numbers_of_days_change_nothing(days: int) -> None:
    here = house()
    answer = ask(here, "plan dinners", days=days) if days else ask(here, "plan", days=-1)
    assert not answer.understood
    assert here.books.menus() == []


def test_with_no_recipes_the_answer_says_so() -> None:
    answer = ask(house(recipes=()), "plan dinners for two days", days=2)
    assert answer.reply["days"] == []
    assert "no recipes" in text(answer)


# -- changed by talking ----------------------------------------------------------------------


def test_one_day_is_swapped_and_the_others_stay() -> None:
    here = house()
    before = planned(ask(here, "plan dinners for three days", days=3))
    answer = ask(here, "swap thursday", date=TODAY + dt.timedelta(1))
    after = planned(answer)
    assert after["2026-11-26"] != before["2026-11-26"]
    assert {day: after[day] for day in ("2026-11-25", "2026-11-27")} == {
        day: before[day] for day in ("2026-11-25", "2026-11-27")
    }
    here.books.undo()
    (kept,) = here.books.menus()
    assert [meal.recipe for meal in kept.meals] == list(before.values())


def test_two_days_change_places_and_a_dish_is_put_on_a_day() -> None:
    here = house()
    before = planned(ask(here, "plan dinners for three days", days=3))
    swapped = planned(ask(here, "swap thursday and friday", date=TODAY + dt.timedelta(1)))
    assert swapped["2026-11-26"] == before["2026-11-27"]
    assert swapped["2026-11-27"] == before["2026-11-26"]
    put = ask(here, "put the cod stew on thursday", recipes=("Cod stew",),
              date=TODAY + dt.timedelta(1))  # fmt: skip
    assert planned(put)["2026-11-26"] == "Cod stew"
    assert planned(put)["2026-11-27"] == swapped["2026-11-27"]


def test_a_day_is_skipped() -> None:
    here = house()
    ask(here, "plan dinners for three days", days=3)
    answer = ask(here, "skip friday", date=TODAY + dt.timedelta(2))
    assert list(planned(answer)) == ["2026-11-25", "2026-11-26"]


def test_a_menu_that_is_cheapest_already_or_holds_none_of_it_stays_as_it_is() -> None:
    here = house()
    made = planned(ask(here, "plan dinners for two days", days=2))
    version = here.books.version
    cheaper = ask(here, "make the plan cheaper")
    assert "Nothing cheaper fits" in text(cheaper)
    without = ask(here, "without the cod", without=("cod",))
    assert "Nothing on the menu holds cod" in text(without)
    assert planned(cheaper) == planned(without) == made
    assert not cheaper.changed
    assert here.books.version == version


def test_a_dish_cooked_this_week_comes_again_only_where_nothing_else_is_left() -> None:
    here = house(lot(1, "onion", 160, "4.00"), lot(2, "lentil", 160, "9.00"))
    from helper.acts.cooking import cooked

    assert cooked(Reading("made it", act="cooked", recipes=("Onion soup",)), here).changed
    assert list(planned(ask(here, "plan dinner for one day", days=1)).values()) == ["Lentil bake"]
    here.books.undo()
    here.books.undo()
    assert list(planned(ask(here, "plan dinner for one day", days=1)).values()) == ["Onion soup"]


def test_the_menu_is_shown_and_nothing_changes() -> None:
    here = house()
    made = planned(ask(here, "plan dinners for three days", days=3))
    seen_ = ask(here, "what's on the menu")
    assert planned(seen_) == made
    assert not seen_.changed


# -- the list ---------------------------------------------------------------------------------


def shop(here: House, said: str, **fields: object) -> Answer:
    return shopping(Reading(said, act="shopping", **fields), here)  # type: ignore[arg-type]


def test_the_list_comes_from_the_menu_and_agrees_with_it() -> None:
    here = house()
    made = ask(here, "plan dinners for two days", days=2)
    answer = shop(here, "what's on the shopping list")
    assert answer.reply["till_cost"] == made.reply["till_cost"]
    assert {one["food"] for one in answer.reply["to_buy"]} == {"onion", "lentil"}
    assert not answer.changed


def test_things_are_put_on_and_taken_off() -> None:
    here = house(levels=(Level(1, "rice", Amount(2, "lb")),))
    assert shop(here, "add cod to the list", foods=("cod",)).changed
    foods = {one["food"] for one in shop(here, "the list").reply["to_buy"]}
    assert foods == {"rice", "cod"}
    for food in ("cod", "rice"):
        answer = shop(here, f"take {food} off the list", foods=(food,))
        assert food not in {one["food"] for one in answer.reply["to_buy"]}
    here.books.undo()
    assert {one["food"] for one in shop(here, "the list").reply["to_buy"]} == {"rice"}


def test_what_was_got_goes_into_the_stock_at_the_price_said() -> None:
    here = house()
    shop(here, "add cod, onion and rice", foods=("cod", "onion", "rice"))
    answer = shop(
        here, "got everything but the cod, onions were 2.50", foods=("onion",), without=("cod",)
    )
    assert answer.changed
    assert {one["food"] for one in answer.reply["to_buy"]} == {"cod"}
    lots = {one.food: one for one in here.lots}
    assert set(lots) == {"onion", "rice"}
    assert lots["onion"].price == Decimal("2.50")
    assert lots["rice"].price == Decimal("2.00")
    assert answer.reply["spent"] == "4.50"
    here.books.undo()
    assert here.lots == []
    assert len(shop(here, "the list").reply["to_buy"]) == 3


@pytest.mark.parametrize(
    "price", ["rice was 1.50 a lb", "rice was 3.00 each", "rice was 6.00", "rice 1.50 per pound"]
)
def test_a_price_by_the_pound_or_by_the_package_is_paid_for_all_of_it(price: str) -> None:
    here = house()
    amounts = (Said(Amount(4, "lb"), "rice"),)
    shop(here, "put 4 lb rice on the list", foods=("rice",), amounts=amounts)
    assert shop(here, f"got it all, {price}", foods=("rice",)).reply["spent"] == "6.00"


def test_asking_whether_something_is_on_the_list_puts_nothing_on_it() -> None:
    here = house()
    assert not shop(here, "is cod on the list", foods=("cod",)).changed
    assert here.books.shopping() == []


def test_amounts_nobody_could_carry_are_refused() -> None:
    from helper.reading.reading import Said

    here = house()
    answer = shop(here, "add -3 lb rice", amounts=(Said(Amount(-3, "lb"), "rice"),))
    assert not answer.understood
    assert here.books.shopping() == []


# -- how far it goes ----------------------------------------------------------------------------


def test_how_far_the_stock_goes_and_what_would_stretch_it() -> None:
    here = house(
        lot(1, "rice", 20, "2.00"), lot(2, "navy bean", 8, "1.00"), lot(3, "onion", 8, "1")
    )
    answer = lasts(Reading("how long can we eat without shopping", act="lasts"), here)
    # two halves of the stew (4 oz of beans each), one of the soup
    assert answer.reply["dinners"] == 3
    assert answer.reply["optimal"] is True
    assert answer.reply["stretch"]["food"] == "onion"
    assert not answer.changed


def test_an_empty_house_makes_no_dinner() -> None:
    answer = lasts(Reading("how long can we eat", act="lasts"), house())
    assert answer.reply["dinners"] == 0
    assert answer.reply["menu"] == []


# -- in words -----------------------------------------------------------------------------------


def test_a_week_planned_and_changed_in_plain_words() -> None:
    books = Household.scratch(
        {"people": (ADA, BO), "recipes": DISHES, "prices": PRICES}, today=lambda: TODAY
    )
    talk = Conversation(books, TODAY)
    made = talk.say("plan dinners for four days under $20, fish on friday")
    assert made.reading.act == "menu"
    assert planned(made)["2026-11-27"] == "Cod stew"
    assert Decimal(made.reply["till_cost"]) <= 20
    changed = talk.say("swap thursday")
    assert planned(changed)["2026-11-26"] != planned(made)["2026-11-26"]
    assert planned(changed)["2026-11-27"] == "Cod stew"
    listed = talk.say("what's on the shopping list")
    assert listed.reply["till_cost"] == changed.reply["till_cost"]
    assert isinstance(books.menus()[-1], Menu)


# -- going on from the menu there is ---------------------------------------------------------


def test_without_a_dish_only_the_days_that_must_are_planned_anew() -> None:
    talk = Conversation(house().books, TODAY)
    before = planned(talk.say("plan dinners for three days"))
    day, title = next(iter(before.items()))
    answer = talk.say(f"without the {title.lower()}")
    after = planned(answer)
    assert after[day] != title
    assert {one: after[one] for one in after if one != day} == {
        one: before[one] for one in before if one != day
    }
    assert "Something else on" in text(answer)


def test_what_is_for_dinner_is_told_from_the_menu() -> None:
    talk = Conversation(house().books, TODAY)
    before = planned(talk.say("plan dinners for three days"))
    answer = talk.say("what's for dinner on friday")
    assert answer.reading.act == "find-meals"
    assert [one["recipe"] for one in answer.reply["meals"]] == [before["2026-11-27"]]
    assert before["2026-11-27"] in text(answer)
    ideas = talk.say("what can I make on friday with onions")
    assert "planned" not in ideas.reply["meals"][0]


def test_a_weekend_is_saturday_and_sunday() -> None:
    weekend = ask(house(), "plan dinners for this weekend", days=2)
    assert list(planned(weekend)) == ["2026-11-28", "2026-11-29"]
    week = ask(house(), "plan dinners for two days, quick on weekends", days=2)
    assert list(planned(week)) == ["2026-11-25", "2026-11-26"]


def test_why_the_stock_lasts_names_each_dish_once_with_what_it_takes() -> None:
    here = house(lot(1, "rice", 400, "10.00"), lot(2, "navy bean", 400, "10.00"))
    answer = lasts(Reading("how long can we eat without shopping", act="lasts"), here)
    (why,) = answer.because
    (stew,) = why.because
    assert stew.statement.startswith("Rice and bean stew: ")
    assert [one.statement.split(",")[0] for one in stew.because] == ["rice", "navy bean"]

"""The shelf: putting away, using up, counting, looking, and what is always held."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helper.acts import shelf
from helper.acts.house import House
from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.reading.reading import Evidence, Reading, Said

TODAY = dt.date(2026, 11, 25)


def lot(number: int, food: str, amount: Amount, **more: object) -> Lot:
    size = more.pop("size", amount)
    return Lot(number, food, amount, size, **more)  # type: ignore[arg-type]


def house(*lots: Lot) -> House:
    return House(Household.scratch({"stock": lots}, today=lambda: TODAY), TODAY)


def said(number: float, unit: str | None, food: str | None, **more: object) -> Said:
    return Said(Amount(number, unit), food, **more)  # type: ignore[arg-type]


def left(here: House, food: str) -> float:
    return sum(one.left.number for one in here.lots if one.food == food)


# -- putting away ------------------------------------------------------------------------------


def test_tins_at_a_price_each_go_on_the_shelf_with_their_usual_size() -> None:
    here = house()
    answer = shelf.add_stock(
        Reading(
            "got 4 tins of tomatoes at 1.15 each",
            amounts=(said(4, "can", "canned tomato", price=Decimal("1.15"), each=True),),
        ),
        here,
    )
    (one,) = answer.reply["lots"]
    assert (one["food"], one["packages"], one["package"]) == ("canned tomato", 4, "can")
    assert one["size"] == {"amount": 14.5, "unit": "oz"}
    assert (one["amount"], one["unit"], one["price"]) == (58, "oz", "1.15")
    assert one["place"] == "shelf"
    assert answer.reply["spent"] == "4.60"
    assert answer.changed
    assert "usual" in " ".join(because.statement for because in answer.because)
    (seen,) = here.books.prices("canned tomato")
    assert (seen.price, seen.paid) == (Decimal("1.15"), True)


def test_the_size_last_bought_here_is_preferred_to_the_usual_one() -> None:
    before = lot(
        1, "canned tomato", Amount(0, "oz"), size=Amount(28, "oz"), package="can", bought=TODAY
    )
    here = house(before)
    answer = shelf.add_stock(
        Reading("got 2 cans of tomatoes", amounts=(said(2, "can", "canned tomato"),)), here
    )
    assert answer.reply["lots"][0]["amount"] == 56


def test_an_unknown_package_is_asked_about_and_nothing_is_changed() -> None:
    here = house()
    answer = shelf.add_stock(Reading("got 3 jars of zorgle", amounts=(said(3, "jar", None),)), here)
    assert not answer.understood
    assert not answer.changed
    assert "How big is one jar of zorgle?" in answer.reply["question"]
    assert not here.lots


@pytest.mark.parametrize(
    ("words", "amount", "packages", "price", "spent"),
    [
        (
            "3 cans of corn for 2.00",
            said(3, "can", "canned corn", price=Decimal(2)),
            3,
            "0.67",
            "2.00",
        ),
        (
            "2 lb of butter for 7.50",
            said(2, "lb", "butter", price=Decimal("7.50")),
            1,
            "7.50",
            "7.50",
        ),
        ("6 apples at 0.50", said(6, None, "apple", price=Decimal("0.50")), 6, "0.50", "3.00"),
        (
            "2 lb of butter at 3.49 each",
            said(2, "lb", "butter", price=Decimal("3.49"), each=True),
            2,
            "3.49",
            "6.98",
        ),
    ],
)
def test_for_is_the_price_of_all_and_at_the_price_of_one(
    words: str, amount: Said, packages: float, price: str, spent: str
) -> None:
    answer = shelf.add_stock(Reading(words, amounts=(amount,)), house())
    (one,) = answer.reply["lots"]
    assert (one["packages"], one["price"]) == (packages, price)
    assert answer.reply["spent"] == spent


def test_a_bare_number_behind_for_is_the_price() -> None:
    reading = Reading(
        "got 2 lb of butter for 7",
        amounts=(said(2, "lb", "butter"),),
        evidence=(Evidence("7", "servings", "7.0"),),
    )
    assert shelf.add_stock(reading, house()).reply["spent"] == "7.00"


def test_a_price_by_the_dozen_counts_dozens() -> None:
    eggs = said(24, None, "egg", price=Decimal("2.40"))
    answer = shelf.add_stock(
        Reading("got 2 dozen eggs at $2.40 a dozen", amounts=(eggs, said(12, None, None))), house()
    )
    assert len(answer.reply["lots"]) == 1
    assert answer.reply["lots"][0]["amount"] == 24
    assert answer.reply["spent"] == "4.80"


def test_a_price_by_the_pound_of_a_part_of_a_pound() -> None:
    answer = shelf.add_stock(
        Reading(
            "8 oz of cheddar at 6 a pound",
            amounts=(said(8, "oz", "cheddar cheese", price=Decimal(6), each=True),),
            evidence=(Evidence("6 a pound", "money", "6, each"),),
        ),
        house(),
    )
    assert answer.reply["spent"] == "3.00"


def test_several_things_are_one_change() -> None:
    here = house()
    reading = Reading(
        "got beef and eggs", amounts=(said(2, "lb", "ground beef"), said(12, None, "egg"))
    )
    assert len(shelf.add_stock(reading, here).reply["lots"]) == 2
    here.books.undo()
    assert not here.lots


def test_what_was_bought_goes_where_it_belongs_and_keeps_as_the_book_says() -> None:
    reading = Reading("2 lb ground beef", amounts=(said(2, "lb", "ground beef"),))
    (one,) = shelf.add_stock(reading, house()).reply["lots"]
    assert one["place"] == "fridge"
    assert one["best_by"] is not None
    assert TODAY.isoformat() < one["best_by"] < "2026-12-01"


def test_the_date_said_is_kept_as_it_was_said() -> None:
    until = dt.date(2027, 3, 3)
    reading = Reading(
        "5 lb flour best by 3 march",
        amounts=(said(5, "lb", "all-purpose flour"),),
        until=until,
        date=until,
    )
    (one,) = shelf.add_stock(reading, house()).reply["lots"]
    assert (one["best_by"], one["bought"]) == ("2027-03-03", TODAY.isoformat())


@pytest.mark.parametrize("number", [-1, 0, 1e9, float("nan"), float("inf")])
def test_absurd_amounts_are_refused(number: float) -> None:
    here = house()
    for act in (shelf.add_stock, shelf.use_stock):
        answer = act(Reading("x", amounts=(said(number, "lb", "butter"),)), here)
        assert not answer.understood
        assert not answer.changed
    assert here.books.version == 0


# -- using -------------------------------------------------------------------------------------


def flour() -> Lot:
    return lot(9, "all-purpose flour", Amount(5, "lb"), price=Decimal("2.69"), package="bag")


def test_cups_are_drawn_from_a_bag_weighed_in_pounds() -> None:
    here = house(flour())
    answer = shelf.use_stock(
        Reading("used 2 cups of flour", amounts=(said(2, "cup", "all-purpose flour"),)), here
    )
    (taken,) = answer.reply["taken"]
    assert (taken["food"], taken["amount"], taken["unit"]) == ("all-purpose flour", 2, "cup")
    assert taken["cost"] == "0.30"
    assert taken["fate"] == "eaten"
    # 2 cups of 125 g (USDA SR28 20081) out of 5 lb
    assert left(here, "all-purpose flour") == pytest.approx(5 - 250 / 453.59237)
    assert here.lots[0].opened == TODAY


def test_opened_lots_go_first_then_the_earliest_date() -> None:
    here = house(
        lot(1, "butter", Amount(1, "lb"), best_by=dt.date(2026, 12, 30)),
        lot(2, "butter", Amount(1, "lb"), best_by=dt.date(2026, 12, 1)),
        lot(3, "butter", Amount(0.5, "lb"), size=Amount(1, "lb"), opened=TODAY),
    )
    shelf.use_stock(Reading("used 1 lb butter", amounts=(said(1, "lb", "butter"),)), here)
    assert {one.id: one.left.number for one in here.lots} == {1: 1, 2: 0.5}


def test_the_last_of_it_and_half_of_it() -> None:
    here = house(lot(1, "butter", Amount(1, "lb"), price=Decimal(4)), flour())
    half = shelf.use_stock(
        Reading("used half the butter", foods=("butter",), marks=("half_left",)), here
    )
    assert half.reply["cost"] == "2.00"
    last = shelf.use_stock(
        Reading(
            "threw out the last of the butter", foods=("butter",), marks=("last",), fate="thrown"
        ),
        here,
    )
    assert last.reply["taken"][0]["fate"] == "thrown"
    assert [one.food for one in here.lots] == ["all-purpose flour"]


def test_a_little_more_than_there_is_empties_the_lot_and_is_told() -> None:
    here = house(lot(1, "egg", Amount(12), price=Decimal(3)))
    answer = shelf.use_stock(Reading("used 13 eggs", amounts=(said(13, None, "egg"),)), here)
    assert answer.reply["short"] == [{"food": "egg", "amount": 1, "unit": None}]
    assert left(here, "egg") == 0


def test_far_more_than_there_is_is_asked_about() -> None:
    here = house(lot(1, "egg", Amount(2)))
    answer = shelf.use_stock(Reading("used 12 eggs", amounts=(said(12, None, "egg"),)), here)
    assert not answer.understood
    assert left(here, "egg") == 2


def test_what_is_not_there_cannot_be_used() -> None:
    answer = shelf.use_stock(Reading("used 2 eggs", amounts=(said(2, None, "egg"),)), house())
    assert not answer.understood
    assert "no egg" in answer.reply["question"]


def test_two_sorts_of_a_wide_name_are_asked_about() -> None:
    here = house(lot(1, "navy bean", Amount(1, "lb")), lot(2, "pinto bean", Amount(1, "lb")))
    answer = shelf.use_stock(Reading("used 1 cup beans", amounts=(said(1, "cup", "bean"),)), here)
    assert set(answer.reply["choices"]) == {"navy bean", "pinto bean"}


def test_a_measure_nobody_knows_is_asked_about() -> None:
    here = house(lot(1, "zorgle", Amount(1, "lb")))
    answer = shelf.use_stock(
        Reading("used 1 cup zorgle", amounts=(said(1, "cup", "zorgle"),)), here
    )
    assert not answer.understood
    assert "zorgle" in answer.reply["question"]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.01, 2.0), min_size=1, max_size=8),
    st.decimals("0.01", "20", places=2),
)
def test_costs_of_all_draws_add_up_to_what_was_paid(parts: list[float], price: Decimal) -> None:
    """However a bag is used up, the cents booked are the cents paid."""
    whole = sum(parts)
    here = house(lot(1, "rice", Amount(whole, "lb"), price=price))
    spent = Decimal(0)
    for part in parts[:-1]:
        answer = shelf.use_stock(Reading("x", amounts=(said(part, "lb", "rice"),)), here)
        spent += Decimal(answer.reply["cost"])
    if here.lots:
        answer = shelf.use_stock(Reading("x", foods=("rice",), marks=("last",)), here)
        spent += Decimal(answer.reply["cost"])
    assert spent == price
    assert not here.lots


# -- counting ----------------------------------------------------------------------------------


def test_a_count_below_the_books_takes_off_the_lots_that_go_first() -> None:
    here = house(
        lot(1, "egg", Amount(12), best_by=dt.date(2026, 12, 1)),
        lot(2, "egg", Amount(12), best_by=dt.date(2026, 12, 20)),
    )
    answer = shelf.recount(Reading("I count 14 eggs", amounts=(said(14, None, "egg"),)), here)
    assert answer.reply["before"]["amount"] == 24
    assert answer.reply["after"]["amount"] == 14
    assert {one.id: one.left.number for one in here.lots} == {1: 2, 2: 12}


def test_a_count_above_the_books_fills_the_lot_and_adds_one_without_a_price() -> None:
    here = house(lot(1, "egg", Amount(4), size=Amount(12), price=Decimal(3)))
    shelf.recount(Reading("I count 18 eggs", amounts=(said(18, None, "egg"),)), here)
    assert [(one.left.number, one.price) for one in here.lots] == [(12, Decimal(3)), (6, None)]


def test_a_count_of_nothing_and_a_count_of_something_new() -> None:
    here = house(lot(1, "egg", Amount(4)))
    shelf.recount(Reading("no eggs", foods=("egg",), marks=("last",)), here)
    assert not here.lots
    shelf.recount(Reading("3 cans corn", amounts=(said(3, "can", "canned corn"),)), here)
    assert [(one.food, one.packages) for one in here.lots] == [("canned corn", 3)]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(1, 30), max_size=4), st.integers(0, 60))
def test_after_a_count_the_books_say_what_was_counted(lots: list[int], counted: int) -> None:
    here = house(*(lot(at, "egg", Amount(n)) for at, n in enumerate(lots, 1)))
    shelf.recount(Reading("x", amounts=(said(counted, None, "egg"),)), here)
    assert left(here, "egg") == pytest.approx(counted)


# -- looking -----------------------------------------------------------------------------------


def test_the_total_of_a_food_over_its_lots_in_one_unit() -> None:
    here = house(
        lot(1, "navy bean", Amount(2, "lb"), size=Amount(1, "lb"), package="bag"),
        lot(2, "navy bean", Amount(8, "oz")),
        lot(3, "canned navy bean", Amount(31, "oz"), size=Amount(15.5, "oz"), package="can"),
    )
    answer = shelf.stock(Reading("how many navy beans", foods=("navy bean",)), here)
    assert answer.reply["total"] == {"amount": 2.5, "unit": "lb"}
    assert len(answer.reply["lots"]) == 3


def test_a_food_that_is_not_there() -> None:
    answer = shelf.stock(Reading("any eggs", foods=("egg",)), house())
    assert answer.understood
    assert answer.reply == {"lots": [], "total": {"amount": 0, "unit": None}}


def test_one_place_and_the_whole_house() -> None:
    here = house(lot(1, "butter", Amount(1, "lb"), place="fridge"), flour())
    assert len(shelf.stock(Reading("all"), here).reply["lots"]) == 2
    fridge = shelf.stock(Reading("fridge", place="fridge"), here)
    assert [one["food"] for one in fridge.reply["lots"]] == ["butter"]


def test_what_is_due_with_the_days_that_are_left() -> None:
    here = house(
        lot(1, "milk", Amount(1, "gallon"), best_by=TODAY + dt.timedelta(2), place="fridge"),
        lot(2, "butter", Amount(1, "lb"), best_by=TODAY + dt.timedelta(9), place="fridge"),
        lot(3, "cream", Amount(1, "pint"), best_by=TODAY - dt.timedelta(1), place="fridge"),
    )
    answer = shelf.use_soon(Reading("what is due"), here)
    assert [(one["food"], one["days_left"]) for one in answer.reply["lots"]] == [
        ("cream", -1),
        ("milk", 2),
    ]
    assert len(shelf.use_soon(Reading("10 days", days=10), here).reply["lots"]) == 3


# -- levels, and talking -----------------------------------------------------------------------


def test_a_level_is_set_changed_and_taken_away() -> None:
    here = house(flour())
    for number, held in ((10, [10]), (4, [4]), (0, [])):
        amounts = (said(number, "lb", "all-purpose flour"),)
        answer = shelf.keep_stocked(Reading("keep flour", amounts=amounts), here)
        assert answer.reply["level"] == {"amount": number, "unit": "lb"}
        assert [level.amount.number for level in here.books.levels()] == held


def test_in_the_chat_the_shelf_is_filled_used_and_put_back() -> None:
    talk = Conversation(Household.scratch(today=lambda: TODAY), TODAY)
    assert talk.say("got 4 tins of tomatoes at 1.15 each").reply["spent"] == "4.60"
    used = talk.say("used 1 can of tomatoes")
    assert used.reply["taken"][0]["cost"] == "1.15"
    assert talk.say("how many canned tomatoes do we have").reply["total"]["amount"] == 43.5
    assert talk.say("undo").changed
    assert talk.say("how many canned tomatoes do we have").reply["total"]["amount"] == 58


def test_one_package_opened_is_marked_and_keeps_less_and_nothing_is_taken() -> None:
    here = house(
        lot(1, "chicken broth", Amount(64, "fl oz"), size=Amount(32, "fl oz"), packages=2,
            package="carton", price=Decimal(2), best_by=dt.date(2027, 8, 1)),
    )  # fmt: skip
    answer = shelf.use_stock(Reading("I opened the chicken broth", foods=("chicken broth",)), here)
    assert (answer.reply["taken"], answer.changed) == ([], True)
    assert left(here, "chicken broth") == 64
    (open_,) = [one for one in here.lots if one.opened]
    assert (open_.left.number, open_.opened) == (32, TODAY)
    (due,) = shelf.use_soon(Reading("what is due"), here).reply["lots"]
    assert 0 < due["days_left"] <= 7, "an open carton does not keep until the date on it"
    here.books.undo()
    assert [one.opened for one in here.lots] == [None]


def test_what_is_open_already_is_not_opened_again() -> None:
    here = house(lot(1, "ham", Amount(3, "lb"), opened=TODAY, place="fridge"))
    answer = shelf.use_stock(Reading("opened the ham", foods=("ham",)), here)
    assert not answer.understood


@pytest.mark.parametrize(
    ("words", "food", "again"),
    [
        ("got 2 cans of tuna, 6.5 oz each, 1.20 each", "canned tuna", "tuna"),
        ("got 2 cans of tuna, 6.5 oz each, 1.20 each", "canned tuna", None),
    ],
)
def test_what_one_package_holds_is_no_further_thing(
    words: str, food: str, again: str | None
) -> None:
    size = said(6.5, "oz", again, price=Decimal("1.20"), each=True)
    reading = Reading(words, amounts=(said(2, "can", food), size), foods=(food,))
    (one,) = shelf.add_stock(reading, house()).reply["lots"]
    assert (one["packages"], one["size"], one["price"]) == (
        2,
        {"amount": 6.5, "unit": "oz"},
        "1.20",
    )


def test_used_cans_told_with_their_size_are_those_cans() -> None:
    here = house(lot(1, "canned tomato", Amount(112, "oz"), size=Amount(28, "oz"), packages=4,
                     package="can", price=Decimal("1.68")))  # fmt: skip
    amounts = (said(2, "can", "canned tomato"), said(28, "oz", "tomato"))
    reading = Reading(
        "used 2 cans of tomatoes, 28 oz each", amounts=amounts, foods=("canned tomato",)
    )
    reply = shelf.use_stock(reading, here).reply
    assert (reply["cost"], left(here, "canned tomato")) == ("3.36", 56)

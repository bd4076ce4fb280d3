"""Why, help, history and undo: what a person is told about the talk and the books."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.ledger import Span, summed_up
from helper.acts.reasons import shortened
from helper.acts.telling import help, history, undo, why
from helper.answers import Answer, Because, Say, Tree
from helper.household.books import Household
from helper.household.troubles import CannotUndo
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.reading.acts import acts
from helper.reading.reading import Evidence, Reading

TODAY = dt.date(2026, 11, 25)
HAM = Lot(0, "ham", Amount(2, "lb"), Amount(2, "lb"), price=Decimal("6.00"), bought=TODAY)


class Clock:
    """A day that can be set, for changes of other days."""

    def __init__(self) -> None:
        self.day = TODAY

    def __call__(self) -> dt.datetime:
        return dt.datetime.combine(self.day, dt.time(12), dt.UTC)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def house(tmp_path: Path, clock: Clock) -> House:
    return House(Household.open(tmp_path, today=lambda: clock.day, now=clock), TODAY)


def buy(house: House, lot: Lot = HAM) -> Lot:
    made: list[Lot] = []
    house.books.change(
        lambda draft: made.append(draft.add("stock", lot)),
        act="add-stock",
        summary=f"Put away {lot.food}",
    )
    return made[-1]


def throw(house: House, lot: Lot, left: float) -> None:
    after = replace(lot, left=Amount(left, lot.left.unit))
    house.books.change(
        lambda draft: draft.put("stock", after),
        act="use-stock",
        summary=f"Threw out {lot.food}",
        meta={"fate": "thrown"},
    )


def looked_back(house: House, **fields: object) -> Answer:
    return history(Reading(said="x", act="history", **fields), house)  # type: ignore[arg-type]


# -- history ----------------------------------------------------------------------------------


def test_spent_and_wasted_are_worth_what_was_paid(house: House) -> None:
    throw(house, buy(house), left=1.5)
    told = looked_back(house, days=7)
    assert (told.reply["spent"], told.reply["wasted"]) == ("6.00", "1.50")
    assert [event["summary"] for event in told.reply["events"]] == ["Threw out ham", "Put away ham"]


def test_what_is_used_up_was_still_spent(house: House) -> None:
    lot = buy(house)
    house.books.change(lambda draft: draft.remove("stock", lot.id), act="use-stock")
    assert looked_back(house).reply["spent"] == "6.00"


def test_what_was_taken_back_never_happened(house: House) -> None:
    buy(house)
    house.books.undo()
    told = looked_back(house)
    assert (told.reply["spent"], told.reply["events"]) == ("0.00", [])


def test_only_the_days_asked_about_count(house: House, clock: Clock) -> None:
    clock.day = TODAY - dt.timedelta(days=10)
    buy(house, replace(HAM, bought=clock.day, food="milk"))
    clock.day = TODAY
    buy(house)
    assert looked_back(house, days=7).reply["spent"] == "6.00"
    assert looked_back(house, days=11).reply["spent"] == "12.00"
    assert looked_back(house, date=TODAY - dt.timedelta(days=10)).reply["spent"] == "6.00"
    assert looked_back(house, date=TODAY - dt.timedelta(days=9)).reply["spent"] == "0.00"


def test_a_leftover_costs_nothing_again(house: House) -> None:
    buy(house, replace(HAM, made_from="Baked ham"))
    assert looked_back(house).reply["spent"] == "0.00"


def test_a_food_named_narrows_what_is_shown(house: House) -> None:
    buy(house)
    buy(house, replace(HAM, food="milk"))
    told = looked_back(house, foods=("milk",))
    assert [event["summary"] for event in told.reply["events"]] == ["Put away milk"]


@pytest.mark.parametrize("days", [1, 0, 10**7])
def test_any_number_of_days_is_taken(house: House, days: int) -> None:
    buy(house)
    assert looked_back(house, days=days).reply["spent"] == "6.00"


def test_a_sum_opens_into_its_lots(house: House) -> None:
    buy(house)
    buy(house, replace(HAM, food="milk", price=Decimal("1.25")))
    (spent,) = looked_back(house).because
    assert spent.statement == "$7.25 spent"
    assert [one.statement for one in spent.because] == ["ham: $6.00", "milk: $1.25"]


def test_packages_count(house: House) -> None:
    buy(house, replace(HAM, packages=3.0))
    assert summed_up(house.books, Span(TODAY, TODAY)).spent == Decimal("18.00")


# -- undo -------------------------------------------------------------------------------------


def test_undo_says_what_was_taken_back(house: House) -> None:
    buy(house)
    told = undo(Reading(said="undo", act="undo"), house)
    assert told.changed
    assert told.reply["undone"] == "Put away ham"
    assert house.books.lots() == []


def test_nothing_to_undo_is_said(house: House) -> None:
    with pytest.raises(CannotUndo, match="nothing to take back"):
        undo(Reading(said="undo", act="undo"), house)


# -- help -------------------------------------------------------------------------------------


def test_help_gives_an_example_of_every_act(house: House) -> None:
    told = help(Reading(said="help", act="help"), house)
    assert set(told.reply["examples"]) == {act.example for act in acts().values()}


# -- why --------------------------------------------------------------------------------------

WHY = Reading(said="why", act="why")
DISHES = Because(
    "soup first", because=(Because("1. Bean soup", because=(Because("$0.60"),)), Because("2. Hash"))
)


def test_before_any_answer_there_is_no_why(house: House) -> None:
    assert not why(WHY, house).understood


def test_why_gives_the_last_answers_reasons(house: House) -> None:
    house.last = Answer(Reading(said="x", act="find-meals"), {}, because=(DISHES,))
    told = why(WHY, house)
    assert told.reply["because"] == DISHES
    assert told.blocks == (Tree(DISHES),)


def test_why_with_a_name_opens_that_branch(house: House) -> None:
    reading = Reading(said="x", act="find-meals")
    house.last = Answer(reading, {}, because=(DISHES,), offered=("Bean soup", "Hash"))
    told = why(replace(WHY, recipes=("Bean soup",)), house)
    assert told.reply["because"] == DISHES.because[0]


def test_several_reasons_stand_under_the_answer(house: House) -> None:
    reasons = (Because("one"), Because("two"))
    house.last = Answer(Reading(said="x"), {}, (Say("It is so."),), because=reasons)
    assert why(WHY, house).reply["because"] == Because("It is so.", because=reasons)


def test_an_answer_without_reasons_shows_how_it_was_read(house: House) -> None:
    evidence = (Evidence("flower", "food", "flour", certain=False),)
    house.last = Answer(Reading(said="flower?", act="stock", evidence=evidence), {})
    told = why(WHY, house).reply["because"]
    assert any("flour" in one.statement and "misspelt" in one.statement for one in told.because)


def test_a_long_derivation_is_shown_as_far_as_it_fits() -> None:
    leaves = tuple(Because(f"leaf {i}") for i in range(10))
    root = Because("root", because=tuple(Because(f"branch {i}", because=leaves) for i in range(5)))
    shown, left_out = shortened(root, most=20)
    assert left_out == 40
    assert [one.statement for one in shown.because][:2] == ["branch 0", "branch 1 ..."]
    assert shortened(root, most=1000) == (root, 0)

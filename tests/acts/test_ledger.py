"""The books looked back on: money comes out to the cent, week by week and dish by dish."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DataObject

from helper.acts import cooking, shelf
from helper.acts.history import history
from helper.acts.house import House
from helper.acts.ledger import Span, summed_up
from helper.acts.periods import a_head_a_day, dishes, flow_over, lot_worth, periods
from helper.answers import Answer, Bars, Say
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.money import NOTHING
from helper.kitchen.people import Person
from helper.kitchen.recipes import Line, Recipe, Remark
from helper.reading.reading import Reading, Said

TODAY = dt.date(2026, 11, 25)  # a Wednesday
FOODS = ("rice", "navy bean", "onion")


class Clock:
    day = TODAY

    def now(self) -> dt.datetime:
        return dt.datetime.combine(self.day, dt.time(18), dt.UTC)


def recipe(number: int, **ounces: float) -> Recipe:
    lines = tuple(
        Line(f"{oz} oz {name}", name.replace("_", " "), Amount(oz, "oz"))
        for name, oz in ounces.items()
    )
    return Recipe(number, f"Dish {number}", lines, servings=4)


RECIPES = (recipe(1, rice=6, onion=3), recipe(2, navy_bean=8))


class Month:
    """A household that lives through some days."""

    def __init__(self, *people: Person) -> None:
        self.clock = Clock()
        self.books = Household.scratch(
            {"recipes": RECIPES, "people": people or (Person(1, "Ada"),)},
            today=lambda: self.clock.day,
            now=self.clock.now,
        )

    @property
    def house(self) -> House:
        return House(self.books, self.clock.day)

    @property
    def in_stock(self) -> Decimal:
        return sum((lot_worth(lot) for lot in self.books.lots()), NOTHING)

    def buy(self, food: str, ounces: float, price: str) -> Answer:
        said = Said(Amount(ounces, "oz"), food, price=Decimal(price))
        return shelf.add_stock(Reading(f"got {food}", amounts=(said,), per="total"), self.house)

    def use(self, food: str, ounces: float, fate: str = "eaten") -> Answer:
        said = Said(Amount(ounces, "oz"), food)
        return shelf.use_stock(Reading(f"{fate} {food}", amounts=(said,), fate=fate), self.house)

    def count(self, food: str, ounces: float) -> Answer:
        said = Said(Amount(ounces, "oz"), food)
        return shelf.recount(Reading(f"I count {food}", amounts=(said,)), self.house)

    def cook(self, title: str, servings: float = 4) -> Answer:
        return cooking.cooked(
            Reading(f"made {title}", act="cooked", recipes=(title,), servings=servings), self.house
        )


def cents(answer: Answer, field: str) -> Decimal:
    value = answer.reply.get(field)
    return Decimal(value) if answer.changed and value else NOTHING


# -- to the cent ------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_what_was_there_and_spent_is_what_was_eaten_thrown_and_is_there(data: DataObject) -> None:
    month = Month()
    foods = st.sampled_from(FOODS)
    ounces = st.integers(1, 40)
    for _ in range(data.draw(st.integers(0, 3))):
        month.buy(data.draw(foods), data.draw(ounces), f"{data.draw(st.integers(1, 999)) / 100}")
    before = month.in_stock
    start = month.books.version
    spent = eaten = thrown = given_ = counted = NOTHING
    for _ in range(data.draw(st.integers(1, 12))):
        month.clock.day += dt.timedelta(days=data.draw(st.integers(0, 3)))
        deed = data.draw(st.sampled_from(["buy", "eaten", "thrown", "given", "cook", "count"]))
        food = data.draw(foods)
        if deed == "buy":
            price = f"{data.draw(st.integers(1, 999)) / 100}"
            spent += cents(month.buy(food, data.draw(ounces), price), "spent")
        elif deed == "cook":
            title = data.draw(st.sampled_from(["Dish 1", "Dish 2"]))
            held = month.in_stock
            cost = cents(month.cook(title, data.draw(st.integers(1, 9))), "cost")
            gone = held - month.in_stock
            # A dish is rounded once, its lots each for itself.
            assert abs(cost - gone) < Decimal("0.05")
            eaten += gone
        elif deed == "count":
            held = month.in_stock
            month.count(food, data.draw(ounces))
            counted += held - month.in_stock
        else:
            cost = cents(month.use(food, data.draw(ounces), deed), "cost")
            eaten += cost if deed == "eaten" else NOTHING
            thrown += cost if deed == "thrown" else NOTHING
            given_ += cost if deed == "given" else NOTHING
    assert before + spent == eaten + thrown + given_ + counted + month.in_stock
    span = Span(TODAY, month.clock.day)
    events = [one for one in summed_up(month.books, span).events if one.seq > start]
    flow = flow_over(events)
    assert (flow.came, flow.eaten, flow.thrown, flow.given) == (spent, eaten, thrown, given_)
    assert flow.counted == counted


def test_leftovers_carry_their_share_and_are_eaten_only_once() -> None:
    month = Month()
    month.buy("navy bean", 16, "3.20")
    made = cooking.cooked(
        Reading("made Dish 2, 2 portions left over", act="cooked", recipes=("Dish 2",)), month.house
    )
    held = month.in_stock
    assert held > Decimal("1.60"), "beans left and leftovers are both worth something"
    sums = summed_up(month.books, Span(TODAY, TODAY))
    assert flow_over(sums.events).eaten == Decimal("3.20") - held
    assert made.changed


# -- by week and month ---------------------------------------------------------------------------


def lived() -> Month:
    month = Month(Person(1, "Ada"), Person(2, "Bo"), Person(3, "Guest", home=False))
    for ago, price in ((20, "3.00"), (10, "2.00"), (1, "1.00")):
        month.clock.day = TODAY - dt.timedelta(days=ago)
        month.buy("navy bean", 16, price)
    month.clock.day = TODAY - dt.timedelta(days=9)
    month.cook("Dish 2")
    month.clock.day = TODAY
    month.cook("Dish 2", 2)
    month.use("navy bean", 4, "thrown")
    return month


def test_a_span_is_told_week_by_week_and_adds_up() -> None:
    month = lived()
    span = Span(TODAY - dt.timedelta(days=29), TODAY)
    sums = summed_up(month.books, span)
    cut = periods(sums, span)
    assert [one.span.first.isoformat() for one in cut] == [
        "2026-10-27", "2026-11-02", "2026-11-09", "2026-11-16", "2026-11-23"
    ]  # fmt: skip
    assert [one.spent for one in cut] == [0, 3, 2, 0, 1]
    assert [one.cooked for one in cut] == [0, 0, 0, 1, 1]
    assert sum(one.spent for one in cut) == sums.spent
    assert sum(one.flow.thrown for one in cut) == Decimal("0.75")


def test_a_long_span_is_told_by_the_month() -> None:
    span = Span(dt.date(2026, 8, 20), TODAY)
    cut = periods(summed_up(lived().books, span), span)
    assert [(one.span.first.isoformat(), one.span.last.isoformat()) for one in cut] == [
        ("2026-08-20", "2026-08-31"), ("2026-09-01", "2026-09-30"),
        ("2026-10-01", "2026-10-31"), ("2026-11-01", "2026-11-25"),
    ]  # fmt: skip


def test_a_head_a_day_counts_from_the_first_day_anything_was_used() -> None:
    month = lived()
    span = Span(TODAY - dt.timedelta(days=29), TODAY)
    sums = summed_up(month.books, span)
    eaten = flow_over(sums.events).eaten
    assert eaten == Decimal("2.25")  # 8 oz and 4 oz out of the bag at 3.00
    assert a_head_a_day(eaten, 2, sums, span) == Decimal("0.11")  # ten days, two heads
    assert a_head_a_day(eaten, 0, sums, span) is None


def test_dishes_are_counted_with_the_newest_verdict() -> None:
    month = lived()
    sums = summed_up(month.books, Span(TODAY - dt.timedelta(days=29), TODAY))
    remarks = [Remark(1, "dish 2", "bland", "disliked"), Remark(2, "Dish 2", "lovely", "liked")]
    (dish,) = dishes(sums, remarks)
    assert (dish.times, dish.servings, dish.last, dish.verdict) == (2, 6, TODAY, "liked")
    assert dish.cost == Decimal("2.25")


# -- as it is told ---------------------------------------------------------------------------


def told(said: str, **fields: object) -> Answer:
    return history(Reading(said, act="history", **fields), lived().house)  # type: ignore[arg-type]


def bars(answer: Answer) -> list[str]:
    return [block.title for block in answer.blocks if isinstance(block, Bars)]


def test_what_was_asked_about_is_what_is_shown() -> None:
    cooked = told("what did we cook this month", days=30)
    first = cooked.blocks[0]
    assert isinstance(first, Say)
    assert "2 dishes made" in first.text
    assert bars(told("what did we spend this month", days=30)) == ["Spent by the week"]


def test_the_reply_holds_the_sums() -> None:
    reply = told("show the history", days=30).reply
    assert (reply["spent"], reply["eaten"], reply["wasted"]) == ("6.00", "2.25", "0.75")
    assert reply["per_head_day"] == "0.11"
    assert [one["recipe"] for one in reply["cooked"]] == ["Dish 2"]
    assert len(reply["periods"]) == 5

"""Menus: the cheapest there is, proved against trying everything; and what stands in the way."""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.measures import Measures
from helper.kitchen.menu_days import assign
from helper.kitchen.menu_model import choose
from helper.kitchen.menu_problem import Count, Days, Dish, Need, Pack, Problem, Store
from helper.kitchen.menus import Candidate, Day, Plan, Wanted, farthest, plan, with_bought
from helper.kitchen.money import NOTHING
from helper.kitchen.prices import Prices
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Stock, worth

DAY = dt.date(2026, 11, 24)
FOODS = ["rice", "navy bean", "ham", "onion", "carrot"]


def recipe(number: int, **foods: float) -> Recipe:
    lines = tuple(
        Line(food, food.replace("_", " "), Amount(oz, "oz")) for food, oz in foods.items()
    )
    return Recipe(number, f"dish {number}", lines, servings=4)


def lot(number: int, food: str, oz: float, price: str | None, best_by: int | None = None) -> Lot:
    due = None if best_by is None else DAY + dt.timedelta(best_by)
    size = Amount(oz, "oz")
    return Lot(number, food, size, size, price=price and Decimal(price), best_by=due)  # type: ignore[arg-type]


def seen(number: int, food: str, oz: float, price: str) -> PriceSeen:
    return PriceSeen(number, food, Amount(oz, "oz"), Decimal(price), "bag", date=DAY)


def days(count: int) -> tuple[Day, ...]:
    return tuple(Day(DAY + dt.timedelta(n)) for n in range(count))


def planned(
    recipes: list[Recipe],
    lots: list[Lot],
    prices: list[PriceSeen],
    measures: Measures,
    wanted: tuple[Day, ...],
    **more: object,
) -> Plan | None:
    stock = Stock(lots, measures)
    candidates = [one if isinstance(one, Candidate) else Candidate(one) for one in recipes]
    return plan(Wanted(DAY, wanted, **more), candidates, stock, Prices(prices, lots, measures))  # type: ignore[arg-type]


# -- the model against trying everything ---------------------------------------------------


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Problems small enough to try every menu and every basket."""
    foods = draw(st.integers(1, 3))
    stores = [Store(f"food {n}", float(draw(st.integers(0, 6)))) for n in range(foods)]
    packs = [
        Pack(food, float(draw(st.integers(1, 5))), draw(st.integers(20, 400)))
        for food in range(foods)
        for _ in range(draw(st.integers(1, 2)))
    ]
    needs = [Need(f"food {n}", ((n, 1.0),)) for n in range(foods)]
    if draw(st.booleans()) and foods > 1:
        needs.append(Need("either", ((0, 1.0), (1, 2.0))))
    dishes = [
        Dish(
            f"dish {n}",
            draw(
                st.dictionaries(
                    st.integers(0, len(needs) - 1), st.integers(1, 4).map(float), min_size=1
                )
            ),
            frozenset(draw(st.sets(st.sampled_from(["soup", "fish"])))),
            most=draw(st.integers(1, 2)),
        )
        for n in range(draw(st.integers(2, 5)))
    ]
    groups = [Days(draw(st.integers(1, 2)))]
    if draw(st.booleans()):
        groups.insert(0, Days(1, frozenset({"fish"}), name="fish"))
    counts = (Count("soup", 1, name="soup"),) if draw(st.booleans()) else ()
    return Problem(stores, packs, needs, dishes, groups, counts)


def menus(problem: Problem) -> Iterator[tuple[Counter[int], int]]:
    """Every menu that keeps all that is asked, with what it costs at the till."""
    plain, *wished = sorted(problem.days, key=lambda one: not one.plain)
    for rest in itertools.combinations_with_replacement(range(len(problem.dishes)), plain.count):
        fish = [n for n, dish in enumerate(problem.dishes) if wished and wished[0].welcomes(dish)]
        for special in [(n,) for n in fish] if wished else [()]:
            times = Counter((*rest, *special))
            if any(n > problem.dishes[dish].most for dish, n in times.items()):
                continue
            if any(
                sum(n for dish, n in times.items() if one.trait in problem.dishes[dish].traits)
                < one.least
                for one in problem.counts
            ):
                continue
            yield times, cheapest_basket(problem, times)


def least_till(problem: Problem) -> int | None:
    """The till cost of the cheapest menu, by trying every menu; None where none keeps all."""
    return min((cents for _, cents in menus(problem)), default=None)


def cheapest_basket(problem: Problem, times: Counter[int]) -> int:
    """The packages a menu needs; the need two stores meet is split in every sensible way."""
    asked = [0.0] * len(problem.needs)
    for dish, n in times.items():
        for need, amount in problem.dishes[dish].uses.items():
            asked[need] += n * amount
    shared = [need for need in range(len(asked)) if len(problem.needs[need].sources) > 1]
    split = asked[shared[0]] if shared else 0.0
    best = math.inf
    # The first store's packages decide how much of the shared need it can meet.
    for first in baskets(problem, 0, asked[0] + split):
        held, cents = first
        spare = problem.stores[0].here + held - asked[0]
        if spare < -1e-9:
            continue
        rest = max(0.0, split - spare)
        total = float(cents)
        for store in range(1, len(problem.stores)):
            need = asked[store] + (2.0 * rest if shared and store == 1 else 0.0)
            total += min(
                cents
                for held, cents in baskets(problem, store, need)
                if problem.stores[store].here + held >= need - 1e-9
            )
        best = min(best, total)
    return round(best)


def baskets(problem: Problem, store: int, need: float) -> list[tuple[float, int]]:
    """What all sensible numbers of a store's packages hold and cost."""
    packs = [pack for pack in problem.packs if pack.store == store]
    ranges = [range(math.ceil(need / pack.holds) + 1) for pack in packs]
    return [
        (
            sum(n * pack.holds for n, pack in zip(numbers, packs, strict=True)),
            sum(n * (pack.cents or 0) for n, pack in zip(numbers, packs, strict=True)),
        )
        for numbers in itertools.product(*ranges)
    ]


@settings(max_examples=150, deadline=None)
@given(problems())
def test_the_till_cost_is_the_least_of_all_menus(problem: Problem) -> None:
    expected = least_till(problem)
    found = choose(problem)
    assert found is not None
    if expected is None:
        assert found.missed, "no menu keeps everything, and it is said what was given up"
        return
    assert not found.missed
    assert found.proved
    assert found.cents == expected


@settings(max_examples=150, deadline=None)
@given(problems())
def test_what_was_chosen_can_be_cooked_from_stock_and_basket(problem: Problem) -> None:
    found = choose(problem)
    assert found is not None
    missing = sum(one.by for one in found.missed if one.kind == "missing")
    assert sum(found.times().values()) == problem.meals - missing
    basket = sum(n * (problem.packs[place].cents or 0) for place, n in found.packs.items())
    assert basket == found.cents
    assert cheapest_basket(problem, Counter(found.times())) <= found.cents


@st.composite
def problems_with_due_food(draw: st.DrawFn) -> Problem:
    """The same with food that is due, each need met by one store, now and then a budget."""
    found = draw(problems())
    needs = [one for one in found.needs if len(one.sources) == 1]
    dishes = [
        replace(dish, uses={n: a for n, a in dish.uses.items() if n < len(needs)})
        for dish in found.dishes
    ]
    stores = [
        replace(
            one,
            cents=float(draw(st.sampled_from((0, 40, 120)))),
            due=float(draw(st.integers(0, int(one.here)))),
            saved=float(draw(st.integers(1, 90))),
        )
        for one in found.stores
    ]
    budget = draw(st.none() | st.integers(0, 500))
    return replace(found, stores=stores, needs=needs, dishes=dishes, counts=(), budget=budget)


def worth_of_due(problem: Problem, times: Counter[int]) -> float:
    """What the due food a menu uses is worth, in cents."""
    asked = Counter[int]()
    for dish, n in times.items():
        for need, amount in problem.dishes[dish].uses.items():
            asked[need] += n * amount  # type: ignore[assignment]
    return sum(min(one.due, asked[at]) * one.saved for at, one in enumerate(problem.stores))


@settings(max_examples=100, deadline=None)
@given(problems_with_due_food())
def test_due_food_counts_against_the_till_with_its_worth_within_the_budget(
    problem: Problem,
) -> None:
    cheapest = least_till(problem)
    found = choose(problem)
    assert found is not None
    if cheapest is None:
        return
    assert found.least == cheapest
    most = math.inf if problem.budget is None else max(problem.budget, cheapest)
    assert found.cents <= most
    best = min(
        cents - worth_of_due(problem, times) for times, cents in menus(problem) if cents <= most
    )
    mine = found.cents - worth_of_due(problem, Counter(found.times()))
    assert abs(mine - best) <= 1.5


# -- menus of recipes -----------------------------------------------------------------------


def test_food_that_would_spoil_is_worth_its_price_at_the_till(measures: Measures) -> None:
    recipes = [recipe(1, rice=4), recipe(2, ham=8, onion=4)]
    onion = [seen(1, "onion", 16, "1.00")]

    def dish(ham: str, place: str = "fridge", **more: object) -> tuple[str, Decimal, Decimal]:
        due = replace(lot(2, "ham", 8, ham, best_by=2), place=place)
        found = planned(recipes, [lot(1, "rice", 8, "1.00"), due], onion, measures, days(1), **more)
        assert found is not None
        assert found.proved
        return found.meals[0].recipe.title, found.till, found.least

    one = Decimal("1.00")
    assert dish("3.00") == ("dish 2", one, NOTHING)
    assert dish("0.90") == ("dish 1", NOTHING, NOTHING)
    # what stands on the shelf is past its best, not lost
    assert dish("1.80", "shelf") == ("dish 1", NOTHING, NOTHING)
    assert dish("3.00", frugal=True) == ("dish 1", NOTHING, NOTHING)
    assert dish("3.00", budget=Decimal("0.50")) == ("dish 1", NOTHING, NOTHING)


def test_the_stock_is_free_and_the_rest_is_bought_whole(measures: Measures) -> None:
    recipes = [recipe(1, rice=8, ham=8), recipe(2, rice=8, carrot=4)]
    found = planned(
        recipes,
        [lot(1, "rice", 12, "1.20")],
        [seen(1, "rice", 16, "1.60"), seen(2, "carrot", 16, "0.99"), seen(3, "ham", 16, "4.00")],
        measures,
        days(1),
    )
    assert found is not None
    assert [meal.recipe.title for meal in found.meals] == ["dish 2"]
    assert found.till == Decimal("0.99")
    assert [(one.sold.food, one.packages) for one in found.bought] == [("carrot", 1)]
    assert found.eaten == Decimal("0.80") + Decimal("0.25")
    assert found.proved


def test_packages_are_shared_by_the_days(measures: Measures) -> None:
    recipes = [recipe(1, rice=4, ham=4), recipe(2, ham=8, onion=2), recipe(3, carrot=30)]
    found = planned(
        recipes,
        [],
        [
            seen(1, "rice", 16, "1.00"),
            seen(2, "ham", 16, "3.00"),
            seen(3, "onion", 16, "1.00"),
            seen(4, "carrot", 16, "2.00"),
        ],
        measures,
        days(2),
    )
    assert found is not None
    assert {meal.recipe.title for meal in found.meals} == {"dish 1", "dish 2"}
    assert found.till == Decimal("5.00")


def test_among_equals_what_is_due_is_used_and_early(measures: Measures) -> None:
    recipes = [recipe(1, rice=4), recipe(2, navy_bean=4), recipe(3, onion=4)]
    lots = [
        lot(1, "rice", 8, "1.00"),
        lot(2, "navy bean", 8, "2.00"),
        lot(3, "onion", 8, "0.50", best_by=1),
    ]
    found = planned(recipes, lots, [], measures, days(2))
    assert found is not None
    assert [meal.recipe.title for meal in found.meals] == ["dish 3", "dish 1"]
    assert [one.food for one in found.used_up] == ["onion"]


def test_a_wish_for_a_day_is_kept_on_that_day(measures: Measures) -> None:
    recipes = [
        Candidate(recipe(1, rice=4)),
        Candidate(recipe(2, ham=4), frozenset({"meat"})),
        Candidate(recipe(3, onion=4)),
    ]
    prices = [seen(1, "ham", 16, "4.00"), seen(2, "rice", 16, "1"), seen(3, "onion", 16, "1")]
    wished = (
        days(3)[0],
        days(3)[1],
        Day(DAY + dt.timedelta(2), frozenset({"meat"}), name="meat on Thursday"),
    )
    found = planned(recipes, [], prices, measures, wished)  # type: ignore[arg-type]
    assert found is not None
    assert found.meals[2].recipe.title == "dish 2"


def test_a_wish_nothing_fits_is_named_and_the_day_is_fed_all_the_same(measures: Measures) -> None:
    wished = (Day(DAY, frozenset({"fish"}), name="fish on Tuesday"), days(2)[1])
    found = planned(
        [recipe(1, rice=4), recipe(2, onion=4)],
        [lot(1, "rice", 8, "1"), lot(2, "onion", 8, "1")],
        [],
        measures,
        wished,
    )
    assert found is not None
    assert [(one.kind, one.name, one.by) for one in found.missed] == [
        ("wish", "fish on Tuesday", 1)
    ]
    assert len(found.meals) == 2


def test_dishes_come_again_only_where_there_are_too_few(measures: Measures) -> None:
    lots = [lot(1, "rice", 80, "1"), lot(2, "onion", 80, "1")]
    found = planned([recipe(1, rice=4), recipe(2, onion=4)], lots, [], measures, days(3))
    assert found is not None
    assert len(found.meals) == 3
    assert [one.kind for one in found.missed] == ["again"]


def test_a_dish_nobody_can_vouch_for_is_a_last_resort_and_said(measures: Measures) -> None:
    sure = Candidate(recipe(1, ham=8))
    check = Candidate(recipe(2, rice=1), tier=2, verdict="check")
    found = planned(
        [sure, check],
        [lot(1, "rice", 80, "1")],
        [seen(1, "ham", 16, "9")],  # type: ignore[list-item]
        measures,
        days(1),
    )
    assert found is not None
    assert found.meals[0].recipe.title == "dish 1"


def test_unpriced_foods_are_not_taken_for_free(measures: Measures) -> None:
    recipes = [recipe(1, ham=8), recipe(2, navy_bean=8)]
    found = planned(recipes, [], [seen(1, "navy bean", 16, "1.59")], measures, days(1))
    assert found is not None
    assert found.meals[0].recipe.title == "dish 2"
    both = planned(recipes, [], [seen(1, "navy bean", 16, "1.59")], measures, days(2))
    assert both is not None
    assert both.unpriced == ("ham",)
    assert both.till == Decimal("1.59")


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_money_before_and_spent_is_money_eaten_and_left(data: st.DataObject, foods: Foods) -> None:
    measures = Measures(foods)
    lots = [
        lot(
            n + 1,
            data.draw(st.sampled_from(FOODS)),
            data.draw(st.integers(1, 40)),
            f"{data.draw(st.integers(10, 900)) / 100:.2f}",
        )
        for n in range(data.draw(st.integers(0, 5)))
    ]
    prices = [
        seen(
            n + 1,
            food,
            data.draw(st.integers(4, 32)),
            f"{data.draw(st.integers(10, 900)) / 100:.2f}",
        )
        for n, food in enumerate(FOODS)
    ]
    recipes = [
        Recipe(
            n,
            f"dish {n}",
            tuple(
                Line(food, food, Amount(data.draw(st.integers(1, 24)), "oz"))
                for food in data.draw(st.sets(st.sampled_from(FOODS), min_size=1, max_size=3))
            ),
            servings=4,
        )
        for n in range(4)
    ]
    found = planned(recipes, lots, prices, measures, days(3))
    assert found is not None
    after = Stock(with_bought(lots, found.bought, DAY), measures)
    before = sum((worth(one, one.left.number) or NOTHING for one in lots), NOTHING)
    eaten = NOTHING
    for meal in found.meals:
        assert not meal.match.missing
        for draw in meal.match.draws:
            assert draw.cost is not None
            eaten += draw.cost
    left = {one.id: one.left.number for one in after.lots}
    for meal in found.meals:
        for draw in meal.match.draws:
            left[draw.lot.id] -= draw.amount.number
    kept = sum((worth(one, max(0.0, left[one.id])) or NOTHING for one in after.lots), NOTHING)
    assert abs(before + found.till - eaten - kept) < Decimal("0.03")
    assert abs(found.eaten - eaten) <= Decimal("0.01") * len(found.meals) * 3


def test_how_far_the_stock_goes_is_told_and_not_one_dinner_more(measures: Measures) -> None:
    lots = [lot(1, "rice", 20, "1"), lot(2, "onion", 4, "1")]
    recipes = [recipe(1, rice=8), recipe(2, rice=8, onion=4), recipe(3, onion=3)]
    prices = [seen(1, "rice", 32, "2.00"), seen(2, "onion", 16, "1.50")]
    found = farthest(Wanted(DAY, days(21)), [Candidate(one) for one in recipes],
                     Stock(lots, measures), Prices(prices, lots, measures))  # fmt: skip
    assert found is not None
    assert found.plan.proved
    assert not found.plan.bought
    assert Counter(meal.recipe.title for meal in found.plan.meals) == {"dish 1": 2, "dish 3": 1}
    # 32 oz of rice make 36 oz with what is left: four dinners, but no dish comes oftener than
    # three times in three weeks; 16 oz of onion allow two more of dish 3 and one of dish 2.
    assert found.stretch is not None
    assert (found.stretch.food, found.more) == ("onion", 2)


def test_equal_dishes_lie_far_apart_and_wished_days_stay() -> None:
    dates = [DAY + dt.timedelta(n) for n in range(5)]
    placed = dict(
        assign(
            [{7: 1}, {1: 2, 2: 2}],
            [(dates[1], 0), *((d, 1) for d in dates if d != dates[1])],
            {2: dates[0]},
            7,
        )
    )
    assert placed[dates[1]] == 7
    assert placed[dates[0]] == 2
    ones = [date for date, dish in placed.items() if dish == 1]
    assert abs((ones[1] - ones[0]).days) >= 2

"""A large menu beside the bare solver, in one run: `python -m tests.benchmarks.menus`.

14 dinners out of 300 recipes over 300 foods. Prints the time to the whole menu, by the clock and
at work (what else the machine does counts in the first alone), how near it is proved to the
cheapest, the time to a first menu, and the ratio to the solver alone on the very same programme.
Nothing here is a test: figures depend on the machine, ratios much less.
"""

from __future__ import annotations

import datetime as dt
import random
import statistics
import time
from decimal import Decimal

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.measures import Measures
from helper.kitchen.menus import Candidate, Day, Plan, Wanted, plan
from helper.kitchen.prices import Prices
from helper.kitchen.programme import Best, Programme
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.stock import Stock

DAY = dt.date(2026, 11, 25)
FOODS, RECIPES, DINNERS, RUNS = 300, 300, 14, 5


def main() -> None:
    measures = Measures(Foods())
    plan_once(0, measures)  # the solver is loaded
    for seed in range(1, RUNS + 1):
        report(seed, measures)


def report(seed: int, measures: Measures) -> None:
    solved: list[tuple[float, dict[int, float], Programme]] = []
    firsts: list[float] = []
    start, worked = time.perf_counter(), time.process_time()
    least = Programme.least

    def watched(
        self: Programme, goal: dict[int, float], seconds: float, step: float = 0.0
    ) -> Best | None:
        before = time.perf_counter()
        found = least(self, goal, seconds, step)
        solved.append((time.perf_counter() - before, dict(goal), self))
        if found is not None:
            firsts.append(time.perf_counter() - start)
        return found

    Programme.least = watched  # type: ignore[method-assign, assignment]
    try:
        found = plan_once(seed, measures)
    finally:
        Programme.least = least  # type: ignore[method-assign]
    whole, worked = time.perf_counter() - start, time.process_time() - worked
    bare = statistics.median(seconds for seconds, goal, _ in solved if goal)
    in_solver = sum(seconds for seconds, *_ in solved)
    print(
        f"menu {seed}: {whole:5.2f} s ({worked:.2f} s at work), "
        f"first menu {firsts[0]:5.2f} s, till {found.till:7}, "
        f"{'proved' if found.proved else f'within {found.gap:.2%}'}, {len(found.meals)} dinners; "
        f"{whole / in_solver:5.2f} x the solver alone ({in_solver:.2f} s in {len(solved)} calls, "
        f"one call {bare:.2f} s)"
    )


def plan_once(seed: int, measures: Measures) -> Plan:
    recipes, lots, prices = house(seed, measures)
    days = tuple(Day(DAY + dt.timedelta(days=n)) for n in range(DINNERS))
    found = plan(
        Wanted(DAY, days),
        [Candidate(one) for one in recipes],
        Stock(lots, measures),
        Prices(prices, lots, measures),
    )
    assert found is not None
    return found


def house(seed: int, measures: Measures) -> tuple[list[Recipe], list[Lot], list[PriceSeen]]:
    """Recipes of 5 to 10 foods, each sold in one or two sizes, a third of them in the house."""
    dice = random.Random(seed)
    names = sorted(
        name for name in measures.foods.names() if measures.foods[name].base in ("", name)
    )
    foods = dice.sample(names, FOODS)
    prices, lots = [], []
    for place, food in enumerate(foods):
        each = dice.uniform(0.05, 0.40)
        for oz in dice.sample((8, 16, 32, 80), dice.choice((1, 2))):
            cost = Decimal(str(round(each * oz * dice.uniform(0.8, 1.2), 2)))
            prices.append(PriceSeen(len(prices) + 1, food, Amount(oz, "oz"), cost, "bag", date=DAY))
        if dice.random() < 1 / 3:
            size = Amount(dice.choice((6, 10, 20)), "oz")
            best_by = DAY + dt.timedelta(days=dice.randrange(60))
            lots.append(Lot(place + 1, food, size, size, price=Decimal(2), best_by=best_by))
    recipes = [
        Recipe(
            number,
            f"dish {number}",
            tuple(
                Line(food, food, Amount(dice.choice((2, 4, 8, 12, 16)), "oz"))
                for food in dice.sample(foods, dice.randint(5, 10))
            ),
            servings=4,
        )
        for number in range(RECIPES)
    ]
    return recipes, lots, prices


if __name__ == "__main__":
    main()

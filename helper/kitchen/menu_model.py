"""Choosing dishes for some days, as an integer programme over plain numbers.

One count for every dish (and one more for every group of days with wishes of its own), whole
packages as whole numbers, stock on hand free. Goals follow each other, each kept when the next is
sought: least breach of the wishes, fewest packages of unknown price, least at the till less what
the due food that is used is worth, and among menus equal in that, the least eaten cost.

Which dish falls on which day is settled afterwards (`menu_days`).
"""

from __future__ import annotations

import time
from collections import defaultdict

import msgspec

from helper.kitchen.menu_problem import Choice, Count, Dish, Missed, Problem
from helper.kitchen.programme import Best, Programme

# What a breach weighs against another; only their order matters. A dinner that is missing is
# worst; a wish given up is worse than a dish of the first two tiers, and one that comes again is
# worse than one of the first tier.
_MISSING, _WISH, _AGAIN, _TWICE, _TIER = 9000.0, 500.0, 300.0, 250.0, 200.0

# Seconds for choosing the finest among equals.
_POLISH = 1.0


def choose(problem: Problem, seconds: float = 4.0) -> Choice | None:
    """The best choice, or None where no dish at all can be had in the time given."""
    model = _Model(problem, time.monotonic() + seconds)
    return model.solved()


def most_meals(problem: Problem, seconds: float = 3.0) -> Choice | None:
    """The most meals the stores yield with nothing bought; the cheapest to eat among equals.

    `problem.days` are as many as could be eaten at most. `proved`: there are no more.
    """
    bare = msgspec.structs.replace(problem, packs=())
    return _Model(bare, time.monotonic() + seconds).farthest()


class Stretch(msgspec.Struct, frozen=True):
    """One package that makes the stock go further: how many more meals, and its price."""

    pack: int
    more: int
    cents: int


def best_stretch(problem: Problem, meals: int, seconds: float = 3.0) -> Stretch | None:
    """The one package, of all that can be bought, that yields the most further meals a cent.

    `meals` is what the stores yield without it. None where no single package yields any.
    """
    return _Model(problem, time.monotonic() + seconds).stretched(meals)


class _Model:
    def __init__(self, problem: Problem, until: float) -> None:
        self.problem = problem
        self.until = until
        self.programme = Programme()
        self.breaches: dict[int, tuple[float, str, str]] = {}
        self.cooked: list[dict[int, int]] = []  # per group of days: dish -> number
        self.packs: list[int] = []
        self.drawn: list[tuple[dict[int, float], int]] = []
        self._count_dishes()
        self._draw_and_buy()

    # -- the limits --------------------------------------------------------------------------

    def _breach(self, weight: float, kind: str, name: str, most: float) -> int:
        number = self.programme.number(most, whole=True)
        self.breaches[number] = (weight, kind, name)
        return number

    def _count_dishes(self) -> None:
        """A count for each dish and group of days, how often it may come, and what is wished."""
        problem, programme = self.problem, self.programme
        given_up: defaultdict[int, list[int]] = defaultdict(list)
        for group in problem.days:
            if group.plain:
                continue
            numbers = {
                place: programme.number(group.count, whole=True)
                for place, dish in enumerate(problem.dishes)
                if group.welcomes(dish)
            }
            self.cooked.append(numbers)
            missed = self._breach(_WISH, "wish", group.name, group.count)
            given_up[group.table].append(missed)
            programme.limit(
                {**dict.fromkeys(numbers.values(), 1.0), missed: 1.0}, group.count, group.count
            )
        for table in sorted({group.table for group in problem.days}):
            self._plain_days(table, given_up[table])
        alike: defaultdict[str, list[int]] = defaultdict(list)
        for place, dish in enumerate(problem.dishes):
            alike[dish.name].append(place)
            self._unwelcome(place, dish)
        for places in alike.values():
            self._how_often(places)
        for count in problem.counts:
            self._over_all(count)

    def _plain_days(self, table: int, given_up: list[int]) -> None:
        """The days of a table that ask for nothing, and those whose wish was given up."""
        problem, programme = self.problem, self.programme
        plain = sum(one.count for one in problem.days if one.plain and one.table == table)
        missing = self._breach(_MISSING, "missing", "meals", problem.meals)
        rest = {
            place: programme.number(problem.meals, whole=True)
            for place, dish in enumerate(problem.dishes)
            if dish.table == table
        }
        self.cooked.append(rest)
        parts = {**dict.fromkeys(rest.values(), 1.0), missing: 1.0, **dict.fromkeys(given_up, -1.0)}
        programme.limit(parts, plain, plain)

    def _times(self, place: int) -> dict[int, float]:
        return {group[place]: 1.0 for group in self.cooked if place in group}

    def _unwelcome(self, place: int, dish: Dish) -> None:
        if dish.tier:
            taken = self._breach(_TIER * dish.tier, "tier", dish.name, self.problem.meals)
            self.programme.limit({**self._times(place), taken: -1.0}, most=0.0)

    def _how_often(self, places: list[int]) -> None:
        """One dish, at all tables together, no oftener than it may come."""
        dish = self.problem.dishes[places[0]]
        times = {number: 1.0 for place in places for number in self._times(place)}
        twice = self._breach(_TWICE, "again", dish.name, dish.most)
        again = self._breach(_AGAIN, "again", dish.name, self.problem.meals)
        self.programme.limit({**times, twice: -1.0, again: -1.0}, most=float(dish.most))

    def _over_all(self, count: Count) -> None:
        parts: dict[int, float] = {}
        for place, dish in enumerate(self.problem.dishes):
            if count.trait in dish.traits:
                parts.update(self._times(place))
        missed = self._breach(_WISH, "wish", count.name, self.problem.meals)
        if count.least:
            self.programme.limit({**parts, missed: 1.0}, least=float(count.least))
        if count.most is not None:
            self.programme.limit({**parts, missed: -1.0}, most=float(count.most))

    def _draw_and_buy(self) -> None:
        """What the dishes take is on hand or bought. A need one store meets is written into it."""
        problem, programme = self.problem, self.programme
        drawn: list[defaultdict[int, float]] = [defaultdict(float) for _ in problem.stores]
        takers: list[list[tuple[int, float]]] = [[] for _ in problem.needs]
        for place, dish in enumerate(problem.dishes):
            for asked_for, amount in dish.uses.items():
                takers[asked_for].append((place, amount))
        for need, takes in zip(problem.needs, takers, strict=True):
            asked: defaultdict[int, float] = defaultdict(float)
            for place, amount in takes:
                for number in self._times(place):
                    asked[number] += amount
            if len(need.sources) == 1:
                store, rate = need.sources[0]
                for number, amount in asked.items():
                    drawn[store][number] += amount * rate
                continue
            met: dict[int, float] = {}
            for store, rate in need.sources:
                number = programme.number()
                met[number] = -1.0
                drawn[store][number] += rate
            if asked:
                programme.limit({**asked, **met}, most=0.0)
        held: list[dict[int, float]] = [{} for _ in problem.stores]
        for pack in problem.packs:
            number = programme.number(1e4, whole=True)
            self.packs.append(number)
            held[pack.store][number] = pack.holds
        for place, (lies, takes_of, holds) in enumerate(
            zip(problem.stores, drawn, held, strict=True)
        ):
            if not takes_of:
                continue
            # One unit of the row is the larger of a package and what is on hand, so that a hair
            # of the solver's arithmetic is a hair of either.
            scale = max([lies.here, *holds.values(), 1e-9])
            parts = {number: amount / scale for number, amount in takes_of.items()}
            parts.update({number: -amount / scale for number, amount in holds.items()})
            programme.limit(parts, most=lies.here / scale)
            self.drawn.append((dict(takes_of), place))

    # -- the goals ---------------------------------------------------------------------------

    def _seconds(self, part: float = 1.0) -> float:
        return max(0.1, (self.until - time.monotonic()) * part)

    def _keep_wishes(self) -> Best | None:
        """Any menu that breaches nothing, or else the one that breaches least; then kept so."""
        tight = list(self.breaches)
        bounds = {number: self.programme.bounds(number) for number in tight}
        for number in tight:
            self.programme.bound(number, 0.0)
        found = self.programme.least({}, self._seconds(0.4))
        if found is not None:
            return found
        for number in tight:
            self.programme.bound(number, bounds[number])
        goal = {number: weight for number, (weight, *_) in self.breaches.items()}
        found = self.programme.least(goal, self._seconds(0.5), step=10.0)
        if found is not None:
            self.programme.hold(goal, found, 0.5)
        return found

    def solved(self) -> Choice | None:
        """The stages one after the other."""
        best = self._keep_wishes()
        if best is None:
            return None
        packs = self.problem.packs
        unpriced = {
            number: 1.0
            for number, pack in zip(self.packs, packs, strict=True)
            if pack.cents is None
        }
        if unpriced:
            fewest = self.programme.least(unpriced, self._seconds(0.4), step=1.0)
            if fewest is not None:
                best = fewest
                self.programme.hold(unpriced, fewest, 0.1)
        till = {
            number: float(pack.cents)
            for number, pack in zip(self.packs, packs, strict=True)
            if pack.cents
        }
        due = self._due()
        # With nothing to be bought there is no till to look at: any menu is as cheap as another.
        cheapest: Best | None = best._replace(total=0.0, bound=0.0, proved=True)
        if till:
            cheapest = self.programme.least(till, self._seconds(0.6 if due else 0.8), step=1.0)
        if cheapest is None:
            return self._choice(self._finest(due) or best, False, 0.0)
        least = round(cheapest.total)
        if not due:
            self.programme.hold(till, cheapest, 0.1)
            return self._choice(self._finest(due) or cheapest, *_shown(cheapest), least)
        thriftiest, proved, gap = self._thriftiest(till, due, cheapest)
        finest = self._finest(due if thriftiest is cheapest else {})
        return self._choice(finest or thriftiest, proved, gap, least)

    def _due(self) -> dict[int, float]:
        """Numbers for how much of each store's due food is used, and what one unit is worth."""
        found: dict[int, float] = {}
        for takes, place in self.drawn:
            store = self.problem.stores[place]
            if store.due > 0 and store.saved > 0:
                used = self.programme.number(store.due)
                self.programme.limit(
                    {used: 1.0, **{number: -amount for number, amount in takes.items()}}, most=0.0
                )
                found[used] = store.saved
        return found

    def _thriftiest(
        self, till: dict[int, float], due: dict[int, float], cheapest: Best
    ) -> tuple[Best, bool, float]:
        """The least at the till less the worth of the due food used; held for what follows.

        Due food is no reason to go over a budget that can be kept. Also whether this is proved,
        and how far below it a better one might still lie, as a part of the till cost. That the
        till itself is proved to be the least matters for it only where the budget is out of reach.
        """
        self.programme.begin_at(cheapest)
        budget = self.problem.budget
        if budget is not None:
            self.programme.limit(till, most=max(float(budget), cheapest.total) + 0.1)
        goal = {**till, **{used: -worth for used, worth in due.items()}}
        found = self.programme.least(goal, self._seconds(0.95), step=1.0)
        if found is None or found.total > cheapest.total:
            # not enough time to look: what was found before is better
            self.programme.hold(till, cheapest, 0.1)
            return cheapest, False, 0.0 if cheapest.proved else cheapest.gap
        self.programme.hold(goal, found, 0.1)
        known = cheapest.proved or budget is None or budget >= cheapest.total
        behind = 0.0 if found.proved else found.total - found.bound
        if not known:
            behind = max(behind, cheapest.total - cheapest.bound)
        return found, found.proved and known, behind / max(cheapest.total, 1.0)

    def _finest(self, due: dict[int, float]) -> Best | None:
        """Among equals, what is eaten of the rest costs least; with `due`, where nothing yet
        speaks for the use of due food, that food taken off it.

        It is not promised that there is none finer, so nobody waits long for the proof.
        """
        goal: defaultdict[int, float] = defaultdict(float)
        for takes, place in self.drawn:
            store = self.problem.stores[place]
            if not store.cents:
                continue
            for number, amount in takes.items():
                goal[number] += amount * store.cents
        if not goal:
            return None
        for used, worth in due.items():
            goal[used] -= 2 * worth
        return self.programme.least(dict(goal), min(self._seconds(0.9), _POLISH), step=1.0)

    def _choice(self, best: Best, proved: bool, gap: float, least: int = 0) -> Choice:
        packs = {
            place: best.whole(number)
            for place, number in enumerate(self.packs)
            if best.whole(number)
        }
        cents = sum((self.problem.packs[place].cents or 0) * n for place, n in packs.items())
        missed = tuple(
            Missed(kind, name, best.whole(number))
            for number, (_, kind, name) in self.breaches.items()
            if best.whole(number)
        )
        taken = tuple(
            {place: best.whole(number) for place, number in group.items() if best.whole(number)}
            for group in self.cooked
        )
        return Choice(taken, packs, cents, proved, gap, missed, least)

    def _only_missing(self) -> int:
        """Lets nothing be breached but the number of meals; returns the number of those missing."""
        for number, (_, kind, _name) in self.breaches.items():
            if kind != "missing":
                self.programme.bound(number, 0.0)
        return next(n for n, (_, kind, _name) in self.breaches.items() if kind == "missing")

    def farthest(self) -> Choice | None:
        """As many meals as can be had, with no dish oftener than it may come."""
        missing = {self._only_missing(): 1.0}
        best = self.programme.least(missing, self._seconds(0.7), step=1.0)
        if best is None:
            return None
        self.programme.hold(missing, best, 0.1)
        return self._choice(self._finest(self._due()) or best, best.proved, best.gap)

    def stretched(self, meals: int) -> Stretch | None:
        """Tries for each number of further meals the cheapest one package that yields them."""
        missing = self._only_missing()
        priced = {
            number: float(pack.cents)
            for number, pack in zip(self.packs, self.problem.packs, strict=True)
            if pack.cents
        }
        for number in self.packs:
            self.programme.bound(number, 1.0 if number in priced else 0.0)
        self.programme.limit(dict.fromkeys(self.packs, 1.0), most=1.0)
        best: Stretch | None = None
        for more in range(1, self.problem.meals - meals + 1):
            self.programme.limit({missing: 1.0}, most=float(self.problem.meals - meals - more))
            found = self.programme.least(priced, self._seconds(0.5), step=1.0)
            if found is None:
                break
            taken = [place for place, one in enumerate(self.packs) if found.whole(one)]
            if not taken:
                break
            pack = taken[0]
            this = Stretch(pack, more, self.problem.packs[pack].cents or 0)
            if best is None or this.more * best.cents > best.more * this.cents:
                best = this
        return best


def _shown(best: Best) -> tuple[bool, float]:
    """Whether a choice is proved, and how far below it a better one may still lie."""
    return best.proved, 0.0 if best.proved else best.gap

"""One form of a food for another: dry beans for cooked, a can for dry, a ham for cooked ham.

A food's forms are joined by yields from the tables ("1 lb dry makes 6 cups cooked") and by pairs
that trade like for like ("frozen for fresh"). To meet an amount in one form from another, the
shortest way along these is taken and every step is kept as a sentence with its source.
"""

from __future__ import annotations

from collections import deque
from typing import NamedTuple

from helper.kitchen.amounts import Amount, written
from helper.kitchen.facts import Yield, changes, state
from helper.kitchen.kin import is_sort
from helper.kitchen.measures import Converted, Measures
from helper.kitchen.units import factor, units

_MOST_STEPS = 3


class Met(NamedTuple):
    """How much of what is there meets an amount asked for; `do` is what the cook must do."""

    amount: Amount
    basis: tuple[str, ...]
    do: str = ""


class _Reached(NamedTuple):
    state: str
    amount: Amount
    basis: tuple[str, ...]


def _asked_state(measures: Measures, food: str, detail: str) -> str:
    """The state an amount of a food is measured in; a can's contents may be asked for drained."""
    own = state(measures.foods[food].form)
    return "drained" if own == "canned" and detail == "drained" else own


def across(
    measures: Measures,
    need: str,
    amount: Amount,
    have: str,
    unit: str | None,
    detail: str = "",
    size: Amount | None = None,
) -> Met | None:
    """How much of `have`, in `unit`, meets an amount of `need`; None where it is not known.

    The result is as bought: trim is added where the amount asked for is measured in the kitchen.
    """
    if detail == "drained" and units()[amount.unit or "piece"].dimension == "package":
        detail = ""  # so many cans, to be drained, are so many cans
    met = _across(measures, need, amount, have, unit, detail, size)
    if met is None and not detail and _asked_state(measures, need, "") == "canned":
        # a cup of canned beans is a cup of beans, not of beans in their liquor
        met = _across(measures, need, amount, have, unit, "drained", size)
    return met


def _across(
    measures: Measures,
    need: str,
    amount: Amount,
    have: str,
    unit: str | None,
    detail: str,
    size: Amount | None,
) -> Met | None:
    goal = state(measures.foods[have].form)
    start = _asked_state(measures, need, detail)
    change = changes().get((goal, start))
    do = change.doing(measures.foods.kinds(have)) if change else ""
    if goal == start:
        return _alike(measures, need, amount, have, unit, detail, size)
    if change is not None and change.like_for_like:
        met = _alike(measures, need, amount, have, unit, detail, size)
        if met is not None:
            said = f"{have} for {need}, like for like ({change.source})"
            return Met(met.amount, (said, *met.basis), do)
    if size is not None:
        inner = measures.convert(need, amount, size.unit, detail, size)
        if inner is None:
            return None
        amount = inner.amount
    own, wider = _steps(measures, need, have)
    for steps in (own, own + wider) if wider else (own,):
        found = _walk(measures, need, have, _Reached(start, amount, ()), unit, detail, steps)
        if found is not None:
            return Met(found.amount, found.basis, do)
    return None


def _walk(
    measures: Measures,
    need: str,
    have: str,
    start: _Reached,
    unit: str | None,
    detail: str,
    steps: list[Yield],
) -> Converted | None:
    """The shortest way from the state asked for to the one there is, in the unit it lies in."""
    goal = state(measures.foods[have].form)
    seen = {start.state}
    queue = deque([(start, 0)])
    while queue:
        here, depth = queue.popleft()
        if here.state == goal:
            last = measures.convert(have, here.amount, unit, bought=True)
            if last is not None:
                return Converted(last.amount, (*here.basis, *last.basis))
            continue
        if depth == _MOST_STEPS:
            continue
        for nearer in _nearer(measures, need, have, here, steps, detail if depth == 0 else ""):
            if nearer.state not in seen:
                # a goal that cannot be weighed in the unit wanted leaves other ways open
                if nearer.state != goal:
                    seen.add(nearer.state)
                queue.append((nearer, depth + 1))
    return None


def _alike(
    measures: Measures,
    need: str,
    amount: Amount,
    have: str,
    unit: str | None,
    detail: str,
    size: Amount | None,
) -> Met | None:
    """The same state: weighed as the narrower of the two names, or else as the wider."""
    narrow = (need, have) if is_sort(measures.foods, have, need) else (have, need)
    for food in dict.fromkeys(narrow):
        found = measures.convert(food, amount, unit, detail, size, bought=True)
        if found is not None:
            return Met(found.amount, found.basis)
    return None


def _steps(measures: Measures, need: str, have: str) -> tuple[list[Yield], list[Yield]]:
    """Yields of a food's own family, and those of the wider food it is a sort of."""
    foods = measures.foods
    base = foods[have].base or have
    family = dict.fromkeys((have, need, base, foods[need].base or need, *foods.family(base)))
    own = [step for food in family for step in measures.facts.yields(food)]
    wider = [
        step
        for food in measures.facts.yield_foods()
        if food not in family and is_sort(foods, foods[food].base or food, base)
        for step in measures.facts.yields(food)
    ]
    return own, wider


def _nearer(
    measures: Measures, need: str, have: str, here: _Reached, steps: list[Yield], detail: str
) -> list[_Reached]:
    """Every state one step from here, with the amount it takes there."""
    found: list[_Reached] = []
    for (before, after), change in changes().items():
        if change.like_for_like and after == here.state:
            said = f"{before} counts as {after}, like for like ({change.source})"
            found.append(_Reached(before, here.amount, (*here.basis, said)))
        elif change.like_for_like and before == here.state:
            said = f"{after} counts as {before}, like for like ({change.source})"
            found.append(_Reached(after, here.amount, (*here.basis, said)))
    leading = [
        (step, step.have == here.state) for step in steps if here.state in (step.have, step.need)
    ]
    # a yield told in the kind of measure asked for goes before one that needs a weight as well
    leading.sort(key=lambda one: factor(here.amount.unit, _near_end(*one).unit) is None)
    for step, onward in leading:
        found += _through(measures, need, have, here, step, onward, detail)
    return found


def _near_end(step: Yield, onward: bool) -> Amount:
    return step.have_amount if onward else step.need_amount


def _through(
    measures: Measures,
    need: str,
    have: str,
    here: _Reached,
    step: Yield,
    onward: bool,
    detail: str,
) -> list[_Reached]:
    """The amount at the other end of one yield; nothing where its unit cannot be reached."""
    near, far = _near_end(step, onward), _near_end(step, not onward)
    for food in _standing_for(measures, need, have, here.state):
        at = measures.convert(food, here.amount, near.unit, detail)
        if at is not None and near.number:
            said = (
                f"{written(step.have_amount)} {step.food} {step.have} makes "
                f"{written(step.need_amount)} {step.need} ({step.source})"
            )
            amount = far.times(at.amount.number / near.number)
            return [
                _Reached(step.need if onward else step.have, amount, (*here.basis, *at.basis, said))
            ]
    return []


def _standing_for(measures: Measures, need: str, have: str, wanted: str) -> list[str]:
    """Foods that can be measured in a state: the family's form of it, the nearest first."""
    foods = measures.foods
    base = foods[have].base or have
    members = dict.fromkeys((need, have, *foods.family(base)))
    like = {wanted} | {
        after
        for (before, after), change in changes().items()
        if change.like_for_like and before == wanted
    }
    exact = [food for food in members if state(foods[food].form) == wanted]
    near = [food for food in members if state(foods[food].form) in like and food not in exact]
    return exact + near or [need]

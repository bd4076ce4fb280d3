"""The deeper half of a look back: where the money went week by week, and what was on the table."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from helper.acts.house import House
from helper.acts.ledger import Span, Sums
from helper.acts.menu_wishes import says
from helper.acts.periods import Cooked, Period, a_head_a_day, dishes, flow_of, flow_over, periods
from helper.acts.yardstick import as_json, beside
from helper.answers import Bars, Block, Column, Say, Table
from helper.household.journal import Event
from helper.kitchen.amounts import number_written
from helper.kitchen.money import NOTHING, plain, written
from helper.reading.frame import number
from helper.reading.reading import Reading

_SHOWN = 10
_KINDS = ("thrown", "cooked", "bought", "spent")


def focus(reading: Reading) -> str | None:
    """What a look back asks about above all: cooked, thrown, bought or spent; None for all."""
    if reading.recipes or reading.foods:
        return None
    return next((kind for kind in _KINDS if says(reading.said, f"look_{kind}")), None)


def about(event: Event, kind: str | None) -> bool:
    """Whether a change belongs to what was asked about."""
    if kind == "cooked":
        return event.act == kind
    flow = flow_of(event)
    return {"thrown": flow.thrown > 0, "bought": flow.came > 0}.get(kind or "", True)


def headline(kind: str | None, sums: Sums, house: House) -> str | None:
    """The first sentence where one thing was asked about; None leaves it to the sums."""
    if kind in ("thrown", "spent", "bought"):
        money, done = (sums.wasted, "thrown out") if kind == "thrown" else (sums.spent, "spent")
        return f"{written(money, house.currency) if money else 'nothing'} {done}"
    if kind != "cooked":
        return None
    made = dishes(sums, ())
    times = sum(one.times for one in made)
    if not times:
        return "nothing is down as made"
    eaten = written(flow_over(sums.events).eaten, house.currency)
    return f"{times} dishes made, {eaten} eaten" if times > 1 else f"1 dish made, {eaten} eaten"


def deeper(
    reading: Reading, house: House, sums: Sums, span: Span
) -> tuple[list[Block], dict[str, Any]]:
    """Blocks and reply fields over a span of days, what was asked about most first."""
    flow = flow_over(sums.events)
    cut = periods(sums, span)
    made = dishes(sums, house.books.remarks())
    heads = sum(one.portion for one in house.books.people() if one.home)
    each = a_head_a_day(flow.eaten, heads, sums, span)
    blocks: list[Block] = []
    if flow.eaten:
        said = f"Eaten: {written(flow.eaten, house.currency)}"
        if each is not None:
            said += f", {written(each, house.currency)} a head a day for {number_written(heads)}"
        blocks.append(Say(f"{said}."))
        if focus(reading) != "thrown":
            blocks += [Say(one, "quiet") for one in beside(each, house.currency)]
    asked = focus(reading)
    looks = {kind: kind == asked for kind in _KINDS}
    everything = asked is None
    if made and (looks["cooked"] or everything):
        blocks.append(_made_table(made, house))
    if len(cut) > 1:
        for kind, title in (("spent", "Spent"), ("cooked", "Eaten"), ("thrown", "Thrown out")):
            if looks[kind] or (everything and kind != "cooked"):
                blocks += _bars(cut, kind, title, house)
    wasted = _by_food(sums.thrown)
    if looks["thrown"] and len(wasted) > 1:
        rows = tuple((food, float(cost), written(cost, house.currency)) for food, cost in wasted)
        blocks.append(Bars(rows[:_SHOWN], "What was thrown out"))
    return blocks, {
        "eaten": plain(flow.eaten),
        "given": plain(flow.given),
        "counted_off": plain(flow.counted),
        "per_head_day": plain(each),
        "yardstick": as_json(house.currency),
        "periods": [_period_json(one) for one in cut],
        "cooked": [_cooked_json(one) for one in made],
    }


def _by_food(lots: Sequence[tuple[Any, Decimal]]) -> list[tuple[str, Decimal]]:
    sums: dict[str, Decimal] = {}
    for lot, cost in lots:
        sums[lot.food] = sums.get(lot.food, NOTHING) + cost
    return sorted(sums.items(), key=lambda one: -one[1])


def _bars(cut: Sequence[Period], kind: str, title: str, house: House) -> list[Block]:
    """One bar a week or month; nothing where there is nothing to compare."""
    values = {
        "spent": [one.spent for one in cut],
        "cooked": [one.flow.eaten for one in cut],
        "thrown": [one.flow.thrown for one in cut],
    }[kind]
    if sum(value > 0 for value in values) < 2:
        return []
    rows = tuple(
        (_label(one.span), float(max(value, NOTHING)), written(value, house.currency))
        for one, value in zip(cut, values, strict=True)
    )
    by = "month" if (cut[0].span.last - cut[0].span.first).days > 7 or len(cut) > 11 else "week"
    return [Bars(rows, f"{title} by the {by}")]


def _label(span: Span) -> str:
    if span.first == span.last:
        return f"{span.last.day} {span.last:%b}"
    if span.first.month == span.last.month:
        return f"{span.first.day} to {span.last.day} {span.last:%b}"
    return f"{span.first.day} {span.first:%b} to {span.last.day} {span.last:%b}"


def _made_table(made: Sequence[Cooked], house: House) -> Table:
    rows = tuple(
        (
            one.recipe,
            f"{one.times} times" if one.times > 1 else "once",
            f"{one.last:%a} {one.last.day} {one.last:%b}",
            written(one.cost, house.currency),
            one.verdict or "",
        )
        for one in made[:_SHOWN]
    )
    columns = (
        Column("Made"),
        Column(""),
        Column("Last"),
        Column("Cost", right=True),
        Column("Verdict"),
    )
    return Table(columns, rows)


def _period_json(one: Period) -> dict[str, Any]:
    return {
        "from": one.span.first.isoformat(),
        "to": one.span.last.isoformat(),
        "spent": plain(one.spent),
        "eaten": plain(one.flow.eaten),
        "wasted": plain(one.flow.thrown),
        "cooked": one.cooked,
    }


def _cooked_json(one: Cooked) -> dict[str, Any]:
    return {
        "recipe": one.recipe,
        "times": one.times,
        "servings": number(one.servings),
        "cost": plain(one.cost),
        "last": one.last.isoformat(),
        "verdict": one.verdict,
    }

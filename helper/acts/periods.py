"""The books week by week and month by month: spent, eaten, thrown out, and a head a day.

What moved in the stock is worth what the lots were worth before, in cents, less what they are
worth after; so what is spent is always what is eaten, thrown out, given away, counted off and
still here, to the cent.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal

import msgspec

from helper.acts.ledger import THROWN, Span, Sums, day_of
from helper.household.journal import Event
from helper.household.pages import title_key
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, to_cents
from helper.kitchen.recipes import Remark
from helper.kitchen.stock import booked

MOVED = "moved"
GIVEN = "given"
COUNTED = ("recount",)
# Up to so many days are told by the week, more by the month.
_BY_WEEK = 70


class Flow(msgspec.Struct, frozen=True):
    """Where the money in the stock went, each in cents."""

    came: Decimal = NOTHING
    eaten: Decimal = NOTHING
    thrown: Decimal = NOTHING
    given: Decimal = NOTHING
    counted: Decimal = NOTHING

    def plus(self, other: Flow) -> Flow:
        """Both together."""
        return Flow(
            self.came + other.came,
            self.eaten + other.eaten,
            self.thrown + other.thrown,
            self.given + other.given,
            self.counted + other.counted,
        )


class Period(msgspec.Struct, frozen=True):
    """A week or a month: what was paid in it, where the food went, how many dishes were made."""

    span: Span
    spent: Decimal
    flow: Flow
    cooked: int


class Cooked(msgspec.Struct, frozen=True):
    """A dish over some days: how often, for how many, what it cost, how it was liked."""

    recipe: str
    times: int
    servings: float
    cost: Decimal
    last: dt.date
    verdict: str | None = None


def lot_worth(lot: Lot | None) -> Decimal:
    """The money still in a lot, in cents; nothing for lots without a price."""
    if lot is None:
        return NOTHING
    return booked(lot, lot.left.number) or NOTHING


def flow_of(event: Event) -> Flow:
    """The money one change moved."""
    if event.meta.get("fate") == MOVED:
        return Flow()  # the money stands where it stood, in another place of the house
    came = gone = NOTHING
    for change in event.changes:
        if change.table != "stock":
            continue
        before, after = change.record_before(), change.record_after()
        moved = lot_worth(after) - lot_worth(before)
        if before is None and after is not None and after.made_from is None:
            came += moved
        else:
            gone -= moved
    if event.act in COUNTED:
        return Flow(counted=gone - came)
    if event.meta.get("fate") == THROWN:
        return Flow(came, thrown=gone)
    if event.meta.get("fate") == GIVEN:
        return Flow(came, given=gone)
    return Flow(came, eaten=gone)


def flow_over(events: Iterable[Event]) -> Flow:
    """The money all these changes moved."""
    total = Flow()
    for event in events:
        total = total.plus(flow_of(event))
    return total


def periods(sums: Sums, span: Span) -> tuple[Period, ...]:
    """The span cut into weeks (Monday to Sunday) or months, oldest first."""
    days = (span.last - span.first).days + 1
    cut = _week if days <= _BY_WEEK else _month
    spent: defaultdict[Span, Decimal] = defaultdict(lambda: NOTHING)
    flows: defaultdict[Span, Flow] = defaultdict(Flow)
    cooked: Counter[Span] = Counter()
    day = span.first
    order: list[Span] = []
    while day <= span.last:
        order.append(cut(day))
        day = order[-1].last + dt.timedelta(days=1)
    for lot, cost in sums.bought:
        if lot.bought is not None:
            spent[cut(lot.bought)] += cost
    for event in sums.events:
        where = cut(day_of(event))
        flows[where] = flows[where].plus(flow_of(event))
        cooked[where] += len(_dishes(event))
    return tuple(
        Period(
            Span(max(one.first, span.first), min(one.last, span.last)),
            spent[one],
            flows[one],
            cooked[one],
        )
        for one in order
    )


def _week(day: dt.date) -> Span:
    first = day - dt.timedelta(days=day.weekday())
    return Span(first, first + dt.timedelta(days=6))


def _month(day: dt.date) -> Span:
    first = day.replace(day=1)
    after = (first + dt.timedelta(days=31)).replace(day=1)
    return Span(first, after - dt.timedelta(days=1))


def _dishes(event: Event) -> list[dict[str, object]]:
    made = event.meta.get("made")
    return [one for one in made if isinstance(one, dict)] if isinstance(made, list) else []


def titles_made(event: Event) -> tuple[str, ...]:
    """The dishes a change put down as made."""
    return tuple(str(one.get("recipe")) for one in _dishes(event))


def dishes(sums: Sums, remarks: Sequence[Remark]) -> tuple[Cooked, ...]:
    """What was cooked, the most often first; the newest verdict on each beside it."""
    verdicts = {title_key(one.recipe): one.verdict for one in remarks if one.verdict}
    found: dict[str, Cooked] = {}
    for event in reversed(sums.events):
        for one in _dishes(event):
            title = str(one.get("recipe"))
            servings = one.get("servings")
            cost = one.get("cost")
            before = found.get(title)
            found[title] = Cooked(
                title,
                (before.times if before else 0) + 1,
                (before.servings if before else 0.0)
                + (float(servings) if isinstance(servings, int | float) else 0.0),
                (before.cost if before else NOTHING)
                + (Decimal(cost) if isinstance(cost, str) else NOTHING),
                day_of(event),
                verdicts.get(title_key(title)),
            )
    return tuple(sorted(found.values(), key=lambda one: (-one.times, one.recipe)))


def a_head_a_day(eaten: Decimal, heads: float, sums: Sums, span: Span) -> Decimal | None:
    """Eaten cost of one adult portion's share of a day, from the first day anything was used.

    None where nobody is known to eat here or nothing was eaten.
    """
    used = [day_of(event) for event in sums.events if flow_of(event).eaten > 0]
    if not used or not heads:
        return None
    days = (span.last - min(used)).days + 1
    return to_cents(eaten / Decimal(repr(heads * days)))

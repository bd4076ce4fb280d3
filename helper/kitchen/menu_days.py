"""Which dish on which day: what is due comes early, the same dish comes far apart."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import msgspec

# A day late for something due weighs more than two equal dinners a day nearer to each other.
_LATE, _NEAR = 20.0, 6.0


class Slot(msgspec.Struct):
    """One day to be filled; `group` is the group of days it belongs to."""

    date: dt.date
    group: int
    dish: int | None = None


def assign(
    taken: Sequence[Mapping[int, int]],
    days: Sequence[tuple[dt.date, int]],
    due: Mapping[int, dt.date],
    window: int,
    rests: Mapping[int, int] | None = None,
) -> list[tuple[dt.date, int]]:
    """Dishes to days.

    `taken` gives the dishes of every group and last those of the days without wishes; `days` are
    the dates with the number of their group. A day whose wish was given up takes one of the last.
    `rests` names, where there are several tables, the group of plain days each group belongs to.
    `due` tells by when a dish should be cooked; `window` how many days apart equal dishes lie.
    """
    rests = rests or dict.fromkeys(range(len(taken)), len(taken) - 1)
    slots = [Slot(date, group) for date, group in sorted(days)]
    for group, rest in sorted(rests.items(), key=lambda one: (one[0] == one[1], one[0])):
        waiting = _spread(taken[group], due)
        for slot in slots:
            if slot.group == group and slot.dish is None:
                slot.dish = waiting.pop(0) if waiting else None
                slot.group = group if slot.dish is not None else rest
    _improve(slots, due, window)
    return [(slot.date, slot.dish) for slot in slots if slot.dish is not None]


def _spread(dishes: Mapping[int, int], due: Mapping[int, dt.date]) -> list[int]:
    """Each dish once, the most pressing first, then the second helpings, and so on."""
    order = sorted(dishes, key=lambda dish: (due.get(dish, dt.date.max), dish))
    most = max(dishes.values(), default=0)
    return [dish for turn in range(most) for dish in order if dishes[dish] > turn]


def _improve(slots: list[Slot], due: Mapping[int, dt.date], window: int) -> None:
    """Trades dishes between days of one group as long as that makes things better."""
    best = _badness(slots, due, window)
    better = True
    while better:
        better = False
        for here, one in enumerate(slots):
            for other in slots[here + 1 :]:
                if one.group != other.group or one.dish == other.dish:
                    continue
                one.dish, other.dish = other.dish, one.dish
                now = _badness(slots, due, window)
                if now < best - 1e-9:
                    best, better = now, True
                else:
                    one.dish, other.dish = other.dish, one.dish


def _badness(slots: Sequence[Slot], due: Mapping[int, dt.date], window: int) -> float:
    total = 0.0
    last: dict[int, dt.date] = {}
    for slot in slots:
        if slot.dish is None:
            continue
        if slot.dish in due and slot.dish not in last:
            total += _LATE * max(0, (slot.date - due[slot.dish]).days)
            total += 0.01 * (slot.date - slots[0].date).days
        if slot.dish in last:
            total += _NEAR * max(0, window - (slot.date - last[slot.dish]).days)
        last[slot.dish] = slot.date
    return total

"""Several things in one request: "used the last of the butter and add 2 lb to the list"."""

from __future__ import annotations

import datetime as dt
import re

from helper.reading.context import Context
from helper.reading.reader import Reader
from helper.reading.reading import Reading

# Where one request may end and the next begin. Lists of foods are full of "and", so a cut counts
# only if both sides are clear requests of their own.
_CUTS = re.compile(
    r"\s*(?:[.;!?]\s+(?=\w)|,?\s+and\s+(?:then\s+|also\s+|if\s+not,?\s+)?"
    r"|,\s+then\s+|,\s+also\s+|(?P<comma>,)\s+)"
)
CLEAR = 0.5
ORDERED = 0.9  # of that is enough where the second part begins as a request does


def parts(said: str, reader: Reader, today: dt.date, context: Context) -> list[Reading]:
    """The readings of one request: mostly one, two or three where it holds as many."""
    whole = reader.read(said, today, context)
    if len(said) > 400 or context.asking is not None:
        return [whole]
    for cut in _CUTS.finditer(said):
        left, right = said[: cut.start()].strip(), said[cut.end() :].strip()
        if len(left.split()) < 2 or len(right.split()) < 2:
            continue
        first = reader.read(left, today, context)
        if first.act is None or first.question is not None or first.likeness < CLEAR:
            continue
        then = Context(
            last=first,
            recipes=first.recipes or context.recipes,
            foods=first.foods or context.foods,
            people=first.people or context.people,
            offered=context.offered,
        )
        if not reader.starts_anew(right, today) or (cut["comma"] and not reader.orders(right)):
            continue
        second = reader.read(right, today, then)
        if second.act in (None, "help") or second.question is not None or second.likeness < CLEAR:
            continue
        both = first.likeness + second.likeness
        needed = 2 * whole.likeness * (ORDERED if reader.orders(right) else 1.0)
        if first.act == second.act or both < needed:
            continue
        return [first, *parts(right, reader, today, then)]
    return [whole]

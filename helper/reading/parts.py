"""Several things in one request: "used the last of the butter and add 2 lb to the list"."""

from __future__ import annotations

import datetime as dt
import re

from msgspec.structs import replace

from helper.reading.acts import acts
from helper.reading.changes import SAFE
from helper.reading.context import Context
from helper.reading.pasted import KEEP
from helper.reading.reader import Reader, after_dropping
from helper.reading.reading import Reading

# Where one request may end and the next begin. Lists of foods are full of "and", so a cut counts
# only if both sides are clear requests of their own.
_CUTS = re.compile(
    r"\s*(?:[.;!?]\s+(?=\w)|,?\s+and\s+(?:then\s+|also\s+|if\s+not,?\s+)?"
    r"|,\s+then\s+|,\s+also\s+|(?P<comma>,)\s+)"
)
CLEAR = 0.5
ORDERED = 0.9  # of that is enough where the second part begins as a request does
TOLD = 0.9  # likeness of something told, so that what stands behind its comma is another thing
PERSON, USED, COUNTED = "set-person", "use-stock", "recount"


def parts(said: str, reader: Reader, today: dt.date, context: Context) -> list[Reading]:
    """The readings of one request: mostly one, two or three where it holds as many."""
    said = after_dropping(said)
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
        if first.act == KEEP and ":" in left:
            return [replace(first, said=said)]  # all that follows belongs to the recipe
        then = Context(
            last=first,
            recipes=first.recipes or context.recipes,
            foods=first.foods or context.foods,
            people=first.people or context.people,
            offered=context.offered,
        )
        asked = _is_told(first) and reader.begins(right, "questioning")
        ordered = reader.begins(right, "ordering") or asked
        second = reader.read(right, today, then)
        both_told = _is_told(first) and _is_told(second)
        anew = reader.starts_anew(right, today)
        if not anew and not (both_told and whole.likeness < TOLD):
            continue
        if second.act in (None, "help") or second.question is not None or second.likeness < CLEAR:
            continue
        if second.act == KEEP and not (second.foods or second.recipes):
            continue  # "write that down" is said of what stands before it
        if (eaters := _who_comes(first, second)) is not None:
            return [eaters]
        if cut["comma"] and not (ordered or both_told):
            continue
        both = first.likeness + second.likeness
        needed = 2 * whole.likeness * (ORDERED if ordered else 1.0)
        if first.act == second.act or both < needed or _is_the_rest(first, second):
            continue
        return [first, *parts(right, reader, today, then)]
    return [whole]


def _is_told(reading: Reading) -> bool:
    """True for something plainly told, that changes the books."""
    told = reading.act is not None and acts()[reading.act].changes
    return told and reading.likeness >= TOLD


def _is_the_rest(first: Reading, second: Reading) -> bool:
    """ "Used a pound, so we're down to one": the books know what is left by themselves."""
    return first.act == USED and second.act == COUNTED and set(second.foods) <= set(first.foods)


def _who_comes(first: Reading, second: Reading) -> Reading | None:
    """ "Does it have fish in it? Bertil is coming": asked for Bertil's sake."""
    if first.act != SAFE or second.act != PERSON or second.diets or second.without:
        return None
    if first.people or not second.people:
        return None
    evidence = (*first.evidence, *second.evidence)
    return replace(first, people=second.people, evidence=evidence)

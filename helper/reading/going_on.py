"""The open request said again with what changed in it, marked where it replaces what was done."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from helper.kitchen.words import key
from helper.reading.acts import acts
from helper.reading.changes import goes_alike, goings, guarded, is_further
from helper.reading.context import Context
from helper.reading.heard import Heard
from helper.reading.reading import Question, Reading

# A mark on requests that take the place of the change just made; with the other, of the one before.
AMENDS, EARLIER = "amends", "earlier"
# What was said of the thing before, and holds for no other.
_OF_ONE_THING = ("amounts", "money", "per", "until", "servings", "scale")
_MARKS = (AMENDS, EARLIER, "correction")


def gone_on(
    heard: Heard, context: Context, base: Reading, fields: dict[str, Any], *, amends: bool
) -> Reading:
    """The whole request. One that is told more of keeps its own words, for what they tell."""
    marks = [mark for mark in base.marks if mark not in _MARKS]
    if heard.has("everyone"):
        marks.append("everyone")
    if fields.get("scale") and acts()[base.act or ""].prefers == "food":
        marks = [*(mark for mark in marks if mark != "last"), "half_left"]  # "half of it"
    further = "only" not in fields and is_further(heard, base, fields)
    fields = {"only": (), **fields}
    if amends and not further and (context.done or context.asking is not None):
        fields = _with_the_rest(base, fields)
    if amends and context.done:
        marks.append(AMENDS)
    if further and context.done and not goes_alike(heard):
        fresh = {name: () if name == "amounts" else None for name in _OF_ONE_THING}
        fields = {**fresh, "without": (), "diets": (), **fields}
    same = not any(fields.get(name) for name in ("foods", "recipes", "people"))
    said, evidence = heard.said, heard.evidence
    righted = _righted_words(base, fields) if amends and acts()[base.act or ""].avoids else None
    if righted is not None:
        said = righted
    elif base.said and (same or amends):
        said, evidence = f"{base.said}; {said}", (*base.evidence, *evidence)
    return replace(
        base,
        **{**fields, "said": said, "evidence": evidence, "marks": tuple(dict.fromkeys(marks))},
        question=_unsettled(base, context, fields),
        pick=None,
        likeness=0.0,  # it is told by rule, and like no example
        margin=0.0,
    )


def _with_the_rest(base: Reading, fields: dict[str, Any]) -> dict[str, Any]:
    """One thing of several put right: the others stay as they were told.

    A sum said of it is what it cost by itself.
    """
    foods = tuple(fields.get("foods") or ())
    if not goings()[base.act or ""].lists or not foods or not set(foods) < set(base.foods):
        return fields
    told = {one.food: one for one in fields.get("amounts") or ()}
    paid = fields.get("money")
    fields = {**fields, "foods": base.foods, "only": foods}
    amounts = tuple(told.pop(one.food, one) for one in base.amounts) + tuple(told.values())
    if paid is not None and len(foods) == 1:
        each = fields.pop("per", None) == "each"
        amounts = tuple(
            replace(one, price=paid, each=each) if one.food == foods[0] else one for one in amounts
        )
        fields["money"] = base.money
    return {**fields, "amounts": amounts}


def _righted_words(base: Reading, fields: dict[str, Any]) -> str | None:
    """The sentence before with the right name in it, where one thing stands in another's place.

    Such acts read their words again: "Dov can't have eggs; no, milk" would tell of both.
    """
    said = base.said
    for name in ("people", "without", "diets"):
        old = [one for one in getattr(base, name) if one not in fields.get(name, (one,))]
        new = [one for one in fields.get(name, ()) if one not in getattr(base, name)]
        if not old and not new:
            continue
        if len(old) != 1 or len(new) != 1:
            return None
        typed = said.split()
        length = len(key(old[0]))
        keys = [key(" ".join(typed[at : at + length])) for at in range(len(typed))]
        at = keys.index(key(old[0])) if key(old[0]) in keys else None
        if at is None:
            return None
        said = " ".join([*typed[:at], new[0], *typed[at + length :]])
    return said if said != base.said else None


def _unsettled(base: Reading, context: Context, fields: dict[str, Any]) -> Question | None:
    """The question which of several was meant, where a change still hangs on it."""
    asking = context.asking
    question = asking.question if asking is not None and asking.act == base.act else None
    if question is None or not question.choices or question.about in fields:
        return None
    return question if guarded(base.act) else None

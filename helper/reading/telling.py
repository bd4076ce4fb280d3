"""Sentences that tell more of the open request, though a follow-up of bare words could not.

"It was 3.49" and "they're in the fridge" are told of what was just done, "something without
potatoes" and "cheaper, under 20" of what was asked for. Each way gives None where it does not
hold.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from helper.reading.acts import acts
from helper.reading.changes import as_told_before, bare_number, changes, goings, guarded
from helper.reading.context import Context
from helper.reading.fields import FIELD_OF
from helper.reading.going_on import gone_on
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.spans import Span
from helper.reading.vocabulary import phrase_from

BOUGHT, COOKED = "add-stock", "cooked"
# Acts of which a wish more asks for others of the same sort.
_OFFERING = ("goes-with", "swap", "rescue")
# Acts that show what is there, of which a part cannot be asked for by what people do not eat.
_SHOWING = ("use-soon", "stock")
_PASSED_OVER = 1  # words of a wish that no table knows: "nothing spicy"
_SUMS = ("money", "price?")
# What may be told beside who comes to table, and how many words of it tell nothing.
_WITH_GUESTS = frozenset({"person", "without", "servings", "date", "amount", "pronoun"})
_IN_PASSING = 4
# Numbers that make a wish narrower: "quicker, 20 minutes".
_LIMITS = ("money", "price?", "limit?", "minutes", "servings", "days", "per")


def _told_of_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "It was 3.49", "they're in the fridge", "that was on Monday"."""
    base = context.open
    hit = heard.opens("of_it")
    if base is None or base.act is None or hit is None or heard.asks:
        return None
    told = {s.kind for s in heard.spans if s.end > hit[1]} - {"pronoun"}
    takes = acts()[base.act].takes | {"per", "until", "shop"}
    fits = all(FIELD_OF.get(kind, kind) in takes for kind in told)
    if "person" in told and base.people and acts()[base.act].changes:
        return None  # whom it was told of was said
    if not told or not fits or heard.left(after=hit[1]) or heard.has("food", "recipe", "without"):
        return None
    fields = changes(heard, base, names)
    date = fields.get("date")
    if context.done and date is not None and "until" not in fields and date > heard.today:
        return None
    if not any(fields.get(name) for name in (*takes, "per")):
        return None
    return gone_on(heard, context, base, fields, amends=context.done)


def _rather(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Cheaper, say $35", "quicker, 20 minutes": the same wish, with a limit of its own."""
    base = context.open
    hit = heard.opens("comparing")
    if base is None or base.act is None or hit is None or guarded(base.act):
        return None
    kinds = {s.kind for s in heard.spans if s.start >= hit[1]} - {"pronoun"}
    wished = acts()[base.act].lists and not acts()[base.act].changes
    if (
        not wished
        or not kinds <= {*_LIMITS}
        or not kinds
        or heard.left(after=hit[1], besides=("total",))
    ):
        return None
    return gone_on(heard, context, base, changes(heard, base, names), amends=context.done)


def _wish(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Something without potatoes", "nothing spicy, and no mushrooms": said of what was asked for.

    Where the open request cannot take it, it is not understood; it makes no rule of the house.
    """
    base = context.open
    hit = heard.opens("wishing")
    if base is None or base.act is None or hit is None or guarded(base.act):
        return None
    kinds = {s.kind for s in heard.spans}
    left = len(heard.left(after=hit[1]))
    if kinds == {"place"} and base.act in _SHOWING and left <= _PASSED_OVER:
        place = {"place": next(s.value for s in heard.spans)}
        return gone_on(heard, context, base, place, amends=False)
    if not kinds or not kinds <= {"without", "diet", "person"} or left > _PASSED_OVER:
        return None
    if acts()[base.act].lists or base.act in _OFFERING:
        takes = acts()[base.act].takes
        fields = {name: value for name, value in changes(heard, base, names).items() if value}
        if set(fields) <= takes and fields:
            return gone_on(heard, context, base, fields, amends=context.done)
        return None
    return Reading(said=heard.said) if left == 0 and base.act in _SHOWING else None


def _at_table(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Bertil will be home, so you know", "oh, Dov's coming, no pork then": who eats it too.

    It is told for the sake of what was asked for, and nothing new of the person.
    """
    base = context.open
    if base is None or base.act is None or guarded(base.act) or heard.asks:
        return None
    kinds = {s.kind for s in heard.spans}
    if "person" not in kinds or not kinds <= _WITH_GUESTS or "people" not in acts()[base.act].takes:
        return None
    if not heard.says("at_table") or heard.says("not_at_table") or heard.says("only_people"):
        return None
    rest = heard.left(besides=("at_table", "filler", "after_all", "now"))
    if len(rest) > _IN_PASSING:
        return None
    fields = changes(heard, base, names)
    told = {name: fields[name] for name in ("without", "servings") if fields.get(name)}
    told.setdefault("servings", base.servings)
    told["people"] = tuple(dict.fromkeys((*base.people, *fields.get("people", ()))))
    return gone_on(heard, context, base, told, amends=context.done)


def _paid_there(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "3.19 at the mill", said of what was just bought: the price, in a shop not known."""
    base = context.open
    if base is None or base.act != BOUGHT or base.money is not None or heard.asks:
        return None
    sums = [s for s in heard.spans if s.kind in _SUMS]
    others = {s.kind for s in heard.spans} - {*_SUMS, "per", "shop"}
    if len(sums) != 1 or sums[0].start > 1 or others or len(heard.left()) > 3:
        return None
    if not phrase_from(heard.found, sums[0].end, "seen"):
        return None
    fields = changes(heard, base, names)
    told = {name: value for name, value in fields.items() if name in ("money", "per", "shop")}
    if "money" not in told or "money" not in goings()[BOUGHT].tells:
        return None
    return gone_on(heard, context, base, told, amends=context.done)


def _paid_for_one(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "The mince was 9.20", said of one of the things just bought."""
    base = context.open
    waits = context.done or context.asking is not None
    if base is None or base.act != BOUGHT or not waits or heard.asks:
        return None
    foods = [s for s in heard.spans if s.kind == "food"]
    others = {s.kind for s in heard.spans} - {*_SUMS, "per", "food", "amount", "limit?"}
    was = [at for at in range(len(heard.found)) if phrase_from(heard.found, at, "came_to")]
    if len(foods) != 1 or others or len(was) != 1 or was[0] < foods[0].end:
        return None
    rest = [word for word in heard.left() if word is not heard.found[was[0]]]
    sums = [s for s in heard.spans if s.start > was[0] and s.kind in (*_SUMS, "amount", "limit?")]
    paid = [_sum_of(heard, s) for s in sums]
    if rest or len(paid) != 1 or paid[0] is None:
        return None
    each = any(s.kind == "per" and s.value == "each" for s in heard.spans)
    said = {"foods": (foods[0].value,), "money": paid[0], "per": "each" if each else None}
    told = as_told_before(said, base, names)
    told["only"] = told["foods"]
    if not set(told["foods"]) <= set(base.foods):
        return None
    return gone_on(heard, context, base, told, amends=True)


def _sum_of(heard: Heard, span: Span) -> Decimal | None:
    """The sum that a number is: "9.20", "4 pounds", a bare "4"."""
    if span.kind in _SUMS:
        value: Decimal = span.value[0]
        return value
    number = bare_number(heard, span)
    return None if number is None else Decimal(repr(number))


def _left_of_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Froze half", "three portions left over", told of the dish just made."""
    base = context.open
    if base is None or base.act != COOKED or not context.done or heard.asks:
        return None
    hits = [(at, phrase_from(heard.found, at, "put_by")) for at in range(len(heard.found))]
    left = [heard.found[i] for at, hit in hits if hit for i in range(at, hit[1])]
    others = {s.kind for s in heard.spans} - {"amount", "servings", "scale", "place", "pronoun"}
    rest = [w for w in heard.left() if w not in left and not is_small(w, "filler", "some")]
    if not left or others or rest:
        return None
    fields: dict[str, Any] = {}
    places = [s.value for s in heard.spans if s.kind == "place"]
    if places:
        fields["place"] = places[-1]
    return gone_on(heard, context, base, fields, amends=True)


# In this order; the first that holds is taken.
TELLINGS = (_left_of_it, _paid_for_one, _told_of_it, _rather, _wish, _at_table, _paid_there)

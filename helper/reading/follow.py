"""Sentences that only make sense after another one: corrections, follow-ups, one of a list.

Each resolves to the whole request it stands for. Where that request has changed the books
already, one that is put right or told more of takes the place of what was done (`AMENDS`); a
further thing ("and a yogurt") is done beside it. What was said is never overridden by a bare
word there: only words of correction do that.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from typing import Any

from msgspec.structs import replace

from helper.kitchen.words import key
from helper.reading.acts import acts
from helper.reading.changes import (
    SAFE,
    SHOW,
    bare_number,
    changes,
    counts,
    goings,
    guarded,
    is_further,
    listed_beside,
    refined,
    so_many_more,
)
from helper.reading.context import Context
from helper.reading.fields import FIELD_OF, fill
from helper.reading.going_on import EARLIER, gone_on
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.of_the_last import OF_THE_LAST
from helper.reading.one_of import is_title, picked_from, the_one
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.telling import TELLINGS
from helper.reading.turning import SHOPPING, TURNINGS, off_the_list
from helper.reading.vocabulary import meanings, phrase_from, spelt

UNDO, REMARK = "undo", "remark"
# What one of two compared is asked about.
_LOOKS = {"cheaper": "cost"}
# Where the open request cannot take what is said now, another about the same dish can.
_TURNS = {"diets": SAFE, "people": SAFE, "without": SHOW, "servings": SHOW}
_PLAN = "menu"  # what is bought for days and people is a menu's
_ON_THE_LIST = "missing"  # for how many things are to be bought is asked of the dish
# Conditions that stay when one dish of a list is looked at.
_KEPT = ("people", "diets", "servings")


def _righted(heard: Heard, base: Reading) -> Heard:
    """ "Not milk, buttermilk": the second is no other thing said no to, but what was meant."""
    wrong = [s for s in heard.spans if s.kind == "without"]
    if len(wrong) != 2 or heard.found[wrong[1].start].text != ",":
        return heard
    named = [span.value in base.foods for span in wrong]
    if all(named) or not (any(named) or heard.found[0].text == "not"):
        return heard
    meant = Span("food", wrong[1].start + 1, wrong[1].end, wrong[1].value)
    return replace(heard, spans=[meant if s is wrong[1] else s for s in heard.spans])


def correction(
    heard: Heard, context: Context, names: Names, told_anew: bool = False
) -> Reading | None:
    """ "no, I meant the tinned ones": the open request again, with what is put right.

    `told_anew`: what was told is told once more, whatever words open it.
    """
    base = context.open
    if base is None or base.act is None:
        return None
    if (listed := off_the_list(heard, context, names)) is not None:
        return listed
    heard = _righted(heard.without_reason(), base)
    if not (told_anew or _corrects(heard, base, names)):
        head = _numbers_first(heard, base)
        if head is None:
            return None
        alone = not head.has("food", "recipe") and len(base.amounts) == 1
        return correction(head, context, names, told_anew=context.done and alone)
    taken_back = _not_that(heard, base, context)
    if taken_back is not None:
        return taken_back
    if (chosen := the_one(heard, context, names)) is not None:
        return gone_on(heard, context, base, {"recipes": (chosen,)}, amends=True)
    fields = changes(heard, base, names, corrects=True)
    if context.done and guarded(base.act) and _of_earlier(fields, base, context, names):
        found = correction(heard, replace(context, last=context.earlier, earlier=None), names)
        return None if found is None else replace(found, marks=(*found.marks, EARLIER))
    if not fields:
        numbers = {"amount", "servings", "money", "price?", "limit?", "scale", "pronoun"}
        only_numbers = {span.kind for span in heard.spans} <= numbers
        return Reading(said=heard.said) if context.done and heard.bare and only_numbers else None
    if len(base.amounts) > 1 and fields.get("amounts") and not fields.get("foods"):
        if (counted := _so_counted(fields["amounts"], base)) is not None:
            return gone_on(heard, context, base, {**fields, **counted}, amends=True)
        return Reading(said=heard.said)  # which of them it is put right for was not said
    return gone_on(heard, context, base, fields, amends=True)


def _so_counted(said: Sequence[Said], base: Reading) -> dict[str, Any] | None:
    """ "No, make it two cans", of a can of milk and a cauliflower: of what was told in cans."""
    unit = said[0].amount.unit
    fits = [one for one in base.amounts if one.food and one.amount.unit == unit]
    if len(said) != 1 or unit is None or len(fits) != 1:
        return None
    food = fits[0].food
    return {"foods": (food,), "amounts": (replace(said[0], food=food),)}


def _corrects(heard: Heard, base: Reading, names: Names) -> bool:
    """True where what was said before is taken to be wrong."""
    found = heard.found
    strong = next(
        (hit for at in range(min(4, len(found))) if (hit := phrase_from(found, at, "correction"))),
        None,
    )
    if not heard.bare and not (strong and (heard.form() or refined(heard, base, names))):
        return False
    if strong is not None:
        return True
    if _oh_so_many(heard, base):
        return True
    slips = [at for at in range(len(found)) if phrase_from(found, at, "slip") is not None]
    if not slips:
        return heard.has("without") and heard.has("food") and not heard.opens("link")
    inside = {i for s in heard.spans if s.kind == "without" for i in range(s.start, s.end)}
    if any(at not in inside for at in slips):
        return True
    if heard.has("recipe") and _is_of(inside, heard, base):
        return True  # "not the chili, the cornbread"
    # "no pork" is a wish; after a request that can have none it is "not that, pork"
    return "without" not in acts()[base.act or ""].takes and base.act != SAFE


def _of_earlier(fields: dict[str, Any], base: Reading, context: Context, names: Names) -> bool:
    """ "Wait, 1 lb only of the beef", after beef and then an onion were taken: not the onion."""
    before = context.earlier
    foods = fields.get("foods") or ()
    if before is None or before.act != base.act or set(foods) & set(base.foods):
        return False
    return any(
        food == one or names.foods.covers(food, one) for food in foods for one in before.foods
    )


def _oh_so_many(heard: Heard, base: Reading) -> bool:
    """ "Oh, three", "two, thinking about it": the number that was just told, told again."""
    spans = [s for s in heard.spans if s.kind != "pronoun"]
    named = [s for s in spans if s.kind not in ("amount", "servings", "limit?", "price?")]
    before = base.servings or base.days or base.money or len(base.amounts) == 1
    said = heard.found[0].text in spelt("recalling") or heard.says("rethinking")
    alone = len(spans) == 1
    return bool(
        said and alone and before and not named and not heard.says("more") and not heard.asks
    )


def _numbers_first(heard: Heard, base: Reading) -> Heard | None:
    """ "No, 8. One was behind the milk": the number put right, with a word on why behind it.

    Not where what follows asks or orders something: that is a request of its own.
    """
    head = heard.head()
    if head is None or not head.bare or not base.act or heard.asks:
        return None
    rest = heard.found[len(head.found) + 1 :]
    if any(phrase_from(rest, 0, kind) for kind in ("ordering", "questioning", "link", "polite")):
        return None
    numbers = [s for s in head.spans if s.kind in ("amount", "servings", "money", "price?", "days")]
    # a further thing of a list is no reason: "no, 2 lb of beef, 3 onions"
    behind = [s for s in heard.spans if s.kind == "amount" and s.start == len(head.found) + 1]
    foods = {s.start for s in heard.spans if s.kind == "food"}
    told = any({s.end, s.end + 1} & foods for s in behind)
    return head if len(numbers) == 1 and not told else None


def _is_of(inside: set[int], heard: Heard, base: Reading) -> bool:
    """True where all words said no to are in the name of the dish that was asked about."""
    said = {heard.found[i].key for i in inside if not is_small(heard.found[i], "small", "slip")}
    return bool(said) and any(said <= set(key(title)) for title in base.recipes)


def _not_that(heard: Heard, base: Reading, context: Context) -> Reading | None:
    """ "wait, not the celery": that alone is taken back, with all that was done if it was all."""
    said_no = {s.value for s in heard.spans if s.kind == "without"}
    if not context.done or not said_no & set(base.foods) or heard.has("food", "amount"):
        return None
    foods = tuple(food for food in base.foods if food not in said_no)
    if not foods:
        return Reading(said=heard.said, act=UNDO)
    amounts = tuple(one for one in base.amounts if one.food not in said_no)
    return gone_on(heard, context, base, {"foods": foods, "amounts": amounts}, amends=True)


def follow_up(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "and for 8?", "what about gluten free", "number 2": the open request, one thing changed."""
    base = context.open
    heard = heard.without_in_it()
    for way in (_of_a_list, *OF_THE_LAST, *TURNINGS, *TELLINGS):
        reading = way(heard, context, names)
        if reading is not None:
            return reading
    sorts = refined(heard, base, names) if base is not None else ()
    if not heard.bare and not sorts:
        return None
    if base is None or base.act is None:
        return _opening(heard, names)
    counted = heard.has("amount") and len(heard.spans) == 2  # "2 of them"
    capped = heard.opens("limit") and heard.has("limit?")  # "cap it at 40"
    linked = counted or heard.opens("link") or heard.opens("making") or heard.has("scale") or capped
    if heard.has("pronoun") and not linked:
        return None
    if base.act == REMARK and not heard.names_only:
        return None  # a verdict of its own
    asks = heard.asks or _wonders(heard) or heard.opens("questioning") is not None
    if context.done and guarded(base.act) and asks:
        # a question about what was done is no more of it; it may go on from the one before
        base = context.earlier
        if base is None or base.act is None or goings()[base.act].tells:
            return None
        context = replace(context, last=base, changed=False)
    if context.done and guarded(base.act) and (before := _earlier(heard, base, context)):
        base, context = before, replace(context, last=before, changed=False)
    if context.done and guarded(base.act) and _not_of_it(heard, base):
        return Reading(said=heard.said)
    if base.act == _PLAN and (planned := _on_a_day(heard, base, names)) is not None:
        return planned
    if _names_dish(heard, base):
        return _opening(heard, names)
    fields = changes(heard, base, names)
    if sorts:  # the sort alone, and where it is: "the cooked ones in the fridge"
        place = {"place": fields["place"]} if "place" in fields else {}
        fields = {"foods": sorts, **place}
    things = [name for name in ("foods", "recipes") if name in fields]
    if things and not sorts and not _may_name(heard, base, things[0]):
        return _opening(heard, names) if things == ["recipes"] else None
    base = _turned(heard, base, context)
    if base is None:
        return Reading(said=heard.said) if heard.opens("making") and context.done else None
    if not sorts:
        fields = changes(heard, base, names)
    if not (fields or heard.has("everyone")):
        return Reading(said=heard.said) if heard.opens("making") and context.done else None
    if not may_set(heard, context, base, fields):
        return None
    return gone_on(
        heard,
        context,
        base,
        fields,
        amends=context.done and not is_further(heard, base, fields),
    )


def _not_of_it(heard: Heard, base: Reading) -> bool:
    """ "3 more" of a count, "with the ham" of a rule: said of a change that cannot take it."""
    if so_many_more(heard) and not goings()[base.act or ""].sums:
        return True
    beside = heard.found[0].text == "with" and heard.has("food")
    return beside and acts()[base.act or ""].prefers != "recipe"


def _earlier(heard: Heard, base: Reading, context: Context) -> Reading | None:
    """ "At most $30" after a menu and a word on who is away: the request that can take it."""
    before = context.earlier
    said = {FIELD_OF[span.kind] for span in heard.spans if span.kind in FIELD_OF} - {"amounts"}
    link = heard.opens("link")
    if before is None or before.act is None or guarded(before.act):
        return None
    if link and link[0] not in ("other", "more"):
        return None
    pointed = heard.has("pronoun") and not heard.opens("making")
    numbered = said and not pointed and not heard.has("food", "recipe", "person", "amount")
    return before if numbered and takes_alone(said, before, base) else None


def takes_alone(said: Set[str], before: Reading, base: Reading) -> bool:
    """True where the request before can take all of these fields, and the last one none."""
    takes, held = acts()[before.act or ""].takes, acts()[base.act or ""].takes
    return said <= takes and not said & held


def _opening(heard: Heard, names: Names) -> Reading | None:
    """ "pancakes for 10": a dish's name alone asks for its recipe."""
    beside = [t for t in heard.tokens if t.isalpha() and (t,) not in meanings("small")]
    if heard.left() or beside:
        return None
    recipes = [s for s in heard.spans if s.kind == "recipe"]
    if any(_is_past(span.value, heard) for span in heard.spans if span.kind == "date"):
        return None  # what was eaten, and not what is to be
    others = {s.kind for s in heard.spans} - {"recipe", "servings", "scale", "date"}
    if not recipes or others or any(len(s.rivals) > 1 and not s.whole for s in recipes):
        return None
    fields = fill(acts()[SHOW], heard.found, heard.spans, names.foods)
    days = [s.value for s in heard.spans if s.kind == "date"]
    if days:
        fields["date"] = days[0][0] if isinstance(days[0], tuple) else days[0]
    return Reading(said=heard.said, act=SHOW, evidence=heard.evidence, **fields)


def _on_a_day(heard: Heard, base: Reading, names: Names) -> Reading | None:
    """ "Pancakes for the Saturday", said over a menu: that dish on that day of it."""
    dishes = [s for s in heard.spans if s.kind == "recipe"]
    if len(dishes) != 1 or {s.kind for s in heard.spans} != {"recipe", "date"} or heard.asks:
        return None
    fields = fill(acts()[_PLAN], heard.found, heard.spans, names.foods)
    titles = tuple(dict.fromkeys(dishes[0].value))
    kept = {"people": base.people, "servings": base.servings}
    told = {**kept, **fields, "recipes": titles[:1], "foods": ()}
    return Reading(**told, said=heard.said, act=_PLAN, evidence=heard.evidence)


def _is_past(value: Any, heard: Heard) -> bool:
    """True for a day, or a pair of the next and the last such day, that is over for certain."""
    days = [day for day in (value if isinstance(value, tuple) else (value,)) if day is not None]
    return bool(days) and max(days) < heard.today


def _names_dish(heard: Heard, base: Reading) -> bool:
    """True where a dish is named bare after a question that was not about one."""
    act = acts()[base.act or ""]
    about_dish = act.prefers == "recipe" and base.recipes
    if about_dish or heard.opens("link") or heard.opens("into") or not heard.has("recipe"):
        return False
    return act.prefers == "recipe" or not act.changes


def _may_name(heard: Heard, base: Reading, thing: str) -> bool:
    """True where a thing named bare goes on with the same question, and asks no other."""
    if heard.opens("link"):
        return True
    act = acts()[base.act or ""]
    if thing == "foods" and goings()[base.act or ""].lists:
        return heard.has("amount") or (heard.says("more") and not heard.asks)
    if act.changes:
        return False
    if heard.opens("into") and thing in act.takes:
        return True
    if thing == "foods":
        return act.prefers == "food" or base.act == SAFE
    return act.prefers == "recipe" and bool(base.recipes)


def _turned(heard: Heard, base: Reading, context: Context) -> Reading | None:
    """The open request where it can take all that is said; or another one about the same dish."""
    takes = acts()[base.act or ""].takes | {"per", "scale", "pick"}
    said = {FIELD_OF.get(span.kind, "") for span in heard.spans} - {""}
    if heard.has("without"):
        said.add("without")
    if any(bare_number(heard, span) is not None for span in heard.spans):
        count = counts(heard, base)
        said -= {"amounts", "servings"}
        said |= {count} if count else set()
    if base.act == SAFE and base.recipes and heard.says("making") and said <= acts()[SHOW].takes:
        return replace(base, act=SHOW)
    strange = sorted(said - takes)
    if not strange:
        return base
    recipes = context.dishes(base)
    if base.act == SHOPPING and base.days and strange == ["servings"]:
        return Reading(said=heard.said, act=_PLAN, days=base.days, money=base.money)
    turn = _ON_THE_LIST if base.act == SHOPPING else _TURNS.get(strange[0])
    if turn is None or not recipes or not said <= acts()[turn].takes:
        return base if strange == ["without"] and not acts()[base.act or ""].changes else None
    servings = base.servings if "servings" in acts()[turn].takes else None
    return Reading(said=heard.said, act=turn, recipes=recipes, servings=servings)


def _wonders(heard: Heard) -> bool:
    """ "What about milk" asks something, and tells nothing."""
    link = heard.opens("link")
    return link is not None and link[0] == "asks"


def may_set(heard: Heard, context: Context, base: Reading, fields: dict[str, Any]) -> bool:
    """Whether words may change what is in the books already.

    Bare words tell more of it where that is usual, and never override; a lone number, which may
    count anything, does neither.
    """
    going = goings()[base.act or ""]
    if not context.done or not guarded(base.act) or heard.opens("link") or heard.says("more"):
        return True
    if (
        len(heard.spans) == 1
        and heard.spans[0].length == 1
        and (bare_number(heard, heard.spans[0]) is not None)
    ):
        return False
    if listed_beside(heard, base, fields) or so_many_more(heard):
        return True
    if going.lists and not going.sums and _counted_anew(fields, base):
        return True
    date = fields.get("date")
    if date is not None and "until" not in fields and date > heard.today:
        return False
    told = {name for name in fields if name not in ("per", "scale") and fields[name]}
    if heard.has("scale") and heard.has("pronoun") and told == {"amounts"}:
        return True  # "double that" leaves no doubt what of
    if base.act == SHOPPING and "amounts" in told and told <= {"amounts", "foods"}:
        return set(fields.get("foods", ())) <= set(base.foods)  # a list is no book of what was done
    return told <= going.tells and not any(getattr(base, name, None) for name in told)


def _counted_anew(fields: dict[str, Any], base: Reading) -> bool:
    """ "Yeast 2", after one jar of yeast was to be kept: a level is one number, the last told."""
    told = {name for name, value in fields.items() if value and name not in ("per", "scale")}
    return told == {"foods", "amounts"} and set(fields["foods"]) <= set(base.foods)


# -- one of several ---------------------------------------------------------------------------


def _of_a_list(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "number 2", "the second one for 8", "the pea one": a dish of those just spoken of."""
    pick = next((int(s.value) for s in heard.spans if s.kind == "ordinal"), None)
    if pick is None and context.fresh:
        pick = heard.only_number()
    if pick is not None:
        bare = heard.bare or not heard.left(besides=("how_made", "lead_in"))
        chosen = picked_from(context, pick) if bare else None
    else:
        chosen = the_one(heard, context, names)
    if chosen is None or not is_title(chosen, names):
        return None
    base = context.open
    told = ("servings", "scale", "person", "diet", "without")
    spans = [s for s in heard.spans if s.kind in told]
    if base is not None and base.act and base.recipes and acts()[base.act].prefers == "recipe":
        fields = fill(acts()[base.act], heard.found, spans, names.foods)
        return gone_on(heard, context, base, {**fields, "recipes": (chosen,)}, amends=False)
    looks = _LOOKS.get(base.act or "", SHOW) if base is not None else SHOW
    act = SAFE if _asked_for_whom(heard) else looks
    fields = fill(acts()[act], heard.found, spans, names.foods)
    kept = {name: getattr(base, name) for name in _KEPT if base is not None}
    return Reading(
        **{**kept, **fields}, said=heard.said, act=act, recipes=(chosen,), pick=pick,
        evidence=heard.evidence,
    )  # fmt: skip


def _asked_for_whom(heard: Heard) -> bool:
    """ "Is the first one ok for Fenn", "can Fenn have number 2": a verdict is asked."""
    link = heard.opens("link")
    hit = phrase_from(heard.found, link[1] if link else 0, "asked_of")
    if hit is None or not heard.has("person", "diet"):
        return False
    return any(s.start == hit[1] and s.kind in ("ordinal", "person") for s in heard.spans)

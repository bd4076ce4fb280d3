"""Sentences that only make sense after another one: corrections, follow-ups, one of a list.

Each resolves to the whole request it stands for. Where that request has changed the books
already, one that is put right or told more of takes the place of what was done (`AMENDS`); a
further thing ("and a yogurt") is done beside it. What was said is never overridden by a bare
word there: only words of correction do that.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.quantities import Measured
from helper.kitchen.words import Word, key, words
from helper.reading.acts import acts
from helper.reading.context import Context
from helper.reading.fields import FIELD_OF, fill
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names, avoid_words
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

# A mark on requests that take the place of the change just made.
AMENDS = "amends"
SHOW, SAFE, SWAP, UNDO = "show-recipe", "safe-for", "swap", "undo"
# Where the open request cannot take what is said now, another about the same dish can.
_TURNS = {"diets": SAFE, "people": SAFE, "without": SHOW, "servings": SHOW}
# Conditions that stay when one dish of a list is looked at.
_KEPT = ("people", "diets", "servings", "without")
_MARKS = (AMENDS, "correction")


class Going(msgspec.Struct, frozen=True):
    """How an act is gone on with: fields further things are added to, what a number counts."""

    gathers: frozenset[str]
    count: str | None


@cache
def goings() -> dict[str, Going]:
    """Every act by name, from `follow_ups.csv`."""
    with (Path(__file__).parent / "follow_ups.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["act"]: Going(frozenset(row["gathers"].split()), row["count"] or None)
            for row in csv.DictReader(file)
        }


def correction(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "no, I meant the tinned ones": the open request again, with what is put right."""
    base = context.open
    if base is None or base.act is None or not _corrects(heard, base):
        return None
    taken_back = _not_that(heard, base, context)
    if taken_back is not None:
        return taken_back
    if (chosen := _the_one(heard, context, names)) is not None:
        return _gone_on(heard, context, base, {"recipes": (chosen,)}, amends=True)
    fields = _changes(heard, base, names, corrects=True)
    if not fields:
        return None
    return _gone_on(heard, context, base, fields, amends=True)


def _corrects(heard: Heard, base: Reading) -> bool:
    """True where what was said before is taken to be wrong."""
    found = heard.found
    strong = next(
        (hit for at in range(min(4, len(found))) if (hit := phrase_from(found, at, "correction"))),
        None,
    )
    if not heard.bare and not (strong and heard.form()):
        return False
    if strong is not None:
        return True
    slips = [at for at in range(len(found)) if phrase_from(found, at, "slip") is not None]
    if not slips:
        return heard.has("without") and heard.has("food") and not heard.opens("link")
    inside = {i for s in heard.spans if s.kind == "without" for i in range(s.start, s.end)}
    if any(at not in inside for at in slips):
        return True
    # "no pork" is a wish; after a request that can have none it is "not that, pork"
    return "without" not in acts()[base.act or ""].takes and base.act != SAFE


def _not_that(heard: Heard, base: Reading, context: Context) -> Reading | None:
    """ "wait, not the celery": that alone is taken back, with all that was done if it was all."""
    said_no = {s.value for s in heard.spans if s.kind == "without"}
    if not context.done or not said_no & set(base.foods) or heard.has("food", "amount"):
        return None
    foods = tuple(food for food in base.foods if food not in said_no)
    if not foods:
        return Reading(said=heard.said, act=UNDO)
    amounts = tuple(one for one in base.amounts if one.food not in said_no)
    return _gone_on(heard, context, base, {"foods": foods, "amounts": amounts}, amends=True)


def follow_up(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "and for 8?", "what about gluten free", "number 2": the open request, one thing changed."""
    base = context.open
    for way in (_of_a_list, _lacking, _without_it):
        reading = way(heard, context, names)
        if reading is not None:
            return reading
    refined = _refined(heard, base, names) if base is not None and heard.left() else ()
    if not heard.bare and not refined:
        return None
    if base is None or base.act is None:
        return _opening(heard, names)
    if heard.has("pronoun") and not heard.opens("link"):
        return None
    if context.done and acts()[base.act].changes and heard.asks:
        return None  # a question about what was done is no more of it
    if _names_dish(heard, base):
        return _opening(heard, names)
    fields = {"foods": refined} if refined else _changes(heard, base, names)
    things = [name for name in ("foods", "recipes") if name in fields]
    if things and not refined and not _may_name(heard, base, things[0]):
        return _opening(heard, names) if things == ["recipes"] else None
    base = _turned(heard, base, context)
    if base is None:
        return None
    if not refined:
        fields = _changes(heard, base, names)
    if not fields or not _may_set(heard, context, base, fields):
        return None
    return _gone_on(
        heard, context, base, fields, amends=context.done and not _further(heard, fields)
    )


def _opening(heard: Heard, names: Names) -> Reading | None:
    """ "pancakes for 10": a dish's name alone asks for its recipe."""
    recipes = [s for s in heard.spans if s.kind == "recipe"]
    others = {s.kind for s in heard.spans} - {"recipe", "servings", "scale", "per"}
    if not recipes or others or any(len(s.rivals) > 1 and not s.whole for s in recipes):
        return None
    fields = fill(acts()[SHOW], heard.found, heard.spans, names.foods)
    return Reading(said=heard.said, act=SHOW, evidence=heard.evidence, **fields)


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
    if act.changes or base.act == "shopping":
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
    if any(_bare_number(heard, span) is not None for span in heard.spans):
        counts = _counts(heard, base)
        said -= {"amounts", "servings"}
        said |= {counts} if counts else set()
    strange = sorted(said - takes)
    if not strange:
        return base
    recipes = base.recipes or (context.recipes if not base.foods else ())
    turn = _TURNS.get(strange[0])
    if turn is None or not recipes or not said <= acts()[turn].takes:
        return base if strange == ["without"] and not acts()[base.act or ""].changes else None
    servings = base.servings if "servings" in acts()[turn].takes else None
    return Reading(said=heard.said, act=turn, recipes=recipes, servings=servings)


def _may_set(heard: Heard, context: Context, base: Reading, fields: dict[str, Any]) -> bool:
    """What is in the books already is told more of by bare words, but never overridden by them."""
    if not context.done or heard.opens("link") or heard.says("more"):
        return True
    return not any(getattr(base, name, None) for name in fields if name not in ("per", "scale"))


def _further(heard: Heard, fields: dict[str, Any]) -> bool:
    """True where another thing is named beside the last, and not in its place."""
    if not any(fields.get(name) for name in ("foods", "recipes", "without", "people")):
        return False
    link = heard.opens("link")
    return bool(link and link[0] == "more") or heard.says("more")


def _gone_on(
    heard: Heard, context: Context, base: Reading, fields: dict[str, Any], *, amends: bool
) -> Reading:
    """The whole request. One that is told more of keeps its own words, for what they tell."""
    marks = [mark for mark in base.marks if mark not in _MARKS]
    further = _further(heard, fields)
    if amends and context.done:
        marks.append(AMENDS)
    if further and context.done:
        fresh: dict[str, Any] = {"money": None, "per": None, "amounts": (), "until": None}
        fields = {**fresh, "without": (), "diets": (), **fields}
    same = not any(fields.get(name) for name in ("foods", "recipes", "people"))
    said, evidence = heard.said, heard.evidence
    if base.said and (same or amends):
        said, evidence = f"{base.said}; {said}", (*base.evidence, *evidence)
    return replace(
        base,
        **{**fields, "said": said, "evidence": evidence, "marks": tuple(dict.fromkeys(marks))},
        question=None,
        pick=None,
    )


# -- one of several ----------------------------------------------------------------------------


def picked_from(context: Context, pick: int) -> str | None:
    """The thing an ordinal means in the list last shown."""
    base = context.open
    listed = base.recipes if base is not None and len(base.recipes) > 1 else context.offered
    if pick == -1:
        return listed[-1] if listed else None
    return listed[pick - 1] if 0 < pick <= len(listed) else None


def is_title(name: str, names: Names) -> bool:
    """True where something offered is a recipe of the house."""
    return any(
        span.whole and name in span.value for span in names.titles.spot(words(" ".join(key(name))))
    )


def listed_dishes(
    spans: Sequence[Span], found: Sequence[Word], context: Context, names: Names
) -> list[Span]:
    """The spans, foods that call up one dish of the list just shown as that dish too.

    "Show me the red beans" means the red beans and rice that was offered.
    """
    listed = (*context.recipes, *(context.offered if context.fresh else ()))
    if not listed:
        return list(spans)
    out = []
    for span in spans:
        said = {word.key for word in found[span.start : span.end]}
        hits = [one for one in dict.fromkeys(listed) if said <= set(key(one))]
        after_the = span.start > 0 and found[span.start - 1].text == "the"
        if span.kind != "food" or not after_the or len(hits) != 1 or not is_title(hits[0], names):
            out.append(span)
        else:
            out.append(replace(span, kind="recipe", value=(hits[0],), rivals=(span,)))
    return out


def _of_a_list(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "number 2", "the second one for 8", "the pea one": a dish of those just spoken of."""
    pick = next((int(s.value) for s in heard.spans if s.kind == "ordinal"), None)
    if pick is None and context.fresh:
        pick = heard.only_number()
    if pick is not None:
        chosen = picked_from(context, pick) if heard.bare else None
    else:
        chosen = _the_one(heard, context, names)
    if chosen is None or not is_title(chosen, names):
        return None
    base = context.open
    spans = [s for s in heard.spans if s.kind in ("servings", "scale", "person", "diet")]
    if base is not None and base.act and base.recipes and acts()[base.act].prefers == "recipe":
        fields = fill(acts()[base.act], heard.found, spans, names.foods)
        return _gone_on(heard, context, base, {**fields, "recipes": (chosen,)}, amends=False)
    fields = fill(acts()[SHOW], heard.found, spans, names.foods)
    kept = {name: getattr(base, name) for name in _KEPT if base is not None}
    return Reading(
        **{**kept, **fields}, said=heard.said, act=SHOW, recipes=(chosen,), pick=pick,
        evidence=heard.evidence,
    )  # fmt: skip


def _the_one(heard: Heard, context: Context, names: Names) -> str | None:
    """ "the pea one": the dish of those shown or asked about that has the word in its title."""
    if not heard.says("one"):
        return None
    rest = {word.key for word in heard.left(kinds=("food", "recipe"))}
    if not rest or len(rest) > 3:
        return None
    base = context.open
    asked = context.asking.question if context.asking is not None else None
    listed = [*(asked.choices if asked else ()), *context.offered, *(base.recipes if base else ())]
    fits = [one for one in dict.fromkeys(listed) if rest <= set(key(one))]
    if len(fits) == 1:
        return fits[0]
    return names.titles.like(base.recipes[0], rest) if base is not None and base.recipes else None


# -- what is not there, what is left out ---------------------------------------------------------


def _lacking(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "I have no soy sauce" over a recipe: what to use there instead."""
    base = context.open
    if base is None or not base.recipes or not heard.opens("lack"):
        return None
    foods = [s.value for s in heard.spans if s.kind in ("food", "without")]
    if len(foods) != 1 or acts()[base.act or ""].changes:
        return None
    return Reading(
        said=heard.said, act=SWAP, foods=tuple(foods), recipes=base.recipes[:1],
        people=base.people, diets=base.diets, evidence=heard.evidence,
    )  # fmt: skip


def _without_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "without it, then": the dish without the food just spoken of."""
    base = context.open
    hit = heard.opens("without")
    if base is None or hit is None or not base.recipes or not base.foods:
        return None
    pronoun = next((s for s in heard.spans if s.kind == "pronoun"), None)
    if pronoun is None or pronoun.start != hit[1] or len(heard.left()) > 1:
        return None
    return Reading(
        said=heard.said, act=SHOW, recipes=base.recipes[:1], without=base.foods,
        servings=base.servings, people=base.people, diets=base.diets, evidence=heard.evidence,
    )  # fmt: skip


# -- the fields that change ------------------------------------------------------------------------


def _changes(heard: Heard, base: Reading, names: Names, corrects: bool = False) -> dict[str, Any]:
    """The fields a follow-up sets; what it adds to is added."""
    act = acts()[base.act or ""]
    spans = [_into_dish(heard, span) for span in _numbered(heard, base)]
    if corrects:
        spans = _meant_instead(spans, act.takes)
    fields = fill(act, heard.found, spans, names.foods)
    for name in ("marks", "fate", "pick"):
        fields.pop(name, None)
    if "amounts" in act.takes and not fields.get("amounts"):
        numbers = [n for s in spans if s.kind == "amount" and (n := _bare_number(heard, s))]
        if numbers:
            fields["amounts"] = (Said(Amount(numbers[-1])),)
    if "people" in act.takes and not fields.get("people") and heard.says("person_pronoun"):
        fields["people"] = base.people
    if form := heard.form():
        formed = tuple(names.foods.in_form(food, form) or food for food in base.foods)
        if formed != base.foods and not fields.get("foods"):
            fields["foods"] = formed
    if corrects and not fields.get("foods") and (refined := _refined(heard, base, names)):
        fields["foods"] = refined
    if base.act == SAFE:
        _another_eater(heard, base, fields)
    else:
        _gathered(heard, base, fields, corrects)
    beside = any(word.key == "with" for word in heard.found[:2])
    elsewhere = fields.get("foods") and not base.foods and base.recipes and not beside
    if elsewhere and "recipes" not in fields:
        fields["recipes"] = ()
    if "recipes" in fields and "foods" not in fields and act.prefers == "recipe" and base.foods:
        fields["foods"] = ()
    _told_amounts(heard, base, fields, names)
    return fields


def _into_dish(heard: Heard, span: Span) -> Span:
    """ "In the crumble": the household's dish, whatever food goes by that name too."""
    before = heard.found[max(0, span.start - 2) : span.start]
    if span.kind != "recipe" or not any(is_small(word, "into") for word in before):
        return span
    return replace(span, rivals=(), whole=True)


def _meant_instead(spans: Sequence[Span], takes: frozenset[str]) -> list[Span]:
    """ "not the fresh, the canned": what is said no to is what was wrong."""
    if not any(s.kind == "food" for s in spans):
        return list(spans)
    return [s for s in spans if s.kind != "without"]


def _counts(heard: Heard, base: Reading) -> str | None:
    """What a bare number counts after this request: days, servings …; None for amounts."""
    count = goings()[base.act or ""].count
    if count in (None, "amounts") or heard.has("food", "without"):
        return None
    takes = acts()[base.act or ""].takes
    said = (name for name in ("servings", "days", "money") if getattr(base, name))
    return next((name for name in said if name in takes), count)


def _numbered(heard: Heard, base: Reading) -> list[Span]:
    """The spans, a bare number among them as what it counts: "make it 6", "last 7?", "two pans"."""
    act = acts()[base.act or ""]
    counts = _counts(heard, base)
    out = []
    for span in heard.spans:
        number = _bare_number(heard, span)
        if number is None:
            out.append(span)
        elif act.prefers == "recipe" and phrase_from(heard.found, span.end, "batch"):
            out.append(Span("scale", span.start, span.end, number))
        elif counts == "money":
            out.append(Span("money", span.start, span.end, (Decimal(repr(number)), base.per)))
        elif counts:
            value = int(number) if counts == "days" else number
            out.append(Span(counts, span.start, span.end, value))
        else:
            out.append(Span("amount", span.start, span.end, Measured(Amount(number), span.end)))
    return out


def _bare_number(heard: Heard, span: Span) -> float | None:
    """A number that says nothing of what it counts: "6", "make it 6"."""
    if span.kind == "amount" and span.value.amount.unit is None and not span.value.size:
        return float(span.value.amount.number)
    made = span.kind == "servings" and span.length == 1 and span.start > 0
    if made and is_small(heard.found[span.start - 1], "pronoun"):
        return float(span.value)
    return None


def _another_eater(heard: Heard, base: Reading, fields: dict[str, Any]) -> None:
    """Asked of somebody else, it is asked of them alone; an allergen's name is what to look for."""
    if base.diets and not base.people and fields.get("foods") and not heard.has("recipe"):
        table = avoid_words()
        named = [s for s in heard.spans if s.kind == "food"]
        keys = [tuple(word.key for word in heard.found[s.start : s.end]) for s in named]
        ids = [id_ for one in keys for id_ in table.get(one, ())]
        diets = [meanings("diet_of").get(key(id_), id_) for id_ in ids]
        if diets:
            fields["foods"], fields["diets"] = (), tuple(dict.fromkeys(diets))
    if fields.get("people") or fields.get("diets"):
        fields.setdefault("people", ())
        fields.setdefault("diets", ())


def _gathered(heard: Heard, base: Reading, fields: dict[str, Any], corrects: bool) -> None:
    """Adds to what was said before, where the act gathers such things."""
    gathers = goings()[base.act or ""].gathers
    link = heard.opens("link")
    more = bool(link and link[0] == "more") or heard.says("more")
    instead = corrects or any(word.key == "instead" for word in heard.found)
    for name in gathers & set(fields):
        before = getattr(base, name)
        adds = name in ("diets", "without") or more
        if adds and not (instead and len(before) <= 1):
            fields[name] = tuple(dict.fromkeys((*before, *fields[name])))


def _told_amounts(heard: Heard, base: Reading, fields: dict[str, Any], names: Names) -> None:
    """Amounts said of the food before; the amount before said of the food now."""
    if "amounts" in fields:
        said = fields["amounts"]
        whole = tuple(_like(base, fields, heard, one, names) for one in said)
        packed = {old.food: new.food for old, new in zip(said, whole, strict=True) if old.food}
        fields["amounts"] = whole
        if "foods" in fields:
            fields["foods"] = tuple(packed.get(food) or food for food in fields["foods"])
    elif "foods" in fields and len(base.amounts) == 1 and not _further_change(heard, base):
        food = fields["foods"][0] if base.amounts[0].food else None
        fields["amounts"] = (replace(base.amounts[0], food=food),)


def _further_change(heard: Heard, base: Reading) -> bool:
    act = acts()[base.act or ""]
    link = heard.opens("link")
    return act.changes and bool((link and link[0] == "more") or heard.says("more"))


def _like(base: Reading, fields: dict[str, Any], heard: Heard, said: Said, names: Names) -> Said:
    """ "make it three": the unit and the food are those of the amount said before."""
    before = base.amounts[-1].amount.unit if base.amounts else None
    if said.food is not None:
        if said.amount.unit is None and before is not None and _of_behind(heard, said):
            food = names.foods.as_packed(said.food, before)
            return replace(said, food=food, amount=replace(said.amount, unit=before))
        return said
    foods = fields.get("foods") or base.foods
    said = replace(said, food=foods[0] if foods else None)
    if said.amount.unit is None and len(base.amounts) == 1:
        said = replace(said, amount=replace(said.amount, unit=before))
    return said


def _of_behind(heard: Heard, said: Said) -> bool:
    """ "and 1 of salmon": one of the packages spoken of."""
    ends = [s.end for s in heard.spans if s.kind == "amount"]
    return any(end < len(heard.found) and heard.found[end].text == "of" for end in ends)


def _refined(heard: Heard, base: Reading | None, names: Names) -> tuple[str, ...]:
    """ "hard boiled?", "the brown": words that name another sort of the food before."""
    if base is None or not base.foods:
        return ()
    rest = heard.left(kinds=("food",))
    if not rest or len(rest) > 3:
        return ()
    said = " ".join(word.text for word in rest)
    found = [names.foods.named(f"{said} {food}") for food in base.foods]
    return tuple(new for new, old in zip(found, base.foods, strict=True) if new and new != old)

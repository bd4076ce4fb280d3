"""Sentences that only make sense after another one: answers, corrections, follow-ups, pronouns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
from msgspec.structs import replace

from helper.kitchen.quantities import line_words
from helper.kitchen.words import Word, key, words
from helper.reading.acts import acts
from helper.reading.context import Context
from helper.reading.fields import FIELD_OF, fill
from helper.reading.names import Names
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from


class Heard(msgspec.Struct, frozen=True):
    """A sentence taken apart: its words, what they name, and the skeleton that is left."""

    found: list[Word]
    spans: list[Span]
    tokens: list[str]


def answer_to(heard: Heard, context: Context, names: Names) -> Reading | None:
    """An answer to the question just asked: its number, its words, or what was missing."""
    asking = context.asking
    if asking is None or asking.question is None:
        return None
    question = asking.question
    picked = _picked(heard.found, heard.spans, question.choices)
    if picked is None:
        return None
    settled = replace(asking, question=None)
    if question.about == "act":
        return replace(settled, act=picked)
    if question.about == "recipes":
        return replace(settled, recipes=(picked,))
    return replace(settled, foods=(picked,))


def _picked(found: Sequence[Word], spans: Sequence[Span], choices: Sequence[str]) -> str | None:
    ordinal = next((int(s.value) for s in spans if s.kind == "ordinal"), None)
    if ordinal is None and len(found) == 1 and found[0].text.isdigit():
        ordinal = int(found[0].text)
    if ordinal is not None:
        if ordinal == -1 and choices:
            return choices[-1]
        return choices[ordinal - 1] if 0 < ordinal <= len(choices) else None
    said = {word.key for word in found if word.is_name}
    fitting = [choice for choice in choices if said and said <= set(key(choice)) | _loose()]
    overlap = [choice for choice in choices if said & (set(key(choice)) - _loose())]
    if len(fitting) == 1:
        return fitting[0]
    return overlap[0] if len(overlap) == 1 and len(said) <= 6 else None


def _loose() -> set[str]:
    return {word for phrase in meanings("linking") for word in phrase}


def correction(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "no, I meant the tinned ones": the last request again, with what is put right."""
    if context.last is None or context.last.act is None:
        return None
    found = heard.found
    start = next(
        (
            at
            for at in range(min(4, len(found)))
            if phrase_from(found, at, "correction") is not None
        ),
        None,
    )
    if start is None:
        return None
    hit = phrase_from(found, start, "correction")
    assert hit is not None  # just found
    rest = [span for span in heard.spans if span.start >= hit[1] or span.end > hit[1]]
    fields = _changes(context.last, found, rest, names)
    form = _form_said(found[hit[1] :])
    if form and context.foods and "foods" not in fields:
        formed = tuple(names.foods.in_form(food, form) or food for food in context.foods)
        fields["foods"] = formed
        fields["amounts"] = tuple(
            replace(one, food=formed[0] if one.food else None) for one in context.last.amounts
        )
    if not fields:
        return None
    marks = (*context.last.marks, "correction")
    return replace(context.last, **fields, marks=tuple(dict.fromkeys(marks)))


def _form_said(found: Sequence[Word]) -> str | None:
    for word in found:
        if (word.key,) in line_words("form"):
            return line_words("form")[(word.key,)]
    return None


def follow_up(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "and for 8?", "what about gluten free", "number 2": the last request, one thing changed."""
    found, spans = heard.found, heard.spans
    pick = next((int(s.value) for s in spans if s.kind == "ordinal"), None)
    bare = _only_names(heard.tokens)
    if pick is None and bare and len(found) == 1 and found[0].text.isdigit() and context.offered:
        pick = int(found[0].text)
    if pick is not None and bare and (chosen := picked_from(context, pick)):
        return Reading(said="", act="show-recipe", recipes=(chosen,), pick=pick)
    last = context.last
    if last is None or last.act is None or not bare:
        return None
    if any(span.kind == "pronoun" for span in spans) and not _linked(found):
        return None
    if any(span.kind in ("food", "recipe") for span in spans):
        if (chosen := _the_one(found, spans, last, names)) is not None:
            return replace(last, recipes=(chosen,), question=None, marks=())
        if not _linked(found):
            return None
    if not _fits(last, spans):
        return None
    fields = _changes(last, found, spans, names)
    if not fields:
        return None
    return replace(last, **fields, question=None, marks=())


def _the_one(
    found: Sequence[Word], spans: Sequence[Span], last: Reading, names: Names
) -> str | None:
    """ "the pea one" after a soup: the soup with peas in its title."""
    if not last.recipes or not any(word.key == "one" for word in found):
        return None
    foods = {word for span in spans for word in (w.key for w in found[span.start : span.end])}
    return names.titles.like(last.recipes[0], foods)


def _fits(last: Reading, spans: Sequence[Span]) -> bool:
    """True where the last act can take everything that is said now."""
    takes = acts()[last.act or ""].takes | {"per", "scale", "pick"}
    fields = {FIELD_OF.get(span.kind, "") for span in spans} - {""}
    return fields <= takes


def _linked(found: Sequence[Word]) -> bool:
    return bool(found) and phrase_from(found, 0, "link") is not None


def _only_names(tokens: Sequence[str]) -> bool:
    """True where nothing but names and small linking words is said."""
    at = 0
    linking = meanings("linking")
    named = False
    while at < len(tokens):
        if tokens[at].startswith("<"):
            named, at = True, at + 1
            continue
        if tokens[at] == "?":
            at += 1
            continue
        length = next((n for n in (3, 2, 1) if tuple(tokens[at : at + n]) in linking), 0)
        if not length:
            return False
        at += length
    return named


def picked_from(context: Context, pick: int) -> str | None:
    """The thing an ordinal means in the list last shown."""
    offered = context.offered
    if pick == -1:
        return offered[-1] if offered else None
    return offered[pick - 1] if 0 < pick <= len(offered) else None


def _changes(
    last: Reading, found: Sequence[Word], spans: Sequence[Span], names: Names
) -> dict[str, Any]:
    """The fields a follow-up sets; what it adds to (diets, things left out) is added."""
    act = acts()[last.act or ""]
    fields = fill(act, found, spans, names.foods)
    for name in ("marks", "fate", "pick"):
        fields.pop(name, None)
    for name in ("diets", "without"):
        if name in fields:
            fields[name] = tuple(dict.fromkeys((*getattr(last, name), *fields[name])))
    if "foods" in fields and not last.foods and last.recipes and "recipes" not in fields:
        fields["recipes"] = ()
    if "recipes" in fields and "foods" not in fields and act.prefers == "recipe" and last.foods:
        fields["foods"] = ()
    if "amounts" in fields:
        fields["amounts"] = tuple(_like(last, one) for one in fields["amounts"])
    elif "foods" in fields and len(last.amounts) == 1:
        fields["amounts"] = (replace(last.amounts[0], food=fields["foods"][0]),)
    return fields


def _like(last: Reading, said: Said) -> Said:
    """ "make it three": the unit and the food are those of the amount said before."""
    if said.food is not None:
        return said
    said = replace(said, food=last.foods[0] if last.foods else None)
    if said.amount.unit is None and len(last.amounts) == 1:
        said = replace(said, amount=replace(said.amount, unit=last.amounts[0].amount.unit))
    return said


def with_context(reading: Reading, spans: Sequence[Span], context: Context) -> Reading:
    """Fills in what "it", "the second one" or nothing at all leaves to the talk before."""
    if reading.act is None:
        return reading
    act = acts()[reading.act]
    reading = _continued(reading, context)
    if (
        reading.pick is not None
        and not reading.recipes
        and (chosen := picked_from(context, reading.pick))
    ):
        return replace(reading, recipes=(chosen,))
    if "people" in act.takes and not reading.people and context.people and _of_person(reading):
        reading = replace(reading, people=context.people[-1:])
    if (
        reading.recipes
        or reading.foods
        or (reading.amounts and any(a.food for a in reading.amounts))
    ):
        return reading
    spoken = any(span.kind == "pronoun" for span in spans) or bool(reading.amounts)
    if not spoken and reading.act not in _NEEDS_A_SUBJECT:
        return reading
    if act.prefers == "recipe" and context.recipes and "recipes" in act.takes:
        return replace(reading, recipes=context.recipes[:1])
    if context.foods and "foods" in act.takes:
        amounts = tuple(replace(one, food=context.foods[0]) for one in reading.amounts)
        return replace(reading, foods=context.foods, amounts=amounts)
    if context.recipes and "recipes" in act.takes:
        return replace(reading, recipes=context.recipes[:1])
    return reading


def _of_person(reading: Reading) -> bool:
    return any((word.key,) in meanings("person_pronoun") for word in words(reading.said))


def _continued(reading: Reading, context: Context) -> Reading:
    """ "something with chicken" after a question for meals keeps what was said of it before."""
    last = context.last
    if last is None or last.act != reading.act or reading.act in _NEEDS_A_SUBJECT:
        return reading
    if (
        acts()[reading.act or ""].changes
        or phrase_from(words(reading.said), 0, "continuing") is None
    ):
        return reading
    kept = {
        name: getattr(last, name)
        for name in ("without", "people", "diets", "money", "servings", "days", "place", "minutes")
        if getattr(last, name) and not getattr(reading, name)
    }
    return replace(reading, **kept)


_NEEDS_A_SUBJECT = frozenset(
    name
    for name in (
        "show-recipe",
        "missing",
        "cost",
        "safe-for",
        "goes-with",
        "cooked",
        "share",
        "remark",
        "keeps",
        "swap",
        "price",
    )
)

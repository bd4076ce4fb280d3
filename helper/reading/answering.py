"""Answers to the question just asked: its number, its words, yes or no, or what was missing."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from helper.kitchen.words import key
from helper.reading.acts import acts
from helper.reading.changes import guarded
from helper.reading.context import Context
from helper.reading.fields import fill
from helper.reading.heard import Heard
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.vocabulary import meanings

# A mark on a request that was dropped when it was asked about: nothing is to be done.
DROPPED = "dropped"
_MOST = 6  # words of an answer that may hold more than a choice's own words


def answer_to(heard: Heard, context: Context, names: Names) -> Reading | None:
    """The request that waits for an answer, with this answer in it; None where it is none."""
    asking = context.asking
    if asking is None or asking.question is None:
        return None
    question = asking.question
    settled = replace(asking, question=None, evidence=(*asking.evidence, *heard.evidence))
    picked = _picked(heard, question.choices)
    if picked is None and _whole(heard, "refuse"):
        return replace(settled, said=heard.said, marks=(*asking.marks, DROPPED))
    if picked is None:
        return _missing(heard, settled, question.about, question.choices, names)
    if question.about == "act":
        return replace(settled, act=picked, said=asking.said)
    if question.about == "recipes":
        return replace(settled, recipes=(picked,), foods=_beside(asking, picked))
    if question.about == "foods":
        return replace(settled, foods=(picked,))
    if question.about == "people":
        return replace(settled, people=(picked,))
    return None


def _whole(heard: Heard, kind: str) -> bool:
    """True where the whole answer is a phrase of that kind: "no thanks"."""
    said = tuple(word.key for word in heard.found if word.text[0].isalnum())
    if said in meanings(kind):
        return True
    polite = meanings("polite")
    return any(said[:n] in meanings(kind) and said[n:] in polite for n in range(1, len(said)))


def _beside(asking: Reading, title: str) -> tuple[str, ...]:
    """Foods of the request that are not just the words the title was called by."""
    return tuple(food for food in asking.foods if not set(key(food)) <= set(key(title)))


def _picked(heard: Heard, choices: Sequence[str]) -> str | None:
    found, spans = heard.found, heard.spans
    ordinal = next((int(s.value) for s in spans if s.kind == "ordinal"), None)
    if ordinal is None:
        ordinal = heard.only_number()
    if ordinal is not None:
        if ordinal == -1 and choices:
            return choices[-1]
        return choices[ordinal - 1] if 0 < ordinal <= len(choices) else None
    if len(choices) == 1 and _whole(heard, "yes"):
        return choices[0]
    said = {word.key for word in found if word.is_name}
    loose = _loose()
    fitting = [one for one in choices if said - loose and said <= set(key(one)) | loose]
    if len(fitting) == 1:
        return fitting[0]
    telling = said - loose
    overlap = [one for one in choices if telling & (set(key(one)) - loose)]
    return overlap[0] if len(overlap) == 1 and len(said) <= _MOST else None


def _loose() -> set[str]:
    return {
        word
        for kind in ("linking", "one", "polite")
        for phrase in meanings(kind)
        for word in phrase
    }


def _missing(
    heard: Heard, asking: Reading, about: str, choices: Sequence[str], names: Names
) -> Reading | None:
    """What was asked for, said bare: "for whom?" "Ada"; "which recipe?" "the bean soup"."""
    if not heard.bare:
        return None
    fields = fill(acts()[asking.act or ""], heard.found, heard.spans, names.foods)
    wanted = {"people": ("people", "diets"), "diets": ("diets", "without", "people")}
    wanted |= {"recipes": ("recipes", "foods"), "foods": ("foods", "recipes")}
    chosen = bool(choices) and guarded(asking.act)
    told = {
        name: fields[name]
        for name in wanted.get(about, (about,))
        if name in fields and hasattr(asking, name)
    }
    if chosen and not set(choices).issuperset(told.get("recipes", ())):
        return None
    named = [one.food for one in told.get("amounts", ()) if one.food is not None]
    if about == "amounts" and named:
        # "and half a tub of cream": what was said of the other things stands
        stay = tuple(one for one in asking.amounts if one.food not in named)
        told["amounts"] = (*stay, *told["amounts"])
        told["foods"] = tuple(dict.fromkeys((*asking.foods, *named)))
    return replace(asking, **told) if told else None

"""People a question names whom the household does not know: "can Tove have the cream gravy".

A word no table knows, or a given name, standing where only somebody is asked about, is a name.
Such a question is read as if the name were known, so that the act can ask who that is.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from helper.kitchen.words import Word, words
from helper.reading.names import Names
from helper.reading.persons import ME, Mention, Mentions, given_names
from helper.reading.vocabulary import ended_by, phrase_from, spelt


def strangers(said: str, names: Names, today: dt.date) -> dict[str, str]:
    """Words for people in a question whom nobody of the household is → their names."""
    found = words(said)
    spans = names.spot(found, today)
    taken = {
        i
        for span in spans
        if span.kind != "food" or span.length > 1
        for i in range(span.start, span.end)
    }
    known = {*names.people.values()}
    heard = {
        one.start: one
        for one in Mentions(said, found, spans, names, {}).all()
        if not one.kind and one.kin != ME and one.name not in known
    }
    out: dict[str, str] = {}
    for at, word in enumerate(found):
        if at in taken or not word.is_name or not _is_asked_about(found, at, heard.get(at)):
            continue
        if (one := heard.get(at)) is not None:
            out[
                said[found[one.end - 1].start : found[one.end - 1].end] if one.kin else one.name
            ] = one.name
        elif _may_be_name(word, names):
            out[word.text] = word.text.title()
    return out


def introduced(said: str, names: Names, today: dt.date) -> tuple[str, ...]:
    """The one new name in words that tell something of somebody: "a new girl, Marit, is vegan"."""
    found = words(said)
    heard = Mentions(said, found, names.spot(found, today), names, {}).all()
    told = dict.fromkeys(
        one.name for one in heard if not one.kind and one.kin != ME and one.name != one.kin
    )
    return tuple(told) if len(told) == 1 else ()


def in_affirmative(said: str) -> str | None:
    """ "Who can have it" for "who can't have it": the same is asked. None for anything else."""
    found = words(said)
    at = 0
    while at < len(found) and (hit := phrase_from(found, at, "manners")) is not None:
        at = hit[1]
    who = phrase_from(found, at, "asks_who")
    denied = phrase_from(found, who[1], "asked_not") if who is not None else None
    if who is None or denied is None:
        return None
    start, end = found[who[1]].start, found[denied[1] - 1].end
    return f"{said[:start]}{denied[0]}{said[end:]}"


def _may_be_name(word: Word, names: Names) -> bool:
    if names.speller.nearest(word.text) in spelt("meal_time"):
        return False  # "brekfast" is nobody
    unknown = not names.speller.knows_word(word) or word.text in given_names()
    return unknown and word.text.isalpha() and names.foods.named(word.text) is None


def _is_asked_about(found: Sequence[Word], at: int, heard: Mention | None) -> bool:
    """Whether it stands where somebody does: "can … have", "safe for …"."""
    end = heard.end if heard is not None else at + 1
    asked = ended_by(found, at, "asked_of") and any(
        phrase_from(found, end, kind) is not None for kind in ("asked_to", "joint", "of_last")
    )
    asked = asked or (
        ended_by(found, at, "asked_of") and end < len(found) and found[end].text == ","
    )
    return asked or ended_by(found, at, "asked_for")

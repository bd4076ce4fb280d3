""" "So can she still eat it": the one person spoken of before, put in where "she" stands.

Only where nobody else is named before it and one alone was spoken of: an allergy is never noted,
and nobody fed, by guessing. Whatever follows then reads the sentence as if the name were said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from helper.kitchen.words import Word, plain, words
from helper.reading.names import Names
from helper.reading.persons import ME, Mentions
from helper.reading.vocabulary import phrase_from, spelt

# Words after "her" beside which it is the person, and not what is hers: "for her tomorrow".
_BESIDE = ("small", "filler", "linking", "joint", "polite", "more", "weekday", "day")


def by_name(said: str, people: Sequence[str], names: Names, today: dt.date) -> str:
    """The sentence with the name of the one spoken of in the place of "he" or "her"."""
    if len(people) != 1 or len(plain(said)) != len(said):
        return said
    found = words(said)
    meant = spelt("one_person")
    at = next((i for i, word in enumerate(found) if _is_one(found, i, meant)), None)
    if at is None:
        return said
    spans = names.spot(found, today)
    before = [one for one in Mentions(said, found, spans, names, {}).all() if one.start < at]
    if any(one.kin != ME for one in before):
        return said
    word = found[at]
    return f"{said[: word.start]}{people[0]}{meant[word.text]}{said[word.end :]}"


def _is_one(found: Sequence[Word], at: int, meant: dict[str, str]) -> bool:
    """True for a word that stands for somebody: "her", but not "her birthday"."""
    if found[at].text not in meant:
        return False
    owns = phrase_from(found, at, "kin_own") is not None
    if not owns or at + 1 >= len(found) or not found[at + 1].is_name:
        return True
    return any(phrase_from(found, at + 1, kind) is not None for kind in _BESIDE)

"""Who eats here, said in one go: "Ada, Ben who can't have milk, and Cy, allergic to peanuts".

A name is a word that no table knows, or one with a capital letter that is no everyday word; a
word for kin stands for a name where none follows it. What is named after it, until the next name,
is what that person keeps away from.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from helper.kitchen.words import Word, words
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.spans import Span
from helper.reading.vocabulary import word_classes

ACT = "set-person"
_MOST = 30  # people; a longer list is no introduction


def introductions(said: str, names: Names, today: dt.date) -> list[Reading]:
    """One reading a person; empty where no name can be made out."""
    found = words(said)
    spans = names.spot(found, today)
    people = _people(said, found, spans, names)
    starts = [start for start, _, _ in people]
    return [
        _reading(said[found[start].start : found[end - 1].end], name, spans, after, end)
        for (start, after, name), end in zip(people, [*starts[1:], len(found)], strict=False)
    ][:_MOST]


def _people(
    said: str, found: Sequence[Word], spans: Sequence[Span], names: Names
) -> list[tuple[int, int, str]]:
    """Where each name begins and ends, and the name: of "my daughter Cy" it is Cy."""
    taken = {i for span in spans if span.kind != "person" for i in range(span.start, span.end)}
    people: list[tuple[int, int, str]] = []
    for at, word in enumerate(found):
        typed = said[word.start : word.end]
        capital = typed[:1].isupper()
        if _is_kin(word) and not (at and found[at - 1].text.isdigit()):
            typed = word.key
        elif not _may_be_name(word, capital, at in taken, names):
            continue
        if people and people[-1][1] == at:
            start, _, before = people[-1]
            joined = f"{before} {typed}" if before[:1].isupper() and capital else typed
            people[-1] = (start, at + 1, joined)
        else:
            people.append((at, at + 1, typed))
    return [(start, after, name[:1].upper() + name[1:]) for start, after, name in people]


def _is_kin(word: Word) -> bool:
    """ "my son" is somebody, and must not be passed over for the person named before him."""
    return "@person" in word_classes().get(word.text, ()) and word.text == word.key


def _may_be_name(word: Word, capital: bool, taken: bool, names: Names) -> bool:
    if not word.is_name or (word.key,) in names.people:
        return word.is_name
    if capital:
        return word.key not in names.speller.common and word.text not in names.speller.common
    return not taken and not names.speller.knows(word.key) and not names.speller.knows(word.text)


def _reading(said: str, name: str, spans: Sequence[Span], start: int, end: int) -> Reading:
    inside = [span for span in spans if start <= span.start and span.end <= end]
    foods = [
        part.value
        for span in inside
        for part in (span.rivals or (span,))
        if part.kind in ("food", "without")
    ]
    diets = [one for span in inside if span.kind == "diet" for one in span.value]
    return Reading(
        said=said.strip(" ,;.()"),
        act=ACT,
        people=(name,),
        diets=tuple(dict.fromkeys(diets)),
        without=tuple(dict.fromkeys(foods)),
        likeness=1.0,
    )

"""Several things in one request: "used the last of the butter and add 2 lb to the list".

Where a further request may begin is learnt (`helper.reading.cuts`); a line is cut there if both
sides are clear requests of their own. Lists of foods are full of "and", and many people tell why
they ask before they do.
"""

from __future__ import annotations

import datetime as dt
import math

from msgspec.structs import replace

from helper.kitchen.words import plain, words
from helper.reading.changes import SAFE, SWAP
from helper.reading.context import Context
from helper.reading.cuts import Cut, cuts
from helper.reading.pasted import KEEP
from helper.reading.reader import Reader, after_dropping
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from

LONGEST = 400  # characters: what is longer is pasted
CLEAR = 0.5  # likeness that each part needs
LIKELY = 0.06  # a place that leans less is not looked at
TRIED = 2  # places that are tried
PERSON, USED, COUNTED, HELP, LIST = "set-person", "use-stock", "recount", "help", "shopping"
# How the lean of a place, and what is clearer of the parts than of the whole, are summed up:
# fitted once to the examples of `phrases/two` and to single requests, read without them.
_AT_FIRST, _MARGIN, _LIKENESS = 0.2, 3.6, 1.4
_UNJOINED = 1.5  # what a place weighs less where nothing joins the two
_NEW_OF_SOMEBODY = 2.0  # what the keeping away of a person weighs: it must not be passed over


def parts(said: str, reader: Reader, today: dt.date, context: Context) -> list[Reading]:
    """The readings of one request: mostly one, two or three where it holds as many."""
    said = after_dropping(said)
    whole = reader.read(said, today, context)
    if len(said) > LONGEST or context.asking is not None:
        return [whole]
    found, spans = reader.named(said, today)
    text = said if len(plain(said)) == len(said) else plain(said)  # which the words point into
    for cut in cuts(found, spans)[:TRIED]:
        if cut.leaning < LIKELY:
            break
        left, right = text[: found[cut.end - 1].end], text[found[cut.at].start :]
        first = reader.read(left, today, context)
        if first.act is None or first.question is not None or first.likeness < CLEAR:
            continue
        if first.act == KEEP and ":" in left:
            return [replace(first, said=said)]  # all that follows belongs to the recipe
        then = _after(first, context)
        second = reader.read(right, today, then)
        if (eaters := _who_comes(first, second)) is not None:
            return [eaters]
        if _are_two(cut, whole, first, second):
            return [*parts(left, reader, today, context), *parts(right, reader, today, then)]
    return [whole]


def _after(first: Reading, context: Context) -> Context:
    """What has been spoken of when the second request begins."""
    return Context(
        last=first,
        recipes=first.recipes or context.recipes,
        foods=first.foods or context.foods,
        people=first.people or context.people,
        offered=context.offered,
    )


def _are_two(cut: Cut, whole: Reading, first: Reading, second: Reading) -> bool:
    """True where the parts say more, and more clearly, than the whole does."""
    if second.act in (None, HELP) or second.likeness < CLEAR:
        return False
    if second.act == KEEP and not (second.foods or second.recipes):
        return False  # "write that down" is said of what stands before it
    if first.act == second.act and not _on_and_off(first, second):
        return False
    if _is_the_rest(first, second) or _is_the_reason(first, second):
        return False
    lean = math.log(cut.leaning / (1 - cut.leaning))
    lean -= _UNJOINED * (cut.end == cut.at)
    lean += _NEW_OF_SOMEBODY * (first.act == PERSON and bool(first.diets or first.without))
    margin = first.margin + second.margin - 2 * whole.margin
    likeness = first.likeness + second.likeness - 2 * whole.likeness
    return lean + _MARGIN * margin + _LIKENESS * likeness + _AT_FIRST > 0


def _on_and_off(first: Reading, second: Reading) -> bool:
    """ "Take coffee off the list, and add tea"."""
    if first.act != LIST or not (first.foods and second.foods):
        return False
    off = [any(phrase_from(found, at, "off_list") for at in range(len(found)))
           for found in (words(first.said), words(second.said))]  # fmt: skip
    return off[0] != off[1]


def _is_the_reason(first: Reading, second: Reading) -> bool:
    """ "We're out of milk, what else would do": why a swap is asked for, and nothing used."""
    lacks = first.act == USED and not first.amounts
    return (
        lacks
        and second.act == SWAP
        and any(
            phrase_from(found, at, "lack")
            for found in (words(first.said),)
            for at in range(len(found))
        )
    )


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

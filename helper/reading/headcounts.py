"""How many are fed, and how often a recipe is made: "for eight", "serves 6", "times three"."""

from __future__ import annotations

from collections.abc import Sequence

from helper.kitchen.numbers import Number, read_number
from helper.kitchen.quantities import line_words, phrase_at, unit_at
from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from, text_at

_MOST = 1000  # nobody cooks for more from one kitchen


def spot_servings(found: Sequence[Word]) -> list[Span]:
    """How many are to be fed: "for 8", "for eight people", "serves 6", "2 adults and 3 kids"."""
    spans: list[Span] = []
    at = 0
    while at < len(found):
        span = _servings(found, at)
        if span is None:
            at += 1
            continue
        while (more := _further(found, span)) is not None:
            span = Span("servings", span.start, more.end, span.value + more.value)
        spans.append(span)
        at = span.end
    return spans


def spot_scales(found: Sequence[Word]) -> list[Span]:
    """How often a recipe is made: "double", "half the batch", "times three", "2 batches"."""
    spans: list[Span] = []
    for at in range(len(found)):
        if (hit := phrase_from(found, at, "scale")) and not phrase_from(found, at, "no_scale"):
            spans.append(Span("scale", at, hit[1], float(hit[0])))
        if (times := phrase_from(found, at, "times")) and not text_at(found, at - 1).isdigit():
            number = read_number(list(found), times[1])
            if number is not None and ends_count(found, number.after):
                spans.append(Span("scale", at, number.after, number.value))
        number = read_number(list(found), at)
        batch = phrase_from(found, number.after, "batch") if number is not None else None
        if number is not None and batch and not text_at(found, batch[1])[:1].isdigit():
            spans.append(Span("scale", at, batch[1], number.value))
    return spans


def _servings(found: Sequence[Word], at: int) -> Span | None:
    alone = phrase_from(found, at, "headcount")
    if alone and _and_somebody(found, alone[1]):
        return None  # "just me and Ada" are as many as are named
    if alone:
        return Span("servings", at, alone[1], float(alone[0]))
    begins = at + phrase_at(list(found), at, line_words("about"))
    number = read_number(list(found), begins)
    if number is None or not _counts_people(found, begins, number):
        return None
    number = _upper(found, number)
    if phrase_from(found, number.after + 1, "left_over"):
        return None
    after = number.after
    while after < len(found) and (found[after].key,) in meanings("of_eaters"):
        after += 1  # "4 hungry people"
    named = phrase_from(found, after, "people")
    if named is not None and text_at(found, at - 1) not in ("a", "per"):
        return Span("servings", at, named[1], number.value)
    if us := phrase_from(found, number.after, "of_us"):
        return Span("servings", at, us[1], number.value)
    if number.value != int(number.value) or number.about or not ends_count(found, number.after):
        return None
    if ended_by(found, at, "feeding") or ended_by(found, at, "crowd_of") or _served(found, at):
        return Span("servings", at, number.after, number.value)
    return None


def _and_somebody(found: Sequence[Word], at: int) -> bool:
    joined = text_at(found, at) in ("and", "plus", "&", "n")
    return joined and at + 1 < len(found) and found[at + 1].is_name


def _counts_people(found: Sequence[Word], at: int, number: Number) -> bool:
    text = text_at(found, at)
    if text_at(found, at - 1) in ("$", "£", "€"):
        return False
    single = text in ("a", "an") and number.value < 2
    return not single and "." not in text and 0 < number.value < _MOST


def _upper(found: Sequence[Word], number: Number) -> Number:
    """ "8 to 10 people", "8-10": enough for all who may come."""
    joined = text_at(found, number.after) == "-" or phrase_from(found, number.after, "up_to")
    high = read_number(list(found), number.after + 1) if joined else None
    return high if high is not None and high.value > number.value else number


def _further(found: Sequence[Word], span: Span) -> Span | None:
    """ "2 adults and 3 kids": the next count of people, where both say that they are people."""
    at = span.end
    joined = text_at(found, at) in ("and", "plus", ",", "+", "&")
    more = _servings(found, at + joined)
    both = (span, more)
    if more is None or any(one is None or not _says_people(found, one) for one in both):
        return None
    return more


def _says_people(found: Sequence[Word], span: Span) -> bool:
    return (found[span.end - 1].key,) in meanings("people")


def _served(found: Sequence[Word], at: int) -> bool:
    """ "served the chili to 45"."""
    return text_at(found, at - 1) == "to" and any(
        (word.key,) in meanings("serving_to") for word in found[: at - 1]
    )


def ends_count(found: Sequence[Word], at: int) -> bool:
    """True where a bare number ends at `at`: no unit, no time and no part of a sum follows."""
    follows = text_at(found, at)
    if not follows or not follows[0].isalnum():
        return follows not in ("%", "/", "-", "$", "°")
    if follows[0].isdigit():
        return False
    if unit_at(list(found), at) is not None and not is_helping_verb(found, at):
        return False
    return (found[at].key,) not in {*meanings("daycount"), *meanings("minutecount")}


def is_helping_verb(found: Sequence[Word], at: int) -> bool:
    """ "dinners for four can I serve": that "can" is no tin."""
    return phrase_from(found, at, "helping_verb") is not None

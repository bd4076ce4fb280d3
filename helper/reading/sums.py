"""Money and headcounts in words: "$8", "1.15 each", "80 cents", "for 3.60", "for eight"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import unit_at
from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

_SIGNS = {"$", "£", "€"}


def _text(found: Sequence[Word], at: int) -> str:
    return found[at].text if 0 <= at < len(found) else ""


def spot_money(found: Sequence[Word]) -> list[Span]:
    """Sums of money: value (Decimal, per) with per in each, head, all or None."""
    spans: list[Span] = []
    for at in range(len(found)):
        span = _sum(found, at)
        if span is not None:
            spans.append(_with_per(found, span))
    return spans


def _sum(found: Sequence[Word], at: int) -> Span | None:
    text = _text(found, at)
    if text in _SIGNS and re.fullmatch(r"\d[\d,]*(\.\d+)?|\.\d+", _text(found, at + 1)):
        return Span("money", at, at + 2, _decimal(_text(found, at + 1)))
    if text in ("a", "an") and (hit := phrase_from(found, at + 1, "money")):
        more = read_number(list(found), hit[1])
        cents = Decimal(str(more.value)) / 100 if more and more.value < 100 else Decimal(0)
        return Span("money", at, more.after if cents and more else hit[1], 1 + cents)
    number = read_number(list(found), at)
    if number is None:
        return None
    if text in ("a", "an") and not phrase_from(found, number.after, "money"):
        return None
    value = Decimal(str(round(number.value, 4)))
    if _text(found, number.after) in _SIGNS:
        return Span("money", at, number.after + 1, value)
    if hit := phrase_from(found, number.after, "money"):
        end = hit[1]
        more = read_number(list(found), end)
        if more and (small := phrase_from(found, more.after, "cent")):
            return Span("money", at, small[1], value + Decimal(str(more.value)) / 100)
        return Span("money", at, end, value)
    if _text(found, number.after) == "¢":
        return Span("money", at, number.after + 1, value / 100)
    if (hit := phrase_from(found, number.after, "cent")) and number.value < 1000:
        return Span("money", at, hit[1], value / 100)
    if re.fullmatch(r"\d+\.\d\d", text) or re.fullmatch(r"\.\d\d", text):
        return Span("price?", at, at + 1, _decimal(text))
    if _limited(found, at) and value == int(value) >= 3 and _ends(found, number.after):
        return Span("limit?", at, number.after, value)
    before = _text(found, at - 1)
    priced = before in (
        "at",
        "@",
        "cost",
        "costs",
        "paid",
        "under",
        "below",
        "is",
        "was",
        "only",
        "were",
        "price",
        "than",
        "for",
        "of",
        "spend",
        "budget",
        "over",
    )
    if priced and re.fullmatch(r"\d+(\.\d+)?", text) and _each(found, number.after):
        return Span("money", at, number.after, value)
    if before in ("@", "paid", "cost", "costs", "spend", "budget") and re.fullmatch(
        r"[\d.]+", text
    ):
        return Span("money", at, number.after, value)
    return None


def _limited(found: Sequence[Word], at: int) -> bool:
    """ "under 40", "no more than 40": a bare number there is a sum, unless a noun follows."""
    for start in range(max(0, at - 3), at):
        hit = phrase_from(found, start, "limit")
        if hit is not None and hit[1] == at:
            return True
    return False


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def _each(found: Sequence[Word], at: int) -> bool:
    return phrase_from(found, at, "each") is not None or phrase_from(found, at, "head") is not None


def _with_per(found: Sequence[Word], span: Span) -> Span:
    for per, kind in (("head", "head"), ("each", "each"), ("all", "total")):
        hit = phrase_from(found, span.end, kind)
        if hit is None:
            continue
        # "a pound" behind a price also says how much it is for: it stays a span of its own
        end = span.end if per == "each" and hit[1] > span.end + 1 else hit[1]
        return Span(span.kind, span.start, end, (span.value, per))
    return Span(span.kind, span.start, span.end, (span.value, None))


def spot_servings(found: Sequence[Word]) -> list[Span]:
    """How many are to be fed: "for 8", "for eight people", "serves 6", "feeds ten"."""
    spans: list[Span] = []
    for at in range(len(found)):
        number = read_number(list(found), at)
        text = _text(found, at)
        if number is None or text in ("a", "an") or "." in text or not 0 < number.value < 1000:
            continue
        before = _text(found, at - 1)
        people = phrase_from(found, number.after, "people")
        if people is not None and before not in ("a", "per"):
            spans.append(Span("servings", at, people[1], number.value))
        elif _text(found, number.after) == "of" and _text(found, number.after + 1) == "us":
            spans.append(Span("servings", at, number.after + 2, number.value))
        elif before in (
            "for",
            "fed",
            "say",
            "serves",
            "serve",
            "serving",
            "feed",
            "feeds",
            "feeding",
            "of",
        ) and (number.value == int(number.value) and not number.about):
            if before == "of" and _text(found, at - 2) not in (
                "us",
                "table",
                "party",
                "crowd",
                "family",
                "lot",
            ):
                continue
            if _ends(found, number.after):
                spans.append(Span("servings", at, number.after, number.value))
    return spans


def _ends(found: Sequence[Word], at: int) -> bool:
    """A bare number after "for" is a headcount unless a unit or a time follows it."""
    follows = _text(found, at)
    if not follows or not follows[0].isalnum():
        return follows not in ("%", "/", "-", "$")
    if unit_at(list(found), at) is not None or follows[0].isdigit():
        return False
    return (found[at].key,) not in {*meanings("daycount"), *meanings("minutecount")}

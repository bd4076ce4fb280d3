"""Money in words: "$8", "1.15 each", "80 cents", "five ninety nine", "two pounds fifty".

A number counts as money where a sign, a coin or a word of buying beside it says so. Two kinds of
sum are told by less: `price?` has two decimals, `limit?` stands behind "under" or the like.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import unit_at
from helper.kitchen.words import Word
from helper.reading.headcounts import ends_count
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, phrase_from, text_at
from helper.reading.when import is_clock

_SIGNS = {"$", "£", "€"}
_CENTS = Decimal(100)


def spot_money(found: Sequence[Word]) -> list[Span]:
    """Sums of money: value (Decimal, per) with per in each, head, all or None."""
    spans: list[Span] = []
    for at in range(len(found)):
        span = _sum(found, at)
        if span is not None:
            spans.append(_with_per(found, span))
    return spans


def per_at(found: Sequence[Word], at: int) -> int | None:
    """The index behind "each", "a pound", "per dozen", "/lb" at word `at`; None for none."""
    if hit := phrase_from(found, at, "each"):
        return hit[1]
    if text_at(found, at) == "/" or phrase_from(found, at, "per_word"):
        unit = unit_at(list(found), at + 1)
        return unit[1] if unit else None
    return None


def is_price(text: str) -> bool:
    """True for a number with two decimals, as prices are written."""
    return re.fullmatch(r"\d*\.\d\d", text) is not None


def _sum(found: Sequence[Word], at: int) -> Span | None:
    text = text_at(found, at)
    if text in _SIGNS and re.fullmatch(r"\d[\d,]*(\.\d+)?|\.\d+", text_at(found, at + 1)):
        return Span("money", at, at + 2, _decimal(text_at(found, at + 1)))
    several = re.fullmatch(r"\d+/(\d+)", text)
    if several and re.fullmatch(r"\.\d\d", text_at(found, at + 1)):  # "3/2.00": three for two
        return Span("money", at, at + 2, _decimal(several[1] + text_at(found, at + 1)))
    if text in ("a", "an") and (coin := _one_coin(found, at)):
        return coin
    number = read_number(list(found), at)
    if number is None:
        return None
    if text in ("a", "an") and not phrase_from(found, number.after, "money"):
        return None
    value = Decimal(str(round(number.value, 4)))
    coins = number.after
    if value < 1 and text_at(found, coins) == "of":  # "three quarters of a dollar"
        coins += 1 + (text_at(found, coins + 1) in ("a", "an"))
    return (
        _with_coin(found, at, coins, value)
        or _in_pounds(found, at, number.after, value)
        or _bare(found, at, number.after, value)
    )


def _one_coin(found: Sequence[Word], at: int) -> Span | None:
    """ "a dollar", "a buck fifty", "a tenner", "a pound each"."""
    if note := phrase_from(found, at + 1, "note"):
        return Span("money", at, note[1], Decimal(note[0]))
    if hit := phrase_from(found, at + 1, "money"):
        cents, end = _part_after(found, hit[1]) or _cents_after(found, hit[1])
        return Span("money", at, end, 1 + cents)
    return _in_pounds(found, at, at + 1, Decimal(1))


def _with_coin(found: Sequence[Word], at: int, after: int, value: Decimal) -> Span | None:
    """ "5 bucks", "2 dollars and 50 cents", "80 cents", "75p", "99c each", "two fivers"."""
    follows = text_at(found, after)
    if follows in _SIGNS:
        return Span("money", at, after + 1, value)
    if follows == "¢":
        return Span("money", at, after + 1, value / _CENTS)
    if note := phrase_from(found, after, "note"):
        return Span("money", at, note[1], value * Decimal(note[0]))
    if hit := phrase_from(found, after, "money"):
        cents, end = _part_after(found, hit[1]) or _cents_after(found, hit[1])
        return Span("money", at, end, value + cents)
    if value >= 1000:
        return None
    if hit := phrase_from(found, after, "cent"):
        return Span("money", at, hit[1], value / _CENTS)
    glued = follows == "c" and found[after].start == found[after - 1].end
    if glued and value >= 10 and (_each(found, after + 1) or not _names(found, after + 1)):
        return Span("money", at, after + 1, value / _CENTS)
    return None


def _part_after(found: Sequence[Word], at: int) -> tuple[Decimal, int] | None:
    """ "a dollar and a half": the part of a coin, where no goods are measured by it."""
    part = phrase_from(found, at, "and_part")
    if part is None or unit_at(list(found), part[1]) is not None:
        return None
    return Decimal(part[0]), part[1]


def _cents_after(found: Sequence[Word], at: int) -> tuple[Decimal, int]:
    """The cents behind whole coins: "… and fifty cents", "… fifty"; and where they end."""
    joined = text_at(found, at) == "and"
    more = read_number(list(found), at + joined)
    if more is None or not 0 < more.value < 100 or text_at(found, at + joined) in ("a", "an"):
        return Decimal(0), at
    cents = Decimal(str(round(more.value, 2))) / _CENTS
    if small := phrase_from(found, more.after, "cent"):
        return cents, small[1]
    plain = not joined and more.value >= 10
    ends = ends_count(found, more.after) and not _names(found, more.after)
    if plain and (ends or _each(found, more.after)):
        return cents, more.after
    return Decimal(0), at


def _in_pounds(found: Sequence[Word], at: int, after: int, value: Decimal) -> Span | None:
    """ "two pounds fifty", "under twelve pound": money where no goods can be weighed by it."""
    if phrase_from(found, after, "pound") is None or value < 1:
        return None
    cents, end = _cents_after(found, after + 1)
    if cents:
        return Span("money", at, end, value + cents)
    asked = ended_by(found, at, "limit") or ended_by(found, at, "price_sure")
    asked = asked or text_at(found, at - 1) in ("for", "at", "@")
    asked = asked and not ended_by(found, at, "no_limit")
    if phrase_from(found, end, "to_spend"):
        return Span("money", at, end, value)
    if asked and (_each(found, end) or not _names(found, end)):
        return Span("money", at, end, value)
    return None


def _bare(found: Sequence[Word], at: int, after: int, value: Decimal) -> Span | None:
    """Numbers without a coin: "3.49", "five ninety nine", "under 40", "at 2 each", "@ 3"."""
    text = text_at(found, at)
    priced = text_at(found, at - 1) == "@" or ended_by(found, at, "price_before")
    if spoken := _spoken_price(found, at, after, value, priced):
        return spoken
    if is_price(text):
        return Span("price?", at, at + 1, _decimal(text))
    ends = any(phrase_from(found, after, kind) for kind in ("to_spend", "sum_end"))
    if ends and value == int(value) >= 3 and not is_clock(found, at):
        return Span("money", at, after, value)
    limited = ended_by(found, at, "limit") or phrase_from(found, after, "limit_behind")
    if limited and value == int(value) >= 3 and ends_count(found, after):
        return Span("limit?", at, after, value)
    if priced and text not in ("a", "an") and _each(found, after):
        return Span("money", at, after, value)
    if not re.fullmatch(r"\d+(\.\d+)?", text):
        return None
    sure = text_at(found, at - 1) == "@" or ended_by(found, at, "price_sure")
    return Span("money", at, after, value) if sure else None


def _spoken_price(
    found: Sequence[Word], at: int, after: int, value: Decimal, priced: bool
) -> Span | None:
    """ "five ninety nine", "one fifty a head": whole coins, then cents, both as words."""
    more = read_number(list(found), after)
    words = text_at(found, at).isalpha() and text_at(found, after).isalpha()
    words = words and text_at(found, after) not in ("a", "an")  # "three a dozen"
    if more is None or not words or not 10 <= more.value < 100 or value >= 100:
        return None
    behind = text_at(found, at - 1) == "," or _ends_told(found, at, more.after)
    ends = behind and not _names(found, more.after)
    if value != int(value) or not (priced or ends or _each(found, more.after)):
        return None
    return Span("money", at, more.after, value + Decimal(str(more.value)) / _CENTS)


def _ends_told(found: Sequence[Word], at: int, after: int) -> bool:
    """ "Got ham at the corner shop nine eighty seven": the sum stands last, and tells no time."""
    last = not text_at(found, after) or text_at(found, after) in (".", "!")
    return at > 1 and last and not ended_by(found, at, "clock_before")


def _names(found: Sequence[Word], at: int) -> bool:
    """True where a word follows that the number may count: not "each", "in all" or "or less"."""
    follows = text_at(found, at)
    if not follows[:1].isalnum():
        return False
    return not any(phrase_from(found, at, kind) for kind in ("behind_sum", "total", "head", "day"))


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def _each(found: Sequence[Word], at: int) -> bool:
    return per_at(found, at) is not None or phrase_from(found, at, "head") is not None


def _with_per(found: Sequence[Word], span: Span) -> Span:
    if hit := phrase_from(found, span.end, "head"):
        return Span(span.kind, span.start, hit[1], (span.value, "head"))
    if end := per_at(found, span.end):
        # "a pound" behind a price also says how much it is for: it stays a span of its own
        end = span.end if end > span.end + 1 else end
        return Span(span.kind, span.start, end, (span.value, "each"))
    if hit := phrase_from(found, span.end, "total"):
        return Span(span.kind, span.start, hit[1], (span.value, "all"))
    return Span(span.kind, span.start, span.end, (span.value, None))

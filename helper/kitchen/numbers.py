"""Numbers as people write and say them: 1 1/2, 2.5, half, a dozen, twenty-five, a couple."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import msgspec

from helper.kitchen.words import Word
from rules.tables import rows


class Number(msgspec.Struct, frozen=True):
    """A number read: its `value`, the index after its last word, and whether it is loose."""

    value: float
    after: int
    about: bool = False


@cache
def _number_words() -> dict[str, tuple[str, float]]:
    """Number words → (their part in a number, their value)."""
    found: dict[str, tuple[str, float]] = {}
    for row in rows("reference/number_words.csv"):
        found[row["word"]] = (row["part"], float(Fraction(row["value"])))
    return found


def read_number(found: list[Word], at: int) -> Number | None:
    """The number that starts at word `at`, or None.

    Takes "2", "1 1/2", "1-1/2", "2.5", "three", "twenty five", "a hundred", "half a",
    "one and a half", "a dozen", "2 dozen", "a couple of". Never a lone "a" before a name: the
    caller decides whether "a" counts there.
    """
    text = _text(found, at)
    if text not in _number_words() and not text[:1].isdigit() and text[:1] != ".":
        return None  # as most words
    here = _digits(found, at) or _spoken(found, at)
    if here is None:
        return None
    return _and_a_half(found, _dozens(found, here))


def _text(found: list[Word], at: int) -> str:
    return found[at].text if at < len(found) else ""


def _digits(found: list[Word], at: int) -> Number | None:
    text = _text(found, at)
    if not text or not (text[0].isdigit() or (text[0] == "." and len(text) > 1)):
        return None
    value = _value(text)
    if value is None:
        return None
    after = at + 1
    if "/" not in text and "." not in text:
        joined = after + 1 if _text(found, after) == "-" else after
        part = _text(found, joined)
        if "/" in part and part[0].isdigit():
            fraction = _value(part)
            if fraction is not None and fraction < 1:
                return Number(value + fraction, joined + 1)
    return Number(value, after)


def _value(text: str) -> float | None:
    if "e" in text.lower():
        return None  # nobody cooks with powers of ten, and 1e999999999 would fill the memory
    try:
        return float(Fraction(text.replace(",", "")))
    except (ValueError, ZeroDivisionError, OverflowError):
        return None


def _spoken(found: list[Word], at: int) -> Number | None:
    table = _number_words()
    part, value = table.get(_text(found, at), ("", 0.0))
    if part == "article":
        return _after_article(found, at + 1)
    if part in ("one", "ten"):
        return _whole(found, at)
    if part in ("fraction", "multiple", "loose"):
        after = at + 1
        while _text(found, after) in ("of", "a", "an"):
            # "half a dozen", "half of a cup": the article belongs to the number
            inner = table.get(_text(found, after + 1), ("", 0.0))
            after += 1
            if inner[0] in ("multiple", "fraction"):
                return Number(value * inner[1], after + 1)
        return Number(value, after, about=part == "loose")
    return None


def _after_article(found: list[Word], at: int) -> Number | None:
    """ "a dozen", "a half", "a couple": the article only counts with such a word after it."""
    part, value = _number_words().get(_text(found, at), ("", 0.0))
    if part in ("fraction", "multiple", "loose", "hundred"):
        after = at + 1
        while _text(found, after) == "of":
            after += 1
        return Number(value, after, about=part == "loose")
    return None


def _whole(found: list[Word], at: int) -> Number:
    """Spoken whole numbers up to the thousands: "twenty-five", "two hundred and ten"."""
    table = _number_words()
    total, after = 0.0, at
    current = 0.0
    while after < len(found):
        text = _text(found, after)
        part, value = table.get(text, ("", 0.0))
        if (part == "ten" and current % 100 == 0) or (
            part == "one" and (current % 100 == 0 or (current % 10 == 0 and value < 10))
        ):
            current += value
        elif part == "hundred" and current:
            current *= value
        elif text in ("-", "and") and table.get(_text(found, after + 1), ("",))[0] in (
            "one",
            "ten",
        ):
            if text == "-" and not 20 <= current % 100 < 100:
                break
            if text == "and" and current < 100:
                break
        else:
            break
        after += 1
    total += current
    # "one third", "three-quarters"
    joined = after + 1 if _text(found, after) == "-" else after
    part, value = table.get(_text(found, joined), ("", 0.0))
    if part == "fraction" and value < 0.5 + 1e-9 and _text(found, joined) != "half":
        return Number(total * value, joined + 1)
    return Number(total, after)


def _dozens(found: list[Word], number: Number) -> Number:
    part, value = _number_words().get(_text(found, number.after), ("", 0.0))
    if part == "multiple" and number.value < 144:
        after = number.after + 1
        return Number(number.value * value, after + (_text(found, after) == "of"), number.about)
    return number


def _and_a_half(found: list[Word], number: Number) -> Number:
    """ "two and a half", "one and three quarters"."""
    after = number.after
    if _text(found, after) != "and" or number.value != int(number.value):
        return number
    after += 1
    table = _number_words()
    if table.get(_text(found, after), ("",))[0] == "article":
        after += 1
    part, value = table.get(_text(found, after), ("", 0.0))
    if part == "fraction":
        # "a dozen and a half" is half a dozen more
        whole = 12 if number.value == 12 and _text(found, number.after - 1).startswith("doz") else 1
        return Number(number.value + value * whole, after + 1, number.about)
    if part == "one" and table.get(_text(found, after + 1), ("",))[0] == "fraction":
        return Number(number.value + value * table[_text(found, after + 1)][1], after + 2)
    fraction = _text(found, after)
    if "/" in fraction and fraction[0].isdigit() and (got := _value(fraction)) and got < 1:
        return Number(number.value + got, after + 1)
    return number

"""Reading amounts out of words: "2 (6.5 oz) cans", "1 lb (450 g)", "3 tbsp plus 1 tsp"."""

from __future__ import annotations

import re
from functools import cache

import msgspec

from helper.kitchen.amounts import Amount
from helper.kitchen.numbers import read_number
from helper.kitchen.units import Unit, spellings, units
from helper.kitchen.words import Word, key
from rules.tables import rows


class Measured(msgspec.Struct, frozen=True):
    """An amount read from words.

    `amount` as said; `size` the contents of one package where told ("2 (15 oz) cans": amount
    2 can, size 15 oz); `other` the same amount said another way in brackets; `after` the index
    of the first word behind it all.
    """

    amount: Amount
    after: int
    size: Amount | None = None
    other: Amount | None = None


@cache
def line_words(meaning: str) -> dict[tuple[str, ...], str]:
    """The phrases that mean one thing in an ingredient line → the value they stand for."""
    return {
        key(phrase): row["value"]
        for row in rows("reference/line_words.csv")
        if row["meaning"] == meaning
        for phrase in row["words"].split(";")
    }


def phrase_at(found: list[Word], at: int, table: dict[tuple[str, ...], str]) -> int:
    """How many words from `at` make up the longest phrase of a table; 0 for none."""
    keys = tuple([word.key for word in found[at : at + 5]])
    for length in range(len(keys), 0, -1):
        if keys[:length] in table:
            return length
    return 0


@cache
def _unit_words() -> dict[str, str]:
    return {word.lower(): name for word, name in spellings().items()}


def unit_at(found: list[Word], at: int) -> tuple[Unit, int] | None:
    """The unit at word `at` and the index after it; two-word units first ("fl oz")."""
    table = _unit_words()
    pair = at + 1 + (_text(found, at + 1) == ".")
    if name := table.get(f"{_text(found, at)} {_text(found, pair)}"):
        return units()[name], _past(".", found, pair + 1)
    if name := table.get(_text(found, at)):
        # the dot of "oz." belongs to the word, that of "two cups." ends the sentence
        short = len(_text(found, at)) <= _LONGEST_ABBREVIATION
        return units()[name], _past(".", found, at + 1) if short else at + 1
    return None


_LONGEST_ABBREVIATION = 4
_PRICE = re.compile(r"\d*\.\d\d")  # "at 3.49 or 5 lb at 4.99" is no range


def read_amount(found: list[Word], at: int = 0) -> Measured | None:
    """The amount that starts at word `at`; None where none does. Never a default."""
    first = _one_amount(found, at)
    if first is None:
        return None
    return _with_more(found, first)


def _text(found: list[Word], at: int) -> str:
    return found[at].text if 0 <= at < len(found) else ""


def _one_amount(found: list[Word], at: int) -> Measured | None:
    start = at
    about = False
    while length := phrase_at(found, at, line_words("about")):
        at, about = at + length, True
    number = read_number(found, at)
    if number is None:
        return _lone_unit(found, at, about)
    if _no_amount(found, at, number.after):
        return None
    if _text(found, number.after) in ("st", "nd", "rd", "th", "%", '"', "°"):
        return None
    high, after = _range_end(found, number.after)
    about = about or number.about
    if _text(found, after) == "x" and (inner := _one_amount(found, after + 1)):
        return _packages(number.value, inner, about)
    while length := phrase_at(found, after, line_words("about")):
        after, about = after + length, True
    spoken = _text(found, number.after - 1)[:1].isalpha()
    if (
        spoken
        and _text(found, after) in ("of", "a", "an")
        and not _text(found, after - 1) == "dozen"
    ):
        ahead = after
        while _text(found, ahead) in ("of", "a", "an", "the"):
            ahead += 1
        if unit_at(found, ahead):
            after = ahead
    bracketed = _in_brackets(found, after)
    if bracketed and (unit := unit_at(found, bracketed.after)) and _holds(unit[0]):
        size = bracketed.amount
        return Measured(Amount(number.value, unit[0].name, high, about), unit[1], size)
    unit = unit_at(found, _past("-", found, after)) or _sized_part(found, after)
    if unit is None:
        sized = _sized_package(found, number.value, after, about)
        return sized or Measured(Amount(number.value, None, high, about), after)
    here, after = unit
    if not _holds(here) and (package := unit_at(found, _past("-", found, after))):
        if _holds(package[0]) and start == at and high is None:
            # "a 15 oz can": one package of that size
            size = Amount(number.value, here.name)
            return Measured(Amount(1, package[0].name, None, about), package[1], size)
    about = about or here.kind == "about"
    amount = Amount(number.value, here.name, high, about)
    beside = _in_brackets(found, after)
    if beside is None:
        return Measured(amount, after)
    if _holds(here):
        return Measured(amount, beside.after, beside.amount)
    return Measured(amount, beside.after, None, beside.amount)


def _sized_part(found: list[Word], at: int) -> tuple[Unit, int] | None:
    """ "small clove", "large bunch": a part or package after its size, where a name follows."""
    length = phrase_at(found, at, line_words("size"))
    unit = unit_at(found, at + length) if length else None
    if unit is None or unit[0].dimension not in ("piece", "package"):
        return None
    return unit if unit[1] < len(found) and found[unit[1]].is_name else None


def _no_amount(found: list[Word], at: int, after: int) -> bool:
    """ "-3", "1e400": no amount anybody has, and none to make a positive one of."""
    minus = _text(found, at - 1) == "-" and at >= 1 and found[at - 1].end == found[at].start
    alone = minus and (at == 1 or found[at - 2].end < found[at - 1].start)
    power = _text(found, after) == "e" and _text(found, after + 1)[:1].isdigit()
    glued = at >= 2 and found[at - 1].text == "e" and found[at - 2].text[-1].isdigit()
    return alone or power or (glued and found[at - 1].end == found[at].start)


def _past(sign: str, found: list[Word], at: int) -> int:
    return at + 1 if _text(found, at) == sign else at


def _holds(unit: Unit) -> bool:
    return unit.dimension == "package"


def _packages(count: float, inner: Measured, about: bool) -> Measured:
    """ "2 x 400 g tins": so many packages of that size."""
    if inner.size is not None:
        return Measured(inner.amount.times(count), inner.after, inner.size)
    return Measured(inner.amount.times(count), inner.after)


def _sized_package(found: list[Word], count: float, at: int, about: bool) -> Measured | None:
    """ "2 15-oz cans", "one 14-ounce can": a second amount, then a package word."""
    number = read_number(found, at)
    if number is None:
        return None
    unit = unit_at(found, _past("-", found, number.after))
    if unit is None or _holds(unit[0]):
        return None
    package = unit_at(found, _past("-", found, unit[1]))
    if package is None or not _holds(package[0]):
        return None
    size = Amount(number.value, unit[0].name)
    return Measured(Amount(count, package[0].name, None, about), package[1], size)


def _lone_unit(found: list[Word], at: int, about: bool) -> Measured | None:
    """ "a cup", "a pinch of salt", "pinch salt": an article or nothing, then a unit."""
    if _text(found, at) in ("a", "an", "another"):
        at += 1
        while length := phrase_at(found, at, line_words("about")):
            at, about = at + length, True
        inner = _sized_package(found, 1, at, about)
        if inner is not None:
            return inner
        at_unit = unit_at(found, at)
        if at_unit is None and (size := phrase_at(found, at, line_words("size"))):
            at_unit = unit_at(found, at + size)
    else:
        at_unit = unit_at(found, at)
        if at_unit is not None and not (at_unit[0].kind == "about" or _bag_of(found, at)):
            at_unit = None
    if at_unit is None:
        return None
    unit, after = at_unit
    beside = _in_brackets(found, after)
    size_of = beside.amount if beside and _holds(unit) else None
    end = beside.after if size_of and beside else after
    return Measured(Amount(1, unit.name, None, about or unit.kind == "about"), end, size_of)


def _bag_of(found: list[Word], at: int) -> bool:
    """ "bag of onions" at the start of a list or sentence is one bag."""
    unit = unit_at(found, at)
    opens = at == 0 or not found[at - 1].text[0].isalnum() or _text(found, at - 1) == "and"
    return (
        unit is not None
        and _holds(unit[0])
        and found[at].text != unit[0].plural
        and opens
        and _text(found, at + 1) == "of"
    )


def _range_end(found: list[Word], at: int) -> tuple[float | None, int]:
    if _text(found, at) in ("to", "-", "or") and not _PRICE.fullmatch(_text(found, at - 1)):
        end = read_number(found, at + 1)
        if end is not None and not (
            _text(found, at) == "or" and _text(found, at + 1) in ("a", "an")
        ):
            return end.value, end.after
    return None, at


def _in_brackets(found: list[Word], at: int) -> Measured | None:
    """ "(15 oz)", "(about 450 g)", "(6.5 oz each)": an amount and nothing else of weight."""
    if _text(found, at) != "(":
        return None
    close = next((i for i in range(at + 1, len(found)) if found[i].text == ")"), None)
    if close is None or close - at > 12:
        return None
    inner = _one_amount(found, at + 1)
    if inner is None or inner.amount.unit is None or inner.after > close:
        return None
    if close - inner.after > 3:
        return None
    return Measured(inner.amount, close + 1)


def _with_more(found: list[Word], first: Measured) -> Measured:
    """Adds "plus 1 tsp", "+ 2 tbsp" and "2 lb 4 oz" where the units measure the same thing."""
    joined = _text(found, first.after) in ("plus", "+", "and")
    at = first.after + 1 if joined else first.after
    second = _one_amount(found, at) if joined or _text(found, at)[:1].isdigit() else None
    if second is None or second.amount.unit is None or first.amount.unit is None:
        return first
    if second.size is not None or first.size is not None:
        return first
    added = second.amount.to(first.amount.unit)
    if added is None or (not joined and added.number >= first.amount.number):
        return first
    total = Amount(first.amount.number + added.number, first.amount.unit, None, first.amount.about)
    return Measured(total, second.after, None, first.other)

"""Amounts in the words of a request: "a pound and a half", "six rolls", "three heads of garlic"."""

from __future__ import annotations

from collections.abc import Sequence

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.heats import Heat, scales_named
from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import Measured, line_words, phrase_at, read_amount, unit_at
from helper.kitchen.units import units
from helper.kitchen.words import Word
from helper.reading.headcounts import is_helping_verb
from helper.reading.spans import Span
from helper.reading.sums import is_price
from helper.reading.vocabulary import meanings, phrase_from, spelt, text_at
from helper.reading.when import is_clock

_WARM = 60  # degrees below which nobody sets an oven, and cups above which nobody measures


def spot_amounts(found: list[Word], foods: Foods) -> list[Span]:
    """Every amount in the words: value a `Measured`, the number with the unit it goes with."""
    spans = []
    at = 0
    while at < len(found):
        measured = _of_those(found, at) or _unit_and_part(found, at) or read_amount(found, at)
        if measured is None or _is_no_number(found, at) or is_clock(found, at):
            at += 1
            continue
        if _is_denied(found, at):
            at = measured.after
            continue
        if is_helping_verb(found, measured.after - 1):
            measured = Measured(Amount(measured.amount.number), measured.after - 1)
        measured = _with_part(found, _counted(found, measured, foods))
        spans.append(Span("amount", at, measured.after, measured))
        at = max(measured.after, at + 1)
    return spans


def spot_heats(found: list[Word], foods: Foods) -> list[Span]:
    """Temperatures, "350 F": the number is one, of the scale's sign, and the scale stays a word.

    A "c" alone is a cup unless nothing is measured by it and so many cups were never asked about.
    """
    spans = []
    for at in range(len(found)):
        number = read_number(found, at)
        if number is None:
            continue
        after = number.after
        while (hit := phrase_from(found, after, "degrees")) or text_at(found, after) == "°":
            after = hit[1] if hit else after + 1
        named = scales_named(text_at(found, after))
        told = after > number.after or len(text_at(found, after)) > 1
        measures = foods.at(found, after + 1) or text_at(found, after + 1) == "of"
        if named and (told or (number.value >= _WARM and not measures)):
            heat = Heat(number.value, number.value, named[0])
            spans.append(Span("heat", at, number.after, heat))
    return spans


def without_false_headcounts(found: list[Word], spans: list[Span]) -> list[Span]:
    """ "for 2 onions" counts onions, not people, and "three heads of garlic" no heads."""
    starts = {span.start: span for span in spans}
    out: list[Span] = []
    for span in spans:
        after = starts.get(span.end)
        part = unit_at(found, span.end - 1) if span.kind == "servings" else None
        if part is not None and part[0].name == "head":
            of = text_at(found, span.end) == "of"
            food = starts.get(span.end + 1) if of else (out[-1] if out else None)
            if food is not None and food.kind == "food" and (of or span.start - food.end <= 1):
                counted = Measured(Amount(float(span.value), part[0].name), span.end)
                out.append(Span("amount", span.start, span.end, counted))
                continue
        number = read_number(found, span.start) if span.kind == "servings" else None
        bare = number is not None and number.after == span.end
        if bare and after and after.kind == "food":
            amount = Measured(Amount(float(span.value)), span.end)
            span = Span("amount", span.start, span.end, amount)
        out.append(span)
    return out


def is_sum(found: Sequence[Word], amount: Span) -> bool:
    """ "3.50 good", "4.49 ea.": two decimals and no unit are a sum, not an amount."""
    each = phrase_from(found, amount.start + 1, "each") is not None
    bare = amount.value.amount.unit is None
    return (bare or each) and is_price(found[amount.start].text)


def _counted(found: list[Word], measured: Measured, foods: Foods) -> Measured:
    """ "six rolls": a word that may be a unit is the food itself where no food follows it.

    Where the food has another name, the unit stays: "2 loaves" are loaves of bread.
    """
    unit = measured.amount.unit
    if unit is None or measured.size is not None or units()[unit].size is not None:
        return measured
    last = measured.after - 1
    named = foods.at(found, last)
    if named is None or text_at(found, measured.after) == "of":
        return measured
    if foods.at(found, measured.after) is not None:
        return measured
    kept = None if named.food.split()[-1] == unit else unit
    return Measured(Amount(measured.amount.number, kept, measured.amount.high), last)


def _unit_and_part(found: list[Word], at: int) -> Measured | None:
    """ "pint and a half of milk": one of the unit, where no number stands before it."""
    unit = unit_at(found, at)
    if unit is None or phrase_from(found, unit[1], "and_part") is None:
        return None
    return _with_part(found, Measured(Amount(1.0, unit[0].name), unit[1]))


def _with_part(found: list[Word], measured: Measured) -> Measured:
    """ "a pound and a half of bacon": the part behind the unit is of that unit."""
    part = phrase_from(found, measured.after, "and_part")
    if part is None or measured.amount.unit is None or measured.size is not None:
        return measured
    amount = Amount(measured.amount.number + float(part[0]), measured.amount.unit)
    return Measured(amount, part[1])


def _is_denied(found: Sequence[Word], at: int) -> bool:
    """ "There isn't a drop left", "never a crumb": so little is not there, and no amount of it."""
    before = text_at(found, at - 1)
    return text_at(found, at) in ("a", "an", "one") and (
        before.endswith("n't") or before in spelt("denying")
    )


def _of_those(found: list[Word], at: int) -> Measured | None:
    """ "2 of the 5 lb bags", "two of those big tins": so many of the packages."""
    number = read_number(found, at)
    if number is None:
        return None
    of = number.after if text_at(found, number.after) == "of" else number.after - 1
    if text_at(found, of) != "of" or phrase_from(found, of + 1, "this_one") is None:
        return None
    first = of + 2
    first += phrase_at(found, first, line_words("size"))
    unit = unit_at(found, first)
    if unit is not None and unit[0].dimension == "package":
        return Measured(Amount(number.value, unit[0].name), unit[1])
    one = read_amount(found, first)
    if one is None or one.size is None or one.amount.number != 1:
        return None
    return Measured(Amount(number.value, one.amount.unit), one.after, one.size)


def _is_no_number(found: Sequence[Word], at: int) -> bool:
    """ "which one", "the other one", "let it drop below": no amount."""
    if phrase_from(found, at, "no_amount"):
        return True
    return found[at].text == "one" and at > 0 and (found[at - 1].key,) in meanings("determiner")

"""What is read out of the words of a recipe beside its ingredients: how many it feeds, how long
it takes, how hot the oven is. The words themselves stand in `recipe_words.csv`."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

from helper.kitchen.numbers import read_number
from helper.kitchen.units import units
from helper.kitchen.words import Word, key, words

# Fewer pieces than these are loaves and crusts to be cut up, not servings.
_PIECES_THAT_SERVE = 4
_MOST_SERVINGS = 1000.0
# Above body-warm water and the inside of a roast; below, no oven is meant.
_COLDEST_OVEN_F, _HOTTEST_OVEN_F = 200, 600

_ARTICLES = ("a", "an")
_TEMPERATURE = re.compile(
    r"(\d{2,3})\s*(?:to\s*\d{2,3}\s*)?(?:°|º|degrees?|deg\.?)?\s*(fahrenheit|celsius|f|c)\b", re.I
)
_ISO_SPAN = re.compile(
    r"P(?:(\d+(?:\.\d+)?)D)?(?:T(?:(\d+(?:\.\d+)?)H)?(?:(\d+(?:\.\d+)?)M)?(?:\d+(?:\.\d+)?S)?)?$",
    re.I,
)


@cache
def meaning(kind: str) -> dict[tuple[str, ...], str]:
    """The phrases of one meaning → their value."""
    with (Path(__file__).parent / "recipe_words.csv").open(encoding="utf-8", newline="") as file:
        return {
            key(phrase): row["value"]
            for row in csv.DictReader(file)
            if row["meaning"] == kind
            for phrase in row["words"].split(";")
        }


def at_phrase(found: list[Word], at: int, kind: str) -> int:
    """The length of the longest phrase of a meaning at word `at`; 0 for none."""
    table = meaning(kind)
    for length in range(min(5, len(found) - at), 0, -1):
        if tuple(word.key for word in found[at : at + length]) in table:
            return length
    return 0


def bare_label(line: str, kind: str) -> bool:
    """True for a line that is nothing but a heading of that meaning: "Method:", "## Notes"."""
    bare = line.strip().strip("#*_:- ").strip()
    return len(bare) < 40 and key(bare) in meaning(kind)


# -- how many --------------------------------------------------------------------------------


def servings_line(line: str) -> tuple[float | None, str] | None:
    """Servings and the yield as written, if the whole line tells no more than that."""
    found = words(line)
    if not found or len(found) > 14:
        return None
    after = at_phrase(found, 0, "serves") or at_phrase(found, 0, "makes")
    after = max(after, at_phrase(found, 0, "labelled"))
    if after:
        rest = after + (after < len(found) and found[after].text in (":", "-"))
        if rest < len(found) and (
            read_number(found, rest) is not None or found[rest].text in ("about", "around")
        ):
            makes = bool(at_phrase(found, 0, "makes"))
            text = line[_span(line, found, rest) :].strip()
            return servings_in(text, not makes), text
        return None
    number = read_number(found, 0)
    if number is not None and at_phrase(found, number.after, "serving words"):
        return servings_in(line, True), line.strip()
    return None


def _span(line: str, found: list[Word], at: int) -> int:
    """Where word `at` stands in the line, as far as plain text keeps its places."""
    start = line.casefold().find(found[at].text)
    return start if start >= 0 else found[at].start


def servings_in(text: str, people: bool = False) -> float | None:
    """The servings a yield tells: "6", "6 servings", "24 squares", "1 loaf (12 slices)".

    `people` True where the line itself speaks of eaters. None for cups, loaves and the like. Of a
    range the lower number counts, so that nobody goes short.
    """
    found = words(text)
    at = 0
    best: float | None = None
    first = True
    while at < len(found):
        number = read_number(found, at)
        if number is None:
            at += 1
            continue
        at = max(number.after, at + 1)
        if not 0 < number.value <= _MOST_SERVINGS:
            continue
        if number.after < len(found) and found[number.after].text in ("-", "to"):
            high = read_number(found, number.after + 1)
            at = high.after if high is not None else at
        if at_phrase(found, at, "serving words"):
            return number.value
        follows = found[at].key if at < len(found) and found[at].is_name else ""
        bracketed = any(word.text == "(" for word in found[:at])
        if (first or bracketed) and best is None and _serves(number.value, follows, people):
            best = number.value
        first = False
    return best


def _serves(number: float, noun: str, people: bool) -> bool:
    unit = units().get(noun)
    if unit is not None and (unit.dimension in ("volume", "mass") or unit.name == "loaf"):
        return False
    return people or not noun or number >= _PIECES_THAT_SERVE


# -- how long --------------------------------------------------------------------------------


def iso_minutes(text: str) -> int | None:
    """Minutes of an ISO 8601 duration: "PT1H30M"."""
    hit = _ISO_SPAN.match(text.strip())
    if hit is None or not any(hit.groups()):
        return None
    days, hours, minutes = (float(part) if part else 0.0 for part in hit.groups())
    return _whole(days * 1440 + hours * 60 + minutes)


def time_line(line: str) -> dict[str, int]:
    """Minutes by "total" or "part" of a line such as "Prep: 15 minutes  Cook: 2 hours"."""
    found = words(line)
    if len(found) > 24:
        return {}
    times: dict[str, int] = {}
    at = 0
    while at < len(found):
        length = at_phrase(found, at, "time")
        after = at + length
        if length and after < len(found) and found[after].text in (":", "-"):
            after += 1
        span = _duration(found, after) if length else None
        if span is None:
            if not at:
                return {}
            at += 1
            continue
        kind = meaning("time")[tuple(word.key for word in found[at : at + length])]
        times[kind] = times.get(kind, 0) + span[0]
        at = span[1]
    return times


def minutes_in(steps: tuple[str, ...]) -> int | None:
    """The sum of the times that steps name, the upper end of each; None where they name none."""
    total = 0
    for step in steps:
        found = words(step)
        at = 0
        while at < len(found):
            span = _duration(found, at)
            if span is None:
                at += 1
                continue
            before = found[max(0, at - 3) : at]
            if not any(at_phrase(before, i, "nodur") for i in range(len(before))):
                total += span[0]
            at = span[1]
    return total or None


def _duration(found: list[Word], at: int) -> tuple[int, int] | None:
    """Minutes and the index behind "1 hour 15 minutes", "30 to 45 minutes", "an hour"."""
    total, after, any_ = 0.0, at, False
    while (one := _one_duration(found, after)) is not None:
        total, after, any_ = total + one[0], one[1], True
        if after < len(found) and found[after].text == "and":
            if _one_duration(found, after + 1) is None:
                break
            after += 1
    return (_whole(total), after) if any_ and total < 10_000 else None


def _one_duration(found: list[Word], at: int) -> tuple[float, int] | None:
    number = read_number(found, at)
    if number is not None:
        value, after = number.value, number.after
    elif at < len(found) and found[at].text in _ARTICLES:
        value, after = 1.0, at + 1
    else:
        return None
    if after < len(found) and found[after].text in ("to", "-", "or"):
        high = read_number(found, after + 1)
        if high is not None:
            value, after = high.value, high.after
    if after < len(found) and found[after].text in _ARTICLES:
        after += 1  # "half an hour"
    length = at_phrase(found, after, "minutes")
    if not length:
        return None
    unit = float(meaning("minutes")[tuple(w.key for w in found[after : after + length])])
    return value * unit, after + length


def _whole(minutes: float) -> int:
    return int(minutes + 0.5)


# -- how hot ---------------------------------------------------------------------------------


def oven_in(steps: tuple[str, ...]) -> int | None:
    """The first oven temperature that steps name, in °F."""
    for step in steps:
        for sentence in re.split(r"(?<=[.;])\s+", step):
            found = words(sentence)
            if not any(at_phrase(found, at, "oven") for at in range(len(found))):
                continue
            for hit in _TEMPERATURE.finditer(sentence):
                heat = float(hit[1])
                if hit[2][0] in "cC":
                    heat = heat * 9 / 5 + 32
                if _COLDEST_OVEN_F <= heat <= _HOTTEST_OVEN_F:
                    return _whole(heat)
    return None

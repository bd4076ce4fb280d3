"""Lengths of time in words: "3 days", "next two weeks", "half an hour", "20 to 30 minutes"."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from helper.kitchen.numbers import read_number
from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from, text_at

_HOUR = 60


def spot_durations(found: Sequence[Word], today: dt.date) -> list[Span]:
    """Spans of days (kind `days`) and of minutes (`minutes`); "3 days ago" is a `date`."""
    spans = (_duration(found, at, today) for at in range(len(found)))
    return [span for span in spans if span is not None]


def _duration(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    value, after = _how_many(found, at)
    counted = value is not None
    opening = None if counted else phrase_from(found, at, "stretch_open")
    if opening is not None:
        after = opening[1]
    inner = "stretch_of" if counted else "stretch_inner"
    while (word := phrase_from(found, after, inner)) or (counted and text_at(found, after) == "-"):
        after = word[1] if word else after + 1
    if after >= len(found) or not (counted or opening or after == at):
        return None
    unit = meanings("minutecount").get((found[after].key,))
    if unit is not None:
        if not counted and opening is None:
            return None
        if not counted and text_at(found, at) not in ("a", "an"):
            return None
        return _minutes(found, at, after + 1, (value or 1.0), int(unit), today)
    unit = meanings("daycount").get((found[after].key,))
    if unit is None or (not counted and not _is_stretch(found, at, after, opening, int(unit))):
        return None
    if any(phrase_from(found, i, "no_days") for i in range(max(0, at - 2), at + 1)):
        return None  # "at this time of year"
    days = round((value or 1.0) * int(unit))
    if text_at(found, after + 1) == "ago":
        return Span("date", at, after + 2, (None, today - dt.timedelta(days=days)))
    return Span("days", at, after + 1, days)


def _how_many(found: Sequence[Word], at: int) -> tuple[float | None, int]:
    """A number, or the end of a range: "20 to 30", "3-4", "3 or 4"."""
    words = list(found)
    number = read_number(words, at)
    if number is None:
        return None, at
    if phrase_from(found, number.after, "up_to") or text_at(found, number.after) == "-":
        end = read_number(words, number.after + 1)
        if end is not None and end.value > number.value:
            return end.value, end.after
    return number.value, number.after


def _is_stretch(
    found: Sequence[Word], at: int, after: int, opening: tuple[str, int] | None, days: int
) -> bool:
    """Whether an uncounted word is a stretch of days: "the week" is, "the day" is not."""
    if opening is None:
        before = phrase_from(found, at - 1, "stretch_for") if at else None
        owned = found[after].text.endswith("'s")  # "week's menu"
        return found[after].key == "weekend" or (days > 1 and (owned or before is not None))
    return days > 1 or opening[0] == "each"


def _minutes(
    found: Sequence[Word], start: int, end: int, value: float, unit: int, today: dt.date
) -> Span:
    minutes = value * unit
    if more := phrase_from(found, end, "and_part"):
        return Span("minutes", start, more[1], round(minutes + unit * float(more[0])))
    joined = end + (text_at(found, end) == "and")
    if unit == _HOUR and (part := _bare_minutes(found, end, joined)):
        return Span("minutes", start, part[1], round(minutes) + part[0])
    further = _duration(found, joined, today)
    if unit == _HOUR and further and further.kind == "minutes" and further.value < _HOUR:
        return Span("minutes", start, further.end, round(minutes + further.value))
    return Span("minutes", start, end, round(minutes))


def _bare_minutes(found: Sequence[Word], end: int, joined: int) -> tuple[int, int] | None:
    """ "1h30", "an hour and twenty": minutes behind the hours that are not called so."""
    more = read_number(list(found), joined)
    if more is None or not 5 <= more.value < _HOUR or more.value != int(more.value):
        return None
    glued = joined == end and found[joined].start == found[end - 1].end
    alone = joined > end and not text_at(found, more.after)[:1].isalnum()
    return (int(more.value), more.after) if glued or alone else None

"""Days, dates and times in words: "last night", "on friday", "exp 3/27", "half an hour"."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Sequence

from helper.kitchen.numbers import read_number
from helper.kitchen.words import Word
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

_ENDINGS = {"st", "nd", "rd", "th"}


def spot_times(found: Sequence[Word], today: dt.date) -> list[Span]:
    """Every date, span of days (kind `days`) and of minutes (`minutes`).

    The value of a `date` span is the day, or a pair (the next, the last) where a weekday alone
    leaves that to what is asked.
    """
    spans: list[Span] = []
    for at in range(len(found)):
        for reader in (_relative, _weekday, _nth, _month_day, _slashed, _iso, _counted):
            span = reader(found, at, today)
            if span is not None:
                spans.append(span)
    return spans


def _text(found: Sequence[Word], at: int) -> str:
    return found[at].text if 0 <= at < len(found) else ""


def _relative(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    hit = phrase_from(found, at, "day")
    if hit is None:
        return None
    return Span("date", at, hit[1], today + dt.timedelta(days=int(hit[0])))


def _weekday(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    start = at
    turn = _text(found, at)
    if turn in ("last", "next", "this", "on", "by", "coming"):
        at += 1
    hit = phrase_from(found, at, "weekday")
    if hit is None:
        return None
    ahead = (int(hit[0]) - today.weekday()) % 7
    if turn == "next" and ahead == 0:
        ahead = 7
    coming, gone = ahead, ahead - 7
    if turn == "last":
        coming = gone
    elif turn in ("next", "this", "coming", "by"):
        gone = coming
    end = hit[1]
    if _text(found, end) in ("night", "evening", "morning", "afternoon", "dinner"):
        end += 1
    # "on" and "by" stay outside: they are words of the phrase, not of the day
    first = start + 1 if turn in ("on", "by") else start
    if (last := _range_end(found, end)) is not None:
        return Span("days", first, last[1], (last[0] - int(hit[0])) % 7 + 1)
    days = (today + dt.timedelta(days=coming), today + dt.timedelta(days=gone))
    return Span("date", first, end, days)


def _month_day(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "march 5", "5 march 2027", "the 5th of march", "march 2027", "march"."""
    day, after = _day_number(found, at)
    if day is not None:
        if _text(found, after) == "of":
            after += 1
        hit = phrase_from(found, after, "month")
        if hit is None:
            return None
        year, end = _year(found, hit[1])
        return _dated(at, end, year, int(hit[0]), day, today)
    hit = phrase_from(found, at, "month")
    if hit is None:
        return None
    month, after = int(hit[0]), hit[1]
    year, end = _year(found, after)
    if year is not None:
        return _dated(at, end, year, month, None, today)
    day, end = _day_number(found, after)
    if day is not None:
        year, end = _year(found, end + 1 if _text(found, end) == "," else end)
        return _dated(at, end, year, month, day, today)
    if _text(found, at) in ("may", "mar", "jan", "dec", "sep", "oct") and (
        _text(found, at - 1) not in ("by", "in", "until", "till", "before", "of", "end", "for")
    ):
        return None
    return _dated(at, after, None, month, None, today)


def _range_end(found: Sequence[Word], at: int) -> tuple[int, int] | None:
    """ "through friday" after a weekday: the last weekday and the index behind it."""
    if _text(found, at) not in ("to", "through", "thru", "till", "until", "-"):
        return None
    hit = phrase_from(found, at + 1, "weekday")
    return (int(hit[0]), hit[1]) if hit else None


def _nth(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "the 4th": the next such day of a month, or the last one when looking back."""
    day, after = _day_number(found, at)
    if day is None or after != at + 2 or _text(found, at - 1) != "the":
        return None
    if phrase_from(found, after, "month") or _text(found, after) == "of":
        return None
    coming = next((d for d in _days_from(today, 1) if d.day == day), None)
    gone = next((d for d in _days_from(today, -1) if d.day == day), None)
    return Span("date", at, after, (coming, gone)) if coming and gone else None


def _days_from(today: dt.date, step: int) -> list[dt.date]:
    return [today + dt.timedelta(days=step * i) for i in range(1, 63)]


def _day_number(found: Sequence[Word], at: int) -> tuple[int | None, int]:
    text = _text(found, at)
    if text.isdigit() and 1 <= int(text) <= 31:
        after = at + 1
        return int(text), after + (_text(found, after) in _ENDINGS)
    return None, at


def _year(found: Sequence[Word], at: int) -> tuple[int | None, int]:
    text = _text(found, at)
    if text.isdigit() and 2000 <= int(text) < 2100:
        return int(text), at + 1
    return None, at


def _dated(
    start: int, end: int, year: int | None, month: int, day: int | None, today: dt.date
) -> Span | None:
    """A date from its parts: no year means the nearest to come (or just past), no day the last."""
    for candidate in (year,) if year else (today.year, today.year + 1):
        last = calendar.monthrange(candidate, month)[1]
        if (day or 1) > last:
            return None
        date = dt.date(candidate, month, day or last)
        if year or date >= today - dt.timedelta(days=60):
            return Span("date", start, end, date)
    return None


def _slashed(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """3/27, 3/27/27, 03/27/2027, 12-1-26: month first, unless that cannot be."""
    parts = re.fullmatch(r"(\d{1,2})/(\d{1,2})", _text(found, at))
    after = at + 1
    if parts is None:
        return None
    first, second = int(parts[1]), int(parts[2])
    if not (first and second):
        return None
    year: int | None = None
    if _text(found, after) == "/" and _text(found, after + 1).isdigit():
        year = int(_text(found, after + 1))
        year += 2000 if year < 100 else 0
        after += 2
    elif not _dateish(found, at):
        return None
    if first <= 12 and second <= 31:
        return _dated(at, after, year, first, second, today)
    if second <= 12 and first <= 31:
        return _dated(at, after, year, second, first, today)
    if first <= 12 and second > 31:
        return _dated(at, after, 2000 + second, first, None, today)
    return None


def _dateish(found: Sequence[Word], at: int) -> bool:
    """A bare 3/27 is a date only after words that announce one, or when it is no fraction."""
    first, _, second = _text(found, at).partition("/")
    before = {_text(found, i) for i in range(max(0, at - 3), at)}
    announced = before & {
        "exp",
        "expires",
        "expiry",
        "by",
        "before",
        "best",
        "use",
        "until",
        "on",
        "date",
        "dated",
        "bb",
        "till",
        "good",
        "expiring",
        "through",
        "from",
    }
    return bool(announced) or int(first) > int(second) > 0


def _iso(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    texts = [_text(found, i) for i in range(at, at + 5)]
    if texts[1::2] == ["-", "-"] and len(texts[0]) == 4 and all(t.isdigit() for t in texts[::2]):
        try:
            return Span("date", at, at + 5, dt.date(*(int(t) for t in texts[::2])))
        except ValueError:
            return None
    return None


def _counted(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "3 days", "a week", "next two weeks", "half an hour", "an hour and a half", "in 3 days"."""
    number = read_number(found if isinstance(found, list) else list(found), at)
    value, after = (number.value, number.after) if number else (1.0, at)
    if number is None:
        if _text(found, at) not in (
            "a",
            "an",
            "the",
            "this",
            "next",
            "per",
            "all",
            "whole",
            "last",
            "past",
            "every",
            "each",
            "of",
            "coming",
        ):
            return None
        after = at + 1
    while _text(found, after) in ("a", "an", "more", "-", "next", "last", "of", "further", "good"):
        after += 1
    unit = meanings("minutecount").get((found[after].key,)) if after < len(found) else None
    if unit is not None:
        if number is None and _text(found, at) not in ("a", "an"):
            return None
        end = after + 1
        minutes = value * int(unit)
        if [_text(found, i) for i in range(end, end + 3)] == ["and", "a", "half"]:
            minutes, end = minutes + int(unit) / 2, end + 3
        elif (more := _counted(found, end, today)) is not None and more.kind == "minutes":
            if int(unit) == 60 and more.value < 60:
                minutes, end = minutes + more.value, more.end
        return Span("minutes", at, end, round(minutes))
    word = found[after].key if after < len(found) else ""
    unit = meanings("daycount").get((word,)) if word else None
    if unit is None:
        return None
    if (
        number is None
        and int(unit) == 1
        and _text(found, at) in ("a", "the", "all", "of", "this", "last", "past", "per")
    ):
        return None
    days = round(value * int(unit))
    end = after + 1
    if _text(found, end) == "ago":
        return Span("date", at, end + 1, today - dt.timedelta(days=days))
    return Span("days", at, end, days)

"""Days and dates in words: "last night", "friday week", "exp 3/27", "the first of the month"."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Sequence

from helper.kitchen.numbers import read_number
from helper.kitchen.words import Word
from helper.reading.durations import spot_durations
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, openings, phrase_from, text_at

_ENDINGS = {"st", "nd", "rd", "th"}
_BEGIN = ("day", "weekday_turn", "weekday", "holiday", "month_end", "nth", "month")
_WEEK = dt.timedelta(days=7)
_NO_PART = {7, 9, 11, *range(13, 16), *range(17, 32)}  # nobody measures in elevenths: 11/22
# A date without a year that is over for longer than this is meant for the coming year.
_JUST_PAST = dt.timedelta(days=60)
_FIRST_HOUR, _LAST_HOUR = 3, 12
_NO_HOUR = {"%", "/", "-", "$", "£", "€", "°"}  # signs behind a number that is no hour


def spot_times(found: Sequence[Word], today: dt.date) -> list[Span]:
    """Every date, span of days (kind `days`) and of minutes (`minutes`).

    The value of a `date` span is the day, or a pair (the next, the last) where a weekday alone
    leaves that to what is asked; None stands in a pair where that side cannot be meant.
    """
    readers = (_relative, _weekday, _holiday, _nth, _month_day, _numbered, _iso)
    begins = openings(*_BEGIN)
    spans = [
        span
        for at, word in enumerate(found)
        if word.key in begins or word.text[0].isdigit()
        for reader in readers
        if (span := reader(found, at, today)) is not None
    ]
    return spans + spot_durations(found, today)


def is_clock(found: Sequence[Word], at: int) -> bool:
    """ "half past four", "six o'clock", "5 pm": a number that tells the time counts nothing."""
    if phrase_from(found, at, "clock_part") or ended_by(found, at, "clock_part"):
        return True
    number = read_number(list(found), at)
    if number is None:
        return False
    if phrase_from(found, number.after, "clock_end") is not None:
        return True
    hour = number.value == int(number.value) and _FIRST_HOUR <= number.value <= _LAST_HOUR
    follows = text_at(found, number.after)
    ends = not follows[:1].isalnum() and follows not in _NO_HOUR
    ends = ends or phrase_from(found, number.after, "after_hour") is not None
    # "supper by six, so", "telly's on at 7"
    return hour and ends and ended_by(found, at, "clock_at")


def _relative(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    hit = phrase_from(found, at, "day")
    if hit is None:
        return None
    day = today + dt.timedelta(days=int(hit[0]))
    return Span("date", at, hit[1], (None, day) if day < today else day)


def _weekday(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "friday", "last friday night", "friday week", "a week on friday", "monday to friday"."""
    start, first = at, at
    turn = phrase_from(found, at, "weekday_turn")
    if turn is not None:
        at = turn[1]
        # "on" and "by" stay outside: they are words of the phrase, not of the day
        first = start if turn[0] in ("last", "next", "this", "week") else at
    hit = phrase_from(found, at, "weekday")
    if hit is None:
        return None
    number, end = int(hit[0]), hit[1]
    if part := phrase_from(found, end, "day_part"):
        end = part[1]
    if (last := _range_end(found, end)) is not None:
        coming, _ = _days_of(turn[0] if turn else "", number, today)
        opening = Span("date", first, last[1], coming)
        return Span("days", first, last[1], (last[0] - number) % 7 + 1, also=(opening,))
    if which := phrase_from(found, end, "weekday_of"):
        return Span("date", first, which[1], _in_week(which[0], number, today))
    return Span("date", first, end, _days_of(turn[0] if turn else "", number, today))


def _days_of(turn: str, weekday: int, today: dt.date) -> tuple[dt.date, dt.date]:
    """The coming day and the last one, as far as the word before the weekday leaves both open."""
    ahead = (weekday - today.weekday()) % 7
    if turn == "next" and ahead == 0:
        ahead = 7
    coming = today + dt.timedelta(days=ahead)
    gone = coming - _WEEK
    if turn == "last":
        return gone, gone
    if turn == "week":
        return coming + _WEEK, coming + _WEEK
    return (coming, coming) if turn in ("next", "this", "by") else (coming, gone)


def _in_week(which: str, weekday: int, today: dt.date) -> dt.date:
    """ "friday week" is a week after the coming friday; "friday next week" is in that week."""
    if which == "week":
        return _days_of("week", weekday, today)[0]
    monday = today - dt.timedelta(days=today.weekday())
    return monday + int(which) * _WEEK + dt.timedelta(days=weekday)


def _range_end(found: Sequence[Word], at: int) -> tuple[int, int] | None:
    """ "through friday" after a weekday: the last weekday and the index behind it."""
    if text_at(found, at) != "-" and phrase_from(found, at, "up_to") is None:
        return None
    hit = phrase_from(found, at + 1, "weekday")
    return (int(hit[0]), hit[1]) if hit else None


def _holiday(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """Days that have names: fixed ("12-25"), or the nth weekday of a month ("11-4-3")."""
    hit = phrase_from(found, at, "holiday")
    if hit is None:
        return None
    parts = [int(part) for part in hit[0].split("-")]
    days = [_nth_weekday(year, *parts) for year in (today.year - 1, today.year, today.year + 1)]
    coming = next(day for day in days if day >= today)
    gone = next(day for day in reversed(days) if day < today)
    return Span("date", at, hit[1], (coming, gone))


def _nth_weekday(year: int, month: int, nth: int, weekday: int | None = None) -> dt.date:
    if weekday is None:
        return dt.date(year, month, nth)
    first = dt.date(year, month, 1)
    return first + dt.timedelta(days=(weekday - first.weekday()) % 7 + 7 * (nth - 1))


def _nth(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "the 4th", "the first of the month", "end of next month".

    That is the next such day, or the last one when looking back.
    """
    if ending := phrase_from(found, at, "month_end"):
        month = _month_on(today, int(ending[0]))
        return Span("date", at, ending[1], _last_of(month.year, month.month))
    day, after = _day_number(found, at)
    if day is None:
        return None
    if of := phrase_from(found, after, "of_month"):
        month = _month_on(today, int(of[0]))
        if day > _last_of(month.year, month.month).day:
            return None
        date = month.replace(day=day)
        if of[0] == "0" and date < today:
            after_this = _month_on(today, 1)
            coming = after_this.replace(day=min(day, _last_of(*after_this.timetuple()[:2]).day))
            return Span("date", at, of[1], (coming, date))
        return Span("date", at, of[1], date)
    suffixed = after == at + 2 and text_at(found, after - 1) in _ENDINGS
    if not suffixed or text_at(found, at - 1) != "the":
        return None
    if phrase_from(found, after, "month") or text_at(found, after) == "of":
        return None
    coming_day = next((d for d in _days_from(today, 1) if d.day == day), None)
    gone = next((d for d in _days_from(today, -1) if d.day == day), None)
    return Span("date", at, after, (coming_day, gone)) if coming_day and gone else None


def _days_from(today: dt.date, step: int) -> list[dt.date]:
    return [today + dt.timedelta(days=step * i) for i in range(1, 63)]


def _month_on(today: dt.date, months: int) -> dt.date:
    """The first of the month so many months on."""
    count = today.year * 12 + today.month - 1 + months
    return dt.date(count // 12, count % 12 + 1, 1)


def _last_of(year: int, month: int) -> dt.date:
    return dt.date(year, month, calendar.monthrange(year, month)[1])


def _month_day(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """ "march 5", "5 march 2027", "the 5th of march", "december tenth", "march"."""
    day, after = _day_number(found, at)
    if day is not None:
        if text_at(found, after) == "of":
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
    named = after + 1 if text_at(found, after) in ("the", ".") else after
    day, end = _day_number(found, named)
    if day is not None:
        year, end = _year(found, end + 1 if text_at(found, end) == "," else end)
        return _dated(at, end, year, month, day, today)
    if text_at(found, at) != "march" and len(text_at(found, at)) <= 3:
        # "may" and "mar" alone are months only where a word before them says so
        before = phrase_from(found, at - 1, "month_before") if at else None
        if before is None:
            return None
    return _dated(at, after, None, month, None, today)


def _day_number(found: Sequence[Word], at: int) -> tuple[int | None, int]:
    text = text_at(found, at)
    if text.isdigit() and 1 <= int(text) <= 31:
        after = at + 1
        return int(text), after + (text_at(found, after) in _ENDINGS)
    spoken = phrase_from(found, at, "nth")
    return (int(spoken[0]), spoken[1]) if spoken else (None, at)


def _year(found: Sequence[Word], at: int) -> tuple[int | None, int]:
    text = text_at(found, at)
    if text.isdigit() and 2000 <= int(text) < 2100:
        return int(text), at + 1
    return None, at


def _dated(
    start: int, end: int, year: int | None, month: int, day: int | None, today: dt.date
) -> Span | None:
    """A date from its parts: no year means the nearest to come (or just past), no day the last."""
    for candidate in (year,) if year else (today.year, today.year + 1):
        last = _last_of(candidate, month).day
        if (day or 1) > last:
            return None
        date = dt.date(candidate, month, day or last)
        if year or date >= today - _JUST_PAST:
            return Span("date", start, end, date)
    return None


def _numbered(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    """3/27, 3/27/27, 03/2027, 12-1-26: month first, unless that cannot be."""
    parts = re.fullmatch(r"(\d{1,2})/(\d{1,2}|20\d\d)", text_at(found, at))
    if parts is not None and re.fullmatch(r"\.\d\d", text_at(found, at + 1)):
        return None  # "3/2.00" is a price
    if parts is not None:
        first, second, after, sign = int(parts[1]), int(parts[2]), at + 1, "/"
    else:
        texts = [text_at(found, i) for i in range(at, at + 5)]
        if not re.fullmatch(r"\d{1,2}-\d{1,2}-\d{2}(\d\d)?", "".join(texts)):
            return None
        first, second, after, sign = int(texts[0]), int(texts[2]), at + 3, "-"
    if not (first and second):
        return None
    year: int | None = None
    if text_at(found, after) == sign and text_at(found, after + 1).isdigit():
        year = int(text_at(found, after + 1))
        year += 2000 if year < 100 else 0
        if not 2000 <= year < 2100:
            return None
        after += 2
    elif not (_is_announced(found, at) or first > second or second >= 2000 or second in _NO_PART):
        return None
    if first <= 12 and second <= 31:
        return _dated(at, after, year, first, second, today)
    if second <= 12 and first <= 31:
        return _dated(at, after, year, second, first, today)
    if first <= 12 and second > 31:
        return _dated(at, after, 2000 + second % 2000, first, None, today)
    return None


def _is_announced(found: Sequence[Word], at: int) -> bool:
    """A bare 3/27 is a date only after words that announce one, or when it is no fraction."""
    return any(phrase_from(found, i, "date_before") for i in range(max(0, at - 3), at))


def _iso(found: Sequence[Word], at: int, today: dt.date) -> Span | None:
    texts = [text_at(found, i) for i in range(at, at + 5)]
    if re.fullmatch(r"20\d\d-(0\d|1[0-2])", "".join(texts[:3])) and texts[3] != "-":
        return _dated(at, at + 3, int(texts[0]), int(texts[2]) or 12, None, today)
    if texts[1::2] == ["-", "-"] and len(texts[0]) == 4 and all(t.isdigit() for t in texts[::2]):
        try:
            return Span("date", at, at + 5, dt.date(*(int(t) for t in texts[::2])))
        except ValueError:
            return None
    return None

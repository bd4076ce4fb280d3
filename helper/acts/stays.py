"""Who is away and who visits, and when: read from what is said, kept with the person.

"Tove is away till friday", "mum visits on sunday", "Nico is back". Till a day means before it;
through a day, or from one to another, means with it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from msgspec.structs import replace

from helper.acts.said import meant
from helper.acts.wording import day_written
from helper.kitchen.numbers import read_number
from helper.kitchen.people import Person, Stay
from helper.kitchen.words import Word, words
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from

_WORDS = "person_words"
_DAY = dt.timedelta(days=1)
_LONGEST = 366


def stay_said(reading: Reading, today: dt.date) -> Stay | None:
    """The days somebody is said to be away or here, or None where nothing of that is said.

    A visit without days is none: that somebody visits now and then is another thing to know.
    """
    said = reading.said
    absent = meant(said, _WORDS, "absent") is not None
    visits = not absent and meant(said, _WORDS, "visits") is not None
    if not absent and not visits:
        return None
    span = _span(reading, today)
    if span is None:
        return Stay(today, None, False) if absent else None
    return Stay(*span, visits)


def back_said(reading: Reading, today: dt.date) -> dt.date | None:
    """The day from which somebody is said to be back."""
    if meant(reading.said, _WORDS, "back") is None:
        return None
    return reading.date or today


def _span(reading: Reading, today: dt.date) -> tuple[dt.date, dt.date | None] | None:
    """First and last day said, both counted."""
    found = words(reading.said)
    part = meant(reading.said, _WORDS, "days")
    if part is not None:
        return _part_of_week(part, today)
    count = _count(found)
    if count is not None:
        first = reading.date or today
        return first, first + dt.timedelta(days=count - 1)
    days = _weekdays(found, today)
    if len(days) > 1:
        first = days[0]
        return first, first + dt.timedelta(days=(days[-1] - first).days % 7)
    if reading.date is None:
        return None
    if meant(reading.said, _WORDS, "till") is not None:
        return today, max(today, reading.date - _DAY)
    if meant(reading.said, _WORDS, "through") is not None:
        return today, reading.date
    return reading.date, reading.date


def _part_of_week(part: str, today: dt.date) -> tuple[dt.date, dt.date]:
    monday = today - dt.timedelta(days=today.weekday())
    sunday = monday + dt.timedelta(days=6)
    if part == "week":
        return today, sunday
    if part == "next week":
        return sunday + _DAY, sunday + dt.timedelta(days=7)
    return max(today, sunday - _DAY), sunday


def _weekdays(found: Sequence[Word], today: dt.date) -> list[dt.date]:
    """Weekdays in the order said, each the next one there is."""
    days = []
    for at in range(len(found)):
        hit = phrase_from(found, at, "weekday")
        if hit is not None:
            days.append(today + dt.timedelta(days=(int(hit[0]) - today.weekday()) % 7))
    return days


def _count(found: list[Word]) -> int | None:
    """ "for three days", "for a week": how many days."""
    for at, word in enumerate(found):
        unit = meant(word.text, _WORDS, "span of days")
        if unit is None or not at:
            continue
        number = read_number(found, at - 1)
        count = number.value if number is not None else 1 if found[at - 1].text == "a" else 0
        if 1 <= count * int(unit) <= _LONGEST:
            return int(count * int(unit))
    return None


def with_stay(person: Person, stay: Stay, today: dt.date) -> Person:
    """The person with that stay known; what is over, or said anew, is forgotten."""
    kept = tuple(
        one
        for one in person.stays
        if (one.last is None or one.last >= today)
        and not (one.home == stay.home and _meet(one, stay))
    )
    return replace(person, stays=(*kept, stay))


def _meet(one: Stay, other: Stay) -> bool:
    """Whether two stays have a day in common: then the later word holds."""
    return one.first in other or other.first in one


def back_on(person: Person, day: dt.date, today: dt.date) -> Person:
    """The person at home again from that day."""
    kept = []
    for one in person.stays:
        if not one.home and (one.last is None or one.last >= day):
            one = replace(one, last=day - _DAY)
        if one.last is None or (one.last >= max(today, one.first)):
            kept.append(one)
    return replace(person, stays=tuple(kept))


def stay_written(stay: Stay, today: dt.date) -> str:
    """ "away from today to Thu 26 Nov", "here Sun 29 Nov"."""
    what = "here" if stay.home else "away"
    first = day_written(stay.first, today)
    if stay.last is None:
        return f"{what} from {first} on"
    if stay.last == stay.first:
        return f"{what} {first}"
    return f"{what} from {first} to {day_written(stay.last, today)}"

"""Dishes: which can be cooked, how one is made, and what is missing for it."""

from __future__ import annotations

from helper.acts import finding
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.answers import Answer
from helper.reading.reading import Reading


def find_meals(reading: Reading, house: House) -> Answer:
    """What can be cooked from what is here."""
    try:
        return finding.find_meals(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)

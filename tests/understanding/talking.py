"""The corpus' dialogues, said to the program itself: each to a fresh copy of the household."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

from msgspec.structs import replace

from helper.acts.house import House
from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.taking_in import take_in
from helper.reading.reading import Reading

HERE = Path(__file__).parent / "household"
FILES = ("people.csv", "recipes.json", "stock.csv")


@cache
def _laid_out(today: dt.date) -> bytes:
    books = Household.scratch(today=lambda: today)
    for name in FILES:
        take_in(HERE / name, books, House(books, today).foods, today)
    return books.prepare()


def conversation(today: dt.date) -> Conversation:
    """A conversation about the corpus' household, in which nothing has been said yet."""
    books = Household.scratch(prepared=_laid_out(today), today=lambda: today)
    return Conversation(books, today)


def readings(talk: Conversation, said: str) -> list[Reading]:
    """What a saying was read as, further requests in it behind the first.

    A question for something that was left unsaid ("How much was it?") is no doubt about what was
    meant: only a question for the act itself is left in the reading.
    """
    answer = talk.say(said)
    return [_certain(one.reading) for one in (answer, *answer.also)]


def _certain(reading: Reading) -> Reading:
    asked = reading.question
    return reading if asked is None or asked.about == "act" else replace(reading, question=None)

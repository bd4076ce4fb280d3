"""One conversation: words in, an answer out, and what was talked about kept for the next."""

from __future__ import annotations

import datetime as dt

from msgspec.structs import replace

from helper.acts import doing
from helper.acts.house import House
from helper.answers import Answer, asking, sorry
from helper.household.books import Household
from helper.household.troubles import Trouble
from helper.reading.acts import acts
from helper.reading.context import Context
from helper.reading.parts import parts
from helper.reading.phrases import phrasebook
from helper.reading.reader import Reader
from helper.reading.reading import Reading


class Conversation:
    """Talks with one person about one household. `say` is the only way in."""

    def __init__(self, books: Household, today: dt.date) -> None:
        self.house = House(books, today)

    @property
    def reader(self) -> Reader:
        """A reader that knows this household's names as they are now."""
        house = self.house
        return house.kept("reader", lambda: Reader(house.names, phrasebook()))

    def say(self, words: str) -> Answer:
        """The answer to what was said. Never raises for anything a person may type."""
        house = self.house
        house.books.refresh()
        readings = parts(words, self.reader, house.today, house.context)
        answers: list[Answer] = []
        for reading in readings:
            answer = self._answer(reading)
            self._remember(answer)
            answers.append(answer)
        first, *more = answers
        return replace(first, also=tuple(more)) if more else first

    def _answer(self, reading: Reading) -> Answer:
        if reading.question is not None:
            wants = tuple(acts()[name].wants for name in reading.question.choices)
            return asking(reading, reading.question.text, wants, "act")
        if reading.act is None:
            return _lost(reading)
        try:
            return doing(reading.act)(reading, self.house)
        except Trouble as trouble:
            return sorry(reading, str(trouble))

    def _remember(self, answer: Answer) -> None:
        context = self.house.context
        reading = answer.reading
        if not answer.understood:
            asked = answer.question is not None
            self.house.context = replace(
                context,
                asking=replace(reading, question=answer.question) if asked else None,
                offered=answer.offered or context.offered,
            )
            return
        if reading.act != "why":
            self.house.last = answer
        self.house.context = Context(
            last=reading if reading.act not in ("why", "help", "undo") else context.last,
            recipes=answer.recipes or reading.recipes or context.recipes,
            foods=answer.foods or reading.foods or context.foods,
            people=answer.people or reading.people or context.people,
            offered=answer.offered or context.offered,
        )


def _lost(reading: Reading) -> Answer:
    """Nothing was near: say so, and name the nearest things that can be asked."""
    near = tuple(f"{acts()[name].wants}: {acts()[name].example}" for name in reading.near[:3])
    text = "I did not understand that."
    if near:
        return sorry(reading, f"{text} The nearest things you can ask:", near)
    return sorry(reading, f'{text} Say "help" to see what can be asked.')

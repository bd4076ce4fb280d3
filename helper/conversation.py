"""One conversation: words in, an answer out, and what was talked about kept for the next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from msgspec.structs import replace

from helper.acts import doing
from helper.acts.filling import filled
from helper.acts.history import one_sentence
from helper.acts.house import House
from helper.acts.introducing import (
    answered_for_whom,
    asked_for_whom,
    is_for_guests,
    phrases_told_by,
    reading_of,
    told_of_people,
)
from helper.acts.ledger import standing
from helper.acts.wording import day_written
from helper.amending import amended
from helper.answers import Answer, Say, asking, sorry
from helper.dictation import LINE, Dictation, begun, told
from helper.household.books import Household
from helper.household.troubles import Trouble
from helper.reading.acts import acts
from helper.reading.answering import DROPPED
from helper.reading.changes import SAFE, guarded
from helper.reading.context import Context
from helper.reading.follow import UNDO
from helper.reading.going_on import AMENDS, EARLIER
from helper.reading.introductions import ACT as TOLD
from helper.reading.introductions import introductions
from helper.reading.parts import parts
from helper.reading.pasted import KEEP, lists_ingredients, looks_like_recipe, title_of
from helper.reading.phrasebook import phrasebook
from helper.reading.pronouns import by_name
from helper.reading.reader import IDLE, LONGEST, Reader
from helper.reading.reading import Question, Reading
from helper.reading.strangers import in_affirmative, strangers

_MOST_LINES = 40  # requests pasted at once; more is no talk

Faults = Callable[[str, Exception], object]

# Choices under a question mean acts; the empty act means that nothing is to be done.
_NOT_NOW = ""
_ASIDES = ("why", "help")
_PLAINLY = 0.93  # likeness of what is a request, though a recipe is being told
_PASTED = {"yes, keep it": KEEP, "no, leave it": _NOT_NOW}
_TAKE_BACK = {"yes, take it back": UNDO, "no, leave it": _NOT_NOW}
# A mark on a request to take something back that was asked about.
_ASKED = "asked"


class Conversation:
    """Talks with one person about one household. `say` is the only way in.

    `faults` is told of errors in the program itself, which the person only hears an apology for;
    without it they are raised.
    """

    def __init__(self, books: Household, today: dt.date, faults: Faults | None = None) -> None:
        self.house = House(books, today)
        self._faults = faults
        self._meant: dict[str, str] = {}
        self._done: int | None = None  # the change that the last request made
        self._before: int | None = None  # the change that the request before it made
        self._made = 0  # changes made in this talk that still stand
        self._dictation: Dictation | None = None  # the recipe that is told line by line

    @property
    def reader(self) -> Reader:
        """A reader that knows this household's names as they are now."""
        house = self.house
        return house.kept("reader", lambda: Reader(house.names, phrasebook()))

    def say(self, words: str) -> Answer:
        """The answer to what was said. Never raises for anything a person may type."""
        return self._said(words, self._readings)

    def wake(self, today: dt.date) -> None:
        """Go on talking on another day; what was talked about stays."""
        if today != self.house.today:
            before = self.house
            self.house = House(before.books, today)
            self.house.context, self.house.last = before.context, before.last

    def pause(self) -> None:
        """An empty line: it asks nothing, and may end a recipe told line by line."""
        if self._dictation is not None:
            self._dictation = replace(self._dictation, paused=bool(self._dictation.lines))

    def introduce(self, words: str) -> Answer:
        """The answer to who eats here, said in one go; a sentence without names is a request."""
        return self._said(words, self._introductions)

    def _said(self, words: str, read: Callable[[str], Sequence[Reading]]) -> Answer:
        try:
            self.house.books.refresh()
            answers = self._answers(read(words))
        except Trouble as trouble:
            return sorry(Reading(said=words), str(trouble))
        except Exception as fault:
            if self._faults is None:
                raise
            self._faults(words, fault)
            return _apology(words)
        first, *more = answers
        return replace(first, also=tuple(more)) if more else first

    # What was said

    def _readings(self, words: str) -> Sequence[Reading]:
        house = self.house
        if (dictated := self._dictated(words)) is not None:
            return [dictated]
        if "\n" in words.strip():
            return self._lines(words)
        if len(words) > LONGEST:
            return [Reading(said=words)]
        untitled = self._untitled()
        if untitled is not None:
            return [replace(untitled, said=f"{words}\n{untitled.said}")]
        asking = house.context.asking
        if asking is not None and (both := answered_for_whom(asking, words, house)):
            return both
        if asking is not None and (whole := filled(asking, words, house.foods)) is not None:
            return [replace(whole, said=f"{asking.said}; {words.strip()}", only=())]
        words = by_name(words, house.context.people, house.names, house.today)
        wished = self.reader.begins(words, "wishing", "link", "of_those")
        if not wished and (told := told_of_people(words, house)) is not None:
            righted = self._righted(words, told)
            return [told] if righted is None else [righted]
        asked = self._of_whom(words)
        readings = asked or parts(self._numbered(words), self.reader, house.today, house.context)
        return [self._settled(reading) for reading in readings]

    def _righted(self, words: str, told: Reading) -> Reading | None:
        """ "Oh three, Ben was out", of a dish just made: the dish, and nothing told of Ben.

        Nor is it anything new of him that he comes to table, but what he must not have is.
        """
        passing = not told.without or self.reader.says(words, "at_table")
        passing = passing and not told.diets
        righting = self.reader.begins(words, "recalling", "slip", "correction")
        if not (passing or righting):
            return None
        asked = self.house.context.open
        read = self.reader.read(words, self.house.today, self.house.context)
        if passing and asked is not None and asked.act == read.act and not guarded(read.act):
            return read  # "no pork then, Dov's coming"
        return read if righting and AMENDS in read.marks and read.act != TOLD else None

    def _dictated(self, words: str) -> Reading | None:
        """One more line of a recipe, or the last word on it; None where it is no part of one."""
        before, self._dictation = self._dictation, None
        if before is None:
            return None
        if before.lines and before.ends_with(words):
            return Reading(said=words, marks=(IDLE,))
        if not before.lines and "\n" in words.strip() or self._is_request(words, before):
            return None
        for line in words.strip().split("\n"):
            if not before.takes(line, self.house.foods):
                return None
            before = before.with_line(line)
        self._dictation = before
        return before.reading()

    def _is_request(self, words: str, before: Dictation) -> bool:
        """True where words are no part of a recipe that is told, but ask for something."""
        if before.lines and (before.measured(words) or words.strip().endswith((".", ":"))):
            return False  # what goes in, or a step
        read = self.reader.read(words, self.house.today, self.house.context)
        if read.act != KEEP and read.likeness >= _PLAINLY:
            return True
        idle = DROPPED in read.marks or IDLE in read.marks
        return not before.lines and (idle or self.reader.begins(words, "ordering"))

    def _of_whom(self, words: str) -> Sequence[Reading]:
        """A question about somebody the household does not know, read as if it did; and who may

        not have a dish, which is asked as who may. Nothing where it is neither.
        """
        house = self.house
        unknown = strangers(words, house.names, house.today)
        turned = in_affirmative(words)
        if not unknown and turned is None:
            return ()
        reader = Reader(house.names.with_people(unknown), phrasebook()) if unknown else self.reader
        found = parts(turned or words, reader, house.today, house.context)
        if turned is not None:
            dishes = len(found) == 1 and found[0].act == SAFE and found[0].recipes
            return [replace(found[0], said=words)] if dishes else ()
        if all(one.act == SAFE and one.people for one in found):
            return found
        return [asked_for_whom(one) for one in found] if is_for_guests(found, unknown) else ()

    def _numbered(self, words: str) -> str:
        """A choice repeated word for word is its number, whatever else it might mean."""
        asked = self.house.context.asking
        choices = asked.question.choices if asked is not None and asked.question else ()
        same = [i for i, one in enumerate(choices, 1) if one.casefold() == words.strip().casefold()]
        return str(same[0]) if same else words

    def _untitled(self) -> Reading | None:
        """The pasted recipe whose name was just asked for."""
        asked = self.house.context.asking
        if asked is None or asked.question is None or asked.question.about != "words":
            return None
        if asked.act != KEEP or "\n" not in asked.said:
            return None
        return replace(asked, question=None)

    def _introductions(self, words: str) -> Sequence[Reading]:
        heard = introductions(words, self.house.names, self.house.today, phrases_told_by())
        return [reading_of(words, heard)] if heard.people else self._readings(words)

    def _settled(self, reading: Reading) -> Reading:
        """A choice picked from the last question is an act by now."""
        act = self._meant.get(reading.act or "", reading.act)
        if act == reading.act:
            return reading
        pasted = reading.words if act == KEEP and reading.words else None
        return replace(reading, act=act, said=pasted or reading.said)

    def _lines(self, words: str) -> Sequence[Reading]:
        """Several lines at once: a recipe, with or without the request to keep it, or requests."""
        house = self.house
        first, rest = words.strip().split("\n", 1)
        asked = house.context.asking
        if lists_ingredients(rest):
            request = self.reader.read(first, house.today, house.context)
            if request.act == KEEP and request.question is None:
                return [replace(request, said=words.strip(), words=rest.strip())]
        if looks_like_recipe(words):
            pasted = Reading(said=words.strip(), act=KEEP, words=words.strip())
            if asked is not None and asked.act == KEEP:
                return [pasted]
            text = f'That looks like a recipe: "{title_of(words)}". Shall I keep it?'
            return [replace(pasted, question=Question(text, tuple(_PASTED), "act"))]
        lines = [line for line in words.split("\n") if line.strip()]
        if len(lines) > _MOST_LINES:
            return [Reading(said=words)]
        return [reading for line in lines for reading in self._readings(line)]

    # What is done about it

    def _answers(self, readings: Sequence[Reading]) -> list[Answer]:
        """Answers in turn, up to the first that is none: what follows may have hung on it."""
        answers: list[Answer] = []
        for i, reading in enumerate(readings):
            answer = self._answer(reading)
            left = [one.said for one in readings[i + 1 :]]
            if left and not answer.understood:
                waiting = Say(f"Not done yet: {'; '.join(left)}.", "quiet")
                answer = replace(answer, blocks=(*answer.blocks, waiting))
            self._remember(answer)
            answers.append(answer)
            if not answer.understood:
                break
        return answers

    def _answer(self, reading: Reading) -> Answer:
        if reading.question is not None:
            return self._ask(reading, reading.question)
        if reading.act == _NOT_NOW or DROPPED in reading.marks:
            return Answer(replace(reading, act=reading.act or KEEP), {}, (Say("Left as it was."),))
        if IDLE in reading.marks:
            return Answer(reading, {}, (Say("All right."),))
        if reading.act is None:
            return _lost(reading)
        try:
            if LINE in reading.marks:
                return self._line(reading)
            if reading.act == UNDO and (asked := self._not_ours(reading)) is not None:
                return asked
            if EARLIER in reading.marks and self._before is None:
                return _lost(replace(reading, act=None))
            done = self._before if EARLIER in reading.marks else self._done
            if AMENDS in reading.marks and done is not None:
                return amended(reading, self.house, done)
            return doing(reading.act)(reading, self.house)
        except Trouble as trouble:
            return sorry(reading, str(trouble))

    def _line(self, reading: Reading) -> Answer:
        """One more line of a recipe: kept with those before it once something goes in."""
        if self._dictation is None or self._dictation.recipe(self.house.foods) is None:
            return begun(reading)
        keep = doing(KEEP)
        answer = (
            keep(reading, self.house)
            if self._done is None
            else amended(reading, self.house, self._done)
        )
        if not answer.understood:
            self._dictation = None
            return answer
        return told(answer)

    def _not_ours(self, reading: Reading) -> Answer | None:
        """The question whether a change of some other day is meant, after a talk that made none.

        Said first of all it can mean nothing else, and is done.
        """
        if self._made or _ASKED in reading.marks or self.house.context.last is None:
            return None
        event = next(standing(self.house.books.events()), None)
        if event is None:
            return None
        self._meant = dict(_TAKE_BACK)
        text = (
            "Nothing has been changed in this talk. The last change before it, of "
            f"{day_written(event.day, self.house.today)}: {one_sentence(event).rstrip('.')}. "
            "Take that back?"
        )
        marked = replace(reading, marks=(*reading.marks, _ASKED))
        return asking(marked, text, tuple(_TAKE_BACK), "act")

    def _ask(self, reading: Reading, question: Question) -> Answer:
        if question.about != "act":
            return asking(reading, question.text, question.choices, question.about)
        meant = {acts()[name].wants: name for name in question.choices if name in acts()}
        known = {**_PASTED, **self._meant}  # the same question may be asked once more
        self._meant = meant or {choice: known.get(choice, _NOT_NOW) for choice in question.choices}
        return asking(reading, question.text, tuple(self._meant), "act")

    # What is kept of it

    def _remember(self, answer: Answer) -> None:
        """Keeps what was talked about. Asides, and what was not understood, change none of it."""
        before = self.house.context
        reading = answer.reading
        if reading.act != "why":
            self.house.last = answer
        question = answer.question
        asking = None if question is None else replace(reading, question=question)
        if question is not None and question.about == "act":
            # whatever is meant, what it named has been spoken of
            self.house.context = replace(
                before,
                asking=asking,
                fresh=False,
                recipes=reading.recipes or before.recipes,
                foods=reading.foods or before.foods,
            )
            return
        if reading.act is None:
            self.house.context = replace(before, fresh=False)
            return
        if reading.act in _ASIDES or DROPPED in reading.marks:
            about = reading.recipes or before.recipes
            self.house.context = replace(before, asking=None, recipes=about)
            return
        self._before = None if AMENDS in reading.marks else self._done
        self._done = self.house.books.version if answer.changed else None
        undone = reading.act == UNDO
        if answer.changed and AMENDS not in reading.marks:
            self._made = max(0, self._made + (-1 if undone else 1))
        if question is not None and question.about == "words" and reading.act == KEEP:
            self._dictation = None if "\n" in reading.said else Dictation()
        self.house.context = Context(
            last=before.last if undone else replace(reading, question=None),
            earlier=before.last,
            recipes=answer.recipes or reading.recipes or before.recipes,
            foods=reading.only or answer.foods or reading.foods or before.foods,
            people=answer.people or reading.people or before.people,
            offered=answer.offered or before.offered,
            asking=asking,
            fresh=bool(answer.offered),
            changed=answer.changed and not undone,
        )


def _lost(reading: Reading) -> Answer:
    """Nothing was near: say so, and name the nearest things that can be asked."""
    if not reading.said.strip():
        return sorry(reading, 'Nothing was asked. Say "help" to see what can be.')
    if len(reading.said) > LONGEST or reading.said.count("\n") > _MOST_LINES:
        return sorry(
            reading,
            f"That is too long to be said at once: {len(reading.said):,} characters. "
            "Say it in parts; a long list or recipe is better taken in as a file.",
        )
    near = tuple(f"{acts()[name].wants}: {acts()[name].example}" for name in reading.near[:3])
    text = "I did not understand that."
    if near:
        return sorry(reading, f"{text} The nearest things you can ask:", near)
    return sorry(reading, f'{text} Say "help" to see what can be asked.')


def _apology(words: str) -> Answer:
    """A fault of the program: what was asked, that nothing else is known, what to do."""
    said = " ".join(words.split())
    short = said if len(said) <= 60 else f"{said[:57]}..."
    return sorry(
        Reading(said=words),
        f'Sorry, something went wrong in me over "{short}". What happened is written in the fault '
        "log. Look whether what you wanted was done, then try it in other words.",
    )

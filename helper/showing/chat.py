"""The chat in a terminal: a prompt at once, and the kitchen made ready behind it.

Reading, completion and the bottom line need the kitchen, which takes a moment to load. A thread
loads it while the person begins to type; only a request typed faster than that has to wait.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Iterable
from functools import cached_property
from pathlib import Path
from textwrap import fill
from threading import Thread, Timer
from typing import IO, TYPE_CHECKING

from prompt_toolkit import PromptSession
from prompt_toolkit.application import Application
from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output

from helper.household.books import Household
from helper.showing.chat_keys import kept_keys
from helper.showing.clean import clean, one_line
from helper.showing.patience import patience
from helper.showing.said import history_in
from helper.showing.talk_words import means
from helper.showing.text import width_of

if TYPE_CHECKING:
    from helper.conversation import Conversation
    from helper.showing.suggest import Suggestible

PROMPT = "kitchen: "
_MOMENT = 1.0  # seconds after which it is said that something takes time
Faults = Callable[[str, Exception], object]

_WELCOME = """\
Welcome. I keep the books of your kitchen: what is in it, what it cost, what can be cooked from
it, and who may eat that. Everything stays on this machine.

Who eats here, and what do they keep away from? Say it as you would to a neighbour, for example:
Ada, Ben who can't have milk, and my daughter Cy, allergic to peanuts.

Enter alone leaves it for later."""
_GREETING = 'Ask away, or say "help". "bye" leaves.'
_NEXT = """\
Now tell me what is in the house ("got 5 lb of flour at 2.60"), paste in a recipe, or ask
"help"."""


class Kitchen:
    """The conversation and what hangs on it, loaded behind the prompt."""

    def __init__(self, books: Household, today: Callable[[], dt.date], faults: Faults) -> None:
        self.books = books
        self.today = today
        self.faults = faults
        self.ready = False
        self.slow = False
        self._loading: Thread | None = None

    def begin(self, then: Callable[[], object]) -> None:
        """Load in a thread, unless that has begun.

        `then` is called when there is something new to be seen: that it takes longer than a
        moment, and that it is done.
        """
        if self._loading is None:
            self._loading = Thread(target=self._load, args=(then,), daemon=True)
            self._loading.start()

    def _load(self, then: Callable[[], object]) -> None:
        late = Timer(_MOMENT, self._is_slow, (then,))
        late.daemon = True
        late.start()
        try:
            _ = self.talk.reader, self.suggestible()
        except Exception as fault:
            self.faults("(making ready)", fault)
        late.cancel()
        self.ready = True
        then()

    def _is_slow(self, then: Callable[[], object]) -> None:
        self.slow = True
        then()

    def wait(self) -> Conversation:
        """The conversation, when everything is loaded."""
        if self._loading is not None:
            self._loading.join()
        return self.talk

    @cached_property
    def talk(self) -> Conversation:
        """The conversation this chat holds."""
        from helper.conversation import Conversation

        return Conversation(self.books, self.today(), self.faults)

    def suggestible(self) -> Suggestible:
        """What completion may offer, as the books stand now."""
        return self.talk.house.kept("suggestible", self._suggestible)

    def _suggestible(self) -> Suggestible:
        from helper.reading.acts import acts
        from helper.reading.phrases import read_phrases
        from helper.showing.suggest import Suggestible

        house = self.talk.house
        names: dict[str, Iterable[str]] = {
            "person": [one_line(person.name) for person in house.people],
            "recipe": [one_line(recipe.title) for recipe in self.books.recipes()],
            "in the house": sorted({one_line(lot.food) for lot in house.lots}),
            "food": house.foods.names(),
        }
        phrasings = [
            phrase.text
            for phrase in read_phrases()
            # Every kitchen's wording, and nobody's own voice.
            if phrase.act in acts() and phrase.where.startswith(f"{phrase.act}.txt")
        ]
        return Suggestible(names, phrasings)

    def bottom_line(self) -> str:
        """The date, how many things are due, and the most pressing of them."""
        today = self.today()
        line = f" {today:%a} {today.day} {today:%b %Y}"
        if not self.ready:
            return f"{line}   getting ready ..." if self.slow else line
        try:
            return f"{line}   {self.talk.house.kept('due', self._due)}"
        except Exception as fault:
            self.faults("(bottom line)", fault)
            return line

    def _due(self) -> str:
        from helper.acts.wording import days_written
        from helper.kitchen.due import due

        found = due(self.talk.house.lots, self.today())
        ahead = [one for one in found if not one.past]
        said = f"{len(ahead) or 'nothing'} due this week"
        if ahead:
            first = ahead[0]
            said += f", first: {one_line(first.lot.food)}, {days_written(first.days_left or 0)}"
        past = len(found) - len(ahead)
        return f"{said}; {past} past the date" if past else said


class Offers(Completer):
    """Completion in the prompt. Whatever goes wrong in it, typing goes on."""

    def __init__(self, kitchen: Kitchen) -> None:
        self._kitchen = kitchen
        self._failed = False

    def get_completions(self, document: Document, event: CompleteEvent) -> Iterable[Completion]:
        """Suggestions for what stands before the cursor."""
        if not self._kitchen.ready:
            return []
        try:
            from helper.showing.suggest import suggest

            known = self._kitchen.suggestible()
            found = suggest(document.text, document.cursor_position, known)
        except Exception as fault:
            if not self._failed:
                self._kitchen.faults(document.text, fault)
            self._failed = True
            return []
        return [
            Completion(
                one.text, -one.replaces, display_meta="" if one.kind == "phrase" else one.kind
            )
            for one in found
        ]


class Chat:
    """One sitting: asks, answers, and leaves when told to."""

    def __init__(
        self,
        kitchen: Kitchen,
        folder: Path | None,
        *,
        file: IO[str] | None = None,
        source: Input | None = None,
        screen: Output | None = None,
    ) -> None:
        self.kitchen = kitchen
        self.file = file or sys.stdout
        self._session: PromptSession[str] = PromptSession(
            PROMPT,
            history=history_in(folder),
            auto_suggest=AutoSuggestFromHistory(),
            completer=Offers(kitchen),
            complete_while_typing=True,
            complete_in_thread=True,
            bottom_toolbar=kitchen.bottom_line,
            enable_suspend=True,
            input=source,
            output=screen,
        )
        self._session.app.after_render += self._begin

    def _begin(self, app: Application[str]) -> None:
        """The prompt stands: now load the kitchen."""
        self.kitchen.begin(app.invalidate)

    def run(self) -> None:
        """Talk until the person leaves."""
        books = self.kitchen.books
        strangers = not (books.people() or books.lots() or books.recipe_titles())
        self._tell(_WELCOME if strangers else _GREETING)
        if strangers and not self._introductions():
            return
        while (said := self._ask()) is not None:
            if not said.strip():
                continue
            if means("leave", said):
                return
            self._answer(said)

    def _introductions(self) -> bool:
        """The first answer of a new household; False where the person leaves at once."""
        said = self._ask()
        if said is None or means("leave", said):
            return False
        if said.strip() and not means("skip", said):
            self._answer(said, introducing=True)
        self._tell(_NEXT)
        return True

    def _ask(self) -> str | None:
        """A line, or several pasted ones; empty after Ctrl-C, None after Ctrl-D."""
        try:
            return clean(self._session.prompt())
        except KeyboardInterrupt:
            return ""
        except EOFError:
            return None

    def _answer(self, said: str, *, introducing: bool = False) -> None:
        from helper.showing.text import console_on, show

        try:
            with kept_keys(sys.stdin), patience(self.file):
                talk = self.kitchen.wait()
                talk.wake(self.kitchen.today())
                answer = talk.introduce(said) if introducing else talk.say(said)
            show(answer, console_on(self.file))
        except KeyboardInterrupt:
            self._tell("Broken off.")
        self._tell("")

    def _tell(self, text: str) -> None:
        width = width_of(self.file)
        paragraphs = (fill(" ".join(one.split()), width) for one in text.split("\n\n"))
        print("\n\n".join(paragraphs), file=self.file, flush=True)


def chat(
    books: Household,
    faults: Faults,
    today: dt.date | None = None,
    folder: Path | None = None,
) -> None:
    """Chat on the terminal about a household; `folder` keeps what was said for the arrow keys."""
    kitchen = Kitchen(books, (lambda: today) if today else dt.date.today, faults)
    Chat(kitchen, folder).run()

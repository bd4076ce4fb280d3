"""The chat under real key bytes: what is typed, pasted and broken off, and what is answered."""

from __future__ import annotations

import datetime as dt
import io
import os
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

import pytest
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput

from helper.answers import Answer
from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.showing.chat import Chat, Kitchen, Offers
from helper.showing.chat_keys import kept_keys
from helper.showing.said import PrivateHistory

TODAY = dt.date(2026, 11, 25)
BUTTER = Lot(1, "butter", Amount(8, "oz"), Amount(1, "lb"), place="fridge", best_by=TODAY)
PASTE = "\x1b[200~{}\x1b[201~"
RECIPE = "Oat squares\n2 cups rolled oats\n1/2 cup sugar\n1 egg\nMix and bake at 350 F."


def books(empty: bool = False) -> Household:
    tables = {} if empty else {"people": [Person(1, "Ada")], "stock": [BUTTER]}
    return Household.scratch(tables, today=lambda: TODAY)


class Faults(list[str]):
    def __call__(self, said: str, fault: Exception) -> None:
        self.append(f"{said}: {fault!r}")


def chat(keys: str, household: Household | None = None, folder: Path | None = None) -> str:
    """What the chat prints while these keys come in; it must have left by their end."""
    file, faults = io.StringIO(), Faults()
    with create_pipe_input() as source:
        source.send_text(keys)
        kitchen = Kitchen(household or books(), lambda: TODAY, faults)
        Chat(kitchen, folder, file=file, source=source, screen=DummyOutput()).run()
    assert not faults
    return file.getvalue()


@pytest.mark.parametrize("leaving", ["bye\r", "Good night!\r", "QUIT\r", "\x04"])
def test_leaving(leaving: str) -> None:
    assert "bye" in chat(leaving)  # the greeting tells how


def test_an_answer_is_printed() -> None:
    assert "butter" in chat("how much butter do we have\rbye\r")


def test_a_typing_slip_is_mended_with_the_arrow_keys() -> None:
    left, delete = "\x1b[D", "\x1b[3~"
    assert "butter" in chat("how much buttxer do we have" + left * 12 + delete + "\x05\rbye\r")


def test_ctrl_c_clears_the_line_and_stays() -> None:
    household = books()
    said = chat("threw out all the butter\x03how much butter do we have\rbye\r", household)
    assert "8 oz" in said
    assert household.version == 0


def test_ctrl_c_breaks_off_an_answer_and_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    def impatient(talk: Conversation, said: str) -> Answer:
        if "menu" in said:
            raise KeyboardInterrupt
        return say(talk, said)

    say = Conversation.say
    monkeypatch.setattr(Conversation, "say", impatient)
    said = chat("a menu for a year\rhow much butter do we have\rbye\r")
    assert said.index("Broken off.") < said.index("8 oz")


def test_empty_lines_ask_nothing() -> None:
    assert chat("\r\r  \rbye\r").count("\n") == chat("bye\r").count("\n")


def test_nonsense_is_answered_and_the_talk_goes_on() -> None:
    said = chat("qwertz uiop\rhow much butter do we have\rbye\r")
    assert "did not understand" in said
    assert "8 oz" in said


def test_control_characters_typed_or_pasted_never_come_back() -> None:
    said = chat(PASTE.format("ham\x1b[2J\x00\x9b") + "\rbye\r")
    assert not set(said) & set("\x1b\x00\x9b")


def test_a_pasted_recipe_is_offered_to_be_kept() -> None:
    said = chat(PASTE.format(RECIPE) + "\rno, leave it\rbye\r")
    assert 'looks like a recipe: "Oat squares"' in said
    assert "Left as it was." in said


def test_a_pasted_recipe_is_kept_when_wanted() -> None:
    household = books()
    chat(PASTE.format(RECIPE) + "\ryes\rbye\r", household)
    assert household.recipe_titled("Oat squares") is not None


def test_a_new_household_is_asked_who_eats_there() -> None:
    household = books(empty=True)
    said = chat("Ada, Ben who can't have milk\rbye\r", household)
    assert "Who eats here" in said
    assert {person.name for person in household.people()} == {"Ada", "Ben"}
    assert household.person_named("Ben").avoids  # type: ignore[union-attr]


@pytest.mark.parametrize("skipping", ["\r", "skip\r", "later\r", "\x03"])
def test_the_first_question_can_be_skipped(skipping: str) -> None:
    household = books(empty=True)
    assert "what is in the house" in chat(skipping + "bye\r", household)
    assert household.version == 0


def test_what_was_said_is_kept_for_the_owner_alone(tmp_path: Path) -> None:
    chat("how much butter do we have\rbye\r", folder=tmp_path)
    kept = tmp_path / "said.txt"
    assert "how much butter" in kept.read_text()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert "8 oz" in chat("\x1b[A\x1b[A\rbye\r", folder=tmp_path)  # two arrows up: past "bye"


def test_a_history_that_cannot_be_written_costs_nothing_else(tmp_path: Path) -> None:
    assert "8 oz" in chat("how much butter do we have\rbye\r", folder=tmp_path / "not there")
    history = PrivateHistory(str(tmp_path))  # a folder where a file should be
    history.store_string("x")
    assert list(history.load_history_strings()) == []


def test_the_bottom_line_names_the_day_and_what_is_due() -> None:
    kitchen = Kitchen(books(), lambda: TODAY, Faults())
    assert kitchen.bottom_line().strip() == "Wed 25 Nov 2026"
    with loaded(kitchen):
        assert kitchen.bottom_line().strip().endswith("1 due this week, first: butter, today")


def test_completion_that_fails_offers_nothing_and_tells_once() -> None:
    from prompt_toolkit.completion import CompleteEvent
    from prompt_toolkit.document import Document

    faults = Faults()
    kitchen = Kitchen(books(), lambda: TODAY, faults)
    kitchen.ready = True
    kitchen.suggestible = None  # type: ignore[assignment, method-assign]
    for _ in range(3):
        assert list(Offers(kitchen).get_completions(Document("but"), CompleteEvent())) == []
    assert faults


def test_a_slow_start_says_so() -> None:
    kitchen = Kitchen(books(), lambda: TODAY, Faults())
    kitchen.slow = True
    assert kitchen.bottom_line().endswith("getting ready ...")
    with loaded(kitchen):
        assert "ready" not in kitchen.bottom_line()


# -- keys pressed by somebody who waits to see what they do ------------------------------------


Piece = tuple[str, Callable[[Buffer], bool]]


class Typist(Thread):
    """Sends keys piece by piece, each when what it needs is to be seen; leaves at the end."""

    def __init__(self, source: PipeInput, pieces: list[Piece]) -> None:
        super().__init__(daemon=True)
        self.source, self.pieces = source, pieces
        self.buffer: Buffer | None = None

    def run(self) -> None:
        for keys, seen in self.pieces:
            self.source.send_text(keys)
            late = time.monotonic() + 20
            while not (self.buffer and seen(self.buffer)):
                if time.monotonic() > late:
                    break
                time.sleep(0.005)
        self.source.send_text("\r\x03bye\r")


def typed_slowly(*pieces: Piece, folder: Path | None = None) -> tuple[str, list[str]]:
    """What is printed, and the lines as they were sent off, newest last."""
    file, faults = io.StringIO(), Faults()
    with create_pipe_input() as source:
        kitchen = Kitchen(books(), lambda: TODAY, faults)
        with loaded(kitchen):
            one = Chat(kitchen, folder, file=file, source=source, screen=DummyOutput())
            typist = Typist(source, list(pieces))
            typist.buffer = one._session.default_buffer
            typist.start()
            one.run()
            typist.join()
    assert not faults
    return file.getvalue(), one._session.history.get_strings()[:-1]


def offered(buffer: Buffer) -> bool:
    return bool(buffer.complete_state and buffer.complete_state.completions)


def chosen(buffer: Buffer) -> bool:
    return bool(buffer.complete_state and buffer.complete_state.current_completion)


def greyed(buffer: Buffer) -> bool:
    return bool(buffer.suggestion and buffer.suggestion.text)


def at_once(buffer: Buffer) -> bool:
    return True


@pytest.mark.parametrize("choosing", ["\t", "\x1b[B"], ids=["tab", "arrow down"])
def test_a_name_is_completed_by_key(choosing: str) -> None:
    said, lines = typed_slowly(("How much but", offered), (choosing, chosen))
    assert lines[0] == "How much butter"
    assert "8 oz" in said


def test_a_phrasing_is_completed_and_what_was_typed_stays() -> None:
    _, lines = typed_slowly(("What can I m", offered), ("\t", chosen))
    assert lines[0].startswith("What can I m")
    assert len(lines[0]) > len("What can I m")


def test_enter_sends_what_is_typed_not_what_is_offered() -> None:
    _, lines = typed_slowly(("how much but", offered))
    assert lines == ["how much but"]


def test_what_was_said_before_is_offered_grey_and_taken_with_the_arrow(tmp_path: Path) -> None:
    history = PrivateHistory(str(tmp_path / "said.txt"))
    history.store_string("how much butter do we have")
    said, lines = typed_slowly(
        ("how much b", greyed), ("\x1b[C", lambda buffer: buffer.text.endswith("have")),
        folder=tmp_path,
    )  # fmt: skip
    assert lines[-1] == "how much butter do we have"
    assert "8 oz" in said


def test_what_was_said_before_is_searched_for(tmp_path: Path) -> None:
    history = PrivateHistory(str(tmp_path / "said.txt"))
    for line in ("how much butter do we have", "help", "what is in season"):
        history.store_string(line)
    said = chat("\x12butter\r\rbye\r", folder=tmp_path)  # Ctrl-R
    assert "8 oz" in said


def test_a_paste_is_one_request_and_can_still_be_edited() -> None:
    paste = PASTE.format("how much butter do we have\r\nhow much flour do we")
    said, lines = typed_slowly((paste, lambda buffer: "\n" in buffer.text), (" have", at_once))
    assert lines == ["how much butter do we have\nhow much flour do we have"]
    assert said.index("8 oz") < said.index("No all-purpose flour")


def test_a_very_long_line_is_answered() -> None:
    said = chat(PASTE.format("how much butter do we have " + "and so on " * 3000) + "\rbye\r")
    assert said


def test_ctrl_d_with_something_typed_does_not_leave() -> None:
    assert "8 oz" in chat("how much butter do we have\x04\rbye\r")


def test_escape_sequences_of_unknown_keys_are_swallowed() -> None:
    assert "8 oz" in chat("\x1b[25~\x1bOP\x1b[1;5Ahow much butter do we have\rbye\r")


@pytest.mark.skipif(sys.platform == "win32", reason="no such terminals there")
def test_keys_pressed_while_an_answer_is_worked_out_are_not_echoed() -> None:
    import pty
    import termios

    try:
        leader, follower = pty.openpty()
    except OSError:
        pytest.skip("no terminals are to be had here")
    with open(follower, encoding="utf-8") as terminal:
        with kept_keys(terminal):
            assert not termios.tcgetattr(follower)[3] & termios.ECHO
            assert termios.tcgetattr(follower)[3] & termios.ISIG
        assert termios.tcgetattr(follower)[3] & termios.ECHO
        os.close(leader)
    with kept_keys(io.StringIO()):
        pass  # no terminal: nothing to be done


@contextmanager
def loaded(kitchen: Kitchen) -> Iterator[None]:
    kitchen.begin(lambda: None)
    kitchen.wait()
    yield


def test_two_chats_see_each_other(tmp_path: Path) -> None:
    first, second = (Household.open(tmp_path, today=lambda: TODAY) for _ in range(2))
    chat("skip\rgot 2 lb of butter for 7.00\rbye\r", first)
    said = chat("how much butter do we have\rbye\r", second)
    assert "2 lb" in said

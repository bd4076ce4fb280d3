"""The chat under real key bytes: what is typed, pasted and broken off, and what is answered."""

from __future__ import annotations

import datetime as dt
import io
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.showing.chat import Chat, Kitchen, Offers
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

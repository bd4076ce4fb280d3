"""Books somebody else has filled: escapes and paths in names reach neither terminal nor disk."""

from __future__ import annotations

import datetime as dt
import io
import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from helper.conversation import Conversation
from helper.demo import NOMINAL_DAY, demo_books
from helper.household.books import Household
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe, Remark
from helper.showing.chat import Kitchen, Offers
from helper.showing.lines import json_line
from helper.showing.text import console_on, show
from tests.fuzz.hostile import STEERING

RED = "\x1b[31m\x9b2J\x1b]0;mine\x07\u202e\x00"
PATH = "../../../planted/../x\\..\\y"


class Screen(io.StringIO):
    """A terminal of many colours."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def talk(tmp_path: Path) -> Conversation:
    """The demo household on the disk, with a steering sign in every word of its records."""
    books = Household.open(tmp_path / "deep" / "down" / "house", today=lambda: NOMINAL_DAY)
    demo = demo_books(NOMINAL_DAY)

    def plant(draft: Draft) -> None:
        for lot in demo.lots():
            draft.add("stock", replace(lot, shop=f"{RED}corner shop", note=RED))
        draft.add(
            "stock",
            Lot(
                0, f"{RED}gold dust", Amount(1, "lb"), Amount(1, "lb"), package=f"{RED}bag",
                shop=RED, price=Decimal(2), claims=(f"{RED}free",), best_by=NOMINAL_DAY,
                made_from=RED, state=RED,
            ),
        )  # fmt: skip
        for price in demo.prices():
            draft.add("prices", replace(price, shop=f"{RED}corner shop"))
        draft.add(
            "prices",
            PriceSeen(
                0, "butter", Amount(1, "lb"), Decimal("3.49"), date=NOMINAL_DAY, shop=f"{RED}market"
            ),
        )
        for one in demo.people():
            draft.add("people", replace(one, note=RED))
        draft.add("people", Person(0, f"{RED}Eve", (f"{RED}dust",)))
        for recipe in demo.recipes():
            draft.add("recipes", _planted(recipe))
        draft.add("recipes", _planted(replace(next(demo.recipes()), title=f"{RED}{PATH}")))
        draft.add("remarks", Remark(0, "Corn bread", f"{RED}salt it", "liked", "2026-11-01"))

    books.change(plant, act="take-in", said=RED, summary=f"Took in {RED} from {PATH}")
    return Conversation(books, NOMINAL_DAY)


def _planted(recipe: Recipe) -> Recipe:
    return replace(
        recipe,
        lines=tuple(
            replace(
                one,
                text=f"{RED}{one.text}",
                preparation=f"{RED}{one.preparation}",
                detail=f"{RED}{one.detail}",
                section=f"{RED}{one.section}",
            )
            for one in recipe.lines
        ),
        steps=tuple(f"{RED}{one}" for one in recipe.steps),
        notes=(*recipe.notes, RED),
        source=RED,
        yields=f"{recipe.yields}{RED}",
    )


REQUESTS = (
    "what can I make with beans and ham", "why", "show me the corn bread", "why",
    "what am I missing for the fish pie", "cost of the corn bread for 8", "why",
    "can everyone have the corn bread", "why", "what do we have", "how much gold dust do we have",
    "what needs using up", "plan dinners for 2 days", "what's on the shopping list",
    "what goes with corn bread", "what did we pay for butter", "how long can we eat",
    "what did we spend this month", "what happened this month", "who eats here",
    "used 1 oz of gold dust", "made the corn bread", "undo that", "I count 2 lb of gold dust",
    "saw butter at 3.49 a pound at the \x1b[31mcorner shop", "the twins loved the corn bread",
    "share the corn bread", "write out the corn bread as a page", "write the corn bread as a file",
    "what can I use instead of butter", "can Eve have the corn bread", "undo that",
)  # fmt: skip


def told(talk: Conversation) -> Iterator[tuple[str, str]]:
    """Every request with all that a terminal and a program get to see as text."""
    for said in REQUESTS:
        answer = talk.say(said)
        line = json_line(said, answer, talk.house)
        assert not set(line) & {0, 0x1B, 0x7F}
        screen = Screen()
        show(answer, console_on(screen, 100, plain=True))
        yield said, screen.getvalue() + str(json.loads(line)["text"])


def test_no_act_lets_a_steering_sign_through(talk: Conversation, tmp_path: Path) -> None:
    for said, text in told(talk):
        assert not STEERING.search(text), said
    outside = [one for one in tmp_path.rglob("*") if one.is_file() and "house" not in one.parts]
    assert not outside


def test_a_title_that_is_a_path_writes_nowhere_else(talk: Conversation, tmp_path: Path) -> None:
    assert any(PATH in one.title for one in talk.house.books.recipes())
    for form in ("page", "file", "markdown file"):
        talk.say(f"write out {PATH} as a {form}")
        talk.say("number 1")
    home = tmp_path / "deep" / "down" / "house"
    written = [one for one in tmp_path.rglob("*") if one.is_file()]
    assert all(home in one.resolve().parents for one in written)


def test_nor_do_completion_and_the_bottom_line(talk: Conversation) -> None:
    from prompt_toolkit.completion import CompleteEvent
    from prompt_toolkit.document import Document

    kitchen = Kitchen(talk.house.books, lambda: dt.date(2026, 11, 25), lambda said, fault: None)
    kitchen.begin(lambda: None)
    kitchen.wait()
    assert not STEERING.search(kitchen.bottom_line())
    for typed in ("Eve", "go", "planted", "show me ..", "x"):
        for one in Offers(kitchen).get_completions(Document(typed), CompleteEvent()):
            assert not STEERING.search(one.text + one.display_text + one.display_meta_text)

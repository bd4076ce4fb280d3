"""The conversation under hostile text: it answers, tells the truth and leaves the books alone."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from helper.answers import Answer
from helper.conversation import Conversation
from helper.demo import NOMINAL_DAY, demo_books
from helper.showing.lines import json_line
from helper.showing.text import print_answer
from tests.fuzz.hostile import NUMBERS, SIGNS, STEERING, wild

TURNS = 60


def shown(said: str, answer: Answer, talk: Conversation, capsys: pytest.CaptureFixture[str]) -> str:
    """All that a terminal or a program would get to see as text."""
    print_answer(answer)
    told = json.loads(json_line(said, answer, talk.house))
    captured = capsys.readouterr()
    return captured.out + captured.err + str(told["text"])


@pytest.mark.parametrize("seed", range(4))
def test_wild_requests_are_answered(seed: int, capsys: pytest.CaptureFixture[str]) -> None:
    talk = Conversation(
        demo_books(NOMINAL_DAY), NOMINAL_DAY
    )  # faults are raised, not apologised for
    for said in wild(TURNS, seed):
        before = talk.house.books.version
        answer = talk.say(said)
        told = json.loads(json_line(said, answer, talk.house))
        assert told["changed"] == (talk.house.books.version != before), said
        assert not STEERING.search(shown(said, answer, talk, capsys)), said


@pytest.mark.parametrize(
    "number", [one for one in NUMBERS if one not in ("$1/2", "\u0663", "\u00b2")]
)
@pytest.mark.parametrize("request_", ["got {} lb of butter for 7.00", "bought 2 lb rice for ${}"])
def test_amounts_nobody_can_mean_change_nothing(number: str, request_: str) -> None:
    if number in ("5-3", "0/5", "0.0000001") or (number == "0" and "$" in request_):
        pytest.skip("can be meant")
    talk = Conversation(demo_books(NOMINAL_DAY), NOMINAL_DAY)
    talk.say(request_.format(number))
    assert all(lot.left.number < 1e5 and lot.left.number >= 0 for lot in talk.house.books.lots())


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(text=st.text(max_size=80), sign=st.sampled_from(SIGNS))
@example(text="60C0", sign=SIGNS[0])  # degrees with a number behind them
@example(text="S\u00df", sign="")  # all of it an ending
@example(text="6/ $6//0z flour", sign="")  # the price of no ounces
@example(text=f"saw milk at 1/{'9' * 300} a gallon", sign="")
def test_any_text_at_all(text: str, sign: str, capsys: pytest.CaptureFixture[str]) -> None:
    talk = Conversation(demo_books(NOMINAL_DAY), NOMINAL_DAY)
    said = text + sign
    assert not STEERING.search(shown(said, talk.say(said), talk, capsys))


@pytest.mark.parametrize("day", [dt.date.min, dt.date(1970, 1, 1), dt.date.max])
def test_any_day_will_do(day: dt.date) -> None:
    talk = Conversation(demo_books(day), day)
    for said in (
        "what can I make with beans and ham",
        "what should we use soon",
        "what do we have",
    ):
        assert talk.say(said) is not None

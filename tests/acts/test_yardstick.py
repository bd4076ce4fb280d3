"""What a head eats a day beside a published plan, named with its date."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from helper.acts.yardstick import as_json, beside, thrifty_plan
from helper.conversation import Conversation
from helper.demo import demo_books
from helper.showing.text import plain_text

TODAY = dt.date(2026, 11, 25)


def test_the_plan_is_the_mean_of_its_adults_and_says_its_month() -> None:
    plan = thrifty_plan()
    # 57.40 and 72.10 dollars a week
    assert plan.a_day == Decimal("9.25")
    assert plan.when == "September 2025"
    assert "USDA" in plan.source


def test_it_stands_beside_what_was_eaten_in_its_own_currency_alone() -> None:
    assert "$9.25" in "".join(beside(Decimal("2.00"), "USD"))
    assert not beside(Decimal("2.00"), "EUR")
    assert not beside(None, "USD")
    assert as_json("EUR") is None


def test_history_shows_it_once_something_was_eaten() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    assert "Thrifty Food Plan" not in plain_text(talk.say("what did we spend this month"))
    talk.say("made the lentil stew")
    answer = talk.say("what did we spend this month")
    assert "Thrifty Food Plan of September 2025" in plain_text(answer)
    assert answer.reply["yardstick"]["per_head_day"] == "9.25"

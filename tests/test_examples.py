"""The examples that help and the README show: each works on the demo household as it stands."""

from __future__ import annotations

import datetime as dt

import pytest

from helper.acts.people import unknown_names
from helper.conversation import Conversation
from helper.demo import demo_books
from helper.reading.acts import acts
from helper.reading.strangers import strangers

TODAY = dt.date(2026, 11, 25)


# A recipe to keep is typed after its example, and there is no reason before an answer.
@pytest.mark.parametrize("act", [act for act in acts() if act not in ("keep-recipe", "why")])
def test_every_example_works_on_the_demo_household(act: str) -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    if act == "undo":
        talk.say(acts()["add-stock"].example)
    example = acts()[act].example
    answer = talk.say(example)
    assert answer.understood
    assert answer.reading.act == act
    assert answer.changed or not acts()[act].changes


def test_no_example_names_somebody_unknown() -> None:
    house = Conversation(demo_books(TODAY), TODAY).house
    for act in acts().values():
        reading = Conversation(house.books, TODAY).reader.read(act.example, TODAY)
        assert all(house.person(name) for name in reading.people), act.example
        assert not any(name in act.example for name in unknown_names(reading, house))
        assert not strangers(act.example, house.names, TODAY), act.example

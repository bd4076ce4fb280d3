"""Who keeps away from what, sentence by sentence: nobody gets what was said of somebody else."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest

from helper.conversation import Conversation
from helper.household.books import Household
from helper.kitchen.people import Person

TODAY = dt.date(2026, 11, 25)
SAID = [
    json.loads(line)
    for line in (Path(__file__).parent / "said.jsonl").read_text(encoding="utf-8").splitlines()
]
KNOWN = (
    Person(1, "Wren", ("tree-nut", "peanut"), portion=0.75),
    Person(2, "Nico", portion=0.5),
    Person(3, "Olive"),
    Person(4, "Jo", note="Husband"),
    Person(5, "Kai", note="Son"),
    Person(6, "Mia", note="Daughter"),
)


def house_of(label: dict[str, Any]) -> Conversation:
    people = list(KNOWN) if label.get("house") == "known" else []
    return Conversation(Household.scratch({"people": people}, today=lambda: TODAY), TODAY)


def wrong(label: dict[str, Any]) -> list[str]:
    """What came out otherwise than labelled, in words."""
    talk = house_of(label)
    before = {one.name: one for one in talk.house.books.people()}
    answer = talk.say(label["say"])
    after = {one.name: one for one in talk.house.books.people()}
    changed = {name: one for name, one in after.items() if before.get(name) != one}
    if "people" not in label:
        said = [f"changed {sorted(changed)}"] if changed else []
        if label.get("asks") and (answer.understood or answer.reading.act != "set-person"):
            said.append(f"did not ask: {answer.reading.act}")
        return said
    out = []
    for name, told in label["people"].items():
        one = changed.pop(name, None)
        if one is None:
            out.append(f"{name} not noted")
            continue
        portion, home = told.get("portion", 1.0), told.get("home", True)
        if sorted(one.avoids) != told["avoids"]:
            out.append(f"{name} avoids {sorted(one.avoids)}")
        if told["avoids"] and one.severity != told["severity"]:
            out.append(f"{name}: {one.severity}")
        if (one.portion, one.home) != (portion, home):
            out.append(f"{name}: portion {one.portion}, home {one.home}")
    return out + [f"{name} was noted too" for name in changed]


@pytest.mark.parametrize("label", SAID, ids=[label["say"] for label in SAID])
def test_everybody_gets_what_was_said_of_them(label: dict[str, Any]) -> None:
    assert wrong(label) == []

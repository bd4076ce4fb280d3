"""The books against a plain dictionary: whatever is done in whatever order, they agree."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from helper.household.books import Household
from helper.household.disk import MemoryDisk
from helper.household.records import Setting
from helper.household.troubles import CannotUndo, Clash
from helper.kitchen.people import Person

names = st.text(max_size=8)
pick = st.integers(0, 5)


class TwoTerminals(RuleBasedStateMachine):
    """Two households on one folder; the model is what the people should be, and all before."""

    @initialize()
    def begin(self) -> None:
        self.disk = MemoryDisk()
        self.terminals = [self.opened(), self.opened()]
        self.model: dict[int, str] = {}
        self.before: list[dict[int, str]] = []
        self.last = 0

    def opened(self) -> Household:
        return Household.open(Path("house"), disk=self.disk)

    def settle(self, model: dict[int, str]) -> None:
        self.before.append(self.model)
        self.model = model

    @rule(which=st.booleans(), added=st.lists(names, min_size=1, max_size=3))
    def add(self, which: bool, added: list[str]) -> None:
        model = copy.copy(self.model)
        for name in added:
            self.last += 1
            model[self.last] = name
        household = self.terminals[which]
        household.change(lambda d: [d.add("people", Person(0, one)) for one in added], act="add")
        self.settle(model)

    @rule(which=st.booleans(), at=pick, name=names)
    def rename(self, which: bool, at: int, name: str) -> None:
        if self.model:
            record = sorted(self.model)[at % len(self.model)]
            self.terminals[which].change(
                lambda draft: draft.put("people", Person(record, name)), act="put"
            )
            self.settle({**self.model, record: name})

    @rule(which=st.booleans(), at=pick)
    def remove(self, which: bool, at: int) -> None:
        if self.model:
            record = sorted(self.model)[at % len(self.model)]
            self.terminals[which].change(lambda draft: draft.remove("people", record), act="gone")
            self.settle({one: name for one, name in self.model.items() if one != record})

    @rule(which=st.booleans())
    def undo(self, which: bool) -> None:
        if self.before:
            self.terminals[which].undo()
            self.model = self.before.pop()
        else:
            with pytest.raises(CannotUndo):
                self.terminals[which].undo()

    @rule(which=st.booleans(), name=names)
    def write_without_looking(self, which: bool, name: str) -> None:
        household = self.terminals[which]
        draft = household.draft()
        draft.put("people", Person(1, name))
        try:
            household.write(draft, act="put")
        except Clash:
            pass
        else:
            self.last = max(self.last, 1)
            self.settle({**self.model, 1: name})

    @rule(which=st.booleans(), save=st.booleans())
    def reopen(self, which: bool, save: bool) -> None:
        if save:
            assert self.terminals[which].checkpoint() is (self.last > 0)
        self.terminals[which] = self.opened()

    @rule(which=st.booleans())
    def lose_the_tables(self, which: bool) -> None:
        self.disk.remove(Path("house/tables.json"))
        self.terminals[which] = self.opened()

    @invariant()
    def both_agree_with_the_model(self) -> None:
        for household in getattr(self, "terminals", ()):
            household.refresh()
            assert {one.id: one.name for one in household.people()} == self.model
            assert household.check() == household.notices == []


TestTwoTerminals = TwoTerminals.TestCase
TestTwoTerminals.settings = settings(
    max_examples=40,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)

plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | names,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=150, deadline=None)
@given(said=st.text(), value=plain)
def test_any_words_and_values_come_back(said: str, value: object) -> None:
    disk = MemoryDisk()
    household = Household.open(Path("house"), disk=disk)
    draft = household.draft()
    draft.add("settings", Setting(0, said, value))
    household.write(draft, act="set", said=said, meta={"value": value})
    again = Household.open(Path("house"), disk=disk)
    event = next(again.events())
    assert again.settings == {said: value}
    assert (event.said, event.meta) == (said, {"value": value})


@settings(max_examples=150, deadline=None)
@given(noise=st.binary(max_size=200), at=st.floats(0, 1), file=st.sampled_from(["j", "t"]))
def test_books_with_noise_in_them_open_or_say_why(noise: bytes, at: float, file: str) -> None:
    disk = MemoryDisk()
    household = Household.open(Path("house"), disk=disk)
    for name in ("Ada", "Ben", "Cleo"):
        household.change(lambda draft, n=name: draft.add("people", Person(0, n)), act="add")  # type: ignore[misc]
    household.checkpoint()
    path = Path("house") / {"j": "journal.jsonl", "t": "tables.json"}[file]
    place = int(at * len(disk.files[path]))
    disk.files[path][place : place + len(noise)] = noise
    again = Household.open(Path("house"), disk=disk)
    found = [person.name for person in again.people()]
    assert set(found) <= {"Ada", "Ben", "Cleo"}
    if len(found) < 3:
        assert again.notices

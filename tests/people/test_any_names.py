"""Any names in any order: each keeps what was said of them, whoever stands beside them."""

from __future__ import annotations

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from helper.conversation import Conversation
from helper.household.books import Household
from helper.reading.persons import given_names

TODAY = dt.date(2026, 11, 25)

# What may be said of somebody, and what must then be known of them.
TOLD = {
    "is allergic to peanuts": ({"peanut"}, "allergy"),
    "can't have eggs": ({"egg"}, "allergy"),
    "is lactose intolerant": ({"low-lactose"}, "intolerance"),
    "is vegetarian": ({"vegetarian"}, "choice"),
    "doesn't like mushrooms": ({"mushroom"}, "choice"),
    "is allergic to soy and hates liver": ({"soy", "liver"}, "allergy"),
    "eats everything": (set(), None),
}
LETTERS = "abcdefghijklmnopqrstuvwxyz"
MADE_UP = st.builds(
    lambda first, rest: (first + rest).capitalize(),
    st.sampled_from("zvqxkj"),
    st.text("aeioukrzvx", min_size=5, max_size=8),
)
NAMES = st.one_of(st.sampled_from(sorted(name.title() for name in given_names())), MADE_UP)
SPOKEN_OF = st.lists(
    st.tuples(NAMES, st.sampled_from(sorted(TOLD))),
    min_size=1,
    max_size=5,
    unique_by=lambda pair: pair[0],
)


def talk() -> Conversation:
    return Conversation(Household.scratch({}, today=lambda: TODAY), TODAY)


@given(SPOKEN_OF, st.sampled_from([". ", ", ", "; ", ", and ", " and "]))
@settings(max_examples=150, deadline=None)
def test_nobody_gets_what_was_said_of_another(said: list[tuple[str, str]], joint: str) -> None:
    here = talk()
    answer = here.say(joint.join(f"{name} {told}" for name, told in said))
    people = {one.name: one for one in here.house.books.people()}
    if not answer.changed:
        assert not people
        return
    for name, told in said:
        avoids, severity = TOLD[told]
        assert set(people[name].avoids) == avoids
        assert severity is None or people[name].severity == severity
    assert len(people) == len(said)


@given(st.lists(NAMES, min_size=2, max_size=6, unique=True), st.integers(0, 5))
@settings(max_examples=150, deadline=None)
def test_whoever_is_named_in_a_list_is_noted_or_nothing_is(names: list[str], which: int) -> None:
    here = talk()
    told = names[which % len(names)]
    words = f"{', '.join(names[:-1])} and {names[-1]}. {told} is allergic to peanuts."
    answer = here.say(words)
    people = {one.name: one.avoids for one in here.house.books.people()}
    expected = {name: ("peanut",) if name == told else () for name in names}
    assert people == (expected if answer.changed else {})

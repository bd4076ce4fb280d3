from __future__ import annotations

import pytest

from helper.showing.suggest import Suggestible, suggest

KNOWN = Suggestible(
    {
        "person": ["Tove"],
        "recipe": ["Bean and ham soup", "Ham hash"],
        "in the house": ["navy bean", "ham"],
        "food": ["ham hock", "broccoli", "all-purpose flour"],
    },
    [
        "what can i make with {food}",
        "what can i make with {food} and {food}",
        "what can i make for {person}",
        "how much {food} do we have",
    ],
)


def offered(text: str, cursor: int | None = None) -> list[str]:
    return [one.text for one in suggest(text, len(text) if cursor is None else cursor, KNOWN)]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("what can i m", "what can i make with "),
        ("how m", "how much "),
        ("can to", "Tove"),
        ("how much fl", "all-purpose flour"),
        ("cost of bean and h", "Bean and ham soup"),
        ("cost of ham s", "Bean and ham soup"),
        ("do we have brocol", "broccoli"),
        ("do we have brokoli", "broccoli"),
        ("HOW MUCH NAV", "navy bean"),
    ],
)
def test_the_likeliest_comes_first(typed: str, first: str) -> None:
    assert offered(typed)[0] == first


def test_names_in_the_house_come_before_other_foods() -> None:
    found = offered("used ham")
    assert found.index("Ham hash") < found.index("ham hock")
    assert "ham" not in found, "what is typed out already is not offered"


def test_only_what_stands_before_the_cursor_counts() -> None:
    assert offered("can to have ham", 6) == ["Tove"]


def test_what_is_replaced_is_what_was_typed() -> None:
    (one,) = suggest("can to", 6, KNOWN)
    assert (one.replaces, one.kind) == (2, "person")


@pytest.mark.parametrize("typed", ["", " ", "x", "zzzzqq", "how much 3", "\n", "..", "(ha"])
def test_nothing_is_offered_for_nothing(typed: str) -> None:
    assert offered(typed) == []


def test_only_the_last_line_of_a_paste_counts() -> None:
    assert offered("Bean soup\n2 cups nav") == ["navy bean"]


def test_never_more_than_asked() -> None:
    many = Suggestible({"food": [f"bean {i}" for i in range(500)]})
    assert len(suggest("bea", 3, many, most=5)) == 5

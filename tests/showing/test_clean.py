from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.showing.clean import clean, one_line


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("bean soup", "bean soup"),
        ("\x1b[31mred\x1b[0m beans", "red beans"),
        ("\x9b2Jgone", "gone"),
        ("\x1b]0;a new window title\x07ham", "ham"),
        ("\x1b]8;;http://x.example\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x1bPqsixels\x1b\\peas", "peas"),
        ("be\x00an\x08s\x7f", "beans"),
        ("one\r\ntwo\rthree\u2028four", "one\ntwo\nthree\nfour"),
        ("a\tb", "a b"),
        ("milk \u202eeerf-yriad", "milk eerf-yriad"),
        ("half \ud83d letter", "half  letter"),
        ("cr\u00e8me fra\u00eeche \u00bd \u732b", "cr\u00e8me fra\u00eeche \u00bd \u732b"),
    ],
)
def test_what_reaches_the_terminal(raw: str, shown: str) -> None:
    assert clean(raw) == shown


@given(st.text(alphabet=st.one_of(st.characters(), st.sampled_from("\x1b[]\x9b\x07\\;0mP_^"))))
def test_nothing_that_steers_is_left(raw: str) -> None:
    shown = clean(raw)
    assert not [c for c in shown if unicodedata.category(c) in ("Cc", "Cs") and c != "\n"]
    assert clean(shown) == shown
    assert "\n" not in one_line(raw)

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helper.showing.letters import nearest, register


@pytest.mark.parametrize(
    ("text", "encoding", "written"),
    [
        ("oven 400\u00b0F", "ascii", "oven 400 F"),
        ("cr\u00e8me fra\u00eeche", "ascii", "creme fraiche"),
        ("1\u00bd cups \u2013 \u201cgood\u201d", "ascii", '1 1/2 cups - "good"'),
        ("\u00a34.50", "ascii", "GBP 4.50"),
        ("caf\u00e9 \u2019s", "latin-1", "caf\u00e9 's"),
        ("\u732b", "ascii", "?"),
        ("half \ud83d letter", "utf-8", "half ? letter"),
    ],
)
def test_what_an_encoding_lacks(text: str, encoding: str, written: str) -> None:
    assert text.encode(encoding, errors=register()).decode(encoding) == written


@given(st.text())
def test_any_text_can_be_written_anywhere(text: str) -> None:
    assert nearest(text).isascii()
    text.encode("ascii", errors=register())
    text.encode("cp437", errors=register())

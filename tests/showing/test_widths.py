from __future__ import annotations

import pytest

from helper.answers import Answer, Bars, Block, Column, Table
from helper.reading.reading import Reading
from helper.showing.text import plain_text
from helper.showing.widths import narrowest

DISHES = Table(
    (
        Column(""), Column("Dish"), Column("For", right=True), Column("A serving", right=True),
        Column("To buy"), Column("Uses soon"),
    ),
    (
        ("1", "Ham, bean and cabbage stew", "8", "$0.85", "", "ham, potato"),
        ("2", "Bean dip for crackers", "?", "$0.94 in all", "lemon", ""),
    ),
)  # fmt: skip


def shown(block: Block, width: int) -> list[str]:
    return plain_text(Answer(Reading(said="x"), {}, (block,)), width).splitlines()


@pytest.mark.parametrize("width", [40, 50, 60, 80, 120])
def test_no_word_is_cut_into_letters(width: int) -> None:
    lines = shown(DISHES, width)
    words = " ".join(lines).split()
    assert max(map(len, lines)) <= width
    for word in ("cabbage", "crackers", "potato", "$0.85", "lemon"):
        assert word in words


def test_rows_become_paragraphs_where_columns_do_not_fit() -> None:
    assert shown(DISHES, 40) == [
        "1  Ham, bean and cabbage stew",
        "   For: 8",
        "   A serving: $0.85",
        "   Uses soon: ham, potato",
        "2  Bean dip for crackers",
        "   For: ?",
        "   A serving: $0.94 in all",
        "   To buy: lemon",
    ]


def test_columns_as_long_as_they_fit() -> None:
    width = narrowest(DISHES)
    assert shown(DISHES, width)[0].split() == [
        "Dish",
        "For",
        "A",
        "serving",
        "To",
        "buy",
        "Uses",
        "soon",
    ]
    assert shown(DISHES, width - 1)[0].startswith("1  Ham")


def test_a_table_without_rows_is_its_headings() -> None:
    assert shown(Table(DISHES.columns, ()), 80)[0].split()[0] == "Dish"
    assert shown(Table(DISHES.columns, ()), 40) == []


@pytest.mark.parametrize("width", [40, 80])
def test_bars_leave_room_for_what_they_stand_for(width: int) -> None:
    bars = Bars((("27 October to 1 November", 4.0, "$57.36"), ("2 to 8 November", 2.0, "$30.00")))
    first, second = shown(bars, width)
    assert first.startswith("27 October to 1 November")
    assert first.endswith("$57.36")
    assert first.count("\N{FULL BLOCK}") == 2 * second.count("\N{FULL BLOCK}") > 0

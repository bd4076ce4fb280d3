"""Reasons and misses as a person sees them."""

from __future__ import annotations

from rules import Because, Check, Miss, why_lines, why_not_lines

FLOUR = Because(
    "gravy holds gluten: its flour is wheat",
    "wheat",
    "21 CFR 101.91",
    (
        Because("gravy uses flour", "", "the recipe"),
        Because("nothing says that flour is labelled gluten-free", "", ""),
    ),
)
ADA = Because(
    "gravy is not for Ada: it holds gluten",
    "avoid",
    "the household",
    (FLOUR, Because("Ada avoids gluten", "", "told")),
)


def test_a_reason_is_drawn_as_a_tree():
    assert why_lines(ADA) == [
        "gravy is not for Ada: it holds gluten [rule avoid; the household]",
        "├ gravy holds gluten: its flour is wheat [rule wheat; 21 CFR 101.91]",
        "│ ├ gravy uses flour [the recipe]",
        "│ └ nothing says that flour is labelled gluten-free",
        "└ Ada avoids gluten [told]",
    ]


def test_a_reason_in_plain_letters():
    lines = why_lines(ADA, ascii=True)
    assert lines == [
        "gravy is not for Ada: it holds gluten [rule avoid; the household]",
        "  - gravy holds gluten: its flour is wheat [rule wheat; 21 CFR 101.91]",
        "      - gravy uses flour [the recipe]",
        "      - nothing says that flour is labelled gluten-free",
        "  - Ada avoids gluten [told]",
    ]
    assert all(line.isascii() for line in lines)


def test_what_lies_deeper_is_counted():
    assert why_lines(ADA, depth=1)[1:3] == [
        "├ gravy holds gluten: its flour is wheat [rule wheat; 21 CFR 101.91]",
        "│ └ … 2 more",
    ]
    assert why_lines(ADA, depth=0)[1:] == ["└ … 2 more"]
    assert why_lines(ADA, depth=0, ascii=True)[1:] == ["  - ... 2 more"]


def test_a_reason_cut_before_is_counted_too():
    assert why_lines(ADA._replace(because=(), hidden=2))[1:] == ["└ … 2 more"]


NO_FLOUR = Miss("soup holds gluten", "wheat", "21 CFR 101.91", (Check("soup uses flour", False),))
AWAY = Because("Ada is away", "", "told")
MISS = Miss(
    "soup is not for Ada",
    "avoid",
    "the household",
    (
        Check("soup holds gluten", False, miss=NO_FLOUR),
        Check("Ada avoids gluten", True),
        Check("some amount is at least 1", None),
        Check("Ada is away, which stands against it", False, because=AWAY),
    ),
)


def test_a_miss_marks_every_condition():
    assert why_not_lines(MISS) == [
        "nothing says that soup is not for Ada; nearest to it came [rule avoid; the household]",
        "├ ✗ soup holds gluten",
        "│ └ nearest to it came [rule wheat; 21 CFR 101.91]",
        "│   └ ✗ soup uses flour",
        "├ ✓ Ada avoids gluten",
        "├ ? some amount is at least 1",
        "└ ✗ Ada is away, which stands against it",
        "  └ Ada is away [told]",
    ]


def test_a_miss_in_plain_letters():
    lines = why_not_lines(MISS, depth=1, ascii=True)
    assert lines[1:] == [
        "  - not met: soup holds gluten",
        "      - nearest to it came [rule wheat; 21 CFR 101.91]",
        "          - ... 1 more",
        "  - met: Ada avoids gluten",
        "  - open: some amount is at least 1",
        "  - not met: Ada is away, which stands against it",
        "      - Ada is away [told]",
    ]


def test_a_miss_that_no_rule_comes_near():
    assert why_not_lines(Miss("Pip sings bass")) == [
        "nothing says that Pip sings bass, and no rule could conclude it"
    ]

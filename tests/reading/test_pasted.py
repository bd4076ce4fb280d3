from __future__ import annotations

import pytest

from helper.reading.pasted import lists_ingredients, looks_like_recipe, title_of

SOUP = """Bean soup
Serves 6

- 1 lb navy beans
* 2 carrots, sliced
\u2022 \u00bd onion

1. Soak the beans."""


def test_a_copied_recipe_is_known_by_its_amounts() -> None:
    assert looks_like_recipe(SOUP)
    assert title_of(SOUP) == "Bean soup"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "bean soup",
        "what do we have\nhow much flour",
        "got 2 lb of butter\nand a dozen eggs\nwhat is due",
        "Dear Ada,\nthank you for the soup.\n2 of us were ill.",
    ],
)
def test_other_lines_are_no_recipe(text: str) -> None:
    assert not looks_like_recipe(text)


def test_ingredients_without_a_title_are_a_list() -> None:
    assert lists_ingredients("2 cups oats\n1 egg")
    assert not looks_like_recipe("2 cups oats\n1 egg")


def test_a_long_title_is_shortened() -> None:
    assert len(title_of("word " * 100 + "\n1 egg")) <= 60

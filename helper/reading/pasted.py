"""Several lines pasted at once: is it a recipe, and what is it called?"""

from __future__ import annotations

from helper.kitchen.quantities import read_amount
from helper.kitchen.words import words

KEEP = "keep-recipe"
_BULLETS = "-*•·–— \t"


def looks_like_recipe(text: str) -> bool:
    """True for a list of ingredients with a line that is none: a title."""
    return bool(title_of(text)) and lists_ingredients(text)


def lists_ingredients(text: str) -> bool:
    """True for lines of which at least two begin with an amount."""
    return sum(map(_begins_with_amount, _lines(text))) >= 2


def title_of(text: str) -> str:
    """The first line that is no ingredient, shortened; empty where there is none."""
    title = next((line for line in _lines(text) if not _begins_with_amount(line)), "")
    return title if len(title) <= 60 else f"{title[:57]}..."


def _lines(text: str) -> list[str]:
    return [found for line in text.splitlines() if (found := line.strip(_BULLETS))]


def _begins_with_amount(line: str) -> bool:
    return read_amount(words(line[:80]), 0) is not None

"""Recipes as programs write them: schema.org `Recipe` in JSON-LD, alone, listed or in a graph,
in a file of its own or inside a web page. See https://schema.org/Recipe.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import msgspec

from helper.household.taking_in.files import clean
from helper.household.taking_in.recipe_text import LONGEST_TITLE, ReadLine
from helper.household.taking_in.recipe_words import (
    iso_minutes,
    minutes_in,
    oven_in,
    servings_in,
    time_line,
)
from helper.household.taking_in.report import CannotTakeIn
from helper.kitchen.lines import is_heading
from helper.kitchen.recipes import Line, Recipe

_DEEPEST = 60
_MOST_INGREDIENTS, _MOST_STEPS = 300, 300
_LONGEST_TEXT = 5000
_TAG = re.compile(r"<[^>]{0,500}>")
_BREAK = re.compile(r"<\s*(?:br|/p|/li|/div)\s*/?\s*>", re.I)


class NoRecipe(ValueError):
    """One entry that is no recipe to cook from; the text says why."""


def decoded(text: str, where: str) -> Any:
    """JSON text as plain values. Raises CannotTakeIn with the place of the fault."""
    try:
        return msgspec.json.decode(text.encode())
    except RecursionError:
        raise CannotTakeIn(
            "The file is nested too deeply", where, "Nothing was taken in."
        ) from None
    except msgspec.DecodeError as error:
        raise CannotTakeIn(
            f"The file is no JSON: {error}", where, "Nothing was taken in."
        ) from None


class _Scripts(HTMLParser):
    """Collects the JSON-LD scripts of a web page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        kind = (dict(attrs).get("type") or "").casefold()
        self._inside = tag == "script" and kind.split(";")[0].strip() == "application/ld+json"
        if self._inside:
            self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "script":
            self._inside = False

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.found[-1] += data


def from_page(text: str, where: str) -> list[Any]:
    """The JSON-LD values of a web page; scripts that are no JSON are passed over.

    Raises CannotTakeIn where the page holds none that can be read.
    """
    scripts = _Scripts()
    scripts.feed(text)
    scripts.close()
    found, wrong = [], None
    for script in scripts.found:
        bare = script.strip().removeprefix("<!--").removesuffix("-->").strip()
        try:
            found.append(decoded(bare, where))
        except CannotTakeIn as error:
            wrong = error
    if not found:
        raise wrong or CannotTakeIn(
            "The page holds no recipe in JSON-LD", where, "Nothing was taken in."
        )
    return found


def recipe_entries(value: Any) -> Iterator[dict[str, Any]]:
    """Every `Recipe` in the values, wherever it is nested, in order."""
    waiting: list[tuple[Any, int]] = [(value, 0)]
    while waiting:
        here, depth = waiting.pop()
        if depth > _DEEPEST:
            continue
        if isinstance(here, list):
            waiting.extend((one, depth + 1) for one in reversed(here))
        elif isinstance(here, dict):
            if _is_recipe(here):
                yield here
                continue
            waiting.extend(
                (here[name], depth + 1)
                for name in ("item", "itemListElement", "mainEntity", "@graph")
                if name in here
            )


def _is_recipe(value: dict[str, Any]) -> bool:
    kind = value.get("@type")
    kinds = kind if isinstance(kind, list) else [kind]
    names = {str(one).rsplit("/", 1)[-1] for one in kinds if one is not None}
    return "Recipe" in names or (not names and "recipeIngredient" in value)


def recipe_from_json(value: dict[str, Any], read: ReadLine) -> Recipe:
    """One recipe, numbered 0. Raises NoRecipe."""
    title = _text(value.get("name"))[:LONGEST_TITLE].strip()
    if not title:
        raise NoRecipe("it has no name")
    written = _texts(value.get("recipeIngredient") or value.get("ingredients"))
    if not written:
        raise NoRecipe(f"{title!r} has no ingredients")
    lines = _lines(written[:_MOST_INGREDIENTS], read)
    steps = tuple(_steps(value.get("recipeInstructions")))[:_MOST_STEPS]
    servings, yields = _yield(value.get("recipeYield") or value.get("yield"))
    minutes = _minutes(value)
    return Recipe(
        0,
        title,
        tuple(lines),
        steps,
        servings,
        yields,
        minutes if minutes is not None else minutes_in(steps),
        oven_in(steps),
        category=", ".join(_texts(value.get("recipeCategory")))[:LONGEST_TITLE],
        source=_source(value),
    )


def _lines(written: list[str], read: ReadLine) -> list[Line]:
    section = ""
    lines: list[Line] = []
    for text in written:
        if is_heading(text):
            section = text.rstrip(":").strip()
        else:
            lines.extend(read(text, section))
    return lines


def _text(value: Any) -> str:
    """A text without tags and entities, in one line."""
    if isinstance(value, dict):
        value = value.get("text") or value.get("name") or value.get("@value")
    if isinstance(value, list):
        value = value[0] if value else ""
        return _text(value) if not isinstance(value, list) else ""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return ""
    if isinstance(value, float) and value == int(value):
        value = int(value)
    text = str(value)
    if "<" in text or "&" in text:
        text = html.unescape(_TAG.sub(" ", text))
    return " ".join(clean(text[: 4 * _LONGEST_TEXT]).split())[:_LONGEST_TEXT]


def _texts(value: Any) -> list[str]:
    if value is None:
        return []
    if isinstance(value, str):
        parts: list[Any] = _BREAK.sub("\n", value).split("\n")
    else:
        parts = value if isinstance(value, list) else [value]
    return [text for part in parts if (text := _text(part))]


def _steps(value: Any, depth: int = 0) -> Iterator[str]:
    """Steps in order; a section's name stands before its steps as a heading."""
    if value is None or depth > _DEEPEST:
        return
    if isinstance(value, str):
        yield from _texts(value)
    elif isinstance(value, list):
        for one in value:
            yield from _steps(one, depth + 1)
    elif isinstance(value, dict):
        inner = value.get("itemListElement") or value.get("steps")
        if inner is None:
            yield from _texts(value.get("text") or value.get("name"))
            return
        if name := _text(value.get("name")):
            yield name.rstrip(":") + ":"
        yield from _steps(inner, depth + 1)


def _yield(value: Any) -> tuple[float | None, str]:
    """Servings and the yield in words; of several ways of saying it the one that serves."""
    ways = _texts(value)
    for way in ways:
        servings = servings_in(way)
        if servings is not None:
            longest = max(ways, key=len)
            return servings, longest
    return None, ways[0] if ways else ""


def _minutes(value: dict[str, Any]) -> int | None:
    spans = {name: _span(value.get(name)) for name in ("totalTime", "cookTime", "prepTime")}
    if spans["totalTime"]:
        return spans["totalTime"]
    parts = [one for one in (spans["cookTime"], spans["prepTime"]) if one]
    return sum(parts) or None


def _span(value: Any) -> int | None:
    text = _text(value)
    if not text:
        return None
    return iso_minutes(text) or sum(time_line(f"time: {text}").values()) or None


def _source(value: dict[str, Any]) -> str:
    author = value.get("author")
    names = [_text(one) for one in (author if isinstance(author, list) else [author])]
    return ", ".join(name for name in names if name)[:LONGEST_TITLE]

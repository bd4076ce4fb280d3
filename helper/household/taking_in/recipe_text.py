"""A recipe as people paste it: title, how many it feeds, what goes in, the steps, a note.

The text is told apart line by line. A heading ("Method:") settles what follows; without one, a
line that starts with an amount or a bullet is an ingredient, and a numbered line or a sentence is
a step. Whatever fits nowhere is kept as a line that could not be read.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from helper.household.taking_in.files import clean
from helper.household.taking_in.recipe_words import (
    at_phrase,
    bare_label,
    minutes_in,
    oven_in,
    servings_line,
    time_line,
)
from helper.kitchen.foods import Foods
from helper.kitchen.lines import is_heading, read_line
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.words import words

LONGEST_TITLE = 120
_MOST_LINES = 2000
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\d{1,2}[.):]\s+(?=\D)", re.I)
_BULLET = re.compile(r"^\s*[-*•·▢□☐–—]+\s+")
_HEADING_MARKS = re.compile(r"^\s*#+\s*|^\s*\*\*|\*\*\s*$")
# Before any title, only a figure or a bullet makes a line an ingredient.
_STARTS_BOUGHT = re.compile(r"^\s*(?:[-*•·▢□☐–—]|[\d½⅓⅔¼¾⅛])")
# An ingredient line is short; a sentence is not.
_LONGEST_BARE = 60

ReadLine = Callable[[str, str], list[Line]]


class Pieces(NamedTuple):
    """The text of a recipe taken apart, nothing of it read yet."""

    title: str
    ingredients: list[tuple[str, str]]
    steps: list[str]
    notes: list[str]
    servings: float | None
    yields: str
    minutes: int | None


def recipe_from_text(
    text: str, foods: Foods, title: str = "", read: ReadLine | None = None
) -> Recipe | None:
    """The recipe of a text, numbered 0; None where no line of it goes into a dish.

    `title` stands in where the text begins with none.
    """
    pieces = taken_apart(clean(text), foods, title)
    if not pieces.ingredients:
        return None
    reading = read or (lambda line, section: read_line(line, foods, section))
    lines = [one for line, section in pieces.ingredients for one in reading(line, section)]
    steps = tuple(pieces.steps)
    return Recipe(
        0,
        pieces.title,
        tuple(lines),
        steps,
        pieces.servings,
        pieces.yields,
        pieces.minutes if pieces.minutes is not None else minutes_in(steps),
        oven_in(steps),
        notes=tuple(pieces.notes),
    )


def taken_apart(text: str, foods: Foods, title: str = "") -> Pieces:
    """Every line of a text put where it belongs."""
    return _Sorter(foods, title).sorted(text.split("\n")[:_MOST_LINES])


class _Sorter:
    """Goes through the lines once, remembering which part of the recipe it is in."""

    def __init__(self, foods: Foods, title: str) -> None:
        self._foods = foods
        self._title = title
        self._part = "head"
        self._told = False  # a heading has said which part this is
        self._section = ""
        self._gap = False
        self._ingredients: list[tuple[str, str]] = []
        self._steps: list[str] = []
        self._notes: list[str] = []
        self._servings: float | None = None
        self._yields = ""
        self._times: dict[str, int] = {}

    def sorted(self, lines: list[str]) -> Pieces:
        bare_lines = [_HEADING_MARKS.sub("", line).strip() for line in lines]
        filled = [line for line in bare_lines if line]
        if not self._title and len(filled) > 1 and servings_line(filled[1]) is not None:
            # whatever stands above "Serves 6" is the title, even "Three-bean chili"
            self._title = _as_title(filled[0])
            bare_lines = bare_lines[bare_lines.index(filled[0]) + 1 :]
        for line in bare_lines:
            if line:
                self._line(line)
            self._gap = not line
        minutes = self._times.get("total") or self._times.get("part")
        return Pieces(
            self._title,
            self._ingredients,
            self._steps,
            self._notes,
            self._servings,
            self._yields,
            minutes,
        )

    def _line(self, line: str) -> None:
        if self._heading(line) or self._about(line):
            return
        if self._part == "head" and not self._title and not _STARTS_BOUGHT.match(line):
            self._title = _as_title(line)
        elif self._is_note(line):
            self._part, self._told = "notes", True
            self._notes.append(line)
        elif self._part == "notes":
            self._add_on(self._notes, line)
        elif self._part == "steps":
            self._step(line)
        elif is_heading(line) and not _NUMBERED.match(line):
            self._section = line.rstrip(":").strip()
            self._part = "ingredients"
        elif self._is_step(line):
            self._part = "steps"
            self._step(line)
        elif self._part == "ingredients" or self._looks_bought(line):
            self._part = "ingredients"
            self._ingredients.append((line, self._section))
        else:
            self._notes.append(line)

    def _heading(self, line: str) -> bool:
        """ "Ingredients:", "Method": the part that begins here."""
        for part in ("ingredients", "steps", "notes"):
            if bare_label(line, part):
                self._part, self._told, self._section = part, True, ""
                return True
        return False

    def _about(self, line: str) -> bool:
        """Lines that tell how many it feeds and how long it takes."""
        if self._part == "steps" or (self._part == "head" and not self._title):
            return False
        found = servings_line(line)
        if found is not None and self._servings is None and not self._yields:
            self._servings, self._yields = found
            return True
        times = time_line(line)
        for kind, minutes in times.items():
            self._times[kind] = self._times.get(kind, 0) + minutes
        return bool(times)

    def _is_note(self, line: str) -> bool:
        found = words(line)
        length = at_phrase(found, 0, "notes")
        return bool(length) and length < len(found) and found[length].text in (":", "-")

    def _is_step(self, line: str) -> bool:
        if self._told and self._part == "ingredients":
            return False
        if _NUMBERED.match(line):
            return True
        if _BULLET.match(line) or not self._ingredients:
            return False
        if self._looks_bought(line) and not line.endswith("."):
            return False
        sentence = line.endswith((".", "!")) or len(line) > _LONGEST_BARE
        return sentence and (self._gap or not self._begins_bought(line))

    def _begins_bought(self, line: str) -> bool:
        """True for a line that starts with an amount, a bullet or a food's name."""
        found = words(_BULLET.sub("", line)[:400])
        starts = bool(_BULLET.match(line)) or read_amount(found) is not None
        return starts or (bool(found) and self._foods.at(found, 0) is not None)

    def _looks_bought(self, line: str) -> bool:
        """True for a line that starts with an amount or a bullet, or is but a food's name."""
        bare = _BULLET.sub("", line)
        found = words(bare[:400])
        if not found:
            return False
        if _BULLET.match(line) or read_amount(found) is not None:
            return True
        return len(bare) <= _LONGEST_BARE and bool(self._foods.spot(found))

    def _step(self, line: str) -> None:
        numbered = _NUMBERED.match(line)
        bare = _BULLET.sub("", _NUMBERED.sub("", line)).strip()
        if not bare:
            return
        if is_heading(bare) and not numbered:
            self._steps.append(bare)
        elif numbered or _BULLET.match(line) or self._gap or not self._steps:
            self._steps.append(bare)
        else:
            self._add_on(self._steps, bare)

    def _add_on(self, texts: list[str], line: str) -> None:
        """A sentence broken over two lines is one; a new sentence is a new entry."""
        if texts and not self._gap and not texts[-1].endswith((".", "!", "?", ":")):
            texts[-1] = f"{texts[-1]} {line}"
        else:
            texts.append(line)


def _as_title(line: str) -> str:
    return _BULLET.sub("", line).rstrip(":").strip()[:LONGEST_TITLE]

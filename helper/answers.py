"""What the helper says back: one record for every mouth, and the blocks its text is made of."""

from __future__ import annotations

from typing import Any

import msgspec

from helper.reading.reading import Question, Reading


class Caution(msgspec.Struct, frozen=True):
    """Something to be careful of; `severity` is info, caution or danger."""

    id: str
    severity: str
    text: str
    source: str


class Because(msgspec.Struct, frozen=True):
    """One step of a derivation, down to facts with sources."""

    statement: str
    rule: str = ""
    source: str = ""
    because: tuple[Because, ...] = ()


# -- blocks: what the showing side can lay out ---------------------------------------------


class Say(msgspec.Struct, frozen=True):
    """A paragraph. `tone`: plain, good, warn, bad, quiet or title."""

    text: str
    tone: str = "plain"


class Column(msgspec.Struct, frozen=True):
    """A column of a table: its heading and whether its cells stand to the right."""

    heading: str
    right: bool = False


class Table(msgspec.Struct, frozen=True):
    """Rows of cells, already worded. `title` may be empty."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    title: str = ""


class Items(msgspec.Struct, frozen=True):
    """A list; `numbered` where the person may answer with a number."""

    items: tuple[str, ...]
    numbered: bool = False


class Bars(msgspec.Struct, frozen=True):
    """Labelled values to be compared by eye; `shown` is the value as a person reads it."""

    rows: tuple[tuple[str, float, str], ...]
    title: str = ""


class Tree(msgspec.Struct, frozen=True):
    """A derivation to be drawn."""

    root: Because


class Verbatim(msgspec.Struct, frozen=True):
    """Text to be copied from: its lines are never broken."""

    text: str


Block = Say | Table | Items | Bars | Tree | Verbatim


class Answer(msgspec.Struct, frozen=True):
    """The answer to one request.

    `reply` holds the contract's fields, ready for JSON. `understood` False: the helper asks back
    or gives up, and `question` says what it would like to know. `because` is kept for "why?".
    `offered` are the things of a shown list in its order; `recipes`, `foods`, `people` what the
    talk is now about. `also` are further answers where one request held several.
    """

    reading: Reading
    reply: dict[str, Any]
    blocks: tuple[Block, ...] = ()
    understood: bool = True
    changed: bool = False
    cautions: tuple[Caution, ...] = ()
    because: tuple[Because, ...] = ()
    offered: tuple[str, ...] = ()
    recipes: tuple[str, ...] = ()
    foods: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    question: Question | None = None
    also: tuple[Answer, ...] = ()


def asking(
    reading: Reading, text: str, choices: tuple[str, ...] = (), about: str = "recipes"
) -> Answer:
    """An answer that is a question: nothing was done, `choices` may be picked from.

    `about` names the field of the reading that the answer will fill (act, recipes, foods, amount,
    money …).
    """
    question = Question(text, choices, about)
    blocks: tuple[Block, ...] = (Say(text),)
    if choices:
        blocks = (*blocks, Items(choices, numbered=True))
    return Answer(
        reading=msgspec.structs.replace(reading, question=question),
        reply={"question": text, "choices": list(choices)},
        blocks=blocks,
        understood=False,
        question=question,
        offered=choices,
    )


def sorry(reading: Reading, text: str, choices: tuple[str, ...] = ()) -> Answer:
    """An answer that could not be given, with what is in the way and what to do."""
    blocks: tuple[Block, ...] = (Say(text, "warn"),)
    if choices:
        blocks = (*blocks, Items(choices))
    return Answer(
        reading=reading,
        reply={"question": text, "choices": list(choices)},
        blocks=blocks,
        understood=False,
    )

"""A recipe out of the words of a request: what asks for it to be kept is taken off first."""

from __future__ import annotations

import re

from helper.acts.making import WORDS
from helper.acts.said import table
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.household.taking_in.recipe_words import servings_line
from helper.kitchen.foods import Foods
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key, words

# In one line, what goes in is divided by these; a comma may belong to one ingredient.
_DIVIDED = re.compile(r"\s*(?:;|\s\|\s|\.\s+(?=[A-Z\d]))\s*")
_COMMAS = re.compile(r",\s+(?=(?:and\s+)?[\d½⅓⅔¼¾⅛])")


def pasted_recipe(said: str, foods: Foods) -> Recipe | None:
    """The recipe in a request, numbered 0; None where nothing in it goes into a dish."""
    text = without_asking(said).strip()
    lines = [line for line in text.split("\n") if line.strip()]
    if len(lines) == 1 or (len(lines) == 2 and "\n" not in said.strip()):
        text = "\n".join([*lines[:-1], _laid_out(lines[-1])]) if lines else ""
    return recipe_from_text(text, foods)


def without_asking(said: str) -> str:
    """The words without "keep this recipe:" at their front."""
    lead, colon, rest = said.partition(":")
    if colon and "\n" not in lead and _asks(lead):
        title = _stripped(lead)
        return f"{title}\n{rest.strip()}" if title else rest.strip()
    first, newline, rest = said.partition("\n")
    if newline and _asks(first) and not _stripped(first):
        return rest.strip()
    return said


def _asks(lead: str) -> bool:
    """True for words that begin by asking for something to be kept."""
    found = key(lead)
    return bool(found) and len(found) < 15 and found[0] in _asking_words()


def _stripped(lead: str) -> str:
    """What is left of the asking words: the title, if it was said among them."""
    found = words(lead)
    at = 0
    while at < len(found) and (not found[at].is_name or found[at].key in _asking_words()):
        at += 1
    end = len(found)
    rest = " ".join(word.text for word in found[at:end] if word.text not in (",", "."))
    return rest[:1].upper() + rest[1:]


def _asking_words() -> frozenset[str]:
    return frozenset(
        word
        for row in table(WORDS)
        if row["meaning"] == "command"
        for phrase in row["words"].split(";")
        for word in key(phrase)
    )


def _laid_out(text: str) -> str:
    """A recipe said in one line, laid out a line a thing: title, for how many, what goes in."""
    lead, colon, rest = text.partition(":")
    if colon and read_amount(words(rest)) is not None and read_amount(words(lead)) is None:
        return "\n".join((*_title_and_servings(lead.strip()), _laid_out(rest.strip())))
    pieces = [piece for part in _DIVIDED.split(text) for piece in _COMMAS.split(part)]
    lines = (re.sub(r"^and\s+", "", piece.strip().rstrip(",")) for piece in pieces)
    return "\n".join(line for line in lines if line)


def _title_and_servings(lead: str) -> tuple[str, ...]:
    """ "Quick slaw for 4": the title, and a line of its own for how many it serves."""
    spots = [found.start() for found in re.finditer(r"\s+", lead)]
    for at in spots:
        if servings_line(lead[at:].strip()) is not None:
            return lead[:at], lead[at:].strip()
    return (lead,)

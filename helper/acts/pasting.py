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
        text = "\n".join([*lines[:-1], _laid_out(lines[-1], foods)]) if lines else ""
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


def _laid_out(text: str, foods: Foods) -> str:
    """A recipe said in one line, laid out a line a thing: title, for how many, what goes in, and
    below a gap the sentences that tell how it is made."""
    lead, colon, rest = text.partition(":")
    if colon and read_amount(words(rest)) is not None and read_amount(words(lead)) is None:
        return "\n".join((*_title_and_servings(lead.strip()), _laid_out(rest.strip(), foods)))
    goods: list[str] = []
    steps: list[str] = []
    for piece in _DIVIDED.split(text):
        parts = [one for part in _COMMAS.split(piece) for one in _bare_foods(part, foods)]
        if servings_line(piece) is not None:
            goods.append(piece.rstrip(" ."))
        elif steps or _is_told(piece, parts, goods):
            steps.append(piece.rstrip(". ") + ".")
        else:
            goods += (re.sub(r"^and\s+", "", part.strip().rstrip(",.")) for part in parts)
    laid = "\n".join(line for line in goods if line)
    return "\n\n".join((laid, "\n".join(steps))) if steps else laid


def _is_told(piece: str, parts: list[str], goods: list[str]) -> bool:
    """True for a sentence without amounts behind things with amounts: how it is made."""
    measured = any(read_amount(words(one)) is not None for one in goods)
    bare = all(read_amount(words(part)) is None for part in parts)
    return measured and bare and len(piece.split()) > 1


def _bare_foods(part: str, foods: Foods) -> list[str]:
    """ "1/4 cup flour, salt" is two things: what stands behind the comma is a food's whole name."""
    head, *rest = part.split(", ")
    out = [head]
    for one in rest:
        found = words(one)
        hit = foods.at(found, 0) if found else None
        if hit is not None and hit.end == len([word for word in found if word.is_name]):
            out.append(one)
        else:
            out[-1] = f"{out[-1]}, {one}"
    return out


def _title_and_servings(lead: str) -> tuple[str, ...]:
    """ "Quick slaw for 4": the title, and a line of its own for how many it serves."""
    spots = [found.start() for found in re.finditer(r"\s+", lead)]
    for at in spots:
        if servings_line(lead[at:].strip()) is not None:
            return lead[:at], lead[at:].strip()
    return (lead,)

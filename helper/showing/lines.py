"""Answers as JSON Lines, as the contract lays them down: one object a request."""

from __future__ import annotations

import re
from typing import Any

import msgspec

from helper.acts.house import House
from helper.answers import Answer
from helper.reading.frame import frame, number
from helper.showing.text import plain_text

# JSON leaves DEL, the C1 controls and two line separators as they are. A terminal that shows the
# line would obey the first, and some readers of lines would cut it at the last.
_BARE_CONTROLS = re.compile(b"\x7f|\xc2[\x80-\x9f]|\xe2\x80[\xa8\xa9]")


def json_line(request: str, answer: Answer, house: House) -> bytes:
    """One request with its answer, encoded in UTF-8, with its line end."""
    encoded = msgspec.json.encode(record(request, answer, house), enc_hook=str)
    return _BARE_CONTROLS.sub(_escaped, encoded) + b"\n"


def record(request: str, answer: Answer, house: House) -> dict[str, Any]:
    """The contract's object; where the request held several acts, `also` has the further ones.

    `changed` speaks for all of them, the other fields for the first.
    """
    every = (answer, *answer.also)
    cautions = {caution.id: caution for one in every for caution in one.cautions}
    found = {
        "request": request.encode(errors="replace").decode(),
        "reading": _reading(answer, house),
        "understood": answer.understood,
        "changed": any(one.changed for one in every),
        "reply": answer.reply,
        "cautions": list(cautions.values()),
        "text": plain_text(answer),
    }
    if answer.also:
        found["also"] = [
            {
                "reading": _reading(one, house),
                "understood": one.understood,
                "changed": one.changed,
                "reply": one.reply,
                "text": plain_text(one),
            }
            for one in answer.also
        ]
    return found


def _reading(answer: Answer, house: House) -> dict[str, Any]:
    """The frame; "double the bean soup" is said in servings where the recipe's are known."""
    reading = answer.reading
    framed = frame(reading, house.currency)
    if framed["servings"] is None and reading.scale and reading.recipes:
        recipe = house.books.recipe_titled(reading.recipes[0])
        if recipe is not None and recipe.servings:
            framed["servings"] = number(recipe.servings * reading.scale)
    return framed


def _escaped(found: re.Match[bytes]) -> bytes:
    return b"\\u%04x" % ord(found[0].decode())

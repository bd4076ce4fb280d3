"""Letters that a terminal's encoding lacks, written with those it has: "400°F" as "400 F"."""

from __future__ import annotations

import codecs
import unicodedata

NAME = "nearest"
_NEAREST = {
    "\N{DEGREE SIGN}": " ",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{FRACTION SLASH}": "/",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{BULLET}": "-",
    "\N{EURO SIGN}": "EUR ",
    "\N{POUND SIGN}": "GBP ",
    "\N{LATIN SMALL LETTER SHARP S}": "ss",
    "\N{LATIN SMALL LETTER AE}": "ae",
    "\N{LATIN SMALL LETTER O WITH STROKE}": "o",
}


def nearest(text: str) -> str:
    """The text in ASCII: accents go, signs are written out, "?" stands for what is left."""
    return "".join(_nearest(letter) for letter in text)


def _nearest(letter: str) -> str:
    if letter in _NEAREST:
        return _NEAREST[letter]
    parts = unicodedata.normalize("NFKD", letter)
    if "\N{FRACTION SLASH}" in parts:
        parts = f" {parts}"  # what stands before it may be a whole number
    bare = "".join(_NEAREST.get(part, part) for part in parts if not unicodedata.combining(part))
    return "".join(part if part.isascii() else "?" for part in bare)


def _handle(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return nearest(error.object[error.start : error.end]), error.end


def register() -> str:
    """Make it known as a way to treat encoding errors; its name for `reconfigure(errors=…)`."""
    codecs.register_error(NAME, _handle)
    return NAME

"""Nothing that steers a terminal leaves the program as it came: one function, used everywhere.

Recipes, names and labels come from files and pastes. An escape sequence in them could move the
cursor, recolour the screen or hide an allergen behind a text that runs backwards.
"""

from __future__ import annotations

import re

# ECMA-48: control sequences (CSI) with their parameters, and strings (OSC, DCS …) to their end.
_SEQUENCES = re.compile(
    "(?:\x1b\\[|\x9b)[0-?]*[ -/]*[@-~]?"
    "|(?:\x1b[]PX^_]|[\x90\x98\x9d-\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\\\|\x9c)?"
    "|\x1b[ -/]*[0-~]?"
)
_LINE_ENDS = re.compile("\r\n?|[\x0b\x0c\x85\u2028\u2029]")
# C0 but for tab and line feed, DEL, C1; marks that turn the writing direction (Unicode UAX 9);
# invisible joiners and the byte order mark; half characters.
_STEERING = re.compile(
    "[\x00-\x08\x0e-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff"
    "\ud800-\udfff]"
)


def clean(text: str) -> str:
    """The text without escape sequences and control characters; line ends become line feeds."""
    if text.isascii() and text.isprintable():
        return text
    text = _LINE_ENDS.sub("\n", _SEQUENCES.sub("", text))
    return _STEERING.sub("", text.replace("\t", " "))


def one_line(text: str) -> str:
    """Clean, and on one line."""
    return " ".join(clean(text).split())

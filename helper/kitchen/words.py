"""Cutting text into words, the same way everywhere: names, ingredient lines and requests.

A word keeps where it stood in the text it was cut from, so that an answer can say which words it
rests on. Its `key` is what tables are searched by: lower case, no accents, singular.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

import msgspec

# Unicode vulgar fractions and the few letters that NFKD does not take apart.
_SPECIAL = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "`": "'",
        "⁄": "/",
        "–": "-",
        "—": "-",
        "−": "-",
        "“": '"',
        "”": '"',
        "ß": "ss",
        "æ": "ae",
        "œ": "oe",
        "ø": "o",
        "×": "x",
        "½": " 1/2",
        "⅓": " 1/3",
        "⅔": " 2/3",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅕": " 1/5",
        "⅖": " 2/5",
        "⅗": " 3/5",
        "⅘": " 4/5",
        "⅙": " 1/6",
        "⅚": " 5/6",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
    }
)

# Cooks write T for the big spoon and t for the small one; after this, case tells nothing more.
_BIG_SPOON = re.compile(r"(\d)\s*T(?:bs?|BS?P?|BL)?\b\.?(?!')")

_WORD = re.compile(
    r"\d+(?:,\d{3})+(?:\.\d+)?|\d+\.\d+|\.\d+|\d+(?:/\d+)?"  # numbers and fractions
    r"|[a-z]+(?:'[a-z]+)*"
    r"|[^\w\s]",
)


class Word(msgspec.Struct, frozen=True):
    """One word, number or sign: `text` in lower case, its `key` for look-ups, and its span."""

    text: str
    key: str
    start: int
    end: int

    @property
    def is_name(self) -> bool:
        """True for words made of letters."""
        return self.text[0].isalpha()


def plain(text: str) -> str:
    """Lower case, accents off, one kind of quote and dash, control characters out."""
    text = _BIG_SPOON.sub(r"\1 tbsp ", text.translate(_SPECIAL)).casefold()
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text)
    return "".join(c for c in apart if not unicodedata.combining(c))


def words(text: str) -> list[Word]:
    """The words of a text. Spans point into `plain(text)`."""
    return [
        Word(found.group(), singular(found.group()), found.start(), found.end())
        for found in _WORD.finditer(plain(text))
    ]


# Endings that look plural and are not; and those whose plural is not a bare s.
_STAYS = ("ss", "us", "is", "ous")
_IRREGULAR = {
    "leaves": "leaf",
    "loaves": "loaf",
    "halves": "half",
    "knives": "knife",
    "calves": "calf",
    "geese": "goose",
    "mice": "mouse",
    "feet": "foot",
    "teeth": "tooth",
    "men": "man",
    "women": "woman",
    "children": "child",
    "people": "person",
    "chilies": "chili",
    "chillies": "chili",
    "chilli": "chili",
    "cookies": "cookie",
    "brownies": "brownie",
    "smoothies": "smoothie",
    "veggies": "veggie",
    "pies": "pie",
    "zucchinis": "zucchini",
    "dies": "die",
    "ties": "tie",
    "lies": "lie",
    "gas": "gas",
    "this": "this",
    "us": "us",
    "is": "is",
    "was": "was",
    "has": "has",
    "does": "does",
    "yes": "yes",
    "its": "its",
}


@lru_cache(maxsize=65536)
def singular(word: str) -> str:
    """The singular of an English word, near enough for look-ups.

    Tables and texts go through the same function, so a wrong singular still meets itself.
    """
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if word.endswith("'s"):
        word = word[:-2]
    if len(word) < 4 or not word.endswith("s") or word.endswith(_STAYS):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes", "sses", "xes", "zes")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=65536)
def key(text: str) -> tuple[str, ...]:
    """A name as the tables are searched by: its words, singular; hyphens and signs fall away."""
    return tuple(word.key for word in words(text) if word.text[0].isalnum())

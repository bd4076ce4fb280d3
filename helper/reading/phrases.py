"""Example phrasings per act, read and checked.

`phrases/<act>.txt` holds one wording a line; `{food}`, `{recipe}`, `{person}` … stand for what a
request may name, `(a|b)` for a choice, `[word]` for what may be left out. `phrases/nothing.txt`
holds wordings that must mean nothing. Adding a line teaches the wording.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from pathlib import Path

import msgspec

from helper.kitchen.words import Word, words
from helper.reading.acts import acts
from helper.reading.skeleton import skeleton
from helper.reading.spans import Span

FOLDER = Path(__file__).parent / "phrases"
NOTHING = "nothing"
KINDS = frozenset(
    [
        "food",
        "recipe",
        "person",
        "everyone",
        "diet",
        "amount",
        "money",
        "servings",
        "days",
        "date",
        "minutes",
        "place",
        "without",
        "ordinal",
        "pronoun",
        "each",
        "number",
        "scale",
        "shop",
        "claim",
    ]
)
_CHOICE = re.compile(r"\(([^()]*)\)|\[([^\[\]]*)\]")
SLOT = re.compile(r"\{(\w+)\}")


class PhraseError(ValueError):
    """A line of a phrase file that cannot be used; says file, line and reason."""


class Phrase(msgspec.Struct, frozen=True):
    """One example: its act, its text and where it stands."""

    act: str
    text: str
    where: str


def expand(line: str) -> Iterator[str]:
    """Every wording a line stands for: choices and options written out."""
    found = _CHOICE.search(line)
    if found is None:
        yield " ".join(line.split())
        return
    options = found[1].split("|") if found[1] is not None else [*found[2].split("|"), ""]
    for option in options:
        yield from expand(line[: found.start()] + option + line[found.end() :])


def read_phrases(folder: Path = FOLDER) -> list[Phrase]:
    """All phrases of a folder, checked: known act, known slots, no wording under two acts."""
    phrases: list[Phrase] = []
    seen: dict[str, Phrase] = {}
    for path in sorted(folder.glob("*.txt")):
        act = path.stem
        if act != NOTHING and act not in acts():
            raise PhraseError(f"{path.name}: there is no act named {act!r}")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            line = line.strip()
            if not line or line.startswith("#"):
                continue
            where = f"{path.name}:{number}"
            for slot in SLOT.findall(line):
                if slot not in KINDS:
                    raise PhraseError(f"{where}: unknown slot {{{slot}}}")
            for text in itertools.islice(expand(line), 48):
                twin = seen.get(text)
                if twin is not None and twin.act != act:
                    raise PhraseError(f"{where}: {text!r} stands under {twin.where} too")
                if twin is None:
                    seen[text] = Phrase(act, text, where)
                    phrases.append(seen[text])
    return phrases


def phrase_tokens(text: str) -> list[str]:
    """The skeleton of an example phrase: its slots are spans already."""
    found: list[Word] = []
    spans: list[Span] = []
    for i, part in enumerate(SLOT.split(text)):
        if i % 2:
            kind = "person" if part == "everyone" else part
            spans.append(Span(kind, len(found), len(found) + 1, None))
            found.append(Word(part, part, 0, 0))
        else:
            found.extend(words(part))
    return skeleton(found, spans)

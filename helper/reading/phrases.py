"""Example phrasings per act, read and checked.

`phrases/<act>.txt` holds one wording a line; `phrases/voices/<who>.txt` whole sentences as one
sort of cook would say them, each behind its act ("cost: what's the damage on {recipe}").
`{food}`, `{recipe}`, `{person}` … stand for what a request may name, `(a|b)` for a choice,
`[word]` for what may be left out. `phrases/nothing.txt` holds wordings that must mean nothing.
`phrases/two/<who>.txt` holds lines with several requests, `phrases/going_on/<who>.txt` what is said
after a request and goes on with it; their lines name their acts too.
Adding a line teaches the wording.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec

from helper.kitchen.words import Word, words
from helper.reading.acts import acts
from helper.reading.spans import Span

FOLDER = Path(__file__).parent / "phrases"
NOTHING = "nothing"
VOICES = "voices"
TWO, GOING_ON = "two", "going_on"
CUT = "||"
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
    seen: dict[str, Phrase] = {}
    for where, act, line in _lines(folder):
        _check(where, (act,), line)
        for text in itertools.islice(expand(line), 48):
            twin = seen.setdefault(text, Phrase(act, text, where))
            if twin.act != act:
                raise PhraseError(f"{where}: {text!r} stands under {twin.where} too")
    for named, parts in read_two(folder / TWO):
        for act, text in zip(named, parts, strict=True):
            seen.setdefault(text, Phrase(act, text, TWO))
    return list(seen.values())


def read_marked(folder: Path) -> list[tuple[tuple[str, ...], str]]:
    """Lines of a folder that name their acts themselves: "act + act: text", checked alike."""
    marked = []
    for path in sorted(folder.glob("*.txt")):
        for where, line in _filled(path):
            names, _, text = line.partition(":")
            found = tuple(name.strip() for name in names.split("+"))
            _check(where, found, text)
            marked.append((found, " ".join(text.split())))
    return marked


def read_two(folder: Path = FOLDER / TWO) -> list[tuple[tuple[str, ...], list[str]]]:
    """Lines with several requests, and such as only look so: their acts and their parts."""
    lines = []
    for named, text in read_marked(folder):
        parts = [part.strip() for part in text.split(CUT)]
        if len(parts) != len(named):
            raise PhraseError(f"{folder.name}: as many acts as parts are wanted: {text!r}")
        lines.append((named, parts))
    return lines


def _check(where: str, named: Sequence[str], line: str) -> None:
    for act in named:
        if act != NOTHING and act not in acts():
            raise PhraseError(f"{where}: there is no act named {act!r}")
    for slot in SLOT.findall(line):
        if slot not in KINDS:
            raise PhraseError(f"{where}: unknown slot {{{slot}}}")


def _lines(folder: Path) -> Iterator[tuple[str, str, str]]:
    """Where each phrase stands, its act and its text."""
    for path in phrase_files(folder):
        spoken = path.parent.name == VOICES
        for where, line in _filled(path):
            act, text = (
                (part.strip() for part in line.split(":", 1)) if spoken else (path.stem, line)
            )
            yield where, act, text


def _filled(path: Path) -> Iterator[tuple[str, str]]:
    """The lines of a file that say something, and where each stands."""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if line.strip() and not line.startswith("#"):
            yield f"{path.name}:{number}", line.strip()


def phrase_files(folder: Path = FOLDER) -> list[Path]:
    """The files phrases are read from."""
    return sorted([*folder.glob("*.txt"), *(folder / VOICES).glob("*.txt")])


def marked_files(folder: Path = FOLDER) -> list[Path]:
    """The files whose lines name their acts themselves."""
    return sorted(path for name in (TWO, GOING_ON) for path in (folder / name).glob("*.txt"))


def sources(*modules: str) -> list[Path]:
    """All files on which it depends what the phrases teach; `modules` are those that learn it."""
    reading = FOLDER.parent
    own = ("phrases.py", "names.py", "skeleton.py", *modules)
    files = [*phrase_files(), *marked_files(), *sorted(reading.glob("*.csv"))]
    return [*files, *(reading / name for name in own)]


def slots_and_words(text: str) -> tuple[list[Word], list[Span]]:
    """The words of an example phrase, with a blank sign and a span for each of its slots."""
    found: list[Word] = []
    spans: list[Span] = []
    for i, part in enumerate(SLOT.split(text)):
        if i % 2:
            kind = "person" if part == "everyone" else part
            spans.append(Span(kind, len(found), len(found) + 1, None))
            found.append(BLANK)
        else:
            found.extend(words(part))
    return found, spans


# No spotter finds anything in it, and no name reaches across it.
BLANK = Word("¤", "¤", 0, 0)

"""Answers as a person reads them.

There is one layout for every mouth: blocks become rich renderables, and rich measures, wraps and
aligns them for a colour terminal, for a pipe and for the `text` of JSON alike. A layout of our own
for plain text would start some 35 ms sooner, but two layouts of one table drift apart, and widths
of accented and wide letters are a trade of their own.

Colour only repeats what the words say. The colours used (green, red, magenta) can be read on a
light ground and on a dark one; yellow, cyan and blue cannot.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from io import StringIO
from itertools import pairwise
from typing import IO, TYPE_CHECKING

from helper.answers import Answer, Bars, Because, Block, Caution, Items, Say, Table, Tree, Verbatim
from helper.showing.clean import clean, one_line
from helper.showing.widths import FittedBars, FittedTable

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.text import Text
    from rich.tree import Tree as RichTree

WIDEST = 120  # longer lines are hard to follow with the eye
NARROWEST = 40
PIPED = 80

_STYLES = {
    "plain": "",
    "good": "green",
    "warn": "magenta",
    "bad": "bold red",
    "quiet": "dim",
    "title": "bold",
}
_REASONS = 20  # shown of one step; more of a kind tell a person nothing more
_SEVERITIES = {"info": "Note", "caution": "Caution", "danger": "Danger"}


def is_plain(file: IO[str]) -> bool:
    """True where colour has no place: no terminal, a dumb one, or NO_COLOR set."""
    return not file.isatty() or bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"


def console_on(file: IO[str], width: int | None = None, plain: bool | None = None) -> Console:
    """A console that writes to `file`, as wide as the terminal up to WIDEST."""
    from rich.console import Console

    plain = is_plain(file) if plain is None else plain
    return Console(
        file=file,
        width=width or width_of(file),
        color_system=None if plain else "auto",
        no_color=plain,
        force_terminal=False if plain else None,
        markup=False,
        emoji=False,
        highlight=False,
    )


def width_of(file: IO[str]) -> int:
    """Columns to write in: the terminal's (or COLUMNS), within reason; 80 for a pipe."""
    if file.isatty() or "COLUMNS" in os.environ:
        return max(NARROWEST, min(shutil.get_terminal_size((PIPED, 24)).columns, WIDEST))
    return PIPED


def show(answer: Answer, console: Console) -> None:
    """Print an answer with its cautions."""
    for renderable in _laid_out(answer):
        # rich forgets that a text is not to be wrapped, and crops what stands out
        console.print(renderable, soft_wrap=getattr(renderable, "no_wrap", None) is True)


def print_answer(answer: Answer, *, apart: bool = False) -> None:
    """Print an answer where it belongs: to standard output, or to standard error if it is none.

    `apart` True leaves a blank line before it.
    """
    file = sys.stdout if answer.understood else sys.stderr
    if apart:
        print(file=file)
    if is_plain(file):
        print(plain_text(answer, width_of(file), file.encoding), file=file)
    else:
        show(answer, console_on(file))
    file.flush()


class _Page(StringIO):
    """Text in memory that is to fit an encoding: lines and bars become ASCII where it has none."""

    encoding = "utf-8"


def plain_text(answer: Answer, width: int = PIPED, encoding: str | None = None) -> str:
    """The same answer without colour, no space at the ends of its lines."""
    page = _Page()
    page.encoding = encoding or "utf-8"
    show(answer, console_on(page, width, plain=True))
    return "\n".join(line.rstrip() for line in page.getvalue().splitlines()).strip("\n")


def _laid_out(answer: Answer) -> Iterator[RenderableType]:
    answers = (answer, *answer.also)
    for i, one in enumerate(answers):
        if i:
            yield ""
        yield from _blocks(one.blocks)
        for aside in (taken_for(one), not_known(one)):
            if aside:
                yield _styled(aside, "quiet")
    cautions = {caution.id: caution for one in answers for caution in one.cautions}
    if cautions:
        yield ""
    for caution in cautions.values():
        yield _caution(caution)


def taken_for(answer: Answer) -> str:
    """What misspelt words were taken for, in one line; empty where all was spelt right."""
    guessed = {
        one.words: one.meaning
        for one in answer.reading.evidence
        if not one.certain and one.meaning and one.words.casefold() != one.meaning.casefold()
    }
    said = ", ".join(
        f'"{one_line(words)}" for {one_line(meaning)}' for words, meaning in guessed.items()
    )
    return f"(took {said})" if said else ""


def not_known(answer: Answer) -> str:
    """Words that nothing could be made of, in one line; empty where there were none."""
    said = ", ".join(f'"{one_line(words)}"' for words in answer.reading.unsure)
    return f"(made nothing of {said})" if said else ""


def _caution(caution: Caution) -> Text:
    word = _SEVERITIES.get(caution.severity, "Caution")
    source = f" ({caution.source})" if caution.source else ""
    text = _styled(f"{word}: ", "bad" if caution.severity == "danger" else "warn")
    return text.append(one_line(f"{caution.text}{source}"))


def _blocks(blocks: tuple[Block, ...]) -> Iterator[RenderableType]:
    for before, block in pairwise((None, *blocks)):
        if before is not None and block is not None and _apart(before, block):
            yield ""
        match block:
            case Say():
                yield _styled(clean(block.text), block.tone)
            case Table():
                yield from _titled(block.title)
                yield FittedTable(block)
            case Items():
                yield _items(block)
            case Bars():
                yield from _titled(block.title)
                yield FittedBars(block)
            case Tree():
                yield _tree(block.root)
            case Verbatim():
                yield _verbatim(block.text)


def _apart(before: Block, block: Block) -> bool:
    """Whether a blank line stands between two blocks."""
    if isinstance(before, Say) and before.tone == "title":
        return False
    if isinstance(block, Say):
        return not isinstance(before, Say) or block.tone == "title"
    return not isinstance(block, Items) or not isinstance(before, Say)


def _styled(text: str, tone: str) -> Text:
    from rich.text import Text

    return Text(text, style=_STYLES.get(tone, ""))


def _verbatim(text: str) -> Text:
    """Lines as they are: a broken one could not be copied."""
    from rich.text import Text

    return Text(clean(text), no_wrap=True, overflow="ignore")


def _titled(title: str) -> Iterator[Text]:
    if title:
        yield _styled(one_line(title), "title")


def _items(items: Items) -> RenderableType:
    from rich.table import Table as RichTable

    grid = RichTable.grid(padding=(0, 1, 0, 0))
    grid.add_column(justify="right", no_wrap=True)
    grid.add_column(overflow="fold")
    for number, item in enumerate(items.items, 1):
        grid.add_row(f" {number}." if items.numbered else " -", _styled(clean(item), "plain"))
    return grid


def _tree(root: Because) -> RichTree:
    from rich.tree import Tree as RichTree

    tree = RichTree(_step(root), guide_style="dim")
    _grow(tree, root)
    return tree


def _grow(tree: RichTree, step: Because) -> None:
    for reason in step.because[:_REASONS]:
        _grow(tree.add(_step(reason)), reason)
    if len(step.because) > _REASONS:
        tree.add(_styled(f"and {len(step.because) - _REASONS} more like these", "quiet"))


def _step(step: Because) -> Text:
    """A statement with its source; the rule's own name is for programs."""
    text = _styled(one_line(step.statement), "plain")
    if step.source:
        text.append(f" ({one_line(step.source)})", style=_STYLES["quiet"])
    return text

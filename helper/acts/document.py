"""A document to hand on: laid out once, written as plain text or Markdown here, as a page beside.

A document is a title, what is to be known at once, and parts under headings. Recipe, menu and
shopping list differ in what they put into it and in nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

BULLET, STEP, NOTE = "bullet", "step", "note"


class Lines(msgspec.Struct, frozen=True):
    """Lines under a heading: `mark` bullet for a list, step for a numbered one, note for
    paragraphs. `under` True: the heading stands under the one before it."""

    lines: tuple[str, ...]
    heading: str = ""
    mark: str = BULLET
    under: bool = False


class Grid(msgspec.Struct, frozen=True):
    """Rows of cells under a heading; `columns` names them, the `right` ones stand to the right.

    `tick` True: every row is to be ticked off.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    heading: str = ""
    right: tuple[int, ...] = ()
    tick: bool = False
    under: bool = False


Part = Lines | Grid


class Document(msgspec.Struct, frozen=True):
    """What is handed on. `data` is the same for programs (JSON-LD), empty where there is none."""

    title: str
    about: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    data: str = ""


def plain(document: Document) -> str:
    """For pasting into a message: no signs but the numbers of steps and boxes to tick."""
    out = [document.title, *document.about]
    for part in document.parts:
        if part.heading and not part.under:
            out += ["", f"{part.heading}:"]
        elif part.heading:
            out += [f"{part.heading}:"]
        else:
            out.append("")
        if isinstance(part, Grid):
            box = "[ ] " if part.tick else ""
            out += [box + _joined(row) for row in part.rows]
        elif part.mark == STEP:
            out += [f"{at}. {line}" for at, line in enumerate(part.lines, 1)]
        else:
            out += part.lines
    return "\n".join(out) + "\n"


def _joined(row: Iterable[str]) -> str:
    """A row as a line: "Thu 26 Nov: Bean soup, 4 servings"."""
    first, *rest = row
    told = ", ".join(cell for cell in rest if cell)
    return f"{first}: {told}" if told else first


def markdown(document: Document) -> str:
    """As CommonMark, with tables and boxes to tick as most readers of it know them."""
    out = [f"# {_md(document.title)}", ""]
    if document.about:
        out += ["  \n".join(map(_md, document.about)), ""]
    for part in document.parts:
        if part.heading:
            out += [f"{'###' if part.under else '##'} {_md(part.heading)}", ""]
        if isinstance(part, Grid):
            out += [*_md_grid(part), ""]
        elif part.mark == NOTE:
            out += [line for text in part.lines for line in (_md(text), "")]
        else:
            marks = (f"{at}." if part.mark == STEP else "-" for at in range(1, 1 + len(part.lines)))
            lines = zip(marks, part.lines, strict=False)
            out += [*(f"{mark} {_md(text)}" for mark, text in lines), ""]
    return "\n".join(out)


def _md_grid(grid: Grid) -> list[str]:
    if grid.tick:
        return [f"- [ ] {_md(_joined(row))}" for row in grid.rows]
    rule = ("---:" if at in grid.right else "---" for at in range(len(grid.columns)))
    rows = (grid.columns, *grid.rows)
    told = [f"| {' | '.join(_md(cell) for cell in row)} |" for row in rows]
    return [told[0], f"| {' | '.join(rule)} |", *told[1:]]


def _md(text: str) -> str:
    for sign in "\\`*_[]<>#|":
        text = text.replace(sign, f"\\{sign}")
    return " ".join(text.split())

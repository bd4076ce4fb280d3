"""A document as a web page of its own: nothing is fetched, and it prints on A4 and Letter."""

from __future__ import annotations

import html
from functools import cache
from pathlib import Path

from helper.acts.document import NOTE, STEP, Document, Grid, Lines, Part

_SHEET = Path(__file__).with_name("web_page.css")


def web_page(document: Document) -> str:
    """The whole page, its style and its data within it."""
    data = []
    if document.data:
        # "</" would end the script early, whatever it stands in
        safe = document.data.strip().replace("</", "<\\/")
        data = ['<script type="application/ld+json">', safe, "</script>"]
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{_text(document.title)}</title>",
            f"<style>\n{_style()}</style>",
            *data,
            "</head>",
            "<body>",
            f"<h1>{_text(document.title)}</h1>",
            *(f'<p class="about">{_text(line)}</p>' for line in document.about),
            *(line for part in document.parts for line in _part(part)),
            "</body>",
            "</html>",
            "",
        ]
    )


@cache
def _style() -> str:
    return _SHEET.read_text(encoding="utf-8")


def _part(part: Part) -> list[str]:
    """A part stays together with its heading where the paper allows it."""
    rank = "h3" if part.under else "h2"
    heading = [f"<{rank}>{_text(part.heading)}</{rank}>"] if part.heading else []
    body = _grid(part) if isinstance(part, Grid) else _lines(part)
    return ["<section>", *heading, *body, "</section>"]


def _lines(part: Lines) -> list[str]:
    if part.mark == NOTE:
        return [f'<p class="note">{_text(line)}</p>' for line in part.lines]
    kind = "ol" if part.mark == STEP else "ul"
    return [f"<{kind}>", *(f"<li>{_text(line)}</li>" for line in part.lines), f"</{kind}>"]


def _grid(grid: Grid) -> list[str]:
    def row(cells: tuple[str, ...], kind: str) -> str:
        box = "<td class=box><span></span></td>" if grid.tick else ""
        told = "".join(
            f"<{kind}{' class=right' if at in grid.right else ''}>{_text(cell)}</{kind}>"
            for at, cell in enumerate(cells)
        )
        return f"<tr>{box}{told}</tr>"

    head = [] if grid.tick else [f"<thead>{row(grid.columns, 'th')}</thead>"]
    rows = (row(one, "td") for one in grid.rows)
    start = "<table class=list>" if grid.tick else "<table>"
    return [start, *head, "<tbody>", *rows, "</tbody>", "</table>"]


def _text(text: str) -> str:
    return html.escape(text, quote=False)

"""Tables and bars laid out for the width there is: no word is cut into letters, no label lost."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import TYPE_CHECKING

from helper.answers import Bars, Table
from helper.showing.clean import clean, one_line

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderableType

_GAP = 3  # characters between two columns
_READABLE = 10  # a column of words is not made narrower than this
_LONGEST_BAR, _SHORTEST_BAR = 30, 5


class FittedTable:
    """A rich renderable of one table."""

    def __init__(self, table: Table) -> None:
        self.table = table

    def __rich_console__(
        self, console: Console, options: ConsoleOptions
    ) -> Iterator[RenderableType]:
        """Columns if they fit, else a paragraph a row."""
        if narrowest(self.table) <= options.max_width:
            yield _columns(self.table, options.ascii_only)
        else:
            yield from _paragraphs(self.table)


def narrowest(table: Table) -> int:
    """Characters that the columns need at least: numbers whole, words so that they can be read."""
    from rich.cells import cell_len

    needed = 0
    for at, column in enumerate(table.columns):
        cells = [column.heading, *(row[at] for row in table.rows if at < len(row))]
        longest = max(cell_len(line) for cell in cells for line in cell.split("\n"))
        needed += longest if column.right else min(longest, _READABLE)
    return needed + _GAP * (len(table.columns) - 1)


def _columns(table: Table, ascii_only: bool) -> RenderableType:
    from rich.box import SIMPLE_HEAD, Box
    from rich.table import Table as RichTable
    from rich.text import Text

    # Left to itself, rich draws bars between the columns where there are no line letters.
    ruled = Box(str(SIMPLE_HEAD).replace("\N{BOX DRAWINGS LIGHT HORIZONTAL}", "-"), ascii=True)
    laid = RichTable(
        box=ruled if ascii_only else SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        show_edge=False,
        border_style="dim",
    )
    for column in table.columns:
        laid.add_column(
            one_line(column.heading),
            justify="right" if column.right else "left",
            no_wrap=column.right,
            overflow="fold",
        )
    for row in table.rows:
        laid.add_row(*(Text(clean(cell)) for cell in row))
    return laid


def _paragraphs(table: Table) -> Iterator[RenderableType]:
    """Each row under its name, a line a cell: "A serving: $0.67"."""
    from rich.padding import Padding
    from rich.text import Text

    for row in table.rows:
        cells = [
            (one_line(column.heading) if column else "", clean(cell))
            for column, cell in zip_longest(table.columns, row, fillvalue=None)
            if cell
        ]
        # A number without a heading goes before the name.
        lead = 2 if len(cells) > 1 and not cells[0][0] else 1
        yield Text("  ".join(cell for _, cell in cells[:lead]), style="bold")
        for heading, cell in cells[lead:]:
            yield Padding(Text(f"{heading}: {cell}" if heading else cell), (0, 0, 0, 3))


class FittedBars:
    """A rich renderable of labelled bars, the longest as long as there is room for."""

    def __init__(self, bars: Bars) -> None:
        self.bars = bars

    def __rich_console__(
        self, console: Console, options: ConsoleOptions
    ) -> Iterator[RenderableType]:
        """A line a bar: label, bar, value."""
        from rich.cells import cell_len
        from rich.table import Table as RichTable
        from rich.text import Text

        rows = [(one_line(label), value, one_line(shown)) for label, value, shown in self.bars.rows]
        taken = max((cell_len(shown) for *_, shown in rows), default=0) + 4
        labels = max((cell_len(label) for label, *_ in rows), default=0)
        room = max(_SHORTEST_BAR, min(_LONGEST_BAR, options.max_width - taken - labels))
        most = max((value for _, value, _ in rows), default=0.0)
        brick = "#" if options.ascii_only else "\N{FULL BLOCK}"
        grid = RichTable.grid(padding=(0, 2, 0, 0))
        grid.add_column(overflow="fold")
        grid.add_column(no_wrap=True)
        grid.add_column(justify="right", no_wrap=True)
        for label, value, shown in rows:
            length = round(room * value / most) if most > 0 and value > 0 else 0
            bricks = brick * max(length, 1 if value > 0 else 0)
            grid.add_row(label, Text(bricks, style="green"), shown)
        yield grid

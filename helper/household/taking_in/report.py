"""What came of taking a file in: records for the ways in to word."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from helper.household.troubles import Trouble

# Called as (done, total) while a long file is read.
Progress = Callable[[int, int], None]


class CannotTakeIn(Trouble):
    """A file that cannot be taken in at all; nothing was changed."""


class Refused(msgspec.Struct, frozen=True):
    """One row, or one recipe of several, that was left out.

    `row` is the line of the file, or the number of the recipe in it, from 1.
    """

    file: str
    row: int
    reason: str
    text: str = ""

    def __str__(self) -> str:
        return f"{self.file}, line {self.row}: {self.reason}"


class Report(msgspec.Struct, frozen=True):
    """What was taken in of one file.

    `kind` is stock, people or recipes. `added` and `updated` name what came in; `notes` say what
    was taken for granted; `seen` counts stock rows left out because they came in before, and
    `asked` is the question about them ("" for none).
    """

    file: str
    kind: str
    added: tuple[str, ...] = ()
    updated: tuple[str, ...] = ()
    refused: tuple[Refused, ...] = ()
    notes: tuple[str, ...] = ()
    seen: int = 0
    asked: str = ""
    prices: int = 0

    @property
    def clean(self) -> bool:
        """True where nothing was refused and nothing is asked."""
        return not self.refused and not self.asked

    @property
    def lines(self) -> tuple[str, ...]:
        """What happened, a sentence a line: what came in first, then what did not and why."""
        said = [f"{self.file}: {self._came_in()}."]
        if self.asked:
            said.append(self.asked)
        return (*said, *self.notes, *(f"Left out: {one}" for one in self.refused))

    def _came_in(self) -> str:
        parts = []
        words = {
            "stock": ("lot", "lots"),
            "people": ("person", "people"),
            "recipes": ("recipe", "recipes"),
        }[self.kind]
        if self.added:
            parts.append(f"{len(self.added):,} {words[len(self.added) != 1]} taken in")
        if self.updated:
            parts.append(f"{len(self.updated):,} {words[len(self.updated) != 1]} updated")
        if self.prices:
            parts.append(f"{self.prices:,} price{'s' * (self.prices != 1)} noted")
        return ", ".join(parts) or "nothing taken in"

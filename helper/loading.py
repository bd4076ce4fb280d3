"""Files taken in before anything else, with what came of each told to the person."""

from __future__ import annotations

import contextlib
import datetime as dt
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import IO

from helper.acts.house import House
from helper.household.books import Household
from helper.household.taking_in import Progress, Report, take_in
from helper.household.troubles import Trouble
from helper.showing.clean import clean
from helper.showing.talk_words import means

DONE, SOME_LEFT_OUT, UNREADABLE = 0, 1, 2


def load(paths: Sequence[Path], books: Household, today: dt.date, told: IO[str]) -> int:
    """Take files in, in order; what came in is `told`, complaints go to standard error.

    Returns 0, or 1 where something was left out or asked, or 2 at the first file that cannot be
    read: what stands behind it may hang on it.
    """
    status = DONE
    for path in paths:
        try:
            with _progress(path) as progress:
                report = _take_in(path, books, today, progress)
            if report.asked and _wanted_again(report, told):
                report = _take_in(path, books, today, again=True)
        except Trouble as trouble:
            print(clean(f"meal-helper: {trouble}"), file=sys.stderr)
            return UNREADABLE
        _tell(report, told)
        if not report.clean:
            status = SOME_LEFT_OUT
    return status


def _take_in(
    path: Path,
    books: Household,
    today: dt.date,
    progress: Progress | None = None,
    *,
    again: bool = False,
) -> Report:
    foods = House(books, today).foods
    return take_in(path, books, foods, today, again=again, progress=progress)


def _wanted_again(report: Report, told: IO[str]) -> bool:
    """Ask whether rows seen before are to come in once more; where nobody can answer: no."""
    if not (told is sys.stdout and sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    try:
        return means("yes", input(f"{clean(report.asked)} (yes or no) "))
    except EOFError:
        return False


def _tell(report: Report, told: IO[str]) -> None:
    first, *rest = report.lines
    print(clean(first), file=told)
    for line in rest:
        print(clean(line), file=told if report.clean else sys.stderr)


@contextlib.contextmanager
def _progress(path: Path) -> Iterator[Progress]:
    """A bar on the terminal while a file is read; nothing where standard error is no terminal."""
    if not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description}", markup=False), BarColumn(), MofNCompleteColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(clean(path.name), total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)

"""Looking the books over, and putting a damaged journal right without throwing anything away."""

from __future__ import annotations

from helper.household.journal import BadLine, Event, Journal, line_written
from helper.household.shelves import Shelves

LOST = "lost"


def looked_over(journal: Journal, shelves: Shelves) -> list[str]:
    """All that is wrong with a journal, or with tables that should be what it comes to."""
    wrong = []
    again = Shelves()
    last = 0
    for entry, position, _ in journal.entries():
        if isinstance(entry, BadLine):
            wrong.append(f"The line at byte {entry.start} of {journal.path.name}: {entry.wrong}.")
            continue
        if last and entry.seq != last + 1:
            wrong.append(f"Change {entry.seq} follows on change {last} (byte {position}).")
        last = entry.seq
        again.apply(entry.changes)
    for table in sorted(again.tables().keys() | shelves.tables().keys()):
        if again.papers(table) != shelves.papers(table):
            wrong.append(f"The table of {table} is not what the journal comes to.")
    return wrong


def mended(journal: Journal, size: int) -> tuple[bytes, bytes]:
    """The journal of `size` bytes without its bad lines, and those lines.

    A change that is missing leaves an empty one in its place, so that the loss stays on record.
    """
    whole: list[bytes] = []
    bad: list[bytes] = []
    last = 0
    for line, end in journal.lines():
        if end > size:
            break
        event = journal.told(line, end)
        if isinstance(event, BadLine) or event.seq <= last:
            bad.append(line + b"\n")
            continue
        if last:
            whole += [_lost(seq, event) for seq in range(last + 1, event.seq)]
        whole.append(line + b"\n")
        last = event.seq
    return b"".join(whole), b"".join(bad)


def _lost(seq: int, following: Event) -> bytes:
    return line_written(
        Event(seq, following.time, LOST, summary="This change could not be read and was set aside")
    )

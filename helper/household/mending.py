"""Looking the books over, and putting a damaged journal right without throwing anything away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from helper.household.journal import BadLine, Event, Journal, line_written
from helper.household.shelves import Shelves
from helper.household.troubles import cannot_write

if TYPE_CHECKING:
    from helper.household.keeper import Keeper

LOST = "lost"


def mend(keeper: Keeper) -> str:
    """Set bad lines of the journal aside and go on without them; say what was done."""
    journal = keeper.journal
    with keeper.alone():
        if keeper.damage is None:
            return "The journal needs no mending."
        aside = journal.path.with_name("journal.damaged.jsonl")
        try:
            whole, bad = mended(journal, keeper.offset)
            journal.put_aside(bad)
            keeper.disk.put_file(aside, keeper.disk.read(journal.path))
            keeper.disk.put_file(journal.path, whole)
        except OSError as error:
            raise cannot_write(error, journal.path) from error
        keeper.rebuild()
    keeper.save()
    count = bad.count(b"\n")
    return (
        f"Set aside in {journal.torn_path.name}: {count} line{'s' * (count != 1)}. The journal as "
        f"it was is kept in {aside.name}. Look whether a change is missing."
    )


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

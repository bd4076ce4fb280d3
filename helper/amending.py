"""A change put right: what was done is taken back, and the request as corrected done instead.

Both happen or neither. The corrected request is first tried on a copy of the books from which the
change is gone; only if it can be carried out there is the change taken back.
"""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts import doing
from helper.acts.house import House
from helper.answers import Answer, Say
from helper.household.books import Household
from helper.household.journal import Event
from helper.household.troubles import Trouble
from helper.reading.going_on import EARLIER
from helper.reading.reading import Reading


def amended(reading: Reading, house: House, done: int) -> Answer:
    """The answer to a request that takes the place of change number `done`.

    Where the corrected request is no change, or asks back, nothing is taken back. Raises Trouble
    where later changes rest on what was done.
    """
    last = next(house.books.events(limit=1), None)
    act = doing(reading.act or "")
    if last is None or (last.seq != done and EARLIER not in reading.marks):
        return act(reading, house)
    event = next((one for one in house.books.events() if one.seq == done), last)
    tried = act(reading, _without(event, house))
    if not (tried.understood and tried.changed):
        return tried
    house.books.undo(event.seq, said=reading.said)
    answer = act(reading, house)
    instead = Say(f"In place of: {event.summary or event.act}.", "quiet")
    return replace(answer, blocks=(instead, *answer.blocks), changed=True)


def _without(event: Event, house: House) -> House:
    """The household as it would be had that change not been made, to try things on."""
    books = Household.scratch(prepared=house.books.prepare(), today=house.books.today)
    if any(books.paper(one.table, one.id) != one.after for one in event.changes):
        raise Trouble("The last change cannot be put right any more; say what is to be changed")
    books.apply(one.reversed for one in reversed(event.changes))
    copy = House(books, house.today)
    copy.context, copy.last = house.context, house.last
    return copy

"""Acts that tell about the talk itself: why, help, history, and the last change taken back."""

from __future__ import annotations

from helper.acts.headings import grouped
from helper.acts.history import history, one_sentence
from helper.acts.house import House
from helper.acts.reasons import reasons, shortened
from helper.answers import Answer, Block, Items, Say, Tree, sorry
from helper.reading.reading import Reading

__all__ = ["help", "history", "undo", "why"]


def why(reading: Reading, house: House) -> Answer:
    """The derivation behind the last answer, or behind the verdict asked about."""
    root = reasons(reading, house)
    if root is None:
        return sorry(reading, "Nothing has been said yet that I could give reasons for.")
    if isinstance(root, Answer):
        return root
    shown, left_out = shortened(root)
    blocks: tuple[Block, ...] = (Tree(shown),)
    if left_out:
        deeper = f'{left_out} reasons lie deeper, under "...": ask why with a name for those.'
        blocks = (*blocks, Say(deeper, "quiet"))
    return Answer(reading, {"because": root}, blocks, because=(root,))


def help(reading: Reading, house: House) -> Answer:
    """What can be asked: an example of every act, by what it is about."""
    blocks: list[Say | Items] = [Say("Say it in your own words; these are examples.")]
    examples: list[dict[str, str]] = []
    for heading, listed in grouped().items():
        blocks.append(Say(heading, "title"))
        blocks.append(Items(tuple(act.example for act in listed)))
        examples += [{"act": a.name, "wants": a.wants, "example": a.example} for a in listed]
    blocks.append(Say('Ask "why?" after any answer; "undo" takes the last change back.', "quiet"))
    reply = {"examples": [one["example"] for one in examples], "acts": examples}
    return Answer(reading, reply, tuple(blocks))


def undo(reading: Reading, house: House) -> Answer:
    """Take back the latest change that still stands; the books refuse what later ones rest on."""
    event = house.books.undo(said=reading.said)
    undone = next(one for one in house.books.events() if one.seq == event.meta["undoes"])
    summary = one_sentence(undone)
    return Answer(
        reading,
        {"undone": summary, "act": undone.act, "said": undone.said, "date": str(undone.day)},
        (Say(f"Taken back: {summary}", "good"),),
        changed=True,
    )

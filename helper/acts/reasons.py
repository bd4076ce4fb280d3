"""The reasons behind an answer, as one tree: its derivation, or else how the words were read."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.house import House
from helper.answers import Answer, Because, Say
from helper.reading.acts import acts
from helper.reading.reading import Evidence, Reading


def reasons(reading: Reading, house: House) -> Because | None:
    """A tree for "why", or None where nothing has been said yet."""
    last: Answer | None = house.last
    asked = _asked_again(reading, last, house)
    if asked is not None:
        return _rooted(asked)
    return None if last is None else _rooted(last)


def _asked_again(reading: Reading, last: Answer | None, house: House) -> Answer | None:
    """ "why can't Tove have the gravy": the verdict itself is asked for, whatever came last."""
    if not (reading.recipes or reading.foods):
        return None
    before = last.reading if last is not None else Reading(said="")
    people = reading.people or before.people
    diets = reading.diets or before.diets
    if (reading.people or reading.diets) or ((people or diets) and not _was_about(reading, last)):
        from helper.acts.table import safe_for

        question = replace(reading, act="safe-for", people=people, diets=diets)
        return safe_for(question, house)
    if reading.recipes and not _was_about(reading, last):
        from helper.acts.meals import missing

        return missing(replace(reading, act="missing"), house)
    return None


def _was_about(reading: Reading, last: Answer | None) -> bool:
    """Whether the last answer dealt with what "why" names."""
    if last is None:
        return False
    named = {*last.recipes, *last.offered, *last.reading.recipes}
    foods = {*last.foods, *last.reading.foods}
    return bool(named & {*reading.recipes} or foods & {*reading.foods})


def _rooted(answer: Answer) -> Because:
    """One tree with the answer's first sentence as its root."""
    branches = answer.because or _as_read(answer.reading)
    if len(branches) == 1:
        return branches[0]
    return Because(_headline(answer), because=branches)


def _headline(answer: Answer) -> str:
    said = next((block.text for block in answer.blocks if isinstance(block, Say)), "")
    return said or answer.reading.said


def _as_read(reading: Reading) -> tuple[Because, ...]:
    """Which words were taken for what, where an answer rests on nothing else."""
    wants = acts()[reading.act].wants if reading.act in acts() else ""
    branches = [Because(f'I took "{reading.said}" as: {wants}')] if wants else []
    branches += [Because(_worded(one)) for one in reading.evidence if one.kind != "act"]
    return tuple(branches) or (Because(f'I could make nothing of "{reading.said}"'),)


def _worded(evidence: Evidence) -> str:
    doubt = "" if evidence.certain else ", which I took to be misspelt"
    return f'"{evidence.words}" is the {evidence.kind} {evidence.meaning}{doubt}'

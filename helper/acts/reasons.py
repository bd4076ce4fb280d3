"""The reasons behind an answer, as one tree: its derivation, or else how the words were read."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts import doing
from helper.acts.house import House
from helper.answers import Answer, Because, Say
from helper.reading.acts import acts
from helper.reading.reading import Evidence, Reading


def reasons(reading: Reading, house: House) -> Because | Answer | None:
    """A tree for "why", the question that must be answered first, or None before any answer."""
    last: Answer | None = house.last
    asked = _asked_again(reading, last, house)
    if asked is not None:
        return _rooted(asked) if asked.understood else asked
    if last is None:
        return None
    root = _rooted(last)
    named = (*reading.recipes, *reading.foods)
    return next((found for name in named if (found := _naming(root, name))), root)


def shortened(root: Because, most: int = 25) -> tuple[Because, int]:
    """The tree opened as far as so many lines allow, and how many lines that leaves out.

    What lies nearer to the root, and what comes first, is opened first. A statement with more
    behind it ends in an ellipsis.
    """
    opened: set[int] = set()
    shown = 1
    level = [root]
    while level:
        for step in level:
            if step.because and shown + len(step.because) <= max(most, 1 + len(root.because)):
                opened.add(id(step))
                shown += len(step.because)
        level = [reason for step in level if id(step) in opened for reason in step.because]
    return _cut(root, opened), _lines(root) - shown


def _lines(step: Because) -> int:
    return 1 + sum(map(_lines, step.because))


def _cut(step: Because, opened: set[int]) -> Because:
    if step.because and id(step) not in opened:
        return replace(step, statement=f"{step.statement} ...", because=())
    return replace(step, because=tuple(_cut(reason, opened) for reason in step.because))


def _naming(step: Because, name: str) -> Because | None:
    """The first branch that speaks of what is named, the nearest to the root."""
    level = step.because
    while level:
        for reason in level:
            if name.casefold() in reason.statement.casefold():
                return reason
        level = tuple(deeper for reason in level for deeper in reason.because)
    return None


def _asked_again(reading: Reading, last: Answer | None, house: House) -> Answer | None:
    """ "why can't Tove have the gravy": the verdict itself is asked for, whatever came last."""
    if not (reading.recipes or reading.foods):
        return None
    reading = _dishes_first(reading, house)
    before = last.reading if last is not None else Reading(said="")
    people = reading.people or before.people
    diets = reading.diets or before.diets
    if (reading.people or reading.diets) or (
        (people or diets) and not _was_about(reading, last, house)
    ):
        question = replace(reading, act="safe-for", people=people, diets=diets)
        return doing("safe-for")(question, house)
    if reading.recipes and not _was_about(reading, last, house):
        return doing("missing")(replace(reading, act="missing"), house)
    return None


def _dishes_first(reading: Reading, house: House) -> Reading:
    """A food of the same name as a dish of this house is meant as the dish."""
    dishes = {food: house.books.recipe_titled(food) for food in reading.foods}
    titles = tuple(recipe.title for recipe in dishes.values() if recipe is not None)
    foods = tuple(food for food, recipe in dishes.items() if recipe is None)
    return replace(reading, recipes=(*reading.recipes, *titles), foods=foods)


def _was_about(reading: Reading, last: Answer | None, house: House) -> bool:
    """Whether the talk was just about what "why" names, or means by "it"."""
    if last is None:
        return False
    spoken = {*house.context.recipes, *house.context.foods}
    spoken.update((*last.recipes, *last.offered, *last.foods))
    spoken.update((*last.reading.recipes, *last.reading.foods))
    return not spoken.isdisjoint((*reading.recipes, *reading.foods))


def _rooted(answer: Answer) -> Because:
    """One tree with the answer's first sentence as its root."""
    doubtful = any(not one.certain for one in answer.reading.evidence)
    branches = answer.because or _as_read(answer.reading)
    if answer.because and doubtful:
        branches = (*branches, Because("how I read it", because=_as_read(answer.reading)))
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

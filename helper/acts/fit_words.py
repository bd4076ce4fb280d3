"""A fitted recipe in words, for programs, and with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from helper.acts.swap_words import because, option_json, reason, spoken, used
from helper.acts.wording import amount_json, listed, of_food
from helper.answers import Because, Block, Items, Say
from helper.kitchen.fitting import CHOSEN, LEFT_OUT, Change, Fitted, Refused
from helper.kitchen.foods import Foods
from helper.kitchen.recipes import Line
from helper.kitchen.roles import NOWHERE
from helper.kitchen.swaps import Used
from helper.kitchen.table import Table
from helper.kitchen.words import key
from rules.roles import UNTOLD

_FEW = 4
_LEAVE = "Leave out the {}."


def change_written(change: Change) -> str:
    """ "2 tbsp corn starch instead of 1/4 cup all-purpose flour"."""
    if change.kind == LEFT_OUT:
        return f"leave out the {change.food}"
    if change.option is not None:
        what = of_food(change.option.amount, change.option.food)
        return f"{used(change.option)} instead of {what}"
    taken = listed([_line(line) for line in change.lines])
    same = [line.food for line in change.lines] == [change.food]
    return f"take the {change.food}" if same else f"{taken} instead of {change.food}"


def swap_written(change: Change) -> str:
    """As `change_written`, shorter: "2 tbsp corn starch for the all-purpose flour"."""
    if change.kind == LEFT_OUT:
        return f"without {change.food}"
    taken = used(change.option) if change.option else listed([_line(one) for one in change.lines])
    return f"{taken} for the {change.food}"


def steps_written(
    steps: Sequence[str], changes: Sequence[Change], gone: Sequence[str], foods: Foods
) -> tuple[str, ...]:
    """The steps of a fitted recipe: each change is told where the food that gave way is named.

    `gone` are foods left out beside the changes. A technique for what no step names is told
    before the first one.
    """
    told = list(steps)
    first: list[str] = []
    notes = [(food, _LEAVE.format(food), False) for food in gone]
    notes += [(change.food, _how(change), bool(change.note)) for change in changes]
    for food, note, technique in notes:
        at = _step_of(food, steps, foods)
        if at is not None:
            told[at] = f"{told[at]} ({note})"
        elif technique:
            first.append(note)
    return (*first, *told)


def _step_of(food: str, steps: Sequence[str], foods: Foods) -> int | None:
    """The first step that names a food, by its last word or else by its kind's."""
    said = [{one for word in step.split() for one in key(word)} for step in steps]
    *kinds, top = foods.kinds(food) or ("",)
    for name in (food, *kinds):
        last = key(name)[-1:]
        if last != key(top)[-1:]:
            at = next((place for place, words in enumerate(said) if words.issuperset(last)), None)
            if at is not None:
                return at
    return None


def _how(change: Change) -> str:
    """The change and its technique in one breath."""
    if change.kind == LEFT_OUT:
        return _LEAVE.format(change.food)
    taken = listed([line.food or line.text for line in change.lines])
    said = f"{taken[:1].upper()}{taken[1:]} instead of {change.food}."
    return f"{said} {change.note}" if change.note else said


def fitted_blocks(found: Fitted) -> list[Block]:
    """The changes, how each is done, and the labels to read."""
    blocks: list[Block] = []
    if found.changes:
        blocks.append(Items(tuple(_told(change) for change in found.changes)))
    if found.checks:
        said = listed(list(dict.fromkeys(str(one) for one in found.checks))[:_FEW])
        blocks.append(Say(f"Read the labels first: {said}.", "warn"))
    return blocks


def refused_blocks(found: Refused) -> list[Block]:
    """What stands in the way, and swaps that would harm nobody but fail in the dish."""
    blocks: list[Block] = [Say(f"No: {found.reason}.", "bad")]
    blocks += [
        Say(f"{used(option)} would harm nobody but fails in {listed(option.warnings)}.", "warn")
        for option in found.failing[:1]
    ]
    return blocks


def change_json(change: Change) -> dict[str, Any]:
    """What became of one line of the recipe."""
    if change.option is not None:
        return option_json(change.option)
    return {
        "for": {"food": change.food, "amount": None, "unit": None},
        "use": [{"food": line.food, **amount_json(line.amount)} for line in change.lines],
        "works_in": [],
        "note": "the recipe offers it" if change.kind == CHOSEN else "left out",
        "in_stock": None,
        "adds_allergens": [],
        "clears": sorted({one.avoid for one in change.against}),
        "source": "the recipe itself",
    }


def fitted_because(found: Fitted | Refused, table: Table) -> tuple[Because, ...]:
    """Why each line had to give way, and why to this."""
    if isinstance(found, Refused):
        below = tuple(reason(table.why(one.food, one.avoid)) for one in found.against)
        return (Because(found.reason, source="the book of swaps", because=below),)
    return tuple(_change_because(change, table) for change in found.changes)


def _change_because(change: Change, table: Table) -> Because:
    against = [reason(table.why(one.food, one.avoid)) for one in change.against]
    if change.option is not None:
        against.append(because(change.option, change.around or NOWHERE, table))
    elif change.kind == CHOSEN:
        against.append(Because("the recipe offers it", source="the recipe itself"))
    return Because(change_written(change), because=tuple(against))


def _told(change: Change) -> str:
    said = change_written(change)
    if change.option is not None and change.option.fit == UNTOLD:
        said += f" (told for {listed(change.option.works_in[:_FEW])}; try a little first)"
    return f"{said}. {change.note}" if change.note else said


def _line(line: Line) -> str:
    return spoken(Used(line.food or line.text, line.amount)) if line.amount else line.text

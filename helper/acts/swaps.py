"""What to use instead: of a food, in a dish, for somebody; and whether one swap will do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from helper.acts.diners import at_home, named_diners, swapping
from helper.acts.fit_words import change_json, fitted_because, fitted_blocks, refused_blocks
from helper.acts.gaps import Refuse, answer_to
from helper.acts.house import House
from helper.acts.looking import total_of
from helper.acts.swap_cases import Case, case_of, cautions, foods_meant, recipe_meant, reply
from helper.acts.swap_judging import judged
from helper.acts.swap_order import pair
from helper.acts.swap_words import because_of, note, objections, option_json, short, there, used
from helper.acts.wording import listed, of_food
from helper.answers import Answer, Block, Items, Say, asking
from helper.kitchen.fitting import Fitted, Fitting, Refused
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, NO
from helper.kitchen.swaps import Option
from helper.kitchen.words import words
from helper.reading.reading import Reading
from helper.reading.vocabulary import holds_phrase
from rules.roles import FAILS, SUITS, UNTOLD, spare

_SHOWN = 5
# A swap told for fewer sorts of dish than this is a narrow one.
_BROAD = 2


def swap(reading: Reading, house: House) -> Answer:
    """What to use instead of a food; or, of two foods, whether one will do for the other."""
    try:
        proposed = pair(reading, house.foods)
        recipe = recipe_meant(reading, house)
        food = proposed.old if proposed else next(iter(foods_meant(reading, house, recipe)), None)
        if food is None:
            return _whole(reading, house, recipe)
        case = case_of(reading, house, food, recipe, proposed)
    except Refuse as gap:
        return answer_to(reading, gap)
    options = [
        one
        for one in case.ways.options(food, case.amount, case.around, case.line)
        if not any(house.foods.covers(no, used) for no in reading.without for used in one.foods)
    ]
    if proposed:
        return judged(reading, house, case, proposed, options)
    return _told(reading, house, case, options)


def _told(reading: Reading, house: House, case: Case, options: Sequence[Option]) -> Answer:
    good = [one for one in options if one.fit != FAILS and (one.verdict != NO or not case.named)]
    failing = [one for one in options if one.fit == FAILS and one.verdict != NO]
    harmful = [one for one in options if case.named and one.verdict == NO]
    blocks: list[Block] = []
    if good:
        blocks += _best(house, case, good)
    else:
        blocks.append(Say(_nothing(case, options), "warn"))
    if failing:
        best = failing[0]
        blocks.append(Say(f"Not here: {used(best)}; it fails in {listed(best.warnings)}.", "warn"))
    if harmful:
        blocks.append(Say(f"Left out: {objections(harmful)}.", "quiet"))
    if any(one.verdict == CHECK for one in good[:1]):
        blocks.append(Say(f"Read the label first: {objections(good[:1])}.", "warn"))
    blocks += _still_held(reading, case, house)
    shown = [*good[:_SHOWN], *failing[:1]]
    return Answer(
        reading,
        reply(case, good, failing),
        tuple(blocks),
        cautions=cautions(house, good[:1]),
        because=because_of(shown, case.around, case.ways.table),
        recipes=(case.recipe.title,) if case.recipe else (),
        foods=(case.food,),
        people=reading.people,
    )


def _still_held(reading: Reading, case: Case, house: House) -> list[Block]:
    """ "We're out of butter", where the books hold some: what is asked changes none of it."""
    lacks = holds_phrase(words(reading.said), "lack")
    lots = [lot for lot in house.lots if lot.food == case.food]
    total = total_of(lots, house)
    if not lacks or total is None:
        return []
    held = of_food(total, case.food)
    return [Say(f'The books still hold {held}; "used up the {case.food}" takes it off.', "quiet")]


def _best(house: House, case: Case, good: Sequence[Option]) -> list[Block]:
    """The best swap with its method, and what else there is."""
    placed = bool(case.around.sorts or case.around.named)
    if not placed and len({role for one in good for role in one.roles[:1]}) > 1:
        return _by_role(house, case, good)
    suited = [one for one in good if one.fit == SUITS]
    roles = set(case.around.roles)
    if suited and not (roles and roles <= spare()):
        good = suited  # what is not told for the dish is no better than a guess beside these
    best, *others = good
    what = of_food(best.amount, best.food)
    first = f"Instead of {what}{case.where}: {used(best)} ({there(best, house.currency)})."
    blocks: list[Block] = [Say(first, "good" if best.fit == SUITS else "plain")]
    if best.fit == UNTOLD:
        blocks.append(Say(f"It is told for {listed(best.works_in)}; try a little first.", "warn"))
    if said := note(best):
        blocks.append(Say(said))
    if others:
        items = (short(one, house.currency, placed) for one in others[: _SHOWN - 1])
        blocks += [Say("Or:"), Items(tuple(items))]
        if len(others) >= _SHOWN:
            blocks.append(Say(f"{len(others) - _SHOWN + 1} more in the book.", "quiet"))
    return blocks


def _by_role(house: House, case: Case, good: Sequence[Option]) -> list[Block]:
    """No dish is named, and the food does different things in different dishes: one for each."""
    best: dict[str, Option] = {}
    for one in sorted(good, key=lambda one: len(one.works_in) < _BROAD):
        best.setdefault(next(iter(one.roles), ""), one)
    told = []
    for role, one in best.items():
        what = "" if case.amount else f", for {of_food(one.amount, one.food)}"
        told.append(f"{role or 'any use'}{what}: {short(one, house.currency, False)}")
    return [
        Say(f"Instead of {case.what}, by what it does in the dish:", "good"),
        Items(tuple(told)),
        Say("Name the dish and I can say which, and how it is done."),
    ]


def _nothing(case: Case, options: Sequence[Option]) -> str:
    if options:
        return f"No swap I know for {case.what}{case.where} will do here."
    return f"I know no swap for {case.what}{case.where}."


# -- the answer: a whole dish ----------------------------------------------------------------------


def _whole(reading: Reading, house: House, recipe: Recipe | None) -> Answer:
    """No food is named: a whole dish for somebody, or else it must be asked which food."""
    if recipe is None:
        return asking(reading, "Instead of which food?", about="foods")
    eaters = named_diners(reading, house) or at_home(house)
    ways = swapping(house, eaters)
    found = Fitting(ways).fit(recipe)
    title = recipe.title.lower()
    if isinstance(found, Fitted) and not found.changes:
        choices = tuple(dict.fromkeys(line.food for line in recipe.lines if line.food))
        return asking(reading, f"Instead of what in the {title}?", choices, "foods")
    who = listed([one.name for one in eaters if one.minds])
    blocks: list[Block]
    out: dict[str, Any] = {"for": recipe.title, "recipe": recipe.title, "swaps": [], "fails": []}
    if isinstance(found, Refused):
        blocks = refused_blocks(found)
        out |= {"verdict": NO, "reason": found.reason}
        out["fails"] = [option_json(one) for one in found.failing]
    else:
        blocks = [Say(f"In the {title}, for {who}:", "good"), *fitted_blocks(found)]
        out |= {"verdict": found.verdict, "reason": None}
        out["swaps"] = [change_json(change) for change in found.changes]
    return Answer(
        reading,
        out,
        tuple(blocks),
        because=fitted_because(found, ways.table),
        recipes=(recipe.title,),
        people=reading.people,
    )

"""What to use instead: of a food, in a dish, for somebody; and whether one swap will do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from helper.acts.diners import at_home, named_diners, swapping
from helper.acts.fit_words import change_json, fitted_because, fitted_blocks, refused_blocks
from helper.acts.gaps import Refuse, answer_to, sound_amount
from helper.acts.house import House
from helper.acts.swap_order import Pair, pair
from helper.acts.swap_words import because_of, note, objections, option_json, short, there, used
from helper.acts.wording import amount_json, listed, of_food
from helper.answers import Answer, Because, Block, Caution, Items, Say, asking
from helper.kitchen.amounts import Amount
from helper.kitchen.fitting import Fitted, Fitting, Refused
from helper.kitchen.kin import is_sort
from helper.kitchen.matching import scale
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import NOWHERE, Surroundings, named_surroundings, surroundings
from helper.kitchen.safety import CHECK, NO, YES
from helper.kitchen.swaps import Option, Swapping
from helper.kitchen.words import words
from helper.reading.reading import Reading
from rules.roles import FAILS, SUITS, UNTOLD, spare

# What is done here, as the book of cautions calls it.
_TECHNIQUE = "substitute"
_SHOWN = 5
# A swap told for fewer sorts of dish than this is a narrow one.
_BROAD = 2


class _Case(NamedTuple):
    """A food that shall give way: where it stands, how much of it, and for whom.

    `named` True: people or diets were named, so what harms them is no answer at all.
    """

    food: str
    amount: Amount | None
    around: Surroundings
    line: Line | None
    recipe: Recipe | None
    ways: Swapping
    named: bool

    @property
    def what(self) -> str:
        """ "1 cup buttermilk", or the food alone."""
        return of_food(self.amount, self.food) if self.amount else self.food

    @property
    def where(self) -> str:
        """ " in the pancakes"."""
        return f" in the {self.recipe.title.lower()}" if self.recipe else ""


def swap(reading: Reading, house: House) -> Answer:
    """What to use instead of a food; or, of two foods, whether one will do for the other."""
    try:
        proposed = pair(reading, house.foods)
        recipe = _recipe(reading, house)
        food = proposed.old if proposed else next(iter(_foods(reading, house, recipe)), None)
        if food is None:
            return _whole(reading, house, recipe)
        case = _case(reading, house, food, recipe, proposed)
    except Refuse as gap:
        return answer_to(reading, gap)
    options = case.ways.options(food, case.amount, case.around, case.line)
    if proposed:
        return _judged(reading, house, case, proposed, options)
    return _told(reading, house, case, options)


# -- what is asked --------------------------------------------------------------------------------


def _recipe(reading: Reading, house: House) -> Recipe | None:
    if not reading.recipes:
        return None
    found = house.books.recipe_titled(reading.recipes[0])
    if found is not None and reading.servings:
        return scale(found, reading.servings) or found
    return found


def _foods(reading: Reading, house: House, recipe: Recipe | None) -> tuple[str, ...]:
    """The foods named; those that were taken for part of a title count if the dish has them."""
    if reading.foods or recipe is None:
        return reading.foods
    held = {line.food for line in recipe.lines}
    spots = house.foods.spot(words(reading.said))
    return tuple(spot.food for spot in spots if spot.food in held)


def _case(
    reading: Reading, house: House, food: str, recipe: Recipe | None, proposed: Pair | None
) -> _Case:
    swapped = (proposed.old, *proposed.new) if proposed else (food,)
    line, around = _place(reading, house, food, recipe, swapped)
    amount = _amount(reading, food) or (line.amount if line else None)
    named = named_diners(reading, house)
    ways = swapping(house, named or at_home(house))
    if not named:
        held = [one.food for one in recipe.lines if one.food] if recipe else []
        ways = ways.at(ways.table.without([food, *held]))
    return _Case(food, amount, around, line, recipe, ways, bool(named))


def _amount(reading: Reading, food: str) -> Amount | None:
    """The amount said of the food that gives way, or said alone."""
    for said in reading.amounts:
        if said.food in (food, None):
            return sound_amount(said.amount, food)
    return None


def _place(
    reading: Reading, house: House, food: str, recipe: Recipe | None, swapped: Sequence[str]
) -> tuple[Line | None, Surroundings]:
    """The line of the dish that is meant, and where it stands."""
    if recipe is None:
        spots = [spot for spot in house.foods.spot(words(reading.said)) if spot.food in swapped]
        inside = {at for spot in spots for at in range(spot.start, spot.end)}
        rest = [word.text for at, word in enumerate(words(reading.said)) if at not in inside]
        return None, named_surroundings(" ".join(rest))
    around = surroundings(recipe, house.measures)
    for same in (lambda one: one == food, lambda one: _kin(house, one, food)):
        for line, place in zip(recipe.lines, around, strict=True):
            named = (line.food, *(choice.food for choice in line.choices), *line.mentions)
            if any(same(one) for one in named if one):
                return line, place
    dish = around[0]._replace(label="", roles=(), found=None) if around else NOWHERE
    return None, dish


def _kin(house: House, one: str, other: str) -> bool:
    return is_sort(house.foods, one, other) or is_sort(house.foods, other, one)


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
    reply: dict[str, Any] = {"for": recipe.title, "recipe": recipe.title, "swaps": [], "fails": []}
    if isinstance(found, Refused):
        blocks = refused_blocks(found)
        reply |= {"verdict": NO, "reason": found.reason}
        reply["fails"] = [option_json(one) for one in found.failing]
    else:
        blocks = [Say(f"In the {title}, for {who}:", "good"), *fitted_blocks(found)]
        reply |= {"verdict": found.verdict, "reason": None}
        reply["swaps"] = [change_json(change) for change in found.changes]
    return Answer(
        reading,
        reply,
        tuple(blocks),
        because=fitted_because(found, ways.table),
        recipes=(recipe.title,),
        people=reading.people,
    )


# -- the answer: a list ---------------------------------------------------------------------------


def _told(reading: Reading, house: House, case: _Case, options: Sequence[Option]) -> Answer:
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
    shown = [*good[:_SHOWN], *failing[:1]]
    return Answer(
        reading,
        _reply(case, good, failing),
        tuple(blocks),
        cautions=_cautions(house, good[:1]),
        because=because_of(shown, case.around, case.ways.table),
        recipes=(case.recipe.title,) if case.recipe else (),
        foods=(case.food,),
        people=reading.people,
    )


def _best(house: House, case: _Case, good: Sequence[Option]) -> list[Block]:
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


def _by_role(house: House, case: _Case, good: Sequence[Option]) -> list[Block]:
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


def _nothing(case: _Case, options: Sequence[Option]) -> str:
    if options:
        return f"No swap I know for {case.what}{case.where} will do here."
    return f"I know no swap for {case.what}{case.where}."


def _cautions(house: House, options: Sequence[Option]) -> tuple[Caution, ...]:
    """What to be careful of in what comes in, and in putting one thing for another."""
    foods = [food for one in options for food in one.foods]
    return house.cautions.about(foods, techniques=(_TECHNIQUE,)) if foods else ()


def _reply(case: _Case, good: Sequence[Option], failing: Sequence[Option]) -> dict[str, Any]:
    return {
        "for": case.food,
        **amount_json(case.amount),
        "recipe": case.recipe.title if case.recipe else None,
        "roles": list(case.around.roles),
        "swaps": [option_json(one) for one in good],
        "fails": [option_json(one) for one in failing],
    }


# -- the answer: one swap judged ------------------------------------------------------------------


def _judged(
    reading: Reading, house: House, case: _Case, proposed: Pair, options: Sequence[Option]
) -> Answer:
    """Whether the proposed swap will do: the book's row for just that, or "no known rule"."""
    wanted = set(proposed.new)
    found = [one for one in options if _is(house, one, wanted)]
    found.sort(key=lambda one: (one.fit == FAILS, len(one.use), one.fit, not one.named, one.place))
    new = listed(proposed.new)
    if not found:
        return _unknown(reading, house, case, proposed, options)
    best = found[0]
    verdict = _verdict(best, case.named)
    what = of_food(best.amount, best.food)
    if best.fit == FAILS:
        text = f"No: {new} for {case.food} fails in {listed(best.warnings)}."
    elif verdict == NO:
        text = f"No: {objections([best])}."
    else:
        barred = [str(one) for one in best.against if one.verdict == NO]
        sure = "Yes" if verdict == YES else "Yes, once the label is read"
        sure = f"Yes, but {listed(barred)}" if barred else sure
        text = f"{sure}: {used(best)} for {what}{case.where} ({there(best, house.currency)})."
    blocks: list[Block] = [Say(text, "good" if verdict == YES else "warn")]
    if verdict != NO and (said := note(best)):
        blocks.append(Say(said))
    if best.verdict == CHECK and verdict != NO:
        blocks.append(Say(f"Read the label first: {objections([best])}.", "warn"))
    others = _better(options, found) if verdict == NO else []
    if others:
        blocks.append(Say(f"Better: {short(others[0], house.currency, True)}."))
    reply = _reply(case, found[:1] if verdict != NO else [], found[:1] if verdict == NO else [])
    reply |= {"verdict": verdict, "reason": text, "instead": [option_json(o) for o in others[:1]]}
    return Answer(
        reading,
        reply,
        tuple(blocks),
        cautions=_cautions(house, [best] if verdict != NO else []),
        because=because_of([best], case.around, case.ways.table),
        recipes=(case.recipe.title,) if case.recipe else (),
        foods=(case.food,),
        people=reading.people,
    )


def _verdict(option: Option, named: bool) -> str:
    """What is said of one swap. Where nobody was named, what harms one at home is said beside."""
    if option.fit == FAILS or (named and option.verdict == NO):
        return NO
    return CHECK if option.verdict == NO else option.verdict


def _is(house: House, option: Option, wanted: set[str]) -> bool:
    """True where an option takes all that was proposed; it may need something besides."""
    return all(
        any(one == food or _kin(house, one, food) for one in option.foods) for food in wanted
    )


def _better(options: Sequence[Option], than: Sequence[Option]) -> list[Option]:
    return [one for one in options if one.fit != FAILS and one.verdict != NO and one not in than]


def _unknown(
    reading: Reading, house: House, case: _Case, proposed: Pair, options: Sequence[Option]
) -> Answer:
    """No row speaks of the pair: that is said, and what is known is offered."""
    new = listed(proposed.new)
    text = f"I know no rule for {new} instead of {case.food}{case.where}."
    table = case.ways.table
    against = [one for food in proposed.new for one in table.against(food) if one.verdict == NO]
    blocks: list[Block] = [Say(text, "warn")]
    if against:
        blocks.append(Say(f"{listed([str(one) for one in against])}.", "warn"))
    better = _better(options, ())
    if better:
        blocks.append(Say(f"What the book has: {short(better[0], house.currency, True)}."))
    reply = _reply(case, [], [])
    reply |= {
        "verdict": "unknown",
        "reason": text,
        "instead": [option_json(one) for one in better[:_SHOWN]],
    }
    return Answer(
        reading,
        reply,
        tuple(blocks),
        because=(Because(text, source="the book of swaps"),),
        recipes=(case.recipe.title,) if case.recipe else (),
        foods=(case.food,),
    )

"""Whether one swap will do: yes with amounts, no with the reason, or no known rule."""

from __future__ import annotations

from collections.abc import Sequence

from helper.acts.house import House
from helper.acts.swap_cases import Case, akin, cautions, reply
from helper.acts.swap_order import Pair
from helper.acts.swap_words import because_of, note, objections, option_json, short, there, used
from helper.acts.wording import listed, of_food
from helper.answers import Answer, Because, Block, Say
from helper.kitchen.safety import CHECK, NO, YES
from helper.kitchen.swaps import Option
from helper.reading.reading import Reading
from rules.roles import FAILS

_SHOWN = 5


def judged(
    reading: Reading, house: House, case: Case, proposed: Pair, options: Sequence[Option]
) -> Answer:
    """Whether the proposed swap will do: the book's row for just that, or "no known rule"."""
    wanted = set(proposed.new)
    found = [one for one in options if _is(house, one, wanted)]
    found.sort(key=lambda one: _nearness(one, wanted))
    new = listed(proposed.new)
    if not found:
        return _unknown(reading, house, case, proposed, options)
    best = found[0]
    verdict = _verdict(best, case.named)
    guessed = _guessed(reading, proposed)
    if guessed and verdict == YES:
        verdict = CHECK  # a word taken for something near clears nobody
    what = of_food(best.amount, best.food)
    if best.fit == FAILS:
        text = f"No: {new} for {case.food} fails in {listed(best.warnings)}."
    elif verdict == NO:
        text = f"No: {objections([best])}."
    else:
        barred = [str(one) for one in best.against if one.verdict == NO]
        sure = "Yes" if verdict == YES else "Yes, once the label is read"
        sure = f"Yes, if you mean {listed(guessed)}" if guessed else sure
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
    told = reply(case, found[:1] if verdict != NO else [], found[:1] if verdict == NO else [])
    told |= {"verdict": verdict, "reason": text, "instead": [option_json(o) for o in others[:1]]}
    return Answer(
        reading,
        told,
        tuple(blocks),
        cautions=cautions(house, [best] if verdict != NO else []),
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


def _guessed(reading: Reading, proposed: Pair) -> list[str]:
    """The foods coming in that were misspelt and taken for something near."""
    unsure = {one.meaning for one in reading.evidence if one.kind == "food" and not one.certain}
    return [food for food in proposed.new if food in unsure]


def _nearness(option: Option, wanted: set[str]) -> tuple[object, ...]:
    """Sorts the rows that could be meant: what does not fail, the very foods, the fewest."""
    exact = len(wanted & set(option.foods))
    return (
        option.fit == FAILS, -exact, len(option.use), option.fit, not option.named, option.place
    )  # fmt: skip


def _is(house: House, option: Option, wanted: set[str]) -> bool:
    """True where an option takes all that was proposed; it may need something besides."""
    return all(
        any(one == food or akin(house, one, food) for one in option.foods) for food in wanted
    )


def _better(options: Sequence[Option], than: Sequence[Option]) -> list[Option]:
    return [one for one in options if one.fit != FAILS and one.verdict != NO and one not in than]


def _unknown(
    reading: Reading, house: House, case: Case, proposed: Pair, options: Sequence[Option]
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
    told = reply(case, [], [])
    told |= {
        "verdict": "unknown",
        "reason": text,
        "instead": [option_json(one) for one in better[:_SHOWN]],
    }
    return Answer(
        reading,
        told,
        tuple(blocks),
        because=(Because(text, source="the book of swaps"),),
        recipes=(case.recipe.title,) if case.recipe else (),
        foods=(case.food,),
    )

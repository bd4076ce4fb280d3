"""Who eats here and what they may have: verdicts, people, and the rules of the house."""

from __future__ import annotations

from msgspec.structs import replace

from helper.acts.asked import Asked, dishes, name_of, taken_apart
from helper.acts.diners import swapping
from helper.acts.house import House
from helper.acts.house_rules import house_rule
from helper.acts.people import set_person, unknown_names
from helper.acts.verdicts import (
    AVOID,
    DIET,
    LOOKED_FOR,
    Dish,
    Eater,
    Judged,
    because,
    fixes,
    headline,
    judged,
    reasons_json,
    rows,
)
from helper.acts.wording import listed
from helper.answers import Answer, Block, Caution, Column, Items, Say, Table, asking
from helper.kitchen.avoiding import ids_of
from helper.kitchen.safety import NO, YES, Minded, Safety
from helper.kitchen.table import Diner
from helper.reading.persons import ME
from helper.reading.reading import Reading
from rules.avoids import avoids
from rules.judge import Thing, worst

__all__ = ["house_rule", "safe_for", "set_person"]

_LAST_WORD = "The label and the doctor have the last word."
_MOST_FIXES = 6


def safe_for(reading: Reading, house: House) -> Answer:
    """May somebody, everybody or a diet have this dish or food? Reply: verdict, reasons, fixes."""
    asked = taken_apart(reading, house)
    meant = dishes(asked, house)
    if not meant:
        return asking(reading, "Which dish or food do you mean?", (), "foods")
    if (unknown := _strangers(asked, house)) and not asked.held:
        return _who_is_that(asked.reading, meant, unknown, house)
    eaters = _eaters(asked, house)
    if not eaters:
        return asking(reading, "Safe for whom, or free of what?", (), "people")
    ones = [judged(dish, eater, house.safety) for dish in meant for eater in eaters]
    if guessed := _guessed(asked.reading, ones):
        return asking(reading, f"Do you mean {guessed}?", (guessed,), "recipes")
    return _answered(asked.reading, house, ones)


def _strangers(asked: Asked, house: House) -> list[str]:
    """Those asked about whom the house does not know: nothing is ever safe for them."""
    named = (
        asked.reading.people or ()
        if asked.looked_for
        else asked.reading.people or (unknown_names(asked.reading, house))
    )
    return [name for name in named if name != ME and house.person(name) is None]


def _who_is_that(reading: Reading, meant: list[Dish], unknown: list[str], house: House) -> Answer:
    """Asks what a stranger must not have, and answers nothing before that is known."""
    who, dish = listed(unknown), listed(one.name for one in meant)
    text = f"I do not know {who}, so I cannot say whether {dish} is safe. What must {who} not have?"
    question = asking(reading, text, (), "diets")
    return replace(question, cautions=_dangers(reading, house))


# -- whom it is asked for -------------------------------------------------------------------------


def _eaters(asked: Asked, house: House) -> list[Eater]:
    people = [person for name in asked.reading.people if (person := house.person(name))]
    if not (people or asked.held or asked.looked_for):
        people = [person for person in house.people if person.home]
    eaters = [Eater(person.name, house.safety.minds(person), person.severity) for person in people]
    eaters += [_nobody(id, looked_for=False) for id in asked.held]
    looked_for = [id for food in asked.looked_for for id in ids_of(food, house.foods)]
    return [*eaters, *(_nobody(id, looked_for=True) for id in dict.fromkeys(looked_for))]


def _nobody(id: str, *, looked_for: bool) -> Eater:
    """Anybody who minds that one thing."""
    kind = LOOKED_FOR if looked_for else DIET if id in avoids().diets else AVOID
    return Eater(id, tuple(Minded(one) for one in avoids().expanded((id,))), kind)


def _guessed(reading: Reading, ones: list[Judged]) -> str | None:
    """A dish whose name was only guessed at, where the guess would clear it for somebody."""
    if all(one.value == NO for one in ones):
        return None
    unsure = [one for one in reading.evidence if one.kind == "recipe" and not one.certain]
    return next(
        (title for one in unsure for title in reading.recipes if title in one.meaning.split(", ")),
        None,
    )


def _dangers(reading: Reading, house: House) -> tuple[Caution, ...]:
    """What is a danger to some whoever it is asked for: honey to infants."""
    if not reading.foods:
        return ()
    return house.cautions.about(reading.foods, words=reading.said, least="danger", most=1)


# -- the answer -----------------------------------------------------------------------------------


def _answered(reading: Reading, house: House, ones: list[Judged]) -> Answer:
    verdict = worst(one.value for one in ones)
    ways = swapping(house, {Diner(one.eater.name, one.eater.minds): None for one in ones})
    helps = list(dict.fromkeys(fix for one in ones for fix in fixes(one, ways)))
    by_eater: dict[str, str] = {}
    for one in ones:
        by_eater[one.eater.name] = worst((one.value, by_eater.get(one.eater.name, YES)))
    return Answer(
        reading=reading,
        reply={
            "verdict": verdict,
            "reasons": reasons_json(ones),
            "fixes": helps,
            "for": by_eater,
        },
        blocks=tuple(_blocks(ones, helps, house.safety)),
        cautions=_dangers(reading, house),
        because=because(ones, house.safety),
        recipes=reading.recipes,
        foods=reading.foods,
        people=reading.people,
    )


def _blocks(ones: list[Judged], helps: list[str], safety: Safety) -> list[Block]:
    blocks: list[Block] = []
    fine = [one for one in ones if one.value == YES]
    against = [one for one in ones if one.value != YES]
    for one in against:
        blocks.append(Say(headline(one), "bad" if one.value == "no" else "warn"))
        blocks.append(Table((Column("what"), Column("finding")), tuple(rows(one))))
    if len(fine) == 1:
        blocks.append(Say(headline(fine[0]), "good"))
    elif fine:
        dishes = " and ".join(dict.fromkeys(one.dish.name for one in fine))
        names = ", ".join(dict.fromkeys(one.eater.name for one in fine))
        blocks.append(Say(f"Yes: nothing we know of {dishes} stands against {names}.", "good"))
    in_house = [note for one in ones for note in _in_house(one, safety)]
    blocks += [Say(note) for note in dict.fromkeys(in_house)]
    if helps:
        blocks.append(Say("What would help:"))
        blocks.append(Items(tuple(helps[:_MOST_FIXES])))
    blocks.append(Say(_LAST_WORD, "quiet"))
    return blocks


def _in_house(one: Judged, safety: Safety) -> list[str]:
    """Which labels in the house a verdict rests on."""
    return [
        f"This counts on the {name_of(Thing(part.food, claims=part.claims))} in the house."
        for thing in one.dish.things
        for part in thing.stock
        if part.claims
        and safety.verdict([thing], one.eater.minds)
        != safety.verdict([thing._replace(stock=())], one.eater.minds)
    ]

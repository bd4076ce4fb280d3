"""Who eats here and what they may have: verdicts, people, and the rules of the house."""

from __future__ import annotations

from typing import NamedTuple

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.house_rules import house_rule
from helper.acts.people import set_person, unknown_names
from helper.acts.said import avoids_said
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
from helper.answers import Answer, Block, Column, Items, Say, Table, asking
from helper.kitchen.avoiding import avoid_words, ids_of
from helper.kitchen.foods import Foods
from helper.kitchen.safety import YES, Minded, claimed
from helper.kitchen.words import key, words
from helper.reading.phrasebook import phrasebook
from helper.reading.reading import Reading
from rules.avoids import avoids
from rules.judge import Thing, worst

__all__ = ["house_rule", "safe_for", "set_person"]

_LAST_WORD = "The label and the doctor have the last word."
_EVERYONE = "everyone"
_MOST_FIXES = 6
_NAMED = ("food", "recipe", "without")


class _Asked(NamedTuple):
    """A question taken apart: what is asked about, the ids it is held against, the foods looked

    for in it ("does the gravy have milk").
    """

    reading: Reading
    held: tuple[str, ...]
    looked_for: tuple[str, ...]


def safe_for(reading: Reading, house: House) -> Answer:
    """May somebody, everybody or a diet have this dish or food? Reply: verdict, reasons, fixes."""
    asked = _taken_apart(reading, house.foods)
    dishes = _dishes(asked, house)
    if not dishes:
        return asking(reading, "Which dish or food do you mean?", (), "foods")
    strangers = unknown_names(reading, house)
    if strangers and not (reading.people or asked.held or asked.looked_for):
        text = f"I do not know {strangers[0]}. What does {strangers[0]} keep away from?"
        return asking(reading, text, (), "diets")
    eaters = _eaters(asked, house)
    if not eaters:
        return asking(reading, "Safe for whom, or free of what?", (), "people")
    ones = [judged(dish, eater, house.safety) for dish in dishes for eater in eaters]
    return _answered(asked.reading, house, ones)


# -- what is asked about --------------------------------------------------------------------------


def _taken_apart(reading: Reading, foods: Foods) -> _Asked:
    """Tells what is asked about from what it is held against.

    In "does the sauce have fish" the food to look for comes last. "Gluten-free margarine" names
    a label and no diet.
    """
    reading = _foods_meant(reading, foods)
    claims = {claim for said in claimed(reading.said, foods).values() for claim in said}
    promised = {id for claim in claims for id in avoid_words().get(key(claim), ())}
    held = tuple(dict.fromkeys((*reading.diets, *avoids_said(reading, foods))))
    others = tuple(id for id in held if id not in promised)
    if claims and (others or reading.people):
        held = others
    if reading.people or held or _EVERYONE in reading.marks:
        return _Asked(reading, held, ())
    if reading.recipes and reading.foods:
        return _Asked(replace(reading, foods=()), (), reading.foods)
    if len(reading.foods) > 1:
        return _Asked(replace(reading, foods=reading.foods[:-1]), (), reading.foods[-1:])
    return _Asked(reading, (), ())


def _dishes(asked: _Asked, house: House) -> list[Dish]:
    reading = asked.reading
    if said := _unknown_words(reading, house):
        return [Dish(said, (house.safety.unknown(said),))]
    dishes = []
    for title in reading.recipes:
        recipe = house.books.recipe_titled(title)
        if recipe is not None:
            dishes.append(Dish(recipe.title, tuple(house.safety.things(recipe))))
    extra = tuple(_bare(reading, food, house) for food in reading.foods)
    if dishes and extra:
        return [Dish(dish.name, (*dish.things, *extra)) for dish in dishes]
    if extra:
        return [*dishes, Dish(" and ".join(map(_name, extra)), extra)]
    return dishes


def _foods_meant(reading: Reading, foods: Foods) -> Reading:
    """ "Rolled oats" are a food, even where a dish of the house is called after them."""
    meant = {
        title: food
        for one in reading.evidence
        for title in one.meaning.split(", ")
        if one.kind == "recipe" and key(one.words) != key(title)
        if (food := foods.named(one.words)) is not None
    }
    taken = [title for title in reading.recipes if title in meant]
    if not taken:
        return reading
    kept = tuple(title for title in reading.recipes if title not in taken)
    return replace(
        reading, recipes=kept, foods=(*reading.foods, *(meant[title] for title in taken))
    )


def _name(thing: Thing) -> str:
    return " ".join((*thing.claims, thing.food or thing.text))


def _bare(reading: Reading, food: str, house: House) -> Thing:
    """A food of the request. What is in the house counts where it is asked for a person."""
    guessed = any(
        one.kind == "food" and one.meaning == food and not one.certain for one in reading.evidence
    )
    claims = claimed(reading.said, house.foods).get(food, ())
    for_people = bool(reading.people) or _EVERYONE in reading.marks
    return house.safety.bare(food, claims, not guessed, stock=for_people)


def _unknown_words(reading: Reading, house: House) -> str:
    """What was named and is in no table: the words that no phrase, name or diet accounts for.

    Empty where the sentence itself named a dish or a food. What the talk was about before must
    never answer for a word we do not know.
    """
    named_here = any(one.kind in _NAMED for one in reading.evidence)
    if named_here or not reading.evidence:
        return ""
    small = phrasebook().vocabulary
    named = {part for person in house.people for part in key(person.name)}
    named |= {
        part
        for one in reading.evidence
        if one.kind not in ("act", "amount") and one.certain
        for part in key(one.words)
    }
    left = [
        word.text
        for word in words(reading.said)
        if word.is_name
        and word.key not in small
        and word.text not in small
        and word.key not in named
    ]
    return " ".join(left)


# -- whom it is asked for -------------------------------------------------------------------------


def _eaters(asked: _Asked, house: House) -> list[Eater]:
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


# -- the answer -----------------------------------------------------------------------------------


def _answered(reading: Reading, house: House, ones: list[Judged]) -> Answer:
    verdict = worst(one.value for one in ones)
    helps = list(dict.fromkeys(fix for one in ones for fix in fixes(one, house.safety)))
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
        blocks=tuple(_blocks(ones, helps)),
        because=because(ones, house.safety),
        recipes=reading.recipes,
        foods=reading.foods,
        people=reading.people,
    )


def _blocks(ones: list[Judged], helps: list[str]) -> list[Block]:
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
    in_house = [note for one in ones for note in _in_house(one)]
    blocks += [Say(note) for note in dict.fromkeys(in_house)]
    if helps:
        blocks.append(Say("What would help:"))
        blocks.append(Items(tuple(helps[:_MOST_FIXES])))
    blocks.append(Say(_LAST_WORD, "quiet"))
    return blocks


def _in_house(one: Judged) -> list[str]:
    """Which lots in the house a verdict rests on."""
    return [
        f"This counts on the {' '.join((*part.claims, part.food or ''))} in the house."
        for thing in one.dish.things
        for part in thing.stock
        if part.claims
    ]

"""Who eats here and what they may have: verdicts, people, and the rules of the house."""

from __future__ import annotations

from msgspec.structs import replace

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


def safe_for(reading: Reading, house: House) -> Answer:
    """May somebody, everybody or a diet have this dish or food? Reply: verdict, reasons, fixes."""
    reading, asked_of_food = _sides(reading, house.foods)
    dishes = _dishes(reading, house)
    if not dishes:
        return asking(reading, "Which dish or food do you mean?", (), "foods")
    strangers = unknown_names(reading, house)
    if strangers and not reading.people and not reading.diets and not asked_of_food:
        text = f"I do not know {strangers[0]}. What does {strangers[0]} keep away from?"
        return asking(reading, text, (), "diets")
    eaters = _eaters(reading, house, asked_of_food)
    if not eaters:
        return asking(reading, "Safe for whom, or free of what?", (), "people")
    ones = [judged(dish, eater, house.safety) for dish in dishes for eater in eaters]
    return _answered(reading, house, ones)


# -- what is asked about --------------------------------------------------------------------------


def _sides(reading: Reading, foods: Foods) -> tuple[Reading, tuple[str, ...]]:
    """Tells what is asked about from what it is held against.

    "Does the gravy have milk" and "does the sauce have fish" name a food to look for; it comes
    last. "Gluten-free margarine" names a label and no diet.
    """
    claims = claimed(reading.said, foods)
    said = {claim for listed in claims.values() for claim in listed}
    ids = {id for claim in said for id in avoid_words().get(key(claim), ())}
    left = tuple(diet for diet in reading.diets if diet not in ids)
    if said and (left or reading.people):
        reading = replace(reading, diets=left)
    foods_said = reading.foods
    nobody = not reading.people and not reading.diets and _EVERYONE not in reading.marks
    if nobody and reading.recipes and foods_said:
        return replace(reading, foods=()), foods_said
    if nobody and len(foods_said) > 1:
        return replace(reading, foods=foods_said[:-1]), foods_said[-1:]
    return reading, ()


def _dishes(reading: Reading, house: House) -> list[Dish]:
    if said := _unknown_words(reading, house):
        return [Dish(said, (house.safety.unknown(said),))]
    reading = _foods_meant(reading, house.foods)
    dishes = []
    for title in reading.recipes:
        recipe = house.books.recipe_titled(title)
        if recipe is not None:
            dishes.append(Dish(recipe.title, tuple(house.safety.things(recipe))))
    extra = tuple(_bare(reading, food, house) for food in reading.foods)
    if dishes and extra:
        return [Dish(dish.name, (*dish.things, *extra)) for dish in dishes]
    if extra:
        return [*dishes, Dish(" and ".join(reading.foods), extra)]
    return dishes


def _foods_meant(reading: Reading, foods: Foods) -> Reading:
    """ "Rolled oats" are a food, even where a dish of the house is called after them."""
    meant = {
        one.meaning: food
        for one in reading.evidence
        if one.kind == "recipe" and (food := foods.named(one.words))
    }
    taken = [
        title
        for title in reading.recipes
        if any(title in meaning.split(", ") for meaning in meant) and foods.named(title) is None
    ]
    if not taken:
        return reading
    kept = tuple(title for title in reading.recipes if title not in taken)
    return replace(reading, recipes=kept, foods=(*reading.foods, *meant.values()))


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


def _eaters(reading: Reading, house: House, foods: tuple[str, ...]) -> list[Eater]:
    people = [person for name in reading.people if (person := house.person(name))]
    held = [*reading.diets, *(id for food in foods for id in ids_of(food, house.foods))]
    if not people and not held:
        people = [person for person in house.people if person.home]
    eaters = [Eater(person.name, house.safety.minds(person), person.severity) for person in people]
    return [*eaters, *(_nobody(id, id not in reading.diets) for id in dict.fromkeys(held))]


def _nobody(id: str, looked_for: bool) -> Eater:
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

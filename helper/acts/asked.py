"""A question about safety taken apart: what is asked about, and what it is held against."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import avoids_said
from helper.acts.verdicts import Dish
from helper.kitchen.avoiding import avoid_words
from helper.kitchen.company import paired, remade
from helper.kitchen.foods import Foods, Found
from helper.kitchen.safety import claimed
from helper.kitchen.words import Word, key, words
from helper.reading.phrases import SLOT, read_phrases
from helper.reading.reading import Reading
from helper.reading.vocabulary import meanings
from rules.avoids import avoids
from rules.judge import Thing

EVERYONE = "everyone"
_ASKING = ("safe-for", "why")
_NAMED = ("food", "recipe", "without")


class Asked(NamedTuple):
    """What is asked about, the ids it is held against, and the foods looked for in it.

    "Does the gravy have milk" looks for a food.
    """

    reading: Reading
    held: tuple[str, ...]
    looked_for: tuple[str, ...]


def taken_apart(reading: Reading, house: House) -> Asked:
    """Tells what is asked about from what it is held against.

    In "does the sauce have fish" the food to look for comes last. "Gluten-free margarine" names
    a label and no diet.
    """
    foods = house.foods
    reading = _foods_meant(_dishes_of_that_name(reading, house), foods)
    claims = {claim for said in claimed(reading.said, foods).values() for claim in said}
    promised = {id for claim in claims for id in avoid_words().get(key(claim), ())}
    held = tuple(dict.fromkeys((*reading.diets, *avoids_said(reading, foods))))
    others = tuple(id for id in held if id not in promised)
    if claims and (others or reading.people):
        held = others
    if reading.people or held or EVERYONE in reading.marks:
        return Asked(reading, held, ())
    if reading.recipes and reading.foods:
        return Asked(replace(reading, foods=()), (), reading.foods)
    if len(reading.foods) > 1:
        sought = _sought(reading.foods)
        kept = tuple(food for food in reading.foods if food not in sought)
        return Asked(replace(reading, foods=kept), (), sought)
    return Asked(reading, (), ())


def _sought(named: tuple[str, ...]) -> tuple[str, ...]:
    """Which of several foods is looked for in the others: what people keep away from by name

    ("is there milk in the bread"), or else the last.
    """
    minded = tuple(food for food in named if food in avoids().groups)
    return minded if 0 < len(minded) < len(named) else named[-1:]


def dishes(asked: Asked, house: House) -> list[Dish]:
    """The dishes asked about, each with its lines; foods asked about are a dish of that many."""
    reading = asked.reading
    if said := _unknown_words(reading, house):
        return [Dish(said, (house.safety.unknown(said),))]
    dishes = []
    for title in reading.recipes:
        recipe = house.books.recipe_titled(title)
        if recipe is not None:
            dishes.append(Dish(recipe.title, tuple(house.safety.things(recipe)), recipe))
    extra = tuple(_bare(reading, food, house) for food in reading.foods)
    if dishes and extra:
        return [dish._replace(things=(*dish.things, *extra)) for dish in dishes]
    if extra:
        return [*dishes, Dish(" and ".join(map(name_of, extra)), extra)]
    return dishes


def _foods_meant(reading: Reading, foods: Foods) -> Reading:
    """ "Rolled oats" are a food, even where a dish of the house is called after them.

    Only where every word names the food: "oat squares" stay a dish. A food that is a dish itself
    ("chili", "pea soup") is the one this house cooks.
    """
    meant = {
        title: food
        for one in reading.evidence
        for title in one.meaning.split(", ")
        if one.kind == "recipe" and key(one.words) != key(title)
        if (food := _all_named(one.words, foods)) is not None and not _is_dish(food, foods)
    }
    taken = [title for title in reading.recipes if title in meant]
    kept = tuple(title for title in reading.recipes if title not in taken)
    return replace(
        reading, recipes=kept, foods=(*reading.foods, *(meant[title] for title in taken))
    )


def _is_dish(food: str, foods: Foods) -> bool:
    return any(key(kind) in meanings("dishkind") for kind in foods.kinds(food))


def _all_named(said: str, foods: Foods) -> str | None:
    found = words(said)
    hit = foods.at(found, 0) if found else None
    return hit.food if hit is not None and hit.end == len(found) else None


def _dishes_of_that_name(reading: Reading, house: House) -> Reading:
    """ "Fish pie" is the house's own where it has a recipe of that name, and "oat squares" are

    its "Oat squares with walnuts" sooner than oats.
    """
    titles = {
        food: title
        for food in reading.foods
        if (title := _titled(food, house) or _titled_longer(reading.said, food, house))
    }
    return replace(
        reading,
        recipes=tuple(dict.fromkeys((*reading.recipes, *titles.values()))),
        foods=tuple(food for food in reading.foods if food not in titles),
    )


def _titled(food: str, house: House) -> str | None:
    recipe = house.books.recipe_titled(food)
    return None if recipe is None else recipe.title


def _titled_longer(said: str, food: str, house: House) -> str | None:
    """The one recipe whose title begins with the food's words and the word that follows them."""
    found = words(said)
    for hit in house.foods.spot(found):
        if hit.food == food and hit.end < len(found):
            start = " ".join(word.text for word in found[hit.start : hit.end + 1])
            begun = [
                record
                for title, record in house.books.recipe_titles().items()
                if f"{title} ".startswith(f"{start} ")
            ]
            recipe = house.books.recipe(begun[0]) if len(begun) == 1 else None
            return None if recipe is None else recipe.title
    return None


def name_of(thing: Thing) -> str:
    """A food with the words on its label, which its own name may hold already."""
    food = thing.food or thing.text
    return " ".join((*(claim for claim in thing.claims if claim not in food), food))


def _bare(reading: Reading, food: str, house: House) -> Thing:
    """A food of the request. What is in the house counts where it is asked for a person."""
    guessed = any(
        one.kind == "food" and one.meaning == food and not one.certain for one in reading.evidence
    )
    guessed = guessed or bool(reading.evidence) and _beside(reading, food, house)
    claims = claimed(reading.said, house.foods).get(food, ())
    for_people = bool(reading.people) or EVERYONE in reading.marks
    return house.safety.bare(food, claims, not guessed, stock=for_people)


def _unknown_words(reading: Reading, house: House) -> str:
    """What was named and is in no table, where the sentence itself named no dish or food.

    What the talk was about before must never answer for a word we do not know.
    """
    named_here = any(one.kind in _NAMED for one in reading.evidence)
    if named_here or not reading.evidence:
        return ""
    return " ".join(word.text for word in _open_words(reading, house))


def _open_words(reading: Reading, house: House) -> list[Word]:
    """The words that no phrase, name or description accounts for."""
    small = _asking_words()
    named = {part for person in house.people for part in key(person.name)}
    named |= {
        part
        for one in reading.evidence
        if one.kind not in ("act", "amount") and one.certain
        for part in key(one.words)
    }
    return [
        word
        for word in house.foods.left_over(words(reading.said))
        if word.key not in small and word.text not in small and word.key not in named
    ]


@cache
def _asking_words() -> frozenset[str]:
    """The words that people ask about safety with, none of which names a food."""
    return frozenset(
        form
        for phrase in read_phrases()
        if phrase.act in _ASKING
        for word in words(SLOT.sub(" ", phrase.text))
        for form in (word.text, word.key)
    )


def _beside(reading: Reading, food: str, house: House) -> bool:
    """Whether an open word stands right beside a food's name: "oat squares" may be no oats."""
    found = words(reading.said)
    spots = house.foods.spot(found)
    open_starts = {word.start for word in _open_words(reading, house)}
    open_starts |= {word.start for word in remade(found, spots)}
    pairs = paired(found, spots)
    if any(food in pair and {*pair} <= {*reading.foods} for pair in map(_foods_of, pairs)):
        return True
    for hit in spots:
        if hit.food == food:
            ends = [*found[max(hit.start - 1, 0) : hit.start], *found[hit.end : hit.end + 1]]
            return any(word.start in open_starts for word in ends)
    return False


def _foods_of(pair: tuple[Found, Found]) -> tuple[str, str]:
    return pair[0].food, pair[1].food

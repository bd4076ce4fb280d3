"""Which recipes a request means, for how many, and how a dish suits who eats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from helper.acts.gaps import Ask, Refuse
from helper.acts.house import House
from helper.kitchen.amounts import Amount, number_written
from helper.kitchen.matching import scale, times
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, NO, WITH_SWAPS, YES
from helper.kitchen.spoons import handy
from helper.kitchen.table import Diner
from helper.kitchen.words import key, words
from helper.reading.reading import Reading

# More choices than this are no help to somebody who has to pick one.
_CHOICES = 6
_MOST_SERVINGS = 10_000
# Parts of a cup, a can or a pound that a cook measures by eye, and how far off is near enough.
_PARTS = (1, 2, 4, 3, 8)
_NEAR_ENOUGH = 0.03
# Likeness of a title to what was said, out of 100, below which it is not worth showing.
_NEAR = 55.0


def recipes_meant(reading: Reading, house: House) -> tuple[Recipe, ...]:
    """The recipes a request names, at the servings it asks for.

    Raises Ask where several could be meant and Refuse where there is none.
    """
    titles = reading.recipes or (_titled_with(reading.foods, house),)
    reading = _as_last(titles, reading, house)
    return tuple(_as_asked(_recipe(title, reading, house), reading) for title in titles)


def _as_last(titles: Sequence[str], reading: Reading, house: House) -> Reading:
    """ "what am I missing for it" after "and for 12?": for 12, as it was last shown."""
    last = house.context.last
    if last is None or not set(titles) <= {*last.recipes, *house.context.recipes}:
        return reading
    if reading.servings or reading.scale or house.names.titles.spot(words(reading.said)):
        return reading
    return replace(reading, servings=last.servings, scale=last.scale)


def recipe_meant(reading: Reading, house: House) -> Recipe:
    """As `recipes_meant`, the first of them."""
    return recipes_meant(reading, house)[0]


def _recipe(title: str, reading: Reading, house: House) -> Recipe:
    rivals = _rivals(title, reading, house)
    if rivals:
        raise Ask(f"Which {_said_of(title, rivals)} do you mean?", rivals, "recipes")
    recipe = house.books.recipe_titled(title)
    if recipe is None:
        raise Refuse(f"There is no recipe called {title} in the books.", nearest(title, house))
    return recipe


def _rivals(title: str, reading: Reading, house: House) -> tuple[str, ...]:
    """Titles that fit the words as well as this one does, where nothing has settled it yet."""
    context = house.context
    if context.asking is not None or title in (*context.recipes, *context.offered):
        return ()
    end = 0
    for span in house.names.titles.spot(words(reading.said)):
        if span.start < end:
            continue  # "pudding" inside "bread pudding" calls up no other pudding
        end = span.end
        titles = tuple(dict.fromkeys(span.value))
        if title in titles and len(titles) > 1:
            return titles[:_CHOICES]
    return ()


def _said_of(title: str, rivals: Sequence[str]) -> str:
    """The words that all the titles have in common, as the first writes them."""
    common = set.intersection(*(set(key(one)) for one in rivals))
    shared = [word for word in title.lower().split() if set(key(word)) & common]
    return " ".join(shared) or "recipe"


def _titled_with(foods: Sequence[str], house: House) -> str:
    """The one title that names these foods. Raises Ask where there are several, Refuse for none."""
    if not foods:
        latest = house.context.recipes
        if latest:
            return latest[0]
        raise Ask("Which recipe?", about="recipes")
    wanted = {word for food in foods for word in key(food)}
    index = house.index
    titles = [index.titles[place] for place in index.places()]
    named = [title for title in titles if wanted <= set(key(title))]
    if len(named) == 1:
        return named[0]
    what = " and ".join(foods)
    if named:
        raise Ask(f"Several recipes are named after {what}. Which one?", _short(named), "recipes")
    places = set.intersection(*(index.holding(food) for food in foods))
    held = [index.titles[place] for place in places]
    if held:
        raise Ask(f"No recipe is named after {what}; these hold it:", _short(held), "recipes")
    raise Refuse(f"No recipe in the books holds {what}.")


def _short(titles: Sequence[str]) -> tuple[str, ...]:
    return tuple(sorted(titles, key=lambda title: (len(title), title))[:_CHOICES])


def nearest(title: str, house: House) -> tuple[str, ...]:
    """Titles spelt most like this one."""
    from rapidfuzz import fuzz, process

    index = house.index
    titles = [index.titles[place] for place in index.places()]
    found = process.extract(
        title.casefold(),
        titles,
        scorer=fuzz.WRatio,
        processor=str.casefold,
        score_cutoff=_NEAR,
        limit=_CHOICES,
    )
    return tuple(one[0] for one in found)


def _as_asked(recipe: Recipe, reading: Reading) -> Recipe:
    """Scaled to the servings asked for, or by "double"; as written where neither was said."""
    wanted = sound_servings(reading.servings)
    if wanted is not None:
        return scale(recipe, wanted) or recipe
    if reading.scale is not None:
        if not 0 < reading.scale <= _MOST_SERVINGS:
            raise Refuse(f"{number_written(reading.scale)} times a recipe cannot be cooked.")
        return times(recipe, reading.scale)
    return recipe


def sound_servings(servings: float | None) -> float | None:
    """The servings, if they can be meant. Raises Refuse."""
    if servings is None or 0 < servings <= _MOST_SERVINGS:
        return servings
    raise Refuse(f"I cannot cook for {number_written(servings)}. For how many is it?")


def unscaled(recipe: Recipe, reading: Reading) -> bool:
    """True where servings were asked for that the recipe cannot be scaled to."""
    return reading.servings is not None and recipe.servings != reading.servings


def fits(recipe: Recipe, diners: Sequence[Diner], house: House) -> dict[str, str]:
    """For each diner who has to mind something and the rest: yes, with-swaps, check or no."""
    safety = house.safety
    things = safety.things(recipe)
    return {diner.name: safety.fit(things, diner.minds) for diner in diners}


def fits_written(verdicts: Mapping[str, str]) -> str:
    """Verdicts in a few words, gravest first: "not for Ada; with swaps for Bo; check for Cy"."""
    said = []
    for verdict, worded in ((NO, "not for"), (WITH_SWAPS, "with swaps for"), (CHECK, "check for")):
        who = [name for name, one in verdicts.items() if one == verdict]
        if who:
            said.append(f"{worded} {', '.join(who)}")
    if not said:
        return f"good for {', '.join(verdicts)}" if verdicts else ""
    fine = [name for name, one in verdicts.items() if one == YES]
    if fine and len(fine) <= 3:
        said.append(f"good for {', '.join(fine)}")
    return "; ".join(said)


def easy(amount: Amount) -> Amount:
    """The same amount in a larger measure where that holds it evenly: 8 tbsp is 1/2 cup."""
    other = handy(amount)
    return other if other.number < amount.number else amount


def roughly(amount: Amount) -> Amount:
    """Near enough for a cook, where the amount was worked out: 5.99 cans are 6, 1.24 cups 1 1/4."""
    for part in _PARTS:
        even = round(amount.number * part) / part
        if even and abs(even - amount.number) <= _NEAR_ENOUGH * amount.number:
            return easy(Amount(even, amount.unit))
    return amount

"""What stands for something spoken of before: "it", "both", "in there", "the frozen one".

Each gives the reading with that filled in, or nothing where the words do not point there.
"""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from helper.reading.acts import Act, acts
from helper.reading.changes import SAFE, SHOW, SWAP, bare_number
from helper.reading.context import Context
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from

COST, PRICE, REMARK, MENU, SHOPPING = "cost", "price", "remark", "menu", "shopping"
# Conditions that a dish keeps while it is talked about: for whom, without what, how many.
_OF_A_DISH = ("servings", "scale", "diets", "without")
# Acts that fit a dish to whom it was just held against.
_FITTING = (SHOW, SWAP)


def of_form(reading: Reading, heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "What does the frozen one cost": of the foods spoken of, the one in that form."""
    form = heard.form()
    if form is None or not heard.says("one") or heard.has("food", "recipe") or not context.foods:
        return None
    known = [food for food in context.foods if food in names.foods]
    fits = [food for food in known if names.foods[food].form == form]
    formed = names.foods.in_form(known[0], form) if known else None
    chosen = fits[0] if fits else formed
    act = PRICE if reading.act == COST else reading.act or ""
    if chosen is None or "foods" not in acts()[act].takes:
        return None
    amounts = tuple(replace(one, food=chosen) for one in reading.amounts)
    return replace(reading, act=act, foods=(chosen,), amounts=amounts)


def of_both(reading: Reading, act: Act, context: Context) -> Reading | None:
    """ "Put both on the list": what the last two requests were about."""
    if context.open is None or names_things(reading):
        return None
    said = [one for one in (context.earlier, context.open) if one is not None]
    if len(context.open.foods) > 1 or len(context.open.recipes) > 1:
        said = said[-1:]
    foods = tuple(dict.fromkeys(food for one in said for food in one.foods))
    recipes = tuple(dict.fromkeys(title for one in said for title in one.recipes))
    if act.prefers == "recipe" and len(recipes) > 1 and "recipes" in act.takes:
        return replace(reading, recipes=recipes)
    if len(foods) > 1 and "foods" in act.takes:
        amounts = reading.amounts
        if len(amounts) == 1 and amounts[0].food is None:  # "three tins of each"
            amounts = tuple(replace(amounts[0], food=food) for food in foods)
        return replace(reading, foods=foods, amounts=amounts)
    return replace(reading, recipes=recipes) if recipes and "recipes" in act.takes else None


def names_things(reading: Reading) -> bool:
    """True where a food or a dish is named."""
    named = any(one.food for one in reading.amounts)
    return bool(named or reading.foods or reading.recipes)


def of_them(heard: Heard) -> tuple[Said, ...]:
    """ "2 of them", "put 2 on the list": so many of what was spoken of."""
    if [s.kind for s in heard.spans] == ["amount"] and heard.opens("ordering"):
        alone = bare_number(heard, heard.spans[0])
        return () if alone is None else (Said(heard.spans[0].value.amount),)
    ends = {s.end: s.value.amount for s in heard.spans if s.kind == "amount"}
    for span in heard.spans:
        before = span.start - 1
        if span.kind == "pronoun" and before in ends and heard.found[before].text == "of":
            return (Said(ends[before]),)
    return ()


def with_subject(reading: Reading, act: Act, context: Context) -> Reading:
    """The dish or food that is spoken of, whichever the act is about."""
    base = context.open
    if base is not None and base.act == MENU and reading.act == SHOPPING:
        return reading  # "the list for that": all that the menu wants
    of_a_dish = base is not None and base.recipes and (not base.foods or base.act == REMARK)
    if context.recipes and "recipes" in act.takes and (act.prefers == "recipe" or of_a_dish):
        return of_dish(reading, act, context)
    if context.foods and "foods" in act.takes:
        amounts = tuple(replace(one, food=context.foods[0]) for one in reading.amounts)
        return replace(reading, foods=context.foods, amounts=amounts)
    if context.recipes and "recipes" in act.takes:
        return of_dish(reading, act, context)
    return reading


def of_dish(reading: Reading, act: Act, context: Context) -> Reading:
    """The dish spoken of, for as many and fitted as it was; a change is told its own numbers."""
    base = context.open
    several = base is not None and len(base.recipes) > 1 and base.recipes == context.recipes
    recipes = context.recipes if several else context.recipes[:1]
    kept: dict[str, Any] = {}
    if base is not None and set(recipes) <= set(base.recipes) and not act.changes:
        kept = {
            name: getattr(base, name)
            for name in _OF_A_DISH
            if name in (*act.takes, "scale") and getattr(base, name) and not getattr(reading, name)
        }
        if reading.act == SAFE or (base.act == SAFE and reading.act not in _FITTING):
            kept.pop("diets", None)  # what was asked about is no condition yet
    if reading.scale is not None:
        kept.pop("servings", None)
    if "servings" not in act.takes or reading.servings is not None:
        kept.pop("scale", None)
    one = reading.amounts and not any(said.food or said.amount.unit for said in reading.amounts)
    if one and act.prefers == "recipe" and all(s.amount.number == 1 for s in reading.amounts):
        kept["amounts"] = ()  # "one of those" is the dish itself
    return replace(reading, recipes=recipes, **kept)


def in_the_dish(reading: Reading, heard: Heard, context: Context, names: Names) -> Reading:
    """ "What can I use instead of the cream", asked over a recipe: in that recipe."""
    base = context.open
    asks = reading.act == SWAP or (reading.act == SAFE and heard.has("pronoun"))
    lacks = reading.act == SWAP and not (reading.foods or reading.without)
    if lacks and reading.recipes and context.foods:
        pointed = heard.has("pronoun") or heard.says("its_place")
        return replace(reading, foods=context.foods) if pointed else reading
    if not asks or reading.recipes or base is None or not base.recipes:
        return reading
    if base.act == REMARK and reading.act == SWAP:
        return reading  # that dish was eaten
    offers = heard.opens("offers") and not heard.says("in_place")
    goes_on = reading.act == base.act == SWAP and bool(heard.opens("link") or offers)
    if acts()[base.act or ""].prefers != "recipe" and not goes_on:
        return reading
    if names_unknown(heard, names):
        return reading
    fits = reading.act == SWAP and not (reading.people or reading.diets)
    if not fits:
        return replace(reading, recipes=base.recipes[:1])
    # whoever the dish was just held against is to be able to eat what comes in
    return replace(reading, recipes=base.recipes[:1], people=base.people, diets=base.diets)


def points_back(heard: Heard) -> bool:
    """ "Is that cheaper than tea", "is tea cheaper than that".

    But not "buy crackers or bake them": they are the crackers.
    """
    named = [s.start for s in heard.spans if s.kind in ("food", "recipe")]
    first = min(named, default=len(heard.found))
    pointing = [s.start for s in heard.spans if s.kind == "pronoun"]
    return any(at < first or ended_by(heard.found, at, "versus") for at in pointing)


def _is_dish_word(heard: Heard, span: Span) -> bool:
    """ "Soup", "stew": a sort of dish, and nothing that goes into one."""
    return is_small(heard.found[span.end - 1], "dishkind")


def with_them(reading: Reading, heard: Heard, context: Context) -> Reading:
    """ "What goes with that and a bit of sausage", "a soup with them": what was spoken of, too."""
    base = context.open
    named = [s.start for s in heard.spans if s.kind == "food" and not _is_dish_word(heard, s)]
    with_it = any(  # but "I've three leeks, what can I make with them" points to the leeks
        s.kind == "pronoun"
        and s.start < min(named, default=len(heard.found))
        and ended_by(heard.found, s.start, "with_them")
        for s in heard.spans
    )
    if base is None or not with_it or reading.recipes or base.recipes:
        return reading
    return replace(reading, foods=tuple(dict.fromkeys((*context.foods, *reading.foods))))


def compared(reading: Reading, heard: Heard, context: Context) -> Reading:
    """ "Is that cheaper than tea": what was spoken of, beside what is named."""
    base = context.open
    if base is None or len(reading.recipes) + len(reading.foods) > 1:
        return reading
    dishes = [s.value[0] for s in heard.spans if s.kind == "recipe"]
    if base.recipes and len(dishes) == 1:  # a dish is compared with a dish
        return replace(reading, recipes=(base.recipes[0], dishes[0]), foods=())
    recipes = tuple(dict.fromkeys((*base.recipes[:1], *reading.recipes)))
    foods = () if base.recipes else base.foods[:1]
    return replace(reading, recipes=recipes, foods=tuple(dict.fromkeys((*foods, *reading.foods))))


def of_people(reading: Reading, act: Act, heard: Heard, context: Context) -> Reading:
    """ "Fine for them both": those last spoken of; "the two of them, her and Ada" is no amount."""
    if "people" not in act.takes or act.changes or not heard.says("both"):
        return reading
    pair = [*context.people]
    for one in (context.last, context.earlier):
        pair += [name for name in (one.people if one is not None else ()) if name not in pair]
    if not reading.people and len(pair) == 2 and speaks_of_person(heard):
        reading = replace(reading, people=tuple(pair))
    if len(reading.people) < 2:
        return reading
    amounts = tuple(one for one in reading.amounts if one.food or one.amount.unit)
    return replace(reading, amounts=amounts)


def meant_place(reading: Reading, act: Act, heard: Heard, context: Context) -> str | None:
    """ "What's in it" after the freezer was spoken of, "is it good in there": that place."""
    if "place" not in act.takes or act.changes or reading.place or reading.foods:
        return None
    if heard.says("in_there"):
        said = (one.place for one in (context.open, context.earlier) if one is not None)
        return next((place for place in said if place), None)
    base = context.open
    inside = any(
        s.kind == "pronoun" and ended_by(heard.found, s.start, "within") for s in heard.spans
    )
    return base.place if base is not None and inside and not base.foods else None


def speaks_of_person(heard: Heard) -> bool:
    """ "She", "them": somebody spoken of before."""
    return any((word.key,) in meanings("person_pronoun") for word in heard.found)


def names_unknown(heard: Heard, names: Names) -> bool:
    """True where a thing is named that no table knows: "2 boxes of zorbles" are not the last food.

    That is a word no phrase and no table has, or any name behind an amount.
    """
    for word in heard.left(kinds=("pronoun",)):
        if not (names.speller.knows(word.text) or names.speller.knows(word.key)):
            return True
    for span in heard.spans:
        if span.kind != "amount" or span.end >= len(heard.found):
            continue
        of = heard.found[span.end].text == "of"
        at = span.end + of
        if any(s.start <= at < s.end for s in heard.spans) or at >= len(heard.found):
            continue
        follows = heard.found[at]
        if follows.is_name and (
            of or not is_small(follows, "small", "filler", "linking", "polite", "each", "last")
        ):
            return not any(phrase_from(heard.found, at, kind) for kind in ("into", "left_over"))
    return False

"""What a request of its own leaves to the talk before: "it", "the second one", "for her"."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.quantities import unit_at
from helper.kitchen.words import words
from helper.reading.acts import Act, acts
from helper.reading.changes import SAFE, SHOW, SWAP, bare_number
from helper.reading.context import Context
from helper.reading.going_on import AMENDS
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.one_of import is_title, picked_from
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.turning import put_elsewhere
from helper.reading.vocabulary import ended_by, meanings, phrase_from

# Conditions that a dish keeps while it is talked about: for whom, without what, how many.
_OF_A_DISH = ("servings", "scale", "diets", "without")
_OF_A_WISH = (
    "without", "people", "diets", "money", "servings", "days", "place", "minutes",
)  # fmt: skip
COST, PRICE, HISTORY = "cost", "price", "history"
REMARK, RULE, COOKED = "remark", "house-rule", "cooked"
_LIKELY = 0.72  # likeness of a verdict on a dish just made
SHOPPING, MENU, MISSING, STOCK = "shopping", "menu", "missing", "stock"
# Acts that fit a dish to whom it was just held against.
_FITTING = (SHOW, SWAP)
# Acts about single foods, after which "it" is a food.
_OF_FOODS = ("add-stock", "use-stock", "stock", "price", "record-price", "keep-stocked")
# Acts that may be about some foods together: those spoken of, and one named now.
_OF_SOME_FOODS = ("find-meals", "menu", "goes-with")
_TOLD = (*_OF_A_WISH, "amounts", "date", "until", "per", "scale", "shop")
# Acts of which a few words ask about the same thing again: "in grams", "and opened?"
_SHORT = ("convert", "keeps", "price", "swap")
_FEW = 4
_A_WISH = 2  # words of a wish added to those before: "something quick"
_NEEDS_A_SUBJECT = frozenset(
    (
        "show-recipe", "missing", "cost", "safe-for", "goes-with", "cooked", "share", "remark",
        "keeps", "swap", "price",
    )
)  # fmt: skip


def _without_that(heard: Heard) -> Heard:
    """ "What else is in that fridge": "that" stands before what it means, and points nowhere."""
    starts = {s.start for s in heard.spans if s.kind not in ("pronoun", "person")}
    idle = [
        s
        for s in heard.spans
        if s.kind == "pronoun" and s.end in starts and is_small(heard.found[s.end - 1], "this_one")
    ]
    return replace(heard, spans=[s for s in heard.spans if s not in idle]) if idle else heard


def _is_verdict(reading: Reading, context: Context) -> bool:
    """ "Ben thought it too sweet", said of what was just made: a word on it, most likely."""
    base = context.open
    asked = reading.question is not None and reading.question.about == "act"
    told = base is not None and base.act in (COOKED, REMARK) and bool(base.recipes)
    return asked and told and reading.act == REMARK and reading.likeness >= _LIKELY


def with_context(reading: Reading, heard: Heard, context: Context, names: Names) -> Reading:
    """Fills in what "it", "the second one" or nothing at all leaves to the talk before."""
    if (elsewhere := put_elsewhere(heard, context)) is not None:
        return elsewhere
    if reading.act is None:
        return reading
    heard = _without_that(heard)
    act = acts()[reading.act]
    if _is_verdict(reading, context):
        reading = replace(reading, question=None)
    if reading.act == RULE and context.last is not None and heard.opens("wishing"):
        return Reading(said=reading.said, near=reading.near)  # a wish makes no rule of the house
    reading = _continued(reading, heard, context)
    if _priced(reading, heard, context):
        reading, act = replace(reading, act=PRICE, scale=None), acts()[PRICE]
    reading, act = _of_the_dish(reading, act, heard, context)
    if reading.pick is not None and not reading.recipes:
        chosen = picked_from(context, reading.pick)
        if chosen is not None and is_title(chosen, names):
            priced = COST if reading.act == PRICE else reading.act
            return replace(reading, act=priced, recipes=(chosen,))
    reading = _of_people(reading, act, heard, context)
    if "people" in act.takes and not reading.people and context.people and _of_person(heard):
        reading = replace(reading, people=context.people[-1:])
    if (place := _there(reading, act, heard, context)) is not None:
        reading = replace(reading, place=place)
        if act.prefers == "recipe" or reading.act == STOCK:
            return reading  # all that is there
    if heard.says("both") and (pair := _both(reading, act, context)) is not None:
        return pair
    reading, act = _of_the_dish(reading, act, heard, context)
    if (formed := _of_form(reading, heard, context, names)) is not None:
        return formed
    base = context.open
    eaten = reading.act == COST and base is not None and base.act == HISTORY
    if eaten and base is not None and heard.has("pronoun") and not base.recipes:
        return replace(base, said=reading.said)  # what was eaten or thrown out cost so much
    unknown = _names_unknown(heard, names)
    if heard.says("else") and reading.act not in _NEEDS_A_SUBJECT and not act.changes:
        return reading  # something else than what was spoken of
    if reading.act == SHOPPING and (heard.opens("questioning") or heard.says("how")):
        return reading  # "what's on it" asks for the list, whatever was put on it
    if reading.act == "cheaper" and not _names_things(reading):
        return _both(reading, act, context) or reading
    if not unknown and (same := _same_again(reading, heard, context)) is not None:
        return same
    named = any(one.food for one in reading.amounts)
    if reading.act == REMARK and not reading.recipes and context.recipes:
        return _dish(reading, act, context)  # "less salt next time" is said of the dish
    beside = _points_back(heard) or heard.opens("versus") or heard.opens("comparing")
    if reading.act == "cheaper" and beside and (reading.recipes or reading.foods):
        return _compared(reading, heard, context)
    if reading.act in _OF_SOME_FOODS:
        reading = _with_them(reading, heard, context)
    if reading.recipes or reading.foods or named:
        return _in_the_dish(reading, heard, context, names)
    if unknown and not (act.prefers == "recipe" and heard.has("pronoun") and not act.changes):
        return reading
    counts = "amounts" in act.takes and len(reading.people) < 2  # "the two of them" are people
    if not reading.amounts and counts and (of_them := _of_them(heard)):
        if act.lists and not act.changes and "servings" in act.takes and not context.foods:
            # "a supper, there's eight of them": those who eat
            many = of_them[0].amount.number
            return replace(reading, servings=reading.servings or (many if many > 1 else None))
        reading = replace(reading, amounts=of_them)
    counted = (
        reading.act == STOCK
        and not reading.place
        and (heard.says("counting") or heard.says("enough"))
    )
    some = (reading.act == SHOPPING or act.names_things) and heard.says("some")
    some = some or (act.names_things and heard.says("standing_for"))
    if reading.act == SHOPPING and not reading.amounts:
        reading = replace(reading, amounts=_new_package(heard))
    if reading.act == SHOPPING and context.done and not _lists(heard):
        return reading  # nothing is put on a list twice by words in passing
    if reading.act == SHOPPING and not (heard.has("pronoun") or some or _lists(heard)):
        return reading
    part = act.changes and heard.has("scale") and heard.says("half_left")
    righted = context.done and act.changes and bool(heard.opens("slip") or heard.opens("recalling"))
    listed = reading.act == SHOPPING and heard.is_whole("onto_list")
    spoken = heard.has("pronoun") or part or bool(reading.amounts) or counted or some
    spoken = spoken or righted or listed
    if not spoken and reading.act not in _NEEDS_A_SUBJECT:
        return reading
    return _subject(reading, act, context)


def _priced(reading: Reading, heard: Heard, context: Context) -> bool:
    """ "What does it cost", said of a food and no dish: its price is asked."""
    base = context.open
    if reading.act != COST or _names_things(reading) or not heard.has("pronoun") or base is None:
        return False
    alone = not (base.recipes or reading.servings or heard.says("total"))
    return bool(base.foods) and alone and base.act in _OF_FOODS


def _new_package(heard: Heard) -> tuple[Said, ...]:
    """ "Put a new jar on the list": one of what was spoken of is meant."""
    for at in range(1, len(heard.found)):
        unit = unit_at(heard.found, at) if is_small(heard.found[at - 1], "new_one") else None
        if unit is not None and unit[0].dimension == "package":
            return (Said(Amount(1.0, unit[0].name)),)
    return ()


def _lists(heard: Heard) -> bool:
    """ "We need 2", "put 2 on the list": words that put something on a list."""
    wanted = heard.says("listing") or heard.says("needing") or heard.is_whole("onto_list")
    return heard.opens("ordering") is not None or wanted


def _of_form(reading: Reading, heard: Heard, context: Context, names: Names) -> Reading | None:
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


def _both(reading: Reading, act: Act, context: Context) -> Reading | None:
    """ "Put both on the list": what the last two requests were about."""
    if context.open is None or _names_things(reading):
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


def _of_the_dish(reading: Reading, act: Act, heard: Heard, context: Context) -> tuple[Reading, Act]:
    """What is said over a dish, or over a menu, and not of the list or of something to cook.

    "What do I need to buy" asks what is missing for the dish; "can I make it with turkey" is
    about the dish too, and "swap the second one" about the menu.
    """
    base = context.open
    if base is not None and base.act == MENU and reading.act == SWAP and not reading.foods:
        return replace(reading, act=MENU, days=base.days), acts()[MENU]
    if base is None or not base.recipes or acts()[base.act or ""].prefers != "recipe":
        return reading, act
    if reading.act == "find-meals" and heard.says("making") and not reading.recipes:
        return replace(reading, act=SHOW, recipes=base.recipes[:1]), acts()[SHOW]
    if reading.act != SHOPPING or _names_things(reading):
        return reading, act
    if heard.says("listing") or heard.has("pronoun"):
        return reading, act
    return replace(reading, act=MISSING), acts()[MISSING]


def _same_again(reading: Reading, heard: Heard, context: Context) -> Reading | None:
    """The open request told more of in a whole sentence: "it fed 9" after "made the chili".

    What has been done already is not done twice: the fuller request takes its place, unless it is
    said to have been done again.
    """
    base = context.open
    if base is None or base.act != reading.act or _names_things(reading) or not _names_things(base):
        return None
    changes = acts()[base.act or ""].changes
    short = reading.act in _SHORT and len(heard.tokens) <= _FEW
    if heard.says("again") or not (changes or heard.has("pronoun") or short):
        return None
    told = {name: value for name in _TOLD if (value := getattr(reading, name))}
    if told.get("amounts") and len(base.foods) == 1:
        told["amounts"] = tuple(replace(one, food=base.foods[0]) for one in reading.amounts)
    if not told and (changes or context.done):
        return None
    if reading.act == SAFE and (told.get("people") or told.get("diets")):
        told = {"people": (), "diets": (), **told}  # it is asked of them alone
    if reading.act == REMARK:
        told = {"people": (), "servings": None, **told}
    before = () if reading.act == REMARK else base.marks  # "Fenn didn't" is a verdict of its own
    marks = [mark for mark in (*before, *reading.marks) if mark != AMENDS]
    if context.done:
        marks.append(AMENDS)
    return replace(
        base,
        **told,
        said=f"{base.said}; {reading.said}" if changes else reading.said,
        marks=tuple(dict.fromkeys(marks)),
        likeness=reading.likeness,
        margin=reading.margin,
    )


def _names_things(reading: Reading) -> bool:
    named = any(one.food for one in reading.amounts)
    return bool(named or reading.foods or reading.recipes)


def _of_them(heard: Heard) -> tuple[Said, ...]:
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


def _subject(reading: Reading, act: Act, context: Context) -> Reading:
    """The dish or food that is spoken of, whichever the act is about."""
    base = context.open
    of_a_dish = base is not None and base.recipes and (not base.foods or base.act == REMARK)
    if context.recipes and "recipes" in act.takes and (act.prefers == "recipe" or of_a_dish):
        return _dish(reading, act, context)
    if context.foods and "foods" in act.takes:
        amounts = tuple(replace(one, food=context.foods[0]) for one in reading.amounts)
        return replace(reading, foods=context.foods, amounts=amounts)
    if context.recipes and "recipes" in act.takes:
        return _dish(reading, act, context)
    return reading


def _dish(reading: Reading, act: Act, context: Context) -> Reading:
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


def _in_the_dish(reading: Reading, heard: Heard, context: Context, names: Names) -> Reading:
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
    if _names_unknown(heard, names):
        return reading
    fits = reading.act == SWAP and not (reading.people or reading.diets)
    if not fits:
        return replace(reading, recipes=base.recipes[:1])
    # whoever the dish was just held against is to be able to eat what comes in
    return replace(reading, recipes=base.recipes[:1], people=base.people, diets=base.diets)


def _points_back(heard: Heard) -> bool:
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


def _with_them(reading: Reading, heard: Heard, context: Context) -> Reading:
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


def _compared(reading: Reading, heard: Heard, context: Context) -> Reading:
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


def _of_people(reading: Reading, act: Act, heard: Heard, context: Context) -> Reading:
    """ "Fine for them both": those last spoken of; "the two of them, her and Ada" is no amount."""
    if "people" not in act.takes or act.changes or not heard.says("both"):
        return reading
    pair = [*context.people]
    for one in (context.last, context.earlier):
        pair += [name for name in (one.people if one is not None else ()) if name not in pair]
    if not reading.people and len(pair) == 2 and _of_person(heard):
        reading = replace(reading, people=tuple(pair))
    if len(reading.people) < 2:
        return reading
    amounts = tuple(one for one in reading.amounts if one.food or one.amount.unit)
    return replace(reading, amounts=amounts)


def _there(reading: Reading, act: Act, heard: Heard, context: Context) -> str | None:
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


def _names_unknown(heard: Heard, names: Names) -> bool:
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


def _of_person(heard: Heard) -> bool:
    return any((word.key,) in meanings("person_pronoun") for word in heard.found)


def _continued(reading: Reading, heard: Heard, context: Context) -> Reading:
    """ "something with chicken" after a question for meals keeps what was said of it before."""
    last = context.open
    if last is None or last.act != reading.act or reading.act in _NEEDS_A_SUBJECT:
        return reading
    if reading.act in _SHORT and len(heard.tokens) <= _FEW and not _names_things(reading):
        return reading  # "and in ounces": all of it is asked again
    if reading.place and not acts()[reading.act or ""].lists:
        return reading  # "what else is in the fridge" asks for all that is there
    goes_on = phrase_from(words(reading.said), 0, "continuing") is not None
    # "I've 8 dollars for it all in", of a meal that is wished for: told, and asked of nothing else
    asks = heard.asks or heard.says("questioning") or heard.says("ordering")
    told = not asks and "minutes" in acts()[reading.act or ""].takes
    goes_on = goes_on or told or len(heard.tokens) <= _A_WISH
    if acts()[reading.act or ""].changes or not goes_on:
        return reading
    others = heard.says("else") and not acts()[reading.act or ""].lists
    wish = _OF_A_WISH if others else ("foods", *_OF_A_WISH)
    kept = {
        name: getattr(last, name)
        for name in wish
        if getattr(last, name) and not getattr(reading, name)
    }
    return replace(reading, **kept)

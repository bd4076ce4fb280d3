"""What a request of its own leaves to the talk before: "it", "the second one", "for her"."""

from __future__ import annotations

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.quantities import unit_at
from helper.kitchen.words import words
from helper.reading.acts import Act, acts
from helper.reading.changes import SAFE, SHOW, SWAP
from helper.reading.context import Context
from helper.reading.going_on import AMENDS
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.one_of import is_title, picked_from
from helper.reading.reading import Reading, Said
from helper.reading.subjects import (
    COST,
    MENU,
    PRICE,
    REMARK,
    SHOPPING,
    compared,
    in_the_dish,
    meant_place,
    names_things,
    names_unknown,
    of_both,
    of_dish,
    of_form,
    of_people,
    of_them,
    points_back,
    speaks_of_person,
    with_subject,
    with_them,
)
from helper.reading.turning import put_elsewhere
from helper.reading.vocabulary import phrase_from

_OF_A_WISH = (
    "without", "people", "diets", "money", "servings", "days", "place", "minutes",
)  # fmt: skip
HISTORY, RULE, COOKED = "history", "house-rule", "cooked"
_LIKELY = 0.72  # likeness of a verdict on a dish just made
MISSING, STOCK = "missing", "stock"
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
    reading = of_people(reading, act, heard, context)
    if "people" in act.takes and not reading.people and context.people and speaks_of_person(heard):
        reading = replace(reading, people=context.people[-1:])
    if (place := meant_place(reading, act, heard, context)) is not None:
        reading = replace(reading, place=place)
        if act.prefers == "recipe" or reading.act == STOCK:
            return reading  # all that is there
    if heard.says("both") and (pair := of_both(reading, act, context)) is not None:
        return pair
    reading, act = _of_the_dish(reading, act, heard, context)
    if (formed := of_form(reading, heard, context, names)) is not None:
        return formed
    base = context.open
    eaten = reading.act == COST and base is not None and base.act == HISTORY
    if eaten and base is not None and heard.has("pronoun") and not base.recipes:
        return replace(base, said=reading.said)  # what was eaten or thrown out cost so much
    unknown = names_unknown(heard, names)
    if heard.says("else") and reading.act not in _NEEDS_A_SUBJECT and not act.changes:
        return reading  # something else than what was spoken of
    if reading.act == SHOPPING and (heard.opens("questioning") or heard.says("how")):
        return reading  # "what's on it" asks for the list, whatever was put on it
    if reading.act == "cheaper" and not names_things(reading):
        return of_both(reading, act, context) or reading
    if not unknown and (same := _same_again(reading, heard, context)) is not None:
        return same
    named = any(one.food for one in reading.amounts)
    if reading.act == REMARK and not reading.recipes and context.recipes:
        return of_dish(reading, act, context)  # "less salt next time" is said of the dish
    beside = points_back(heard) or heard.opens("versus") or heard.opens("comparing")
    if reading.act == "cheaper" and beside and (reading.recipes or reading.foods):
        return compared(reading, heard, context)
    if reading.act in _OF_SOME_FOODS:
        reading = with_them(reading, heard, context)
    if reading.recipes or reading.foods or named:
        return in_the_dish(reading, heard, context, names)
    if unknown and not (act.prefers == "recipe" and heard.has("pronoun") and not act.changes):
        return reading
    counts = "amounts" in act.takes and len(reading.people) < 2  # "the two of them" are people
    if not reading.amounts and counts and (some_of_them := of_them(heard)):
        if act.lists and not act.changes and "servings" in act.takes and not context.foods:
            # "a supper, there's eight of them": those who eat
            many = some_of_them[0].amount.number
            return replace(reading, servings=reading.servings or (many if many > 1 else None))
        reading = replace(reading, amounts=some_of_them)
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
    return with_subject(reading, act, context)


def _priced(reading: Reading, heard: Heard, context: Context) -> bool:
    """ "What does it cost", said of a food and no dish: its price is asked."""
    base = context.open
    if reading.act != COST or names_things(reading) or not heard.has("pronoun") or base is None:
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
    if reading.act != SHOPPING or names_things(reading):
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
    if base is None or base.act != reading.act or names_things(reading) or not names_things(base):
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


def _continued(reading: Reading, heard: Heard, context: Context) -> Reading:
    """ "something with chicken" after a question for meals keeps what was said of it before."""
    last = context.open
    if last is None or last.act != reading.act or reading.act in _NEEDS_A_SUBJECT:
        return reading
    if reading.act in _SHORT and len(heard.tokens) <= _FEW and not names_things(reading):
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

"""Whole sayings that ask or tell something of what the last request was about.

"Would that suit Fenn" and "done it, ate the lot" are said over a dish, "okay, I got those" and
"read it back to me" over the shopping list. Each way gives None where it does not hold.
"""

from __future__ import annotations

from msgspec.structs import replace

from helper.kitchen.words import key
from helper.reading.acts import acts
from helper.reading.changes import SAFE, SHOW, changes
from helper.reading.context import Context
from helper.reading.fields import fill
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names, avoid_words
from helper.reading.one_of import picked_from
from helper.reading.reading import Reading
from helper.reading.turning import SHOPPING
from helper.reading.vocabulary import meanings, phrase_from

COOKED = "cooked"
_OF_WHOM = ("person", "diet", "pronoun")
_ROUND_A_NAME = ("kin_own", "fondly", "after_all", "filler", "some", "asked_to")
_TOLD = (".", "?", "!", ";", "-", ",")  # signs behind which it is told why


def _suits(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Would that suit my Fenn? He's off peanuts": asked of the dish spoken of.

    What is told behind it of what they must not have is looked for as well.
    """
    base = context.open
    link = heard.opens("link")
    at = link[1] if link else 0
    found = heard.found
    while at < len(found) and (manners := phrase_from(found, at, "manners")):
        at = manners[1]
    hit = phrase_from(found, at, "suits") if at < len(found) else None
    if base is None or hit is None:
        return None
    recipes = context.dishes(base)
    signs = (i for i in range(hit[1], len(found)) if found[i].text in _TOLD)
    end = next(signs, len(found))
    asked = [s for s in heard.spans if s.end <= end]
    kinds = {s.kind for s in asked}
    if len(recipes) != 1 or not kinds & {"person", "diet"} or not kinds <= {*_OF_WHOM}:
        return None
    rest = heard.left(after=hit[1], besides=("kin_own", "after_all", "filler"))
    if any(word in found[hit[1] : end] for word in rest):
        return None
    fields = fill(acts()[SAFE], found, asked, names.foods)
    behind = [s for s in heard.spans if s.start >= end]
    kept = [s for s in behind if s.kind in ("food", "without")]
    table = avoid_words()
    ids = [id_ for s in kept for id_ in table.get(tuple(w.key for w in found[s.start : s.end]), ())]
    more = (meanings("diet_of").get(key(id_), id_) for id_ in ids)
    told = fill(acts()[SAFE], found, [s for s in behind if s.kind == "diet"], names.foods)
    diets = (*fields.get("diets", ()), *told.get("diets", ()), *more)
    return Reading(
        said=heard.said, act=SAFE, recipes=recipes, people=fields.get("people", ()),
        diets=tuple(dict.fromkeys(diets)), servings=base.servings, evidence=heard.evidence,
    )  # fmt: skip


def _may_have(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "And could little Fenn have some", said over a dish: whether it suits Fenn is asked."""
    base = context.open
    link = heard.opens("link")
    hit = phrase_from(heard.found, link[1] if link else 0, "asked_of")
    people = [s for s in heard.spans if s.kind == "person"]
    others = {s.kind for s in heard.spans} - {*_OF_WHOM, "date"}
    if base is None or hit is None or not people or others:
        return None
    recipes = context.dishes(base)
    eats = phrase_from(heard.found, people[-1].end, "asked_to")
    rest = heard.left(after=hit[1], besides=_ROUND_A_NAME)
    if len(recipes) != 1 or eats is None or rest:
        return None
    fields = fill(acts()[SAFE], heard.found, people, names.foods)
    return Reading(
        said=heard.said, act=SAFE, recipes=recipes, people=fields.get("people", ()),
        servings=base.servings, evidence=heard.evidence,
    )  # fmt: skip


def _done_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Done it. Ate the lot", over a dish that was asked about: it was made."""
    base = context.open
    if base is None or base.act is None or acts()[base.act].changes or heard.asks:
        return None
    if len(base.recipes) != 1 or acts()[base.act].prefers != "recipe":
        return None
    made = heard.opens("dish_made")
    told = ("all_eaten", "dish_made", "filler", "manners", "were_fed")
    if made is None or heard.left(after=made[1], besides=told):
        return None
    if {s.kind for s in heard.spans} - {"amount", "servings", "scale", "date", "pronoun"}:
        return None
    fields = changes(heard, replace(base, act=COOKED), names)
    fed = {name: fields[name] for name in ("servings", "scale", "date") if fields.get(name)}
    if len(fed) < len({s.kind for s in heard.spans} - {"pronoun"}):
        return None
    kept = {} if fed.get("servings") else {"servings": base.servings, "scale": base.scale}
    return Reading(
        said=heard.said, act=COOKED, recipes=base.recipes, without=base.without,
        evidence=heard.evidence, **{**kept, **fed},
    )  # fmt: skip


def _got_them(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Okay, I got those", of what was just put on the list: it is ticked off."""
    base = context.open
    at = 0
    while at < len(heard.found) and (led := phrase_from(heard.found, at, "polite")):
        at = led[1]
    signs = (i for i in range(at, len(heard.found)) if heard.found[i].text[0].isalnum())
    hit = phrase_from(heard.found, next(signs, 0), "got_them")
    if base is None or base.act != SHOPPING or hit is None or heard.asks or not base.foods:
        return None
    if not heard.is_all(hit[1], "filler", "manners", "after_all", "now"):
        return None
    said = f"{heard.said}: {' and '.join(base.foods)}"  # the words tell what is ticked off
    return Reading(said=said, act=SHOPPING, foods=base.foods, evidence=heard.evidence)


def _read_back(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Read it back to me", after something was put on the list: the list."""
    base = context.open
    hit = heard.opens("read_back")
    if base is None or base.act != SHOPPING or hit is None:
        return None
    if not heard.is_all(hit[1], "filler", "manners", "polite", "now"):
        return None
    return Reading(said=heard.said, act=SHOPPING, evidence=heard.evidence)


def settled_on(heard: Heard) -> Reading | None:
    """ "Salmon patties it is, then": the dish that was chosen."""
    if {s.kind for s in heard.spans} - {"recipe", "date", "pronoun"} or not heard.says("it_is"):
        return None
    dishes = [s for s in heard.spans if s.kind == "recipe"]
    titles = tuple(dict.fromkeys(dishes[0].value)) if len(dishes) == 1 else ()
    if len(titles) != 1 or not _names_alone(heard, dishes[0].start, dishes[0].end):
        return None
    return Reading(said=heard.said, act=SHOW, recipes=titles, evidence=heard.evidence)


def _names_alone(heard: Heard, start: int, end: int) -> bool:
    """True where nothing is said round what is named but "right, the", "it is, then"."""
    before = Heard(heard.said, heard.found[:start], [], [], heard.today)
    return before.is_all(0, "polite", "the_one") and heard.is_all(
        end, "it_is", "polite", "filler", "now"
    )


def settled(heard: Heard, context: Context, names: Names) -> Context | None:
    """ "Third one, then", "right, the spinach": what of all that was shown is spoken of now."""
    chosen = settled_on(heard)
    if chosen is None and (dish := _picked(heard, context)) is not None:
        chosen = Reading(said=heard.said, act=SHOW, recipes=(dish,))
    if chosen is not None:
        return Context(
            last=chosen,
            recipes=chosen.recipes,
            foods=context.foods,
            people=context.people,
            offered=context.offered,
        )
    foods = tuple(s.value for s in heard.spans if s.kind == "food")
    shown = {*context.foods, *context.offered}
    if not foods or not set(foods) <= shown or len(foods) != len(heard.spans) or heard.asks:
        return None
    alone = _names_alone(heard, heard.spans[0].start, heard.spans[-1].end)
    return replace(context, foods=foods) if alone else None


def _picked(heard: Heard, context: Context) -> str | None:
    """The dish that an ordinal alone, or a word of its title alone, picks."""
    if [s.kind for s in heard.spans] == ["ordinal"] and not heard.asks:
        bare = heard.bare and heard.is_all(heard.spans[0].end, "it_is", "polite", "now")
        return picked_from(context, int(heard.spans[0].value)) if bare else None
    at = next((i for i in range(len(heard.found)) if phrase_from(heard.found, i, "it_is")), 0)
    said = {word.key for word in heard.found[:at] if not is_small(word, "polite", "the_one")}
    base = context.open
    listed = dict.fromkeys((*(base.recipes if base else ()), *context.recipes, *context.offered))
    fits = [title for title in listed if said and said <= set(key(title))]
    return fits[0] if len(fits) == 1 else None


def _chosen(heard: Heard, context: Context, names: Names) -> Reading | None:
    return settled_on(heard)


# In this order; the first that holds is taken.
OF_THE_LAST = (_suits, _may_have, _done_it, _got_them, _read_back, _chosen)

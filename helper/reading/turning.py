"""A few words that turn from the open request to another act about the same thing.

"I have no soy sauce" over a recipe asks for a swap, "only 5 left" after the stock is a count.
Each way gives None where it does not hold.
"""

from __future__ import annotations

from msgspec.structs import replace

from helper.reading.acts import acts
from helper.reading.changes import SHOW, SWAP
from helper.reading.context import Context
from helper.reading.fields import fill
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.reading import Reading, Said
from helper.reading.vocabulary import meanings, phrase_from

STOCK, SHOPPING = "stock", "shopping"
_LACKED = ("missing", SHOPPING)
ADDED = "add-stock"
# Marks on what only changes its place, and on part of what was just put away.
MOVED, SPLIT = "moved", "split"
OFF = "off"  # a mark on what is to be taken off the list, whatever words said so
PRICE, SEEN, RECOUNT = "price", "record-price", "recount"


def _lacking(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "I have no soy sauce" over a recipe: what to use there instead."""
    base = context.open
    if base is None or not (_lacks(heard) or (base.recipes and heard.opens("lack"))):
        return None
    if base.act == SWAP and base.foods and _lacks(heard):
        # what was offered is not here: something else instead of the same
        said_no = tuple(s.value for s in heard.spans if s.kind in ("food", "without"))
        return replace(base, said=heard.said, without=said_no, evidence=heard.evidence)
    if not (base.recipes or base.act == SWAP):
        return None
    foods = [s.value for s in heard.spans if s.kind in ("food", "without")]
    if len(foods) != 1 or acts()[base.act or ""].changes:
        return None
    return Reading(
        said=heard.said, act=SWAP, foods=tuple(foods), recipes=base.recipes[:1],
        people=base.people, diets=base.diets, evidence=heard.evidence,
    )  # fmt: skip


def _lacks(heard: Heard) -> bool:
    """ "No lemons in the house", "no lemon either"."""
    said_no = [s for s in heard.spans if s.kind == "without"]
    if len(said_no) != 1 or {s.kind for s in heard.spans} - {"without", "place"}:
        return False
    return bool(heard.says("lacking_here")) and not heard.left(besides=("lacking_here",))


def _without_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "without it, then": the dish without the food just spoken of."""
    base = context.open
    hit = heard.opens("without")
    if base is None or hit is None or not base.recipes or not base.foods:
        return None
    pronoun = next((s for s in heard.spans if s.kind == "pronoun"), None)
    if pronoun is None or pronoun.start != hit[1] or len(heard.left()) > 1:
        return None
    return Reading(
        said=heard.said, act=SHOW, recipes=base.recipes[:1], without=base.foods,
        servings=base.servings, people=base.people, diets=base.diets, evidence=heard.evidence,
    )  # fmt: skip


def _the_same(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "How much?" after a swap, "what else" after ideas: the open request once more."""
    base = context.open
    said = tuple(word.key for word in heard.found if word.text[0].isalnum())
    if base is None or base.act is None:
        return None
    if said in meanings("how"):
        asked = context.asking.question if context.asking is not None else None
        if asked is not None and asked.about == "amounts":
            return replace(base, said=heard.said, question=asked)
        return _again(heard, base) if base.act == SWAP and base.foods else None
    if said in meanings("else") and not (context.done or acts()[base.act].changes):
        return _again(heard, base)
    return None


def _again(heard: Heard, base: Reading) -> Reading:
    return replace(base, said=heard.said, evidence=heard.evidence)


def _in_there(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "What's in it?" after a place was spoken of and no dish: what is there."""
    base = context.open
    if base is None or base.place is None or base.recipes or base.foods:
        return None
    at = next((s.start for s in heard.spans if s.kind == "pronoun"), 0)
    if len(heard.spans) != 1 or len(heard.left()) > 1 or heard.found[at - 1].text != "in":
        return None
    return Reading(said=heard.said, act=STOCK, place=base.place, evidence=heard.evidence)


def _counted(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Only 5 left", told of the stock that was asked for: a count."""
    base = context.open
    if base is None or base.act != STOCK or len(base.foods) != 1 or heard.asks:
        return None
    rest = [word for word in heard.left() if word.key != "left"]
    amounts = [s.value.amount for s in heard.spans if s.kind == "amount"]
    if rest or len(heard.spans) != 1 or len(amounts) != 1 or not heard.opens("counted"):
        return None
    said = (Said(amounts[0], base.foods[0]),)
    return Reading(
        said=f"{base.said}; {heard.said}",
        act=RECOUNT, foods=base.foods, amounts=said, place=base.place,
        evidence=heard.evidence,
    )  # fmt: skip


def _price_seen(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "2.79 at the corner shop", told of the food whose price was asked for: a price seen."""
    base = context.open
    if base is None or base.act != PRICE or len(base.foods) != 1 or heard.asks:
        return None
    sums = [s for s in heard.spans if s.kind in ("money", "price?")]
    if len(sums) != 1 or sums[0].start > 1 or not phrase_from(heard.found, sums[0].end, "seen"):
        return None
    fields = fill(acts()[SEEN], heard.found, heard.spans, names.foods)
    return Reading(
        **{**fields, "foods": base.foods}, said=heard.said, act=SEEN, evidence=heard.evidence
    )


def _off_again(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Take them off" after something was put on the list."""
    base = context.open
    if base is None or base.act != SHOPPING or not base.foods or not heard.says("off"):
        return None
    if {s.kind for s in heard.spans} != {"pronoun"} or len(heard.left()) > 2:
        return None
    return Reading(said=heard.said, act=SHOPPING, foods=base.foods, evidence=heard.evidence)


def _instead_of(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "What instead of the pork", over a dish: what to use there."""
    base = context.open
    heard = heard.without_reason()
    hit = heard.opens("instead_of")
    if base is None or base.act is None or hit is None or heard.left(after=hit[1]):
        return None
    foods = [s for s in heard.spans if s.kind in ("food", "without")]
    if len(foods) != 1 or foods[0].end < hit[1] or len(heard.spans) != 1:
        return None
    if context.done or not (base.recipes or base.act == SWAP):
        return Reading(said=heard.said)  # what is to be there instead of it was not said
    return Reading(
        said=heard.said, act=SWAP, foods=(foods[0].value,), recipes=base.recipes[:1],
        people=base.people, diets=base.diets, evidence=heard.evidence,
    )  # fmt: skip


def _put_on_too(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Add that too: a dozen eggs", after something was put on the list."""
    base = context.open
    hit = heard.opens("adding")
    if base is None or base.act != SHOPPING or hit is None or not heard.has("food"):
        return None
    others = {s.kind for s in heard.spans} - {"food", "amount", "pronoun"}
    if others or heard.left(after=hit[1]):
        return None
    fields = fill(acts()[SHOPPING], heard.found, heard.spans, names.foods)
    return Reading(**fields, said=heard.said, act=SHOPPING, evidence=heard.evidence)


def _have_it(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "I do have curry powder", where it was said to be missing: how much there is, is asked."""
    base = context.open
    hit = heard.opens("having")
    if base is None or base.act not in _LACKED or hit is None or heard.asks:
        return None
    others = {s.kind for s in heard.spans} - {"food", "amount"}
    if not heard.has("food") or others or heard.left(after=hit[1]):
        return None
    fields = fill(acts()[RECOUNT], heard.found, heard.spans, names.foods)
    return Reading(**fields, said=heard.said, act=RECOUNT, evidence=heard.evidence)


def _some_elsewhere(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "One in the freezer", told of two just put away: one is there, the other stays."""
    base = context.open
    if base is None or base.act != ADDED or not context.done or len(base.amounts) != 1:
        return None
    amounts = [s.value.amount for s in heard.spans if s.kind == "amount"]
    places = [s.value for s in heard.spans if s.kind == "place"]
    if len(amounts) != 1 or len(places) != 1 or len(heard.spans) != 2 or heard.left():
        return None
    whole, part = base.amounts[0].amount, amounts[0]
    part = replace(part, unit=part.unit or whole.unit)
    if part.unit != whole.unit or part.number >= whole.number:
        return None
    said = (replace(base.amounts[0], amount=part),)
    return Reading(
        said=heard.said, act=ADDED, foods=base.foods, amounts=said, place=places[0],
        marks=(MOVED, SPLIT), evidence=heard.evidence,
    )  # fmt: skip


def _struck_off(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Drop the onions", "tick off the milk and the eggs", said over the list."""
    base = context.open
    hit = heard.opens("list_word")
    if base is None or base.act != SHOPPING or hit is None or heard.asks:
        return None
    foods = [s for s in heard.spans if s.kind in ("food", "without")]
    others = [
        s for s in heard.spans if s not in foods and s.kind != "pronoun" and s.start >= hit[1]
    ]
    rest = heard.left(after=hit[1], besides=("after_all", "off"))
    if not foods or others or rest:
        return None
    marks = (OFF,) if hit[0] == OFF else ()
    said = " ".join(word.text for word in heard.found)  # spelt right, for what the words order
    return Reading(
        said=said, act=SHOPPING, foods=tuple(dict.fromkeys(s.value for s in foods)),
        marks=marks, evidence=heard.evidence,
    )  # fmt: skip


def _left_now(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "So how many does that leave", after some were used or came in: what is there now."""
    base = context.open
    if base is None or not base.foods or not context.foods or not heard.says("leaving_us"):
        return None
    if {s.kind for s in heard.spans} - {"pronoun"} or not acts()[base.act or ""].names_things:
        return None
    return Reading(said=heard.said, act=STOCK, foods=context.foods, evidence=heard.evidence)


def off_the_list(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Not the coconut milk", said over the list; "not bananas, pears" puts those on instead.

    Said bare of what was put on just now it takes that back as a change, and is none of this.
    """
    base = context.open
    if base is None or base.act != SHOPPING or heard.asks or not heard.opens("slip"):
        return None
    said_no = tuple(dict.fromkeys(s.value for s in heard.spans if s.kind == "without"))
    whole = heard
    if heard.says("taking_back"):
        return None  # "oops, not the bread, undo that"
    if not said_no or (context.done and heard.bare and set(said_no) >= set(base.foods)):
        return None
    small = ("after_all", "filler")
    rest = heard.left(besides=small)
    if rest and (head := heard.head()) is not None:
        whole = head  # "..., I can borrow one"
        rest = whole.left(besides=small)
    others = {s.kind for s in whole.spans} - {"without", "food", "amount", "pronoun"}
    if rest or others or not any(s.kind == "without" for s in whole.spans):
        return None
    fields = fill(acts()[SHOPPING], whole.found, whole.spans, names.foods)
    foods = tuple(food for food in fields.get("foods", ()) if food not in said_no)
    amounts = fields.get("amounts", ())
    return Reading(
        said=heard.said, act=SHOPPING, foods=foods or said_no, amounts=amounts if foods else (),
        without=said_no if foods else (), marks=() if foods else (OFF,), evidence=heard.evidence,
    )  # fmt: skip


def put_elsewhere(heard: Heard, context: Context) -> Reading | None:
    """ "Put the mince in the freezer": what is there already changes its place.

    Food with an amount and no "the" comes in: "put 2 lb of mince in the freezer".
    """
    hit = heard.opens("putting")
    places = [s for s in heard.spans if s.kind == "place"]
    named = [s for s in heard.spans if s.kind in ("food", "pronoun")]
    others = {s.kind for s in heard.spans} - {"food", "pronoun", "place"}
    if hit is None or heard.asks or others or len(places) != 1 or not named:
        return None
    foods = tuple(dict.fromkeys(s.value for s in named if s.kind == "food"))
    behind = named[-1].end <= places[0].start and named[0].start >= hit[1]
    rest = heard.left(besides=("filler", "into", "putting", "this_one"))
    if rest or not behind or (foods and not is_small(heard.found[named[0].start - 1], "this_one")):
        return None
    foods = foods or (context.foods if len(context.foods) == 1 else ())
    if not foods:
        return None
    return Reading(
        said=heard.said, act=ADDED, foods=foods, place=places[0].value, marks=(MOVED,),
        evidence=heard.evidence, likeness=1.0, margin=1.0,
    )  # fmt: skip


def _bought_some(heard: Heard, context: Context, names: Names) -> Reading | None:
    """ "Go on then, got two", said of the one thing whose price was spoken of: so many came in."""
    base = context.open
    if base is None or base.act not in (PRICE, SEEN) or len(base.foods) != 1 or heard.asks:
        return None
    at = _behind(heard, "lead_in")
    hit = phrase_from(heard.found, at, "bought_some")
    kinds = [s.kind for s in heard.spans if s.start >= at]
    numbers = [s for s in heard.spans if s.kind == "amount" and s.start >= at]
    if hit is None or kinds != ["amount"] or heard.left(after=hit[1]):
        return None
    amount = numbers[0].value.amount
    return Reading(
        said=heard.said, act=ADDED, foods=base.foods, amounts=(Said(amount, base.foods[0]),),
        evidence=heard.evidence,
    )  # fmt: skip


def _behind(heard: Heard, kind: str) -> int:
    """Where the sentence begins behind phrases of that kind and the signs after them."""
    at = 0
    while at < len(heard.found):
        hit = phrase_from(heard.found, at, kind)
        if hit is None and heard.found[at].text[0].isalnum():
            break
        at = hit[1] if hit else at + 1
    return at


# In this order; the first that holds is taken.
TURNINGS = (
    _bought_some, _some_elsewhere, _struck_off, _left_now,
    _lacking, _without_it, _the_same, _in_there, _off_again, _counted, _price_seen, _instead_of,
    _put_on_too, _have_it,
)  # fmt: skip

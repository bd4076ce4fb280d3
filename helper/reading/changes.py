"""The fields a follow-up changes in the request it goes on from, and what is added to them.

What an act gathers and what a bare number counts after it stands in `follow_ups.csv`.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.quantities import Measured, line_words, unit_at
from helper.kitchen.words import key
from helper.reading.acts import acts
from helper.reading.fields import fill, is_by_head
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names, avoid_words
from helper.reading.reading import Reading, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from, spelt

FROZEN, FREEZER = "frozen", "freezer"
SHOPPING = "shopping"
NO_PERSON = "no_person"
SAME = "same"  # a link by which another thing is treated as the last was
SHOW, SAFE, SWAP, KEEPS = "show-recipe", "safe-for", "swap", "keeps"
_MINUTES = 15  # from so many on a bare number may be minutes
_FAR = 0.25  # a number is of what it is so much nearer to
_CROWD = 5  # so many times a recipe are people


class Going(msgspec.Struct, frozen=True):
    """How an act is gone on with: fields further things are added to, what a number counts.

    `tells`: what bare words may tell more of where it has changed the books; `any` where they may
    change all of it, as a plan.
    """

    gathers: frozenset[str]
    count: str | None
    tells: frozenset[str]
    lists: bool
    sums: bool


@cache
def goings() -> dict[str, Going]:
    """Every act by name, from `follow_ups.csv`."""
    with (Path(__file__).parent / "follow_ups.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["act"]: Going(
                frozenset(row["gathers"].split()),
                row["count"] or None,
                frozenset(row["tells"].split()),
                bool(row["lists"]),
                row["lists"] == "sums",
            )
            for row in csv.DictReader(file)
        }


def guarded(act: str | None) -> bool:
    """True for acts that change the books so that a word in passing must not change it again."""
    tells = goings()[act or ""].tells
    return bool(acts()[act or ""].changes or tells) and "any" not in tells


def listed_beside(heard: Heard, base: Reading, fields: dict[str, Any]) -> bool:
    """ "Black beans 5" after a count, "2 gallons of milk" after bread was put on the list.

    Another thing with a number of its own, bare, is one more of the same.
    """
    foods = fields.get("foods", ())
    numbered = fields.get("amounts") or base.act == SHOPPING
    fresh = bool(foods) and not set(foods) & set(base.foods)
    return fresh and bool(numbered) and not heard.asks and goings()[base.act or ""].lists


def is_further(heard: Heard, base: Reading, fields: dict[str, Any]) -> bool:
    """True where another thing is named beside the last, and not in its place."""
    if listed_beside(heard, base, fields) or (so_many_more(heard) and fields.get("amounts")):
        return True
    if not any(fields.get(name) for name in ("foods", "recipes", "without", "people")):
        return False
    link = heard.opens("link")
    return bool(link and link[0] in ("more", SAME)) or heard.says("more")


def so_many_more(heard: Heard) -> bool:
    """ "3 more": on top of what was said."""
    ends = [s.end for s in heard.spans if s.kind in ("amount", "servings")]
    return any(end < len(heard.found) and is_small(heard.found[end], "more") for end in ends)


def _on_top(heard: Heard) -> bool:
    """ "Two more coming", "one extra", "another three": to be added to the eaters told before."""
    spans = [s for s in heard.spans if s.kind in ("amount", "servings")]
    behind = [s.end < len(heard.found) and is_small(heard.found[s.end], "on_top") for s in spans]
    before = [s.start > 0 and is_small(heard.found[s.start - 1], "another") for s in spans]
    return any(behind) or any(before)


def goes_alike(heard: Heard) -> bool:
    """ "Same for the black beans": all that was said before holds for them too."""
    link = heard.opens("link")
    if link is not None and link[0] == SAME:
        return True
    ends = [at + 1 for at, word in enumerate(heard.found) if word.text[0].isalnum()]
    hits = (phrase_from(heard.found, at, "alike") for at in range(1, len(heard.found)))
    return any(hit is not None and hit[1] == ends[-1] for hit in hits)


def changes(heard: Heard, base: Reading, names: Names, corrects: bool = False) -> dict[str, Any]:
    """The fields a follow-up sets; what it adds to is added."""
    act = acts()[base.act or ""]
    spans = [_into_dish(heard, span) for span in _numbered(heard, base, _meant(heard))]
    spans = [_half_named(heard, span, base, names) for span in spans]
    if corrects:
        spans = _meant_instead(spans, act.takes)
    fields = fill(act, heard.found, spans, names.foods)
    for name in ("marks", "fate", "pick"):
        fields.pop(name, None)
    if "amounts" in act.takes and not fields.get("amounts"):
        numbers = [n for s in spans if s.kind == "amount" and (n := bare_number(heard, s))]
        if numbers:
            fields["amounts"] = (Said(Amount(numbers[-1])),)
    if "amounts" in act.takes and not (fields.get("amounts") or base.amounts):
        each = [s for s in spans if s.kind == "per" and s.value == "each"]
        units_said = [u for s in each if (u := unit_at(list(heard.found), s.end - 1))]
        if units_said:
            fields["amounts"] = (Said(Amount(1.0, units_said[0][0].name)),)
    if base.servings and fields.get("servings") and _on_top(heard):
        fields["servings"] += base.servings
    if (eater := _eats_so(heard, base)) is not None:
        fields = {**fields, "foods": (), "diets": (eater,)}
    if (scale := fields.get("scale")) and _is_crowd(heard, scale) and "servings" in act.takes:
        fields |= {"scale": None, "servings": scale}
    if (scale := fields.get("scale")) and not act.prefers == "recipe" and len(base.amounts) == 1:
        before = base.amounts[0].amount
        times = replace(before, number=before.number * scale)
        fields |= {"scale": None, "amounts": (replace(base.amounts[0], amount=times),)}
    elif scale and corrects and base.scale:
        pass  # "no, triple" is three times the dish, and not of what was doubled
    elif scale and (base.servings or base.scale):
        fields |= (
            {"scale": None, "servings": base.servings * scale}
            if base.servings
            else {"scale": base.scale * scale}
        )
    part = goings()[base.act or ""].sums and heard.says("half_left")
    if fields.get("scale") and not (part or (act.prefers == "recipe" and "servings" in act.takes)):
        fields.pop("scale")  # there is nothing to make double of
    off = _taken_off(heard)
    if off and off < set(base.people) and set(fields.get("people", ())) <= off:
        fields["people"] = tuple(name for name in base.people if name not in off)
    if "people" in act.takes and not fields.get("people") and heard.says("person_pronoun"):
        fields["people"] = base.people
    if form := heard.form():
        formed = tuple(names.foods.in_form(food, form) or food for food in base.foods)
        if form == FROZEN and base.act == KEEPS and not fields.get("foods"):
            fields["place"] = FREEZER  # how long it keeps there is asked
        elif formed != base.foods and not fields.get("foods"):
            fields["foods"] = formed
        elif len(fields.get("foods", ())) == 1:
            named = fields["foods"][0]
            fields["foods"] = (names.foods.in_form(named, form) or named,)
        elif form == FROZEN and "place" in act.takes and not act.changes:
            fields["place"] = FREEZER
    if corrects and not fields.get("foods") and (sorts := refined(heard, base, names)):
        fields["foods"] = sorts
    if goes_alike(heard) and act.avoids and fields.get("foods") and not base.foods:
        fields["without"] = fields.pop("foods")
    if base.act == SAFE:
        _another_eater(heard, base, fields)
    else:
        _gathered(heard, base, fields, corrects)
    beside = any(word.key == "with" for word in heard.found[:2])
    of_dish = act.prefers == "recipe" and act.changes  # a note on it, or how it was made
    elsewhere = fields.get("foods") and not (base.foods or beside or of_dish) and base.recipes
    if elsewhere and "recipes" not in fields:
        fields["recipes"] = ()
    if "recipes" in fields and "foods" not in fields and act.prefers == "recipe" and base.foods:
        fields["foods"] = ()
    if base.act == "cheaper" and len(base.foods) == 2 and len(fields.get("foods", ())) == 1:
        fields["foods"] = _beside_them(fields["foods"][0], base.foods, names)
    said_no = set(fields.get("without") or ())
    if said_no & set(base.foods) and not fields.get("foods") and not act.changes:
        fields["foods"] = tuple(food for food in base.foods if food not in said_no)
    if fields.get("foods") and (corrects or fields.get("amounts") or fields.get("money")):
        fields = as_told_before(fields, base, names)
    _told_amounts(heard, base, fields, names)
    return fields


def as_told_before(fields: dict[str, Any], base: Reading, names: Names) -> dict[str, Any]:
    """ "Change the beef to 3 lb" after ground beef was put on the list: that beef."""
    if not goings()[base.act or ""].lists:
        return fields
    meant: dict[str | None, str] = {}
    for food in fields["foods"]:
        fits = [one for one in base.foods if names.foods.covers(food, one)]
        if food not in base.foods and len(fits) == 1:
            meant[food] = fits[0]
    foods = tuple(dict.fromkeys(meant.get(food, food) for food in fields["foods"]))
    amounts = tuple(
        replace(one, food=meant.get(one.food, one.food)) for one in fields.get("amounts") or ()
    )
    return {**fields, "foods": foods, **({"amounts": amounts} if amounts else {})}


def _eats_so(heard: Heard, base: Reading) -> str | None:
    """ "Veggie", said alone of a wish, is how somebody eats."""
    named = [s for s in heard.spans if s.kind == "food"]
    if len(named) != 1 or len(heard.spans) != 1 or "diets" not in acts()[base.act or ""].takes:
        return None
    one = named[0]
    return spelt("diet_alone").get(heard.found[one.start].text) if one.length == 1 else None


def _is_crowd(heard: Heard, scale: float) -> bool:
    """ "x8" counts eaters: nobody makes a dish eight times."""
    return scale >= _CROWD and is_by_head(heard.found, heard.spans)


def _beside_them(food: str, before: Sequence[str], names: Names) -> tuple[str, ...]:
    """ "And chickpeas?" after dry beans against canned ones: dry chickpeas against canned.

    After two foods that are not forms of one, it is one more to compare.
    """
    foods = [names.foods[one] for one in before]
    if len({one.base or one.name for one in foods}) > 1:
        return tuple(dict.fromkeys((*before, food)))
    forms = [one.form for one in foods]
    return tuple(dict.fromkeys(form and names.foods.in_form(food, form) or food for form in forms))


def _into_dish(heard: Heard, span: Span) -> Span:
    """ "In the crumble": the household's dish, whatever food goes by that name too."""
    before = heard.found[max(0, span.start - 2) : span.start]
    if span.kind != "recipe" or not any(is_small(word, "into") for word in before):
        return span
    return replace(span, rivals=(), whole=True)


def _half_named(heard: Heard, span: Span, base: Reading, names: Names) -> Span:
    """ "And the split pea?" after one soup was asked about: the other soup, not the peas."""
    the = span.start > 0 and heard.found[span.start - 1].text == "the"
    instead = any(word.key == "instead" for word in heard.found)
    if span.kind != "food" or not (the or instead) or not base.recipes or base.foods:
        return span
    if acts()[base.act or ""].prefers != "recipe" or any(is_small(w, "into") for w in heard.found):
        return span
    said = {word.key for word in heard.found[span.start : span.end]}
    title = names.titles.like(base.recipes[0], said)
    if title is None or not said <= set(key(title)):
        return span
    return replace(span, kind="recipe", value=(title,), rivals=(), whole=True)


def _meant(heard: Heard) -> list[Span]:
    """The spans that count: "not for Bertil, for Fenn" names Fenn alone."""
    people = [s for s in heard.spans if s.kind == "person"]
    left_out = _left_out(heard)
    if len(people) == len(left_out):
        left_out = []
    passed = [*left_out, *_summed_up(heard)]
    return [s for s in heard.spans if s not in passed and not _is_the_one(heard, s)]


def _left_out(heard: Heard) -> list[Span]:
    people = [s for s in heard.spans if s.kind == "person"]
    return [s for s in people if ended_by(heard.found, s.start, NO_PERSON)]


def _taken_off(heard: Heard) -> set[str]:
    """ "Scratch Cosima": who is no longer to be reckoned with."""
    return {s.value for s in _left_out(heard)}


def _summed_up(heard: Heard) -> list[Span]:
    """The numbers before the last of "my sister and her two, so seven": it holds them all."""
    numbers = [s for s in heard.spans if s.kind in ("servings", "amount")]
    ends = bool(numbers) and ended_by(heard.found, numbers[-1].start, "sums_up")
    return numbers[:-1] if ends else []


def _is_the_one(heard: Heard, span: Span) -> bool:
    """ "The frozen one" counts nothing."""
    before = heard.found[span.start - 1] if span.start else None
    one = span.length == 1 and heard.found[span.start].text == "one"
    return one and before is not None and (before.key,) in line_words("form")


def _meant_instead(spans: Sequence[Span], takes: frozenset[str]) -> list[Span]:
    """ "not the fresh, the canned": what is said no to is what was wrong."""
    meant = {"food"} | ({"recipe"} & {name.removesuffix("s") for name in takes})
    if not any(s.kind in meant for s in spans):
        return list(spans)
    return [s for s in spans if s.kind != "without"]


def counts(heard: Heard, base: Reading) -> str | None:
    """What a bare number counts after this request: days, servings …; None for amounts."""
    count = goings()[base.act or ""].count
    if count in (None, "amounts") or heard.has("food"):
        return None
    takes = acts()[base.act or ""].takes
    if heard.has("person") and "servings" in takes:
        return "servings"  # "just me and Gusta, so two"
    numbers = [n for span in heard.spans if (n := bare_number(heard, span)) is not None]
    if base.minutes and numbers and min(numbers) >= _MINUTES and not base.servings:
        return "minutes"  # "30 minutes", "45"
    said = [name for name in ("servings", "days", "money") if getattr(base, name) and name in takes]
    if not said or not numbers or min(numbers) <= 0:
        return next(iter(said), count)
    # of a week for 5 under $60, "make that 50" is said of the sum: it comes far nearer to that
    far = {name: _apart(float(getattr(base, name)), numbers[-1]) for name in said}
    nearest = min(said, key=far.__getitem__)
    return nearest if far[nearest] < far[said[0]] * _FAR else said[0]


def _apart(one: float, other: float) -> float:
    """How many times one is the other, either way: 0 for the same."""
    return abs(math.log(one) - math.log(other))


def _numbered(heard: Heard, base: Reading, spans: Sequence[Span]) -> list[Span]:
    """The spans, a bare number among them as what it counts: "make it 6", "last 7?", "two pans"."""
    act = acts()[base.act or ""]
    count = counts(heard, base)
    out = []
    for span in spans:
        limit = span.kind == "limit?" and "money" in act.takes
        number = None if limit else bare_number(heard, span)
        if number is None:
            out.append(span)
        elif number < 1 and count in ("servings", "days"):
            pass  # "half the street's coming" counts nobody
        elif act.prefers == "recipe" and phrase_from(heard.found, span.end, "batch"):
            out.append(Span("scale", span.start, span.end, number))
        elif count == "money":
            out.append(Span("money", span.start, span.end, (Decimal(repr(number)), base.per)))
        elif count:
            value = int(number) if count in ("days", "minutes") else number
            out.append(Span(count, span.start, span.end, value))
        else:
            out.append(Span("amount", span.start, span.end, Measured(Amount(number), span.end)))
    return out


def bare_number(heard: Heard, span: Span) -> float | None:
    """A number that says nothing of what it counts: "6", "make it 6"."""
    if span.kind == "limit?":
        return float(span.value[0])
    if span.kind == "amount" and span.value.amount.unit is None and not span.value.size:
        return float(span.value.amount.number)
    named = is_small(heard.found[span.end - 1], "people")
    made = span.kind == "servings" and span.start > 0 and not named
    if made and is_small(heard.found[span.start - 1], "pronoun"):
        return float(span.value)
    return None


def _another_eater(heard: Heard, base: Reading, fields: dict[str, Any]) -> None:
    """Asked of somebody else, it is asked of them alone; an allergen's name is what to look for."""
    if base.diets and not base.people and fields.get("foods") and not heard.has("recipe"):
        table = avoid_words()
        named = [s for s in heard.spans if s.kind == "food"]
        keys = [tuple(word.key for word in heard.found[s.start : s.end]) for s in named]
        ids = [id_ for one in keys for id_ in table.get(one, ())]
        diets = [meanings("diet_of").get(key(id_), id_) for id_ in ids]
        if diets:
            fields["foods"], fields["diets"] = (), tuple(dict.fromkeys(diets))
    if fields.get("people") or fields.get("diets"):
        fields.setdefault("people", ())
        fields.setdefault("diets", ())


def _gathered(heard: Heard, base: Reading, fields: dict[str, Any], corrects: bool) -> None:
    """Adds to what was said before, where the act gathers such things."""
    gathers = goings()[base.act or ""].gathers
    link = heard.opens("link")
    more = bool(link and link[0] == "more") or heard.says("more")
    instead = corrects or any(word.key == "instead" for word in heard.found)
    for name in gathers & set(fields):
        before = getattr(base, name)
        adds = name in ("diets", "without") or more
        if adds and (heard.says("more") or not (instead and len(before) <= 1)):
            fields[name] = tuple(dict.fromkeys((*before, *fields[name])))


def _told_amounts(heard: Heard, base: Reading, fields: dict[str, Any], names: Names) -> None:
    """Amounts said of the food before; the amount before said of the food now."""
    if "amounts" in fields:
        said = fields["amounts"]
        whole = tuple(_like(base, fields, heard, one, names) for one in said)
        packed = {old.food: new.food for old, new in zip(said, whole, strict=True) if old.food}
        fields["amounts"] = whole
        if "foods" in fields:
            fields["foods"] = tuple(packed.get(food) or food for food in fields["foods"])
    elif fields.get("foods") and len(base.amounts) == 1 and not _further_change(heard, base):
        food = fields["foods"][0] if base.amounts[0].food else None
        fields["amounts"] = (replace(base.amounts[0], food=food),)


def _further_change(heard: Heard, base: Reading) -> bool:
    link = heard.opens("link")
    more = bool((link and link[0] == "more") or heard.says("more"))
    return guarded(base.act) and more and not goes_alike(heard)


def _like(base: Reading, fields: dict[str, Any], heard: Heard, said: Said, names: Names) -> Said:
    """ "make it three": the unit and the food are those of the amount said before."""
    before = base.amounts[-1].amount.unit if base.amounts else None
    if said.food is not None:
        if said.amount.unit is None and before is not None and _of_behind(heard, said):
            food = names.foods.as_packed(said.food, before)
            return replace(said, food=food, amount=replace(said.amount, unit=before))
        return said
    foods = fields.get("foods") or base.foods
    said = replace(said, food=foods[0] if foods else None)
    if said.amount.unit is None and len(base.amounts) == 1:
        said = replace(said, amount=replace(said.amount, unit=before))
    return said


def _of_behind(heard: Heard, said: Said) -> bool:
    """ "and 1 of salmon": one of the packages spoken of."""
    ends = [s.end for s in heard.spans if s.kind == "amount"]
    return any(end < len(heard.found) and heard.found[end].text == "of" for end in ends)


def refined(heard: Heard, base: Reading | None, names: Names) -> tuple[str, ...]:
    """ "hard boiled?", "the brown": words that name another sort of the food before."""
    if base is None or not base.foods:
        return ()
    named = [s.value for s in heard.spans if s.kind == "food"]
    alone = len(named) == 1 and heard.bare and not heard.opens("link")
    if alone and not any(_are_alike(food, named[0], names) for food in base.foods):
        return ()  # "potatoes?" after bread is no potato bread
    if alone and len(base.foods) == 1:
        sort = names.foods.covers(base.foods[0], named[0]) and named[0] != base.foods[0]
        return (named[0],) if sort else ()
    rest = heard.left(kinds=("food",))
    if not rest or len(rest) > 3:
        return ()
    if base.act == KEEPS and all(line_words("form").get((one.key,)) == FROZEN for one in rest):
        return ()  # how long it keeps in the freezer is asked, and of no other food
    said = " ".join(word.text for word in rest)
    sorts = (_sort(said, food, names, behind=not heard.has("food")) for food in base.foods)
    return tuple(sort for sort in sorts if sort is not None)


def _are_alike(one: str, other: str, names: Names) -> bool:
    """True where one is a sort of the other."""
    return names.foods.covers(one, other) or names.foods.covers(other, one)


def _sort(said: str, food: str, names: Names, behind: bool) -> str | None:
    """The sort of a food that such words make of it: the brown rice, chicken thighs."""
    ways = [f"{said} {food}"]
    plain = names.foods[food].base if food in names.foods else None
    if plain:
        ways += [f"{names.foods[food].form or ''} {said} {plain}", f"{said} {plain}"]
    if behind:
        ways.append(f"{food} {said}")
    found = (names.foods.named(way) for way in ways)
    return next((one for one in found if one is not None and one not in (food, plain)), None)

"""Filling the fields of a Reading from what was found in the words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import Measured, line_words, unit_at
from helper.kitchen.words import Word, key
from helper.reading.acts import Act
from helper.reading.amounts_said import amounts_said, price_as_amount, sum_behind
from helper.reading.reading import Evidence, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from, spelt, text_at

_BATCHES = 8  # so many of one dish are made at most
_PLAIN = "plain"  # "instead of regular": the food before anything is done to it

# Which field of a reading each kind of span fills, where that settles which acts can take it.
FIELD_OF = {
    "person": "people",
    "diet": "diets",
    "money": "money",
    "price?": "money",
    "servings": "servings",
    "days": "days",
    "minutes": "minutes",
    "amount": "amounts",
    "date": "date",
    "place": "place",
}


def fill(act: Act, found: Sequence[Word], spans: Sequence[Span], foods: Foods) -> dict[str, Any]:
    """The fields that this act takes, out of the spans. Nothing unsaid is put in."""
    spans = [*spans, *(more for span in spans for more in span.also)]
    spans = _meant(act, found, spans, foods)
    fields: dict[str, Any] = {}
    spans, scale = _scaled(spans)
    if scale is not None:
        fields["scale"] = scale
    fields["recipes"] = _recipes(spans)
    if act.prefers == "recipe" and fields["recipes"]:
        spans = [s for s in spans if not (_is_piece(found, spans, s) or _is_never_made(found, s))]
    fields["amounts"], bare = amounts_said(act, found, spans, foods)
    fields["foods"] = _foods(spans, bare, foods)
    if act.changes and "servings" not in act.takes and not fields["amounts"]:
        fields["amounts"] = _how_many(found, spans, fields["foods"])
    if act.name in spelt("meal_act"):
        spans = [s for s in spans if not _is_meal(spans, s)]
        fields["foods"] = _foods(spans, bare, foods)
    if len(fields["foods"]) == 1 and not act.changes:
        fields["foods"] = _unique((*fields["foods"], *_other_forms(found, spans, foods)))
    fields["without"] = _unique(s.value for s in spans if s.kind == "without")
    if act.avoids and ("foods" not in act.takes or _says_no(found)):
        fields["without"] = _unique((*fields["without"], *fields["foods"]))
        fields["foods"] = ()
    fields["people"] = _unique(s.value for s in spans if s.kind == "person")
    fields["diets"], avoided = _diets(spans)
    fields["without"] = _unique((*fields["without"], *avoided))
    money = [s for s in spans if s.kind in ("money", "price?")]
    if not money and "money" in act.takes and not any(s.kind == "minutes" for s in spans):
        money = [s for s in spans if s.kind == "limit?"]
    if money:
        fields["money"], fields["per"] = money[-1].value
    elif act.changes and "money" in act.takes and (paid := _paid(found, spans)) is not None:
        fields["money"] = paid
    for kind, name in (
        ("servings", "servings"),
        ("days", "days"),
        ("place", "place"),
        ("minutes", "minutes"),
        ("shop", "shop"),
        ("scale", "scale"),
        ("ordinal", "pick"),
    ):
        value = next((s.value for s in spans if s.kind == kind), None)
        if kind == "days":
            value = _days(found, spans)
        if value is not None:
            fields[name] = int(value) if name == "pick" else value
    _crowd(act, found, spans, fields)
    _count_people(act, fields)
    fields.update(_dates(act, found, spans))
    fields.update(_marks(found, spans))
    if "without" not in act.takes and fields["without"]:
        fields["foods"] = _unique((*fields["foods"], *fields["without"]))
        fields["without"] = ()
    if "money" in act.takes and act.looks == "back" and "money" not in fields:
        price_as_amount(found, spans, fields)
    keep = act.takes | {"per", "shop", "scale", "pick", "until", "fate", "marks"}
    return {name: value for name, value in fields.items() if name in keep and value}


def _crowd(act: Act, found: Sequence[Word], spans: Sequence[Span], fields: dict[str, Any]) -> None:
    """ "Chili x16" counts eaters: far more than anybody makes batches of."""
    times = next((s for s in spans if s.kind == "scale"), None)
    if times is None or times.value <= _BATCHES or "servings" not in act.takes:
        return
    if act.prefers == "recipe" and is_by_head(found, spans):
        del fields["scale"]
        fields.setdefault("servings", times.value)


def is_by_head(found: Sequence[Word], spans: Sequence[Span]) -> bool:
    """ "x16": times of a dish that may count those who eat."""
    at = next((span.start for span in spans if span.kind == "scale"), None)
    return at is not None and found[at].text in spelt("by_head")


def _is_meal(spans: Sequence[Span], span: Span) -> bool:
    """ "Tea": where meals are asked for it is one, unless so much of it is spoken of."""
    named = span.kind == "food" and (span.value,) in meanings("meal_word")
    counted = any(one.kind == "amount" and one.end in (span.start, span.start - 1) for one in spans)
    return named and not counted


def _is_piece(found: Sequence[Word], spans: Sequence[Span], span: Span) -> bool:
    """ "My rye bread, what is it a loaf": so much of the dish, and no food beside it."""
    unit = unit_at(list(found), span.start) if span.kind == "food" else None
    counted = any(one.kind == "amount" and one.end == span.start for one in spans)
    return unit is not None and unit[1] == span.end and counted


def _is_never_made(found: Sequence[Word], span: Span) -> bool:
    """ "I never made a roux in my life, show me the gravy": nothing is asked of the roux."""
    first = span.start
    while first and (found[first - 1].key,) in meanings("one_more"):
        first -= 1
    return span.kind == "food" and ended_by(found, first, "denied_doing")


def _days(found: Sequence[Word], spans: Sequence[Span]) -> int | None:
    """ "All week … 4 dinners": days that are counted tell more than a stretch of them."""
    told = [s for s in spans if s.kind == "days"]
    counted = [s for s in told if read_number(list(found), s.start) is not None]
    return int((counted or told)[0].value) if told else None


def _says_no(found: Sequence[Word]) -> bool:
    """True where a rule forbids: "never buy veal", "or parsley"; not "fish once a week"."""
    return phrase_from(found, 0, "joins_on") is not None or any(
        phrase_from(found, at, kind) for at in range(len(found)) for kind in ("forbids", "without")
    )


def _paid(found: Sequence[Word], spans: Sequence[Span]) -> Decimal | None:
    """ "2 lb of butter for 7": the first sum that a bare number is."""
    sums = (sum_behind(found, span) for span in spans)
    return next((one for one in sums if one is not None), None)


def _how_many(
    found: Sequence[Word], spans: Sequence[Span], foods: Sequence[str]
) -> tuple[Said, ...]:
    """ "I counted the onions, there are seven": of them, and not of people."""
    numbers = [
        span.value
        for span in spans
        if span.kind == "servings" and span.length == 1 and ended_by(found, span.start, "counted")
    ]
    return (Said(Amount(float(numbers[-1])), foods[0]),) if numbers and len(foods) == 1 else ()


def _count_people(act: Act, fields: dict[str, Any]) -> None:
    """ "the pancakes at 40": a bare number beside a dish counts those who eat, and no food."""
    if act.prefers != "recipe" or not fields["recipes"]:
        return
    bare = [one for one in fields["amounts"] if one.food is None and one.amount.unit is None]
    fields["amounts"] = tuple(one for one in fields["amounts"] if one not in bare)
    if bare and bare[-1].amount.number > 1 and "servings" in act.takes:
        fields.setdefault("servings", bare[-1].amount.number)


def _unique(values: Any) -> tuple[Any, ...]:
    return tuple(dict.fromkeys(values))


def _meant(act: Act, found: Sequence[Word], spans: Sequence[Span], foods: Foods) -> list[Span]:
    """Words that name both a dish and foods, settled the way the act prefers.

    Where the act asks about a food, the dish is the one the food goes into: "egg in the pancakes".
    """
    out: list[Span] = []
    for i, span in enumerate(spans):
        if span.kind == "food":
            counted = i > 0 and spans[i - 1].kind == "amount"
            out.extend(span.rivals if span.rivals and act.lists and not counted else (span,))
            continue
        if span.kind != "recipe" or "recipes" not in act.takes or act.prefers == "recipe":
            use_foods = (
                bool(span.rivals)
                and act.prefers == "food"
                and not ("recipes" in act.takes and (span.whole or _is_the(found, span.start)))
                and not (_is_dish(span, foods) and ended_by(found, span.start, "left_over"))
            )
        else:
            beside = any(s.kind in ("food", "without") for s in spans)
            goes, the = _goes_into(found, span.start), _is_the(found, span.start)
            # one shops for a dish: "the list for chili"
            into = (goes and the) or ((beside or act.name == "shopping") and (goes or the))
            compared = act.name == "cheaper" and _beside_dish(spans, span)
            # nobody puts a dish in the place of a thing that goes into one
            into = into or (act.name == "swap" and beside and _is_dish(span, foods))
            use_foods = bool(span.rivals) and not (span.whole or into or compared)
        if use_foods:
            out.extend(span.rivals)
        else:
            out.append(span)
    return out


def _beside_dish(spans: Sequence[Span], span: Span) -> bool:
    """ "Pea soup against chili": a dish is compared with a dish."""
    return any(one.kind == "recipe" and one is not span for one in spans)


def _is_dish(span: Span, foods: Foods) -> bool:
    """ "Crumble": what the words name beside a title is a dish too, and no ingredient."""
    kinds = [foods.kinds(one.value) for one in span.rivals]
    return all(any(key(kind) in meanings("dishkind") for kind in some) for some in kinds)


def _is_the(found: Sequence[Word], start: int) -> bool:
    return (text_at(found, start - 1),) in meanings("the_one")


def _goes_into(found: Sequence[Word], start: int) -> bool:
    """True where "in", "for" or the like stands just before, articles passed over."""
    at = start - 1
    while (
        at >= 0
        and (found[at].key,) in meanings("small")
        and (found[at].key,) not in meanings("into")
    ):
        at -= 1
    return at >= 0 and (found[at].key,) in meanings("into")


def _recipes(spans: Sequence[Span]) -> tuple[str, ...]:
    """The titles meant; "which soup, the pea or the leek" asks of two soups, and of no third."""
    told = [s for s in spans if s.kind == "recipe"]
    narrow = {title for s in told if len(set(s.value)) == 1 for title in s.value}
    return _unique(s.value[0] for s in told if len(set(s.value)) == 1 or narrow.isdisjoint(s.value))


def _foods(spans: Sequence[Span], packed: dict[int, str], foods: Foods) -> tuple[str, ...]:
    return _unique(packed.get(s.start, s.value) for s in spans if s.kind == "food")


def _other_forms(found: Sequence[Word], spans: Sequence[Span], foods: Foods) -> tuple[str, ...]:
    """ "fresh or frozen spinach", "are tinned carrots cheaper than fresh": the other form too."""
    food = next(s for s in spans if s.kind == "food")
    inside = range(food.start, food.end)
    out = []
    for at, word in enumerate(found):
        form = line_words("form").get((word.key,))
        form = _PLAIN if (word.key,) in meanings("plain_form") else form
        if form is None or at in inside:
            continue
        before = at - 1
        while (text_at(found, before),) in meanings("form_of"):
            before -= 1  # "or only the canned ones"
        beside = (text_at(found, before), text_at(found, at + 1))
        instead = ended_by(found, before + 1, "beside_form")
        if instead or any(meanings("versus").get((text,)) is not None for text in beside):
            base = foods[food.value].base or food.value
            out.append(base if form == _PLAIN else foods.in_form(base, form) or base)
    return tuple(out)


def _diets(spans: Sequence[Span]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Diet ids, allergens said as a condition among them; those without a diet as foods."""
    ids = _unique(id_ for s in spans if s.kind == "diet" for id_ in s.value)
    diets = [meanings("diet_of").get(key(id_), id_) for id_ in ids]
    avoided = [meanings("food_of")[key(id_)] for id_ in diets if key(id_) in meanings("food_of")]
    return _unique(d for d in diets if key(d) not in meanings("food_of")), _unique(avoided)


def _scaled(spans: Sequence[Span]) -> tuple[list[Span], float | None]:
    """ "half the rice recipe": half is no amount of a food there, but scales the recipe."""
    out = list(spans)
    for span, after in pairwise(spans):
        if span.kind == "amount" and after.kind == "recipe":
            amount = span.value.amount
            if amount.unit is None and (amount.number < 1 or amount.number == 2):
                out.remove(span)
                return out, amount.number
    return out, None


def _dates(act: Act, found: Sequence[Word], spans: Sequence[Span]) -> dict[str, dt.date]:
    """A day spoken of, told apart from a best-by day by the word that announces it."""
    fields: dict[str, dt.date] = {}
    for span in spans:
        if span.kind != "date":
            continue
        announced = any(
            (hit := phrase_from(found, at, "announce")) is not None and hit[1] >= span.start - 1
            for at in range(max(0, span.start - 4), span.start)
        )
        day = span.value
        if isinstance(day, tuple):
            day = day[1] if act.looks == "back" and not announced else day[0]
            if day is None:
                continue  # "left from yesterday": no day to plan for
        fields.setdefault("until" if announced else "date", day)
    if "until" in fields and "date" not in fields:
        fields["date"] = fields["until"]
    return fields


def _marks(found: Sequence[Word], spans: Sequence[Span]) -> dict[str, Any]:
    """What became of a food, and other small words that change what is meant."""
    fields: dict[str, Any] = {}
    marks: list[str] = []
    taken = {i for s in spans if s.kind in ("food", "recipe") for i in range(s.start, s.end)}
    for at in range(len(found)):
        if at in taken:
            continue
        for fate in ("thrown", "given", "eaten"):
            if phrase_from(found, at, fate) is not None and "fate" not in fields:
                fields["fate"] = fate
        for mark in ("last", "half_left", "opened", "liked", "disliked", "everyone", "correction"):
            if phrase_from(found, at, mark) is not None and mark not in marks:
                marks.append(mark)
    fields["marks"] = tuple(marks)
    return fields


def evidence_of(
    found: Sequence[Word],
    changed: dict[int, str],
    spans: Sequence[Span],
) -> tuple[Evidence, ...]:
    """Which words made which part, for "why"; respelt words are marked."""
    out = []
    for span in spans:
        typed = " ".join(changed.get(i, found[i].text) for i in range(span.start, span.end))
        certain = not any(i in changed for i in range(span.start, span.end))
        out.append(Evidence(typed, span.kind.rstrip("?"), _meaning(span), certain))
    return tuple(out)


def _meaning(span: Span) -> str:
    value = span.value
    if isinstance(value, Measured):
        return str(value.amount)
    if isinstance(value, tuple):
        return ", ".join(str(part) for part in value if part is not None)
    return str(value)

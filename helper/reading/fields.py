"""Filling the fields of a Reading from what was found in the words."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import CAN, Foods
from helper.kitchen.quantities import Measured, line_words, phrase_at, unit_at
from helper.kitchen.units import units
from helper.kitchen.words import Word, key
from helper.reading.acts import Act
from helper.reading.reading import Evidence, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

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
    spans = _meant(act, found, [*spans, *(more for span in spans for more in span.also)])
    fields: dict[str, Any] = {}
    spans, scale = _scaled(spans)
    if scale is not None:
        fields["scale"] = scale
    fields["recipes"] = _recipes(spans)
    fields["amounts"], bare = _amounts(act, found, spans, foods)
    fields["foods"] = _foods(spans, bare, foods)
    if len(fields["foods"]) == 1 and not act.changes:
        fields["foods"] = _unique((*fields["foods"], *_other_forms(found, spans, foods)))
    fields["without"] = _unique(s.value for s in spans if s.kind == "without")
    if act.avoids:
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
        if value is not None:
            fields[name] = int(value) if name == "pick" else value
    fields.update(_dates(act, found, spans))
    fields.update(_marks(found, spans))
    if "without" not in act.takes and fields["without"]:
        fields["foods"] = _unique((*fields["foods"], *fields["without"]))
        fields["without"] = ()
    if "money" in act.takes and act.looks == "back" and "money" not in fields:
        _price_as_amount(found, spans, fields)
    keep = act.takes | {"per", "shop", "scale", "pick", "until", "fate", "marks"}
    return {name: value for name, value in fields.items() if name in keep and value}


def _unique(values: Any) -> tuple[Any, ...]:
    return tuple(dict.fromkeys(values))


def _meant(act: Act, found: Sequence[Word], spans: Sequence[Span]) -> list[Span]:
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
                and not (span.whole and "recipes" in act.takes)
            )
        else:
            beside = any(s.kind in ("food", "without") for s in spans)
            into = beside and (_goes_into(found, span.start) or _is_the(found, span.start))
            use_foods = bool(span.rivals) and not (span.whole or into)
        if use_foods:
            out.extend(span.rivals)
        else:
            out.append(span)
    return out


def _is_the(found: Sequence[Word], start: int) -> bool:
    return start > 0 and found[start - 1].text in ("the", "my", "our")


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
    return _unique(s.value[0] for s in spans if s.kind == "recipe")


def _foods(spans: Sequence[Span], packed: dict[int, str], foods: Foods) -> tuple[str, ...]:
    return _unique(packed.get(s.start, s.value) for s in spans if s.kind == "food")


def _other_forms(found: Sequence[Word], spans: Sequence[Span], foods: Foods) -> tuple[str, ...]:
    """ "fresh or frozen spinach", "are tinned carrots cheaper than fresh": the other form too."""
    food = next(s for s in spans if s.kind == "food")
    inside = range(food.start, food.end)
    out = []
    for at, word in enumerate(found):
        form = line_words("form").get((word.key,))
        if form is None or at in inside:
            continue
        beside = {found[i].text for i in (at - 1, at + 1) if 0 <= i < len(found)}
        if any(meanings("versus").get((text,)) is not None for text in beside):
            base = foods[food.value].base or food.value
            out.append(foods.in_form(base, form) or base)
    return tuple(out)


def _diets(spans: Sequence[Span]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Diet ids, allergens said as a condition among them; those without a diet as foods."""
    ids = _unique(id_ for s in spans if s.kind == "diet" for id_ in s.value)
    diets = [meanings("diet_of").get(key(id_), id_) for id_ in ids]
    avoided = [meanings("food_of")[key(id_)] for id_ in diets if key(id_) in meanings("food_of")]
    return _unique(d for d in diets if key(d) not in meanings("food_of")), _unique(avoided)


def _price_as_amount(found: Sequence[Word], spans: Sequence[Span], fields: dict[str, Any]) -> None:
    """ "milk 3.49 gal": dollars and cents with a unit behind them are the price of one."""
    for span in spans:
        if span.kind == "amount" and re.fullmatch(r"\d+\.\d\d", found[span.start].text):
            unit = span.value.amount.unit
            if unit is not None and len(fields["amounts"]) == 1:
                fields["money"] = Decimal(found[span.start].text)
                fields["amounts"] = (replace(fields["amounts"][0], amount=Amount(1.0, unit)),)


def _in_cans(found: Sequence[Word], start: int) -> bool:
    """ "tins of beans" without a number are the canned food all the same."""
    at = start - 2 if start > 1 and found[start - 1].text == "of" else start - 1
    unit = unit_at(list(found), at) if at >= 0 else None
    return unit is not None and unit[0].name == CAN


def _scaled(spans: Sequence[Span]) -> tuple[list[Span], float | None]:
    """ "half the rice recipe": half is no amount of a food there, but scales the recipe."""
    out = list(spans)
    for span, after in pairwise(spans):
        if span.kind == "amount" and after.kind == "recipe":
            amount = span.value.amount
            if amount.unit is None and amount.number in (0.5, 2.0):
                out.remove(span)
                return out, amount.number
    return out, None


def _amounts(
    act: Act, found: Sequence[Word], spans: Sequence[Span], foods: Foods
) -> tuple[tuple[Said, ...], dict[int, str]]:
    """Amounts tied to the foods they are said of, with the prices behind them.

    Also returns which food spans the package makes another food of ("4 tins of tomatoes").
    """
    said: list[Said] = []
    packed: dict[int, str] = {}
    used: set[int] = set()
    loose = not act.changes and act.name not in ("convert", "shopping", "swap")
    for i, span in enumerate(spans):
        if act.changes and span.kind == "food" and (one := _single(found, spans, i)) is not None:
            said.append(Said(one, span.value))
            used.add(span.start)
            continue
        if span.kind == "per" and (unit := _per_unit(found, span)) is not None:
            food = _food_beside(found, spans, i, used)
            if food is not None and "money" in act.takes:
                used.add(food.start)
                said.append(Said(unit, food.value))
            continue
        if span.kind != "amount" or (loose and _one_thing(found, span)):
            continue
        measured: Measured = span.value
        food = _food_beside(found, spans, i, used)
        name = None
        if food is not None:
            used.add(food.start)
            name = foods.as_packed(food.value, measured.amount.unit)
            if name != food.value:
                packed[food.start] = name
        elif measured.amount.unit is None and (
            not _stands_alone(found, span) or _is_price(act, found, span, said)
        ):
            continue
        elif said and said[-1].amount == Amount(1.0) and said[-1].food in _last_food(spans, i):
            # "a pot roast, about 4 pounds": the weight says how big the one is
            said[-1] = Said(measured.amount, said[-1].food)
            continue
        price, each = _price_after(spans, i)
        amount, size = measured.amount, measured.size
        if act.name == "convert" and size is not None:
            amount, size = size.times(amount.number), None
        said.append(Said(amount, name, size, None, price, each))
    for span in spans:
        if span.kind == "food" and span.start not in packed and _in_cans(found, span.start):
            packed[span.start] = foods.as_packed(span.value, CAN)
    return tuple(said), packed


def _single(found: Sequence[Word], spans: Sequence[Span], i: int) -> Amount | None:
    """ "a ham hock" that comes in or goes out is one."""
    at = spans[i].start - 1
    while at >= 0 and phrase_at(list(found), at, line_words("size")):
        at -= 1
    taken = any(s.start <= at < s.end for s in spans)
    if at < 0 or taken or found[at].text not in ("a", "an", "another"):
        return None
    return Amount(1.0)


def _per_unit(found: Sequence[Word], span: Span) -> Amount | None:
    """ "3.49 a pound": the price is for one pound."""
    unit = unit_at(list(found), span.end - 1) if span.value == "each" else None
    return Amount(1.0, unit[0].name) if unit else None


def _one_thing(found: Sequence[Word], span: Span) -> bool:
    """ "a loaf of bread", asked about and not counted: the bread is meant, not one of them."""
    unit = span.value.amount.unit
    measured = unit is not None and units()[unit].dimension in ("mass", "volume")
    return found[span.start].text in ("a", "an", "one") and not measured


def _is_price(act: Act, found: Sequence[Word], span: Span, said: Sequence[Said]) -> bool:
    """ "6 lb coffee for 24": what stands behind "for" there is money."""
    return (
        act.changes and "money" in act.takes and bool(said) and found[span.start - 1].text == "for"
    )


def _last_food(spans: Sequence[Span], i: int) -> tuple[str, ...]:
    return tuple(s.value for s in spans[:i] if s.kind == "food")[-1:]


def _stands_alone(found: Sequence[Word], span: Span) -> bool:
    """A bare number at the end of a sentence may count what was just talked about."""
    if span.end >= len(found) or not found[span.end].is_name:
        return True
    after = phrase_from(found, span.end, "polite")
    return after is not None and after[1] >= len(found)


def _food_beside(
    found: Sequence[Word], spans: Sequence[Span], i: int, used: set[int]
) -> Span | None:
    """The food an amount is said of: the next one, or else the one just before."""
    after = spans[i + 1] if i + 1 < len(spans) else None
    if after is not None and after.kind == "recipe" and after.rivals:
        after = after.rivals[0]
    if after is not None and after.kind in ("food", "without") and after.start not in used:
        between = [w.text for w in found[spans[i].end : after.start]]
        if len(between) <= 3 and not {",", "and", "at", "in"} & set(between):
            return after
    earlier = [span for span in spans[:i] if span.kind not in ("money", "price?", "per", "limit?")]
    before = earlier[-1] if earlier else None
    if before is not None and before.kind == "food" and before.start not in used:
        return before
    if after is not None and after.kind == "food" and after.start not in used:
        return after
    return None


def _price_after(spans: Sequence[Span], i: int) -> tuple[Decimal | None, bool]:
    for span in spans[i + 1 :]:
        if span.kind in ("money", "price?"):
            return span.value[0], span.value[1] == "each"
        if span.kind == "amount":
            return None, False
    return None, False


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

"""Amounts tied to what they are said of: "2 lb of butter at 3.49 each", "4 tins of tomatoes"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import CAN, Foods
from helper.kitchen.heats import scales
from helper.kitchen.quantities import Measured, line_words, phrase_at, unit_at
from helper.kitchen.units import units
from helper.kitchen.words import Word, key
from helper.reading.acts import Act
from helper.reading.reading import Said
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from, text_at

_PARTING = {",", ".", ";", "and", "at", "in"}  # what stands between an amount and the next thing


def amounts_said(
    act: Act, found: Sequence[Word], spans: Sequence[Span], foods: Foods
) -> tuple[tuple[Said, ...], dict[int, str]]:
    """Amounts tied to the foods they are said of, with the prices behind them.

    Also returns which food spans the package makes another food of ("4 tins of tomatoes").
    """
    said: list[Said] = []
    priced: list[Said] = []
    packed: dict[int, str] = {}
    used: set[int] = set()
    loose = not act.changes and act.name not in ("convert", "shopping", "swap")
    for i, span in enumerate(spans):
        begins = act.changes or act.name in ("shopping", "convert")
        begins = begins and span.kind == "food"
        if begins and (one := _single(found, spans, i)) is not None:
            said.append(Said(one, span.value))
            used.add(span.start)
            continue
        if span.kind == "per" and (unit := _per_unit(found, span)) is not None:
            food = _food_beside(found, spans, i, used)
            if food is not None and "money" in act.takes:
                used.add(food.start)
                price = _price_before(spans, i)
                priced.append(Said(unit, food.value, price=price, each=price is not None))
            continue
        paid = sum_behind(found, span) if act.changes and "money" in act.takes and said else None
        if paid is not None:
            said[-1] = said[-1] if said[-1].price else replace(said[-1], price=paid)
            continue
        if span.kind == "heat" and act.name == "convert" and not _names_food(spans):
            said.append(Said(Amount(span.value.low, scales()[span.value.scale].sign)))
            continue
        if span.kind == "scale" and (many := _times_food(found, spans, i, used)) is not None:
            said.append(many)
            continue
        if span.kind != "amount" or (loose and _one_thing(act, found, span)):
            continue
        if _is_part(found, span) or _is_of_recipe(spans, i) or _is_strange(found, spans, i):
            continue
        if act.changes and (
            _is_in_books(found, spans, i, bool(said)) or (said and _is_left(act, found, span))
        ):
            continue
        measured: Measured = span.value
        if said and _is_size(found, span, said[-1]):
            said[-1] = replace(said[-1], size=measured.amount)
            continue
        food = _food_beside(found, spans, i, used)
        name = None
        if food is None and said and _is_repaired(found, span, said[-1]):
            said[-1] = replace(said[-1], amount=measured.amount, size=measured.size)
            continue
        if food is not None:
            used.add(food.start)
            measured = _in_its_unit(found, food, measured)
            if said and text_at(found, span.end) == "of" and measured.amount.unit is None:
                # "two pounds of prunes and one of raisins"
                same = replace(measured.amount, unit=said[-1].amount.unit)
                measured = replace(measured, amount=same)
            name = foods.as_packed(_by_the_leaf(food.value, measured), measured.amount.unit)
            if name != food.value:
                packed[food.start] = name
        elif measured.amount.unit is None and (
            not _stands_alone(found, span) or _is_price(act, found, span, said)
        ):
            continue
        elif said and _is_whole(said[-1]) and said[-1].food in _last_food(spans, i):
            # "a pot roast, about 4 pounds": the weight says how big the one is
            said[-1] = Said(measured.amount, said[-1].food)
            continue
        elif measured.amount.unit is not None:
            name = _only_food(spans, i)
        price, each = _price_after(spans, i)
        amount, size = measured.amount, measured.size
        if act.name == "convert" and size is not None:
            amount, size = size.times(amount.number), None
        said.append(Said(amount, name, size, None, price, each))
    for span in spans:
        if span.kind == "food" and span.start not in packed and _in_cans(found, span.start):
            packed[span.start] = foods.as_packed(span.value, CAN)
    counted = {one.food for one in said}
    # what a price is for is the amount only where no other was said
    said += [one for one in priced if one.food not in counted]
    return tuple(said), packed


def _names_food(spans: Sequence[Span]) -> bool:
    return any(span.kind == "food" for span in spans)


def _in_its_unit(found: Sequence[Word], food: Span, measured: Measured) -> Measured:
    """ "2 brown loaves": the name of the food ends in what it is counted by."""
    unit = unit_at(list(found), food.end - 1) if measured.amount.unit is None else None
    if unit is None or not _holds(unit[0].name) or food.value.split()[-1] == unit[0].name:
        return measured
    return replace(measured, amount=replace(measured.amount, unit=unit[0].name))


def _single(found: Sequence[Word], spans: Sequence[Span], i: int) -> Amount | None:
    """ "a ham hock", "that pound of beef" that comes in or goes out is one."""
    own = unit_at(list(found), spans[i].start)
    if own is not None and text_at(found, own[1]) == "of" and _opens(found, spans[i].start):
        return Amount(1.0, own[0].name)  # "milk, loaf of bread"
    at = spans[i].start - 1
    while at >= 0 and _describes(found, at):
        at -= 1
    taken = {at for s in spans if s.kind != "pronoun" for at in range(s.start, s.end)}
    if at < 0 or at in taken:
        return None
    if phrase_from(found, at, "one_more"):
        # "in a cake" says what it was for
        return None if phrase_from(found, at - 1, "purpose") else Amount(1.0)
    unit = unit_at(list(found), at)
    if unit is not None and _holds(unit[0].name) and found[at].text != unit[0].plural:
        # "pkg hot dogs" in a list of things bought
        return Amount(1.0, unit[0].name)
    if text_at(found, at) == "of" and at - 1 not in taken:
        unit = unit_at(list(found), at - 1)
        said = (phrase_from(found, at - 2, kind) for kind in ("this_one", "new_one"))
        if unit is not None and (_opens(found, at - 1) or any(said)):
            return Amount(1.0, unit[0].name)
    return None


def _describes(found: Sequence[Word], at: int) -> bool:
    """True for a word between "a" and the food: "a large leek", "a mouldy lemon"."""
    small = {**line_words("size"), **line_words("descriptor")}
    return (found[at].key,) in {*small, *meanings("new_one"), *meanings("thrown")}


def _opens(found: Sequence[Word], at: int) -> bool:
    """ "lb of coffee is 5.25": a unit that begins a sentence, or the next thing, is one."""
    return at == 0 or text_at(found, at - 1) in (",", ";", "and")


def _is_repaired(found: Sequence[Word], span: Span, before: Said) -> bool:
    """ "Four cans of beans no wait five cans": said anew in the same breath."""
    unit = span.value.amount.unit
    slips = any(ended_by(found, span.start, kind) for kind in ("slip", "correction"))
    return slips and unit in (None, before.amount.unit) and text_at(found, span.start - 1) != "not"


def _is_size(found: Sequence[Word], span: Span, before: Said) -> bool:
    """ "2 cans of tuna, 6.5 oz each": what one of the packages holds."""
    unit = span.value.amount.unit
    packed = before.amount.unit is not None and _holds(before.amount.unit)
    fills = unit is not None and units()[unit].dimension in ("mass", "volume")
    each = phrase_from(found, span.end, "each") is not None
    return packed and fills and each and before.size is None and before.price is None


def _is_left(act: Act, found: Sequence[Word], span: Span) -> bool:
    """ "used a pound, so we're down to one": what is left after it was taken is not taken."""
    bare = span.value.amount.unit is None
    return act.looks == "back" and bare and ended_by(found, span.start, "leaves_left")


def _is_in_books(found: Sequence[Word], spans: Sequence[Span], i: int, counted: bool) -> bool:
    """ "it says 6 but I see 2", "5 tins, you have 4": what the books hold was not counted."""
    if not ended_by(found, spans[i].start, "books_say"):
        return False
    bare = spans[i].value.amount.unit is None and _stands_alone(found, spans[i])
    return (counted and bare) or any(span.kind == "amount" for span in spans[i + 1 :])


def _by_the_leaf(food: str, measured: Measured) -> str:
    """ "a bunch of coriander" is the herb, where the name alone means the spice."""
    by_leaf = measured.amount.unit is not None and key(measured.amount.unit) in meanings(
        "leaf_unit"
    )
    return meanings("food_by_leaf").get(key(food), food) if by_leaf else food


def _per_unit(found: Sequence[Word], span: Span) -> Amount | None:
    """ "3.49 a pound": the price is for one pound."""
    unit = unit_at(list(found), span.end - 1) if span.value == "each" else None
    return Amount(1.0, unit[0].name) if unit else None


def _one_thing(act: Act, found: Sequence[Word], span: Span) -> bool:
    """ "an egg", asked about and not counted: eggs are meant, not one of them.

    A package is counted only where the act is about what there is to cook with.
    """
    unit = span.value.amount.unit
    if text_at(found, span.start - 1) == "of":
        return found[span.start].text in ("a", "an")  # "nothing out of a tin"
    counted = unit is not None and (
        units()[unit].dimension in ("mass", "volume") or (act.lists and _holds(unit))
    )
    return found[span.start].text in ("a", "an", "one") and not counted


def _holds(unit: str) -> bool:
    return units()[unit].dimension == "package"


def _is_part(found: Sequence[Word], span: Span) -> bool:
    """ "half the gingerbread" is no half of a piece; how much it is, the stock tells."""
    bare = span.value.amount.unit is None
    return bare and phrase_from(found, span.end, "this_one") is not None


def _is_strange(found: Sequence[Word], spans: Sequence[Span], i: int) -> bool:
    """ "3 glorps of rice": so many of a measure nobody knows is no three of rice."""
    end = spans[i].end
    bare = spans[i].value.amount.unit is None and spans[i].value.size is None
    taken = {at for s in spans for at in range(s.start, s.end)}
    if not bare or text_at(found, end + 1) != "of" or end in taken or end + 2 not in taken:
        return False
    return (
        found[end].is_name
        and not any(
            (found[end].key,) in meanings(kind)
            for kind in ("small", "more", "left_over", "one_more")
        )
        and phrase_at(list(found), end, line_words("size")) == 0
    )


def _is_of_recipe(spans: Sequence[Span], i: int) -> bool:
    """ "one tuna casserole": how often a recipe was made is no amount of a food."""
    after = spans[i + 1] if i + 1 < len(spans) else None
    bare = spans[i].value.amount.unit is None
    return bare and after is not None and after.kind == "recipe" and after.start == spans[i].end


def _is_price(act: Act, found: Sequence[Word], span: Span, said: Sequence[Said]) -> bool:
    """ "6 lb coffee for 24": what stands behind "for" there is money."""
    return (
        act.changes and "money" in act.takes and bool(said) and found[span.start - 1].text == "for"
    )


def _is_whole(said: Said) -> bool:
    """One piece or one package: an amount said behind it tells how much that is."""
    unit = said.amount.unit
    return said.amount.number == 1 and (unit is None or _holds(unit))


def _only_food(spans: Sequence[Span], i: int) -> str | None:
    """ "yeast exp 3/27 one jar": where one food alone is named, an amount is of it.

    Not where another amount stands before that food: "24 tins of paint and a bag of rice".
    """
    foods = [at for at, span in enumerate(spans) if span.kind == "food"]
    if len(foods) != 1 or any(span.kind == "amount" for span in spans[i + 1 : foods[0]]):
        return None
    return str(spans[foods[0]].value)


def _times_food(
    found: Sequence[Word], spans: Sequence[Span], i: int, used: set[int]
) -> Said | None:
    """ "chicken breasts x 4", "1 x swede": so many of the food, where it is no recipe.

    "Half a pan of mash" counts the pans, and nobody knows what one holds.
    """
    leads = phrase_from(found, spans[i].start, "times") is not None
    if not leads and (found[spans[i].end - 1].key,) not in meanings("times"):
        return None
    beside = i - 1 if leads else i + 1
    food = spans[beside] if 0 <= beside < len(spans) else None
    if food is None or food.kind != "food" or food.start in used:
        return None
    if (food.end != spans[i].start) if leads else (spans[i].end != food.start):
        return None
    used.add(food.start)
    return Said(Amount(float(spans[i].value)), food.value)


def _last_food(spans: Sequence[Span], i: int) -> tuple[str, ...]:
    return tuple(s.value for s in spans[:i] if s.kind == "food")[-1:]


def _stands_alone(found: Sequence[Word], span: Span) -> bool:
    """A bare number at the end of a sentence may count what was just talked about."""
    if text_at(found, span.start - 1) in ("not", "of"):
        return False  # "5 tins, not 3", "4 eggs instead of 3"
    if [text_at(found, span.start - 2), text_at(found, span.start - 1)] == ["of", "the"]:
        return False  # "which of the two"
    if span.end >= len(found) or not found[span.end].is_name:
        return True
    after = phrase_from(found, span.end, "polite")
    return after is not None and after[1] >= len(found)


def _food_beside(
    found: Sequence[Word], spans: Sequence[Span], i: int, used: set[int]
) -> Span | None:
    """The food an amount is said of: the next one, or else the one just before."""
    after = next((span for span in spans[i + 1 :] if span.kind != "pronoun"), None)
    if after is not None and after.kind == "recipe" and after.rivals:
        after = after.rivals[0]
    if after is not None and after.kind in ("food", "without") and after.start not in used:
        between = [w.text for w in found[spans[i].end : after.start]]
        apart = _PARTING & set(between) or any(
            phrase_from(found, at, "parted") for at in range(spans[i].end, after.start)
        )
        if len(between) <= (5 if between[:1] == ["of"] else 3) and not apart:
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


def _price_before(spans: Sequence[Span], i: int) -> Decimal | None:
    """ "eggs 2.49 a dozen": the price that stands just before what it is for."""
    before = spans[i - 1] if i else None
    if before is None or before.kind not in ("money", "price?") or before.end != spans[i].start:
        return None
    return Decimal(before.value[0])


def sum_behind(found: Sequence[Word], span: Span) -> Decimal | None:
    """ "A bag of rice for 5": nobody is fed by what came in, so that is what it cost."""
    bare = span.kind == "servings" and span.length == 1
    paid = bare and text_at(found, span.start - 1) == "for"
    return Decimal(str(span.value)) if paid else None


def _in_cans(found: Sequence[Word], start: int) -> bool:
    """ "tins of beans" without a number are the canned food all the same."""
    at = start - 2 if start > 1 and found[start - 1].text == "of" else start - 1
    unit = unit_at(list(found), at) if at >= 0 else None
    if unit is None or unit[0].name != CAN:
        return False
    # "how long can cooked rice keep" speaks of no can
    return (
        at < start - 1
        or found[at].text != CAN
        or phrase_from(found, at - 1, "one_more") is not None
    )


def price_as_amount(found: Sequence[Word], spans: Sequence[Span], fields: dict[str, Any]) -> None:
    """ "milk 3.49 gal": dollars and cents with a unit behind them are the price of one."""
    for span in spans:
        if span.kind == "amount" and re.fullmatch(r"\d+\.\d\d", found[span.start].text):
            unit = span.value.amount.unit
            if unit is not None and len(fields["amounts"]) == 1:
                fields["money"] = Decimal(found[span.start].text)
                fields["amounts"] = (replace(fields["amounts"][0], amount=Amount(1.0, unit)),)

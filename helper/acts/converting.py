"""Amounts from one measure into another: through units, through a food, through its forms.

What is asked for is told from the words: the unit that stands outside of any amount ("how many
cups in 5 lb"), and the form that the food does not have yet ("cooked, from 10 lb dry"). What is
not known is said to be unknown and asked for; nothing is taken for granted.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import msgspec

from helper.acts.house import House
from helper.acts.wording import of_food, unit_json
from helper.answers import Answer, Because, Items, Say, asking, sorry
from helper.kitchen.amounts import Amount, written
from helper.kitchen.cautions import Temperature
from helper.kitchen.facts import state
from helper.kitchen.forms import across
from helper.kitchen.heats import Heat, Mark, mark_asked, read_heat, scales, scales_named
from helper.kitchen.quantities import line_words, phrase_at, read_amount, unit_at
from helper.kitchen.units import units
from helper.kitchen.words import Word, words
from helper.reading.frame import number
from helper.reading.reading import Reading
from helper.reading.spelling import respelt

_MOST = 1e6  # grams; a household weighs out less than a ton
_WEIGHTS = ("g", "oz")
_UNCOOKED = frozenset({"dry", "dried", "raw"})
_BELOW_ZERO = re.compile(r"(?:^|\s)-\s?\d|\bminus \d")
_NEAR = {"oz": "fl oz"}  # of a volume, "ounces" are fluid ounces where no food is named


class _Wish(msgspec.Struct, frozen=True):
    """What is to be turned into what. `units` [] where no unit was asked for."""

    amount: Amount
    size: Amount | None
    have: str | None
    need: str | None
    units: tuple[str | None, ...]
    detail: str = ""


class _Result(msgspec.Struct, frozen=True):
    amount: Amount
    basis: tuple[str, ...]


def convert(reading: Reading, house: House) -> Answer:
    """Amounts, weights, yields and temperatures."""
    heat = _degrees(reading) or read_heat(reading.said)
    if heat is not None and not (reading.foods and _food_said(reading)):
        mark = mark_asked(reading.said, heat)
        return _mark(reading, heat, mark) if mark else _heat(reading, heat)
    wanted = house.cautions.book.heat_asked(reading.said, reading.foods)
    if wanted is not None:
        return _safe_heat(reading, wanted)
    found, _ = respelt(words(reading.said), house.names.speller)
    wish = _wish(reading, found, house)
    if wish is None:
        return _how_much(reading)
    if wish.amount.number <= 0 or _absurd(wish.amount) or _BELOW_ZERO.search(reading.said):
        return sorry(
            reading,
            "That is no amount I can work with: it has to be more than nothing"
            " and less than a ton.",
        )
    results = []
    if wish.units and not _food_said(reading):
        # "how many ounces in a quart" is not about what was just talked of
        plain = msgspec.structs.replace(wish, have=None, need=None)
        results = _results(plain, house)
        wish = plain if results else wish
    results = results or _results(wish, house)
    if not results:
        return _unknown(reading, wish, house)
    return _answer(reading, wish, results, house)


def _degrees(reading: Reading) -> Heat | None:
    """ "And 400?" after "350 F in celsius": degrees of the scale before."""
    for one in reading.amounts:
        for name, scale in scales().items():
            if one.amount.unit == scale.sign:
                return Heat(one.amount.number, one.amount.number, name)
    return None


def _food_said(reading: Reading) -> bool:
    """True where this very sentence names a food, or points at one."""
    kinds = {one.kind for one in reading.evidence}
    return not kinds or bool(kinds & {"food", "recipe", "pronoun", "without"})


# -- what is asked -----------------------------------------------------------------------------


def _wish(reading: Reading, found: list[Word], house: House) -> _Wish | None:
    said = reading.amounts[0] if reading.amounts else None
    amount, size, inside = _spoken(found)
    if said is not None and units()[said.amount.unit or "piece"].dimension != "temperature":
        amount, size = said.amount, said.size
    foods = reading.foods
    have = (said.food if said else None) or (foods[0] if foods else None)
    if amount is None:
        amount = _one_of(found, have, house)
    if amount is None:
        return None
    have, need = _forms(have, foods, found, house)
    if have is not None and amount.unit == "can":
        have = house.foods.in_form(have, "canned") or have
    wanted = _units(found, inside, have)
    if not wanted and amount.unit is not None and have is not None and _counts(found, have, house):
        wanted = (None,)
    return _Wish(amount, size, have, need if need != have else None, wanted, _detail(found))


def _spoken(found: list[Word]) -> tuple[Amount | None, Amount | None, set[int]]:
    """The first amount in the words, its package size, and which words all amounts take."""
    first = size = None
    inside: set[int] = set()
    at = 0
    while at < len(found):
        measured = read_amount(found, at)
        if measured is None:
            at += 1
            continue
        if first is None:
            first, size = measured.amount, measured.size
        inside.update(range(at, measured.after))
        at = max(measured.after, at + 1)
    return first, size, inside


def _one_of(found: Sequence[Word], food: str | None, house: House) -> Amount | None:
    """ "a potato", "an egg", "a large egg": one piece."""
    sizes = line_words("size")
    for spot in house.foods.spot(found):
        at = spot.start
        while at and (found[at - 1].key,) in sizes:
            at -= 1
        if at and found[at - 1].text in ("a", "an", "one"):
            return Amount(1.0)
    return None


def _units(found: list[Word], inside: set[int], food: str | None) -> tuple[str | None, ...]:
    """Units that stand outside of any amount. Packages and parts only where they are counted."""
    wanted: list[str | None] = []
    for at, word in enumerate(found):
        if at in inside or len(word.text) < 2 and word.text.isalpha():
            continue
        hit = unit_at(found, at)
        if hit is None or any(i in inside for i in range(at, hit[1])):
            continue
        before = found[at - 1].text if at else ""
        if hit[0].dimension in ("package", "piece") and before not in ("many", "in", "to", "into"):
            continue
        wanted.append(None if hit[0].name == "piece" else hit[0].name)
    return tuple(dict.fromkeys(wanted))


def _counts(found: Sequence[Word], food: str, house: House) -> bool:
    """ "how many eggs in a cup": the food itself is what is counted."""
    return any(
        spot.food == food and spot.start and found[spot.start - 1].text == "many"
        for spot in house.foods.spot(found)
    )


def _detail(found: list[Word]) -> str:
    """A size or a cut that the table of weights knows: "large", "chopped"."""
    for meaning in ("cut", "size"):
        table = line_words(meaning)
        for at in range(len(found)):
            if length := phrase_at(found, at, table):
                return table[tuple(word.key for word in found[at : at + length])]
    return ""


def _forms(
    have: str | None, foods: Sequence[str], found: list[Word], house: House
) -> tuple[str | None, str | None]:
    """The food the amount is of, and the food it is to become, where two forms are named."""
    if have is None:
        return None, None
    listed = house.foods
    base = listed[have].base or have
    said = {
        line_words("form")[tuple(word.key for word in found[at : at + length])]
        for at in range(len(found))
        if (length := phrase_at(found, at, line_words("form")))
    }
    other = next((food for food in foods if food != have and _kin(food, base, house)), None)
    if other is not None:
        return have, other
    mine = state(listed[have].form)
    if mine == "cooked" and said & (_UNCOOKED | {"canned"}):
        wanted = "canned" if "canned" in said else "dry"
        return listed.in_form(base, wanted) or base, have
    cooked = listed.in_form(have, "cooked") if mine != "cooked" else None
    if cooked is not None and (at := _word_of("cooked", found)) is not None:
        counted = at > 0 and at - 1 in _spoken(found)[2]
        # "how much dry rice for 6 cups cooked": the amount is of the cooked food
        return (cooked, have) if counted and said & _UNCOOKED else (have, cooked)
    return have, None


def _kin(food: str, base: str, house: House) -> bool:
    return (house.foods[food].base or food) == base


def _word_of(form: str, found: Sequence[Word]) -> int | None:
    return next((at for at, word in enumerate(found) if word.text == form), None)


# -- how it is worked out ----------------------------------------------------------------------


def _results(wish: _Wish, house: House) -> list[_Result]:
    wanted = wish.units or _usual(wish)
    found = (_through(wish, unit, house) for unit in wanted)
    return [one for one in found if one is not None and one.amount.number > 0]


def _usual(wish: _Wish) -> tuple[str | None, ...]:
    """The measures a cook would like to hear where none was named, not the one said."""
    if wish.need is not None:
        return ("cup", *_WEIGHTS)
    kind = units()[wish.amount.unit or "piece"].dimension
    if wish.have is None:
        same = ("g", "oz", "lb") if kind == "mass" else ("cup", "tbsp", "ml", "fl oz")
        return tuple(unit for unit in same if unit != wish.amount.unit)
    if kind == "mass":
        other = "g" if units()[wish.amount.unit or "piece"].kind == "us" else "oz"
        return ("cup", other)
    return (*_WEIGHTS, "cup") if kind != "volume" else _WEIGHTS


def _through(wish: _Wish, unit: str | None, house: House) -> _Result | None:
    if wish.have is None:
        for one in (unit, _NEAR.get(unit or "")):
            plain = wish.amount.to(one) if one else None
            if plain is not None:
                return _Result(plain, (_defined(one),))
        near = _NEAR.get(wish.amount.unit or "")
        plain = Amount(wish.amount.number, near).to(unit) if near else None
        return _Result(plain, (_defined(unit),)) if plain is not None else None
    measures = house.measures
    if wish.need is not None:
        return _into_form(wish, unit, house)
    # what is weighed is weighed as bought, with its peel; measures of the kitchen are without
    weighed = units()[wish.amount.unit or "piece"].dimension == "mass"
    bought = weighed and units()[unit or "piece"].dimension != "mass"
    found = measures.convert(wish.have, wish.amount, unit, wish.detail, wish.size, bought=bought)
    return _Result(found.amount, found.basis or (_defined(unit),)) if found is not None else None


def _into_form(wish: _Wish, unit: str | None, house: House) -> _Result | None:
    """Dry into cooked and the like; a general name goes by the first of its sorts with figures."""
    measures, foods = house.measures, house.foods
    have, need = wish.have or "", wish.need or ""
    met = across(measures, have, wish.amount, need, unit, wish.detail, wish.size)
    if met is not None:
        return _Result(met.amount, met.basis)
    plain = foods[have].base or have
    for sort in measures.facts.yield_foods():
        if sort == have or not foods.covers(plain, sort):
            continue
        forms = [foods.in_form(sort, foods[food].form) or sort for food in (have, need)]
        met = across(measures, forms[0], wish.amount, forms[1], unit, wish.detail, wish.size)
        if met is not None:
            return _Result(met.amount, (f"{plain} is taken for {sort}", *met.basis))
    return None


def _defined(unit: str | None) -> str:
    return f"by definition ({units()[unit or 'piece'].source})"


def _absurd(amount: Amount) -> bool:
    grams = amount.to("g")
    return amount.number > _MOST or (grams is not None and grams.number > _MOST)


# -- what is said ------------------------------------------------------------------------------


def _answer(reading: Reading, wish: _Wish, results: Sequence[_Result], house: House) -> Answer:
    first, *more = results
    food = wish.need or wish.have
    left = of_food(wish.amount, wish.have) if wish.have else written(wish.amount)
    backward = wish.have is not None and state(house.foods[wish.have].form) == "cooked"
    many = wish.amount.number != 1 and wish.amount.unit is None
    verb = ("takes" if backward else "makes") if wish.need else "are" if many else "is"
    shown = [written(one.amount) for one in results]
    named = of_food(first.amount, wish.need) if wish.need else None
    right = named or (f"{shown[0]} ({', '.join(shown[1:])})" if more else shown[0])
    if wish.need and more:
        right = f"{right} ({', '.join(shown[1:])})"
    if first.amount.unit is None and food and not wish.need:
        right = of_food(Amount(round(first.amount.number, 1)), food)
    basis = list(dict.fromkeys(line for one in results for line in one.basis))
    about = "" if _exact(first) else "about "
    reply = {
        "amount": _rounded(first.amount.number),
        "unit": unit_json(first.amount.unit),
        "food": food,
        "basis": basis,
        "more": [
            {"amount": _rounded(one.amount.number), "unit": unit_json(one.amount.unit)}
            for one in more
        ],
    }
    because = Because(
        f"{left} {verb} {about}{right}", "conversion", because=tuple(Because(b) for b in basis)
    )
    capital = left[0].upper() + left[1:]
    return Answer(
        reading,
        reply,
        (Say(f"{capital} {verb} {about}{right}."), Items(tuple(basis))),
        because=(because,),
        foods=tuple(f for f in (wish.have, wish.need) if f),
    )


def _rounded(value: float) -> int | float | None:
    """Four digits: more than any kitchen can weigh."""
    return number(float(f"{value:.4g}"))


def _exact(result: _Result) -> bool:
    return all(line.startswith("by definition") for line in result.basis)


def _how_much(reading: Reading) -> Answer:
    if not reading.foods:
        return sorry(
            reading,
            "Tell me an amount and what to turn it into.",
            ("how many cups in 5 lb of flour", "350 F in celsius", "how many tsp in a cup"),
        )
    food = reading.foods[0]
    return asking(reading, f"How much {food}?", (f"1 cup of {food}", f"1 lb of {food}"), "amounts")


def _unknown(reading: Reading, wish: _Wish, house: House) -> Answer:
    unit = wish.units[0] if wish.units else _usual(wish)[0]
    if wish.have is None:
        return asking(
            reading,
            f"Of which food? {written(wish.amount)} weighs more of one than of another.",
            (),
            "foods",
        )
    if wish.need is not None:
        return sorry(
            reading,
            f"I have no figure for how much {wish.need} comes from {wish.have}. Weigh a batch"
            " before and after cooking, and you will know for next time.",
        )
    missing = house.measures.unknown(wish.have, wish.amount, unit, wish.size)
    return asking(reading, f"I do not know {missing.what}. {missing.ask}", (), "amount")


def _safe_heat(reading: Reading, heat: Temperature) -> Answer:
    """How hot something has to get, or to be kept."""
    rest = f", then {heat.rest_minutes} minutes of rest" if heat.rest_minutes else ""
    note = f" ({heat.note})" if heat.note else ""
    name = heat.food[0].upper() + heat.food[1:]
    text = f"{name}: {heat.fahrenheit:.0f} F ({heat.celsius:.0f} C){rest}{note}."
    reply = {
        "amount": number(heat.fahrenheit),
        "unit": "F",
        "food": heat.food,
        "basis": [heat.source],
        "more": [{"amount": number(heat.celsius), "unit": "C"}],
    }
    because = Because(text, "safe temperature", heat.source)
    return Answer(reading, reply, (Say(text),), because=(because,), foods=reading.foods)


def _mark(reading: Reading, heat: Heat, mark: Mark) -> Answer:
    """The nearest number on the cooker's own dial."""
    text = f"{heat} is about {mark.heat.words} ({mark.heat})."
    reply = {
        "amount": number(mark.number),
        "unit": mark.name,
        "food": None,
        "basis": [mark.heat.source],
        "more": [{"amount": number(round(mark.heat.low)), "unit": scales()[mark.heat.scale].sign}],
    }
    because = Because(text, "conversion", mark.heat.source)
    return Answer(reading, reply, (Say(text),), because=(because,))


def _heat(reading: Reading, heat: Heat) -> Answer:
    others = [one for one in scales_named(reading.said) if one != heat.scale]
    target = others[0] if others else next(one for one in scales() if one != heat.scale)
    if heat.words:
        target = others[0] if others else heat.scale
    result = heat.to(target)
    left = heat.words or str(heat)
    basis = [heat.source] if heat.source else []
    if target != heat.scale:
        basis.append(scales()[target].source)
    more = [] if target == heat.scale or not heat.words else [heat]
    if heat.words and target == heat.scale:
        more = [heat.to(next(one for one in scales() if one != heat.scale))]
    shown = str(result) + "".join(f" ({one})" for one in more)
    reply = {
        "amount": number(round(result.low)),
        "unit": scales()[target].sign,
        "food": None,
        "basis": basis,
        "more": [
            {"amount": number(round(one.low)), "unit": scales()[one.scale].sign} for one in more
        ],
    }
    because = Because(f"{left} is {shown}", "conversion", because=tuple(Because(b) for b in basis))
    return Answer(
        reading, reply, (Say(f"{left[0].upper()}{left[1:]} is {shown}."),), because=(because,)
    )

"""What came into the house, as lots: sizes, prices and places worked out from what was said.

Whatever was not said is taken from what this house last bought of the food, then from the tables
of usual packages and keeping; each such step is told. What neither knows is asked.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import NamedTuple

from helper.acts.gaps import Ask, sound_amount, sound_money
from helper.acts.house import House
from helper.acts.items import items_of
from helper.acts.wording import day_written
from helper.household.places import usual_place
from helper.kitchen.amounts import Amount, written
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.units import spellings, units
from helper.kitchen.words import words
from helper.reading.reading import Reading, Said

# A price said in a whole number of millionths loses nothing worth a cent over any shelf.
_EXACT = Decimal("0.000001")


class Note(NamedTuple):
    """Something taken for granted, and where it is known from."""

    text: str
    source: str = ""


class Put(NamedTuple):
    """One lot to be put away, and what was taken for granted on the way."""

    lot: Lot
    notes: tuple[Note, ...]


class Priced(NamedTuple):
    """Packages of one size and what ONE of them costs."""

    size: Amount
    packages: float
    package: str | None
    price: Decimal | None
    notes: tuple[Note, ...] = ()


def put_away(reading: Reading, house: House) -> list[Put]:
    """Every item of an add-stock request as a lot. Raises Ask or Refuse."""
    items = items_of(reading, house.foods)
    alone = len(items) == 1
    found = []
    for said, food in items:
        sound_amount(said.amount, food)
        priced = price_of(said, food, reading, house, alone)
        place, told = place_of(food, reading, house)
        bought = _bought(reading, house.today)
        best_by, dated = _best_by(food, place, bought, reading, house)
        lot = Lot(
            0,
            food,
            Amount(priced.size.number * priced.packages, priced.size.unit),
            priced.size,
            priced.packages,
            priced.package,
            priced.price,
            place,
            bought,
            best_by,
            shop=reading.shop,
            claims=reading.claims if alone else (),
        )
        found.append(Put(lot, (*priced.notes, *told, *dated)))
    return found


# -- sizes and prices ----------------------------------------------------------------------


def price_of(said: Said, food: str, reading: Reading, house: House, alone: bool) -> Priced:
    """Packages, their size and the price of one: "4 tins at 1.15 each", "2 lb for 7.50"."""
    money = sound_money(said.price)
    if money is None and alone:
        money = sound_money(reading.money if reading.money is not None else _bare_sum(reading))
    package = said.package or said.amount.unit
    if package is not None and units()[package].dimension == "package":
        size, notes = size_of(food, package, said.size, house)
        count = said.amount.number
        return Priced(size, count, package, _each(money, count, said, reading), notes)
    if said.size is not None and said.size.unit != said.amount.unit:
        size, count = said.size, said.amount.number
        return Priced(size, count, None, _each(money, count, said, reading))
    return _loose(said, money, reading)


def _bare_sum(reading: Reading) -> Decimal | None:
    """ "2 lb of butter for 7": nobody is fed by a purchase, so the number is what it cost."""
    for one in reading.evidence:
        if one.kind == "servings" and one.words.isdigit():
            return Decimal(one.words)
    return None


def _loose(said: Said, money: Decimal | None, reading: Reading) -> Priced:
    """Goods by weight or piece: one piece of shopping, unless the price is for one unit of it."""
    whole = Amount(said.amount.number, said.amount.unit)
    if money is None or not _is_each(said, reading):
        return Priced(whole, 1, None, money)
    per = per_said(reading, said.amount) or said.amount.unit
    one = said.size or Amount(1, per)
    one = one.to(said.amount.unit) or Amount(1, said.amount.unit)
    if not one.number:
        return Priced(whole, 1, None, money)  # "6 for 0 oz" is the price of nothing
    count = whole.number / one.number
    if count >= 1 and abs(count - round(count)) < 1e-6:
        return Priced(one, float(round(count)), None, money)
    return Priced(whole, 1, None, (money * Decimal(repr(count))).quantize(_EXACT))


def _is_each(said: Said, reading: Reading) -> bool:
    """True where the price is for one. "At" names the price of one, "for" that of all."""
    if said.each or reading.per == "each":
        return True
    if reading.per == "total":
        return False
    found = [word.text for word in words(reading.said)]
    price = said.price if said.price is not None else reading.money
    for at, text in enumerate(found):
        if text in ("at", "@") and price is not None:
            after = [one for one in found[at + 1 : at + 3] if one.lstrip(".")[:1].isdigit()]
            if after and Decimal(after[0].replace(",", "").split("/")[0]) == price:
                return True
    return False


def per_said(reading: Reading, amount: Amount | None) -> str | None:
    """The unit a price is said to be for: "a pound", "per dozen"; None where none is.

    With an amount only units that measure it count.
    """
    for one in reading.evidence:
        if one.kind in ("money", "price", "per"):
            for word in one.words.split()[::-1]:
                unit = spellings().get(word)
                if unit is not None and (
                    amount is None or Amount(1, unit).to(amount.unit) is not None
                ):
                    return unit
    return None


def _each(money: Decimal | None, count: float, said: Said, reading: Reading) -> Decimal | None:
    if money is None or count == 1 or _is_each(said, reading):
        return money
    return (money / Decimal(repr(count))).quantize(_EXACT)


def size_of(
    food: str, package: str, told: Amount | None, house: House
) -> tuple[Amount, tuple[Note, ...]]:
    """The contents of one package: as said, as last bought here, as usual; else it is asked."""
    if told is not None:
        return told, ()
    own = last_size(food, package, house)
    if own is not None:
        return own, ()
    fact = next(
        (
            one
            for one in house.books.told("size")
            if one.food == food and one.package == package and one.size
        ),
        None,
    )
    if fact is not None and fact.size is not None:
        return fact.size, ()
    for usual in house.measures.packages(food):
        if usual.package == package:
            shown = f"one {package} of {food} is taken as {written(usual.amount)}, the usual one"
            return usual.amount, (Note(shown, usual.source),)
    raise Ask(f"How big is one {package} of {food}?", about="size")


def last_size(food: str, package: str, house: House) -> Amount | None:
    """The size in which this house last bought or saw a package of a food."""
    known: list[tuple[dt.date, int, Amount]] = [
        (lot.bought or dt.date.min, lot.id, lot.size)
        for lot in house.books.lots()
        if lot.food == food and lot.package == package and lot.made_from is None
    ]
    known += [
        (seen.date or dt.date.min, 0, seen.size)
        for seen in house.books.prices(food)
        if seen.package == package
    ]
    return max(known, key=lambda one: one[:2])[2] if known else None


def paid(lot: Lot) -> PriceSeen | None:
    """The price of a lot as an entry of the price book."""
    if lot.price is None:
        return None
    return PriceSeen(0, lot.food, lot.size, lot.price, lot.package, lot.shop, lot.bought, paid=True)


# -- days and places -----------------------------------------------------------------------


def _bought(reading: Reading, today: dt.date) -> dt.date:
    said = reading.date
    if said is not None and said != reading.until and said < today:
        return said
    return today


def _best_by(
    food: str, place: str, bought: dt.date, reading: Reading, house: House
) -> tuple[dt.date | None, tuple[Note, ...]]:
    """The date said, or else the short end of the book of keeping, which is then told."""
    if reading.until is not None:
        return reading.until, ()
    kept = house.keeping.time(food, place)
    if kept is None or kept.never:
        return None, ()
    day = bought + dt.timedelta(days=kept.days_min)
    goes_by = f", going by {kept.food}" if kept.borrowed else ""
    note = f"no date was said for {food}; the book of keeping gives "
    note += f"{day_written(day, house.today)}{goes_by}"
    return day, (Note(note, kept.source),)


def place_of(food: str, reading: Reading, house: House) -> tuple[str, tuple[Note, ...]]:
    """Where a food goes: as said, where it last stood, or where such foods are kept."""
    if reading.place is not None:
        return reading.place, ()
    before = [lot for lot in house.books.lots() if lot.food == food and lot.made_from is None]
    if before:
        newest = max(before, key=lambda lot: (lot.bought or dt.date.min, lot.id))
        return newest.place, ()
    usual = usual_place(food, house.foods[food].form, house.keeping)
    if usual is None:
        return "shelf", (Note(f"no place was said for {food}, so it is down as on the shelf"),)
    return usual, ()

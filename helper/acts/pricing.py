"""What a food costs and has cost: the latest, the lowest, the way it is going."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Sequence
from decimal import Decimal
from typing import Any

import msgspec

from helper.acts.gaps import Ask, answer_to
from helper.acts.house import House
from helper.acts.looking import meant_by
from helper.acts.putting import per_said
from helper.acts.wording import day_json, day_written, size_written
from helper.answers import Answer, Bars, Because, Block, Column, Say, Table
from helper.kitchen.amounts import Amount, unit_written, written
from helper.kitchen.money import CENT, fine, plain
from helper.kitchen.money import written as money_written
from helper.kitchen.prices import Known
from helper.kitchen.units import units
from helper.reading.frame import number
from helper.reading.reading import Reading

# Less than this apart is the same price.
_SAME = Decimal("0.02")
_BARE = re.compile(r"(?<![\d.])\d+\.\d\d(?![\d.])")
_MOST_ROWS, _MOST_BARS, _FEWEST_BARS = 12, 12, 3


class Rate(msgspec.Struct, frozen=True):
    """A known price by the unit: `each` for one `unit`; None where the size does not convert."""

    known: Known
    unit: str | None
    each: Decimal | None


def rates(food: str, known: Iterable[Known], house: House) -> list[Rate]:
    """Prices by the unit in which they are usually compared, all in the same one."""
    prices = list(dict.fromkeys(known))
    if not prices:
        return []
    unit = usual_unit(prices[0].size)
    return [Rate(one, unit, per_unit(one, unit, house)) for one in prices]


def usual_unit(size: Amount) -> str | None:
    """The unit by which shops compare: pounds, kilos, quarts, liters, pieces."""
    measure = units()[size.unit or "piece"]
    metric = measure.kind == "metric"
    if measure.dimension == "mass":
        return "kg" if metric else "lb"
    if measure.dimension == "volume":
        return "l" if metric else "quart"
    return size.unit


def per_unit(known: Known, unit: str | None, house: House) -> Decimal | None:
    """What one unit costs at a price, or None where its size does not convert."""
    whole = house.measures.convert(known.food, known.size, unit)
    if whole is None or not whole.amount.number:
        return None
    return fine(known.price / Decimal(repr(whole.amount.number)))


def per_unit_written(each: Decimal, unit: str | None, currency: str, food: str = "") -> str:
    """ "$1.59/lb", "$0.27 each"."""
    shown = money_written(each, currency)
    if each < CENT and each:
        shown = f"{each.normalize():f} {currency}"
    return f"{shown}/{unit_written(unit, 1)}" if unit is not None else f"{shown} each"


def known_prices(reading: Reading, house: House) -> Answer:
    """What a food costs, and has cost."""
    foods = reading.foods or tuple(one.food for one in reading.amounts if one.food)
    if not foods:
        return answer_to(reading, Ask("The price of what?"))
    food = foods[0]
    found = _known(food, reading, house)
    if not found:
        where = f" at the {reading.shop}" if reading.shop else ""
        text = f"No price is known for {food}{where}. Tell me one when you see it."
        reply: dict[str, Any] = {"food": food, "latest": None, "lowest": None, "history": []}
        return Answer(reading, reply, (Say(text),), foods=(food,))
    here = rates(food, found, house)
    latest = here[0]
    lowest = min(here, key=lambda one: (one.each is None, one.each or one.known.price))
    trend = _trend(here)
    reply = {
        "food": food,
        "latest": plain(latest.known.price),
        "lowest": plain(lowest.known.price),
        "latest_seen": rate_json(latest),
        "lowest_seen": rate_json(lowest),
        "trend": trend[0],
        "unit": latest.unit,
        "history": [rate_json(one) for one in here],
    }
    blocks: list[Block] = [Say(_headline(food, latest, lowest, house))]
    if trend[1]:
        blocks.append(Say(trend[1]))
    blocks += _judged(reading, food, here, house)
    blocks += _shown(here, house)
    because = tuple(Because(str(one.known), source="the household's price book") for one in here)
    return Answer(reading, reply, tuple(blocks), because=because, foods=(food,))


def _known(food: str, reading: Reading, house: House) -> list[Known]:
    """Prices of the food itself, or of its sorts and forms, newest first, as far as asked for."""
    prices = house.prices
    found = list(prices.history(food)) or list(prices.candidates(food))
    if not found:
        found = _of_sorts(food, house)
    if reading.days is not None:
        # further back than the calendar goes is as far back as it goes
        days = min(reading.days, (house.today - dt.date.min).days)
        since = house.today - dt.timedelta(days=days)
        found = [one for one in found if one.date is not None and one.date >= since]
    if reading.shop:
        found = [one for one in found if one.shop == reading.shop]
    return found


def _of_sorts(food: str, house: House) -> list[Known]:
    """Prices of everything that a person may mean by a wide name."""
    names = dict.fromkeys(
        [seen.food for seen in house.books.prices()]
        + [lot.food for lot in meant_by(food, house.books.lots(), house)]
    )
    wanted = [one for one in names if one == food or house.foods.covers(food, one)]
    found = [known for name in wanted for known in house.prices.history(name)]
    return sorted(found, key=lambda one: one.date or dt.date.min, reverse=True)


def rate_json(rate: Rate) -> dict[str, Any]:
    """One price as programs get it."""
    known = rate.known
    return {
        "food": known.food,
        "date": day_json(known.date),
        "shop": known.shop,
        "price": plain(known.price),
        "amount": number(known.size.number),
        "unit": known.size.unit,
        "package": known.package,
        "per_unit": None if rate.each is None else str(rate.each),
        "per": rate.unit,
    }


def _headline(food: str, latest: Rate, lowest: Rate, house: House) -> str:
    known = latest.known
    name = known.food if known.food != food else food
    said = f"{name[0].upper()}{name[1:]}: {_seen(latest, house)}"
    if lowest.known == known or (lowest.each == latest.each and lowest.each is not None):
        return f"{said}, the lowest known."
    return f"{said}. Lowest known: {_seen(lowest, house)}."


def _seen(rate: Rate, house: House) -> str:
    known = rate.known
    size = size_written(known.size, known.package)
    said = f"{money_written(known.price, house.currency)} for {size}"
    if rate.each is not None and not (known.size.number == 1 and known.size.unit == rate.unit):
        said += f" ({per_unit_written(rate.each, rate.unit, house.currency)})"
    where = f" at the {known.shop}" if known.shop else ""
    when = f", {day_written(known.date, house.today)}" if known.date else ""
    return said + where + when


def _trend(here: Sequence[Rate]) -> tuple[str | None, str]:
    """Up, down or level against the price before, in a word and in a sentence."""
    known = [one for one in here if one.each is not None and one.known.food == here[0].known.food]
    if len(known) < 2:
        return None, ""
    now, before = known[0].each, known[1].each
    if now is None or not before:
        return None, ""
    change = (now - before) / before
    if abs(change) < _SAME:
        return "level", "It costs what it did before."
    word = "up" if change > 0 else "down"
    return word, f"It is {word} {abs(change) * 100:.0f}% on the price before."


def _judged(reading: Reading, food: str, here: Sequence[Rate], house: House) -> list[Block]:
    """ "Is 3.49 a good price for butter?": the price said against those known."""
    paid = reading.money or _bare_price(reading.said)
    if paid is None:
        return []
    known = [one for one in here if one.each is not None]
    unit = per_said(reading, None)
    size = next((said.amount for said in reading.amounts), None)
    size = size or (Amount(1, unit) if unit else here[0].known.size)
    asked = per_unit(Known(food, size, paid), here[0].unit, house)
    if asked is None or not known:
        return []
    better = sum(1 for one in known if one.each is not None and one.each < asked)
    shown = per_unit_written(asked, here[0].unit, house.currency)
    what = f"{money_written(paid, house.currency)} for {written(size)} is {shown}"
    if not better:
        return [Say(f"{what}: as good as any price known.", "good")]
    if better == len(known):
        return [Say(f"{what}: dearer than every price known.", "warn")]
    return [Say(f"{what}: {better} of {len(known)} known prices are lower.")]


def _bare_price(said: str) -> Decimal | None:
    """A sum without its sign: where prices are asked about, 2.50 is money."""
    found = _BARE.findall(said)
    return Decimal(found[0]) if len(found) == 1 else None


def _shown(here: Sequence[Rate], house: House) -> list[Block]:
    """Bars where there are enough prices to compare by eye, and the list of them."""
    if len(here) < 2:
        return []
    blocks: list[Block] = []
    foods = {one.known.food for one in here}
    if len(foods) == 1:
        bars = [one for one in reversed(here[:_MOST_BARS]) if one.each is not None]
        title = "by the unit, oldest first"
    else:
        newest: dict[str, Rate] = {}
        for one in here:
            newest.setdefault(one.known.food, one)
        bars = [one for one in newest.values() if one.each is not None][:_MOST_BARS]
        title = "by the unit, the latest of each"
    if len(bars) >= _FEWEST_BARS:
        rows = tuple(
            (
                _bar_label(one, foods, house),
                float(one.each or 0),
                per_unit_written(one.each or Decimal(0), one.unit, house.currency),
            )
            for one in bars
        )
        blocks.append(Bars(rows, title))
    columns = [Column("day"), Column("shop"), Column("size"), Column("price", right=True)]
    if len(foods) > 1:
        columns.insert(0, Column("food"))
    rows_ = []
    for one in here[:_MOST_ROWS]:
        known = one.known
        row = [
            day_written(known.date, house.today) if known.date else "",
            known.shop or "",
            size_written(known.size, known.package),
            money_written(known.price, house.currency),
        ]
        rows_.append(tuple([known.food, *row] if len(foods) > 1 else row))
    blocks.append(Table(tuple(columns), tuple(rows_)))
    return blocks


def _bar_label(rate: Rate, foods: Collection[str], house: House) -> str:
    if len(foods) > 1:
        return rate.known.food
    return day_written(rate.known.date, house.today) if rate.known.date else "no date"

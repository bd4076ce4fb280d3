"""What is not in the house for a recipe or several that are cooked together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from helper.acts.diners import diners
from helper.acts.dishes import easy, recipes_meant
from helper.acts.house import House
from helper.acts.stand_ins import fitting_for, stand_in_json, stand_in_written, stand_ins
from helper.acts.wording import amount_json, listed, of_food, packed
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.buying import Buy, Till, needs, to_buy
from helper.kitchen.matching import HAVE, PART, UNSURE, LineMatch, Match, match_all
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.units import units
from helper.reading.frame import number
from helper.reading.reading import Reading


def missing(reading: Reading, house: House) -> Answer:
    """What to buy for the recipes that are meant; they share the stock. Raises Ask or Refuse."""
    recipes = recipes_meant(reading, house)
    found = match_all(recipes, house.stock)
    lines = [line for one in found for line in one.lines]
    till = to_buy(needs(lines), house.prices, house.measures)
    fitting = fitting_for(house, diners(reading, house))
    swaps = [one for dish in found for one in stand_ins(dish, fitting)]
    titles = tuple(recipe.title for recipe in recipes)
    reply = {
        "missing": [_line_json(line) for one in found for line in one.missing],
        "have": [_line_json(line) for one in found for line in one.have],
        "unsure": [_line_json(line) for one in found for line in one.unsure],
        "to_buy": [buy_json(buy) for buy in till.buys],
        "till_cost": plain(till.known),
        "unpriced": list(till.unpriced),
        "swaps": [stand_in_json(one) for one in swaps],
        "recipes": [{"recipe": one.title, "servings": number(one.servings)} for one in recipes],
    }
    blocks: list[Block] = [Say(_headline(found, till, house.currency))]
    blocks += _blocks(found, till, house)
    if swaps:
        blocks.append(Say("Or from the house:"))
        blocks.append(Items(tuple(stand_in_written(one) for one in swaps)))
    told = [line for one in found for line in (*one.missing, *one.unsure)] or [
        line for one in found for line in one.have
    ]
    because = tuple(_because(line) for line in told)
    short = tuple(dict.fromkeys(line.food for one in found for line in one.missing if line.food))
    return Answer(
        reading,
        reply,
        tuple(blocks),
        because=(*because, *(_bought(buy, house.currency) for buy in till.buys)),
        recipes=titles,
        foods=short or reading.foods,
        people=tuple(reading.people),
    )


def buy_json(buy: Buy) -> dict[str, Any]:
    """A line of what to buy; `amount` and `unit` are the contents of one package."""
    return {
        "food": buy.food,
        "packages": buy.packages,
        "package": buy.package,
        **amount_json(buy.size if buy.packages is not None else _wanted(buy)),
        "cost": plain(buy.cost),
    }


def _wanted(buy: Buy) -> Amount | None:
    return next((need.amount for need in buy.wanted if need.amount), None)


def _line_json(line: LineMatch) -> dict[str, Any]:
    amount = line.short if line.state in (PART, "missing") and line.short else line.amount
    return {"food": line.food or line.line.text, **amount_json(amount)}


def _headline(found: Sequence[Match], till: Till, currency: str) -> str:
    names = listed([_dish(one) for one in found])
    if not till.buys:
        unsure = [line.food or line.line.text for one in found for line in one.unsure]
        if unsure:
            return f"Nothing is surely missing for {names}, but check: {listed(unsure)}."
        return f"Nothing is missing for {names}."
    things = "1 thing" if len(till.buys) == 1 else f"{len(till.buys)} things"
    least = "at least " if till.unpriced else ""
    cost = f"{least}{money_written(till.total, currency)}"
    if len(till.unpriced) == len(till.buys):
        return f"{things} to buy for {names}; the price is not known."
    return f"{things} to buy for {names}: {cost} at the till."


def _dish(one: Match) -> str:
    servings = one.recipe.servings
    return f"{one.recipe.title} (for {number_written(servings)})" if servings else one.recipe.title


def _blocks(found: Sequence[Match], till: Till, house: House) -> Iterator[Block]:
    if till.buys:
        yield Table(
            (Column("Buy"), Column("Short of"), Column("Costs", True)),
            tuple(
                (bought_written(buy), _short_of(buy), money_written(buy.cost, house.currency))
                for buy in till.buys
            ),
        )
    else:
        have = sum(len(one.have) for one in found)
        need = "they need" if len(found) > 1 else "it needs"
        unsure = any(one.unsure for one in found)
        yield Say(f"{'The other' if unsure else 'All'} {have} things {need} are in the house.")
    told = [note for one in found for line in one.lines for note in line.notes]
    asks = [
        one.ask
        for dish in found
        for line in dish.unsure
        if not any(draw.doubtful for draw in line.draws)
        for one in line.unknown
    ]
    if told or asks:
        yield Items(tuple(_capital(one) for one in dict.fromkeys((*told, *asks))))
    unread = [line.line.text for one in found for line in one.lines if line.state == "unread"]
    if unread:
        yield Say(f"Could not be read, look yourself: {'; '.join(unread)}.", "warn")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def bought_written(buy: Buy) -> str:
    """ "2 bags of navy bean, 1 lb each"; without a known package, what is short of it."""
    if buy.packages is None or buy.size is None:
        return buy.food
    if buy.package is None:
        if buy.size.number == 1:
            return of_food(buy.size.times(buy.packages), buy.food)
        return f"{buy.packages} × {of_food(buy.size, buy.food)}"
    each = " each" if buy.packages > 1 else ""
    return f"{packed(buy.packages, buy.package)} of {buy.food}, {written(buy.size)}{each}"


def _short_of(buy: Buy) -> str:
    said = [written(easy(_up(need.amount))) for need in buy.wanted if need.amount]
    return " + ".join(said) or "some"


def _up(amount: Amount) -> Amount:
    """What is counted is short by whole ones: nobody buys 2.43 stalks."""
    if units()[amount.unit or "piece"].dimension in ("piece", "package"):
        return Amount(float(math.ceil(amount.number - 1e-6)), amount.unit)
    return amount


def _because(line: LineMatch) -> Because:
    there = tuple(
        Because(f"{written(draw.amount)} of {draw.lot.food} is there", because=tuple(
            Because(one) for one in draw.basis))
        for draw in line.draws
    )  # fmt: skip
    if line.amount is None or line.food is None:
        return Because(f"{line.food or line.line.text}: none in the house", "stock", because=there)
    said = f"{of_food(line.amount, line.food)} is asked for"
    if line.state == HAVE:
        said += " and there"
    elif line.state == UNSURE:
        said += ", but I do not know " + " or ".join(one.what for one in line.unknown)
    else:
        said += f", {written(line.short or line.amount)} is missing"
    return Because(said, "stock", because=there)


def _bought(buy: Buy, currency: str) -> Because:
    said = f"{bought_written(buy)}: {money_written(buy.cost, currency)}"
    return Because(said, "whole packages", because=tuple(Because(one) for one in buy.basis))

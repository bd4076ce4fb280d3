"""A menu as it is told: days, what to buy, what to do ahead, what it costs, what was given up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from helper.acts.house import House
from helper.acts.menu_making import Order, is_sure
from helper.acts.wording import amount_json, day_written, listed, packed, unit_json
from helper.answers import Answer, Because, Block, Caution, Column, Items, Say, Table
from helper.kitchen.ahead import Ahead, ahead, by_day
from helper.kitchen.amounts import number_written, written
from helper.kitchen.menus import Bought, Plan, Planned
from helper.kitchen.money import plain, to_cents
from helper.kitchen.money import written as money
from helper.reading.frame import number
from helper.reading.reading import Reading

_USED = 6


def told(reading: Reading, house: House, order: Order, found: Plan, **more: Any) -> Answer:
    """The menu as an answer; `more` are further fields of the answer (changed …)."""
    prep = by_day(
        one
        for meal in found.meals
        for one in ahead(meal.date, meal.match, house.measures, house.today)
    )
    lead = more.pop("lead", "")
    blocks: list[Block] = [Say(lead or _first_line(order, found, house))]
    blocks.append(_days_table(order, found, house))
    swaps = tuple(
        dict.fromkeys(
            f"{meal.recipe.title}: {'; '.join(meal.candidate.swaps)}"
            for meal in found.meals
            if meal.candidate.swaps
        )
    )
    if swaps:
        blocks += [Say("Swaps", "title"), Items(swaps)]
    blocks += _money_lines(order, found, house)
    if found.bought:
        blocks.append(_buy_table(found, house))
    if prep:
        lines = tuple(f"{day_written(one.date, house.today)}: {one.text}"
                      f"{_late(one)}" for one in prep)  # fmt: skip
        blocks += [Say("To do ahead", "title"), Items(lines)]
    blocks += [Say(text, "warn") for text in given_up(order, found)]
    blocks += [Say(text, "quiet") for text in _asides(order, found)]
    return Answer(
        reading,
        reply_of(order, found, prep),
        tuple(blocks),
        cautions=_cautions(prep),
        because=because(order, found, house),
        offered=tuple(meal.recipe.title for meal in found.meals),
        recipes=tuple(dict.fromkeys(meal.recipe.title for meal in found.meals)),
        **more,
    )


def _first_line(order: Order, found: Plan, house: House) -> str:
    till = money(found.till, house.currency)
    least = "at least " if found.unpriced else ""
    count = len(found.meals)
    meals = f"{count} {order.slot}{'s' if count != 1 else ''}"
    if not found.bought:
        return f"{meals} from what is in the house, nothing to buy."
    if not found.till:
        foods = listed(dict.fromkeys(found.unpriced))
        return f"{meals} from what is in the house, but for {foods}, whose price I do not know."
    under = ""
    if order.budget is not None:
        under = f", within your {money(order.budget, house.currency)}"
    return f"{meals} for {least}{till} at the till{under}."


def _days_table(order: Order, found: Plan, house: House) -> Table:
    rows = []
    for meal in found.meals:
        each = meal.costed.per_serving
        cost = "?" if each is None else money(each, house.currency)
        if meal.costed.at_least:
            cost = f"{cost}+"
        rows.append((_day(meal.date), _dish(meal), cost))
        if order.leftovers:
            rows.append((_day(meal.date + dt.timedelta(days=1)),
                         f"lunch: the rest of the {meal.recipe.title.lower()}", ""))  # fmt: skip
    columns = (Column("Day"), Column("Dish"), Column("A serving", right=True))
    return Table(columns, tuple(rows))


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _dish(meal: Planned) -> str:
    said = meal.recipe.title
    if meal.candidate.swaps:
        said += " (with swaps)"
    if meal.candidate.verdict not in ("yes", "with-swaps", "check"):
        said += f" ({meal.candidate.verdict})"
    elif not is_sure(meal.candidate):
        said += " (check the labels)"
    return said


def _money_lines(order: Order, found: Plan, house: House) -> list[Block]:
    eaten = money(found.eaten, house.currency)
    least = "at least " if found.at_least else ""
    lines = [f"What is eaten comes to {least}{eaten}, "
             f"{money(a_head(order, found), house.currency)} a head a day "
             f"for {portions_written(order)}."]  # fmt: skip
    if found.used_up:
        foods = list(dict.fromkeys(lot.food for lot in found.used_up))[:_USED]
        lines.append(f"Uses what is due: {listed(foods)}.")
        if found.till > found.least:
            more = money(found.till - found.least, house.currency)
            lines.append(f"A menu that left it would come {more} cheaper at the till.")
    return [Say(line) for line in lines]


def diners(order: Order) -> float:
    """Adult portions at the table, on the first day."""
    return order.who.all[0].portions


def portions_written(order: Order) -> str:
    """ "6 1/2", or "5 1/4 to 6 1/2" where not everybody is there every day."""
    counts = sorted({one.portions for one in order.who.all})
    ends = dict.fromkeys((number_written(counts[0]), number_written(counts[-1])))
    return " to ".join(ends)


def a_head(order: Order, found: Plan) -> Decimal:
    """Eaten cost of one adult portion's share of one day."""
    cooked = sum(meal.recipe.servings or 0 for meal in found.meals)
    portions = cooked / 2 if order.leftovers else cooked
    return to_cents(found.eaten / Decimal(repr(portions or 1)))


def _buy_table(found: Plan, house: House) -> Table:
    rows = tuple(
        (one.sold.food, packed_as(one), money(one.cost, house.currency)) for one in found.bought
    )
    columns = (Column("To buy"), Column("Packages"), Column("Cost", right=True))
    return Table(columns, rows)


def packed_as(one: Bought) -> str:
    """ "2 bags of 1 lb"; "some" where no package of it is known."""
    if one.packages is None or one.sold.size is None:
        return "as much as it takes"
    if one.sold.package:
        return f"{packed(one.packages, one.sold.package)} of {written(one.sold.size)}"
    return f"{one.packages} x {written(one.sold.size)}"


def _late(one: Ahead) -> str:
    return " There is less time than that: begin at once." if one.late else ""


def given_up(order: Order, found: Plan) -> list[str]:
    """What could not be kept, one sentence each."""
    lines = []
    again = [one.name for one in found.missed if one.kind == "again"]
    for one in found.missed:
        if one.kind == "missing":
            days = "day is" if one.by == 1 else "days are"
            lines.append(f"Too few dishes fit: {one.by} {days} left without one.")
        elif one.kind == "wish":
            lines.append(f"Nothing that fits was found for: {one.name}.")
    if again:
        lines.append(f"Too few dishes fit for no repeats: {listed(dict.fromkeys(again))} "
                     f"within {order.wanted.window} days of itself.")  # fmt: skip
    checks = [meal.recipe.title for meal in found.meals if meal.candidate.verdict == "check"]
    if checks:
        names = listed(dict.fromkeys(checks))
        lines.append(f'Read the labels for {names}; ask "can everyone have it" for what to look '
                     "at.")  # fmt: skip
    barred = [f"{meal.recipe.title} is {meal.candidate.verdict}" for meal in found.meals
              if meal.candidate.verdict.startswith("not for")]  # fmt: skip
    if barred:
        lines.append(f"{'; '.join(dict.fromkeys(barred))}: nothing else was left.")
    return lines


def _asides(order: Order, found: Plan) -> list[str]:
    lines = list(order.assumed)
    if found.unpriced:
        lines.append(f"No price is known for {listed(found.unpriced)}.")
    if found.unsure:
        lines.append(f"I could not measure {listed(found.unsure[:_USED])}: look before you cook.")
    if not found.proved:
        near = f", at most {found.gap:.1%} above the cheapest" if found.gap else ""
        lines.append(f"The best found in the time there was{near}; not proved to be the cheapest.")
    if not order.whole:
        lines.append(f"The {len(order.pool)} dishes looked at are those with least to buy.")
    if any(one.kind != "tier" for one in found.missed):
        lines += left_out_written(order)
    return lines


def left_out_written(order: Order) -> list[str]:
    """ "Left out: 11 recipes with no number of servings and 2 no dinner."; [] where none was."""
    counts = [f"{count} {why}" for why, count in order.left_out]
    return [f"Recipes left out: {listed(counts)}."] if counts else []


def _cautions(prep: Sequence[Ahead]) -> tuple[Caution, ...]:
    late = [one for one in prep if one.late]
    return tuple(
        Caution(f"ahead-{place}", "caution", one.text, one.source)
        for place, one in enumerate(late[:1])
    )


# -- for programs ----------------------------------------------------------------------------


def reply_of(order: Order, found: Plan, prep: Sequence[Ahead]) -> dict[str, Any]:
    """The contract's fields, and what else a program may want to know."""
    return {
        "days": days_json(order, found),
        "till_cost": plain(found.till),
        "eaten_cost": plain(found.eaten),
        "to_buy": [bought_json(one) for one in found.bought],
        "optimal": found.proved and order.whole,
        "prep": [{"date": one.date.isoformat(), "text": one.text, "source": one.source}
                 for one in prep],
        "cost_per_head_day": plain(a_head(order, found)),
        "at_least": found.at_least or bool(found.unpriced),
        "unpriced": list(found.unpriced),
        "cheapest_till": plain(found.least),
        "uses_soon": list(dict.fromkeys(lot.food for lot in found.used_up)),
        "servings": number(diners(order)),
        "given_up": [{"kind": one.kind, "what": one.name, "by": one.by} for one in found.missed],
    }  # fmt: skip


def days_json(order: Order, found: Plan) -> list[dict[str, Any]]:
    """Each day with its meals, lunches of leftovers among them."""
    days: dict[dt.date, list[dict[str, Any]]] = {}
    for meal in found.meals:
        if order.leftovers:
            days.setdefault(meal.date, [])
            lunch = {"recipe": meal.recipe.title, "slot": "lunch",
                     "servings": number((meal.recipe.servings or 0) / 2),
                     "leftover": True}  # fmt: skip
            days.setdefault(meal.date + dt.timedelta(days=1), []).append(lunch)
        days.setdefault(meal.date, []).append({
            "recipe": meal.recipe.title,
            "servings": number(meal.recipe.servings or 0),
            "slot": order.slot,
            "cost": plain(meal.costed.total),
            "verdict": meal.candidate.verdict,
            "swaps": list(meal.candidate.swaps),
        })  # fmt: skip
    return [{"date": date.isoformat(), "meals": meals} for date, meals in sorted(days.items())]


def bought_json(one: Bought) -> dict[str, Any]:
    """One line of what to buy; `amount` is what ONE package holds."""
    size = one.sold.size
    shop = one.sold.known.shop if one.sold.known else None
    return {
        "food": one.sold.food,
        "packages": one.packages,
        "package": None if one.sold.package is None else unit_json(one.sold.package),
        **amount_json(size),
        "cost": plain(one.cost),
        "shop": shop,
    }


def because(order: Order, found: Plan, house: House) -> tuple[Because, ...]:
    """The limits and prices behind the plan."""
    till = [
        Because(
            f"{one.sold.food}: {packed_as(one)}, {money(one.cost, house.currency)}",
            source=f"latest price: {one.sold.known}" if one.sold.known else "no price known",
        )
        for one in found.bought
    ]
    proved = "proved to be the least" if found.proved else "the least found in the time there was"
    missed = "; ".join(given_up(order, found)) or "every wish is kept"
    eaten = [
        Because(f"{meal.recipe.title}: {money(meal.costed.total, house.currency)}",
                source="the lots it draws on, at their own prices")
        for meal in found.meals
    ]  # fmt: skip
    rule = ("stock on hand is free, packages are bought whole, days share them; what is due and "
            "used counts against the till with its price (half of it from the shelf)")  # fmt: skip
    return (
        Because(f"{money(found.till, house.currency)} at the till: {proved} over "
                f"{len(order.pool)} dishes", rule, "integer programme over this house's books",
                tuple(till)),
        Because(f"{money(found.eaten, house.currency)} eaten", because=tuple(eaten)),
        Because(missed, "wishes go before the till cost"),
    )  # fmt: skip

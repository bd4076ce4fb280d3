"""What things cost: a dish or an amount of food, prices seen, and which of two is cheaper."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts.comparing import cheaper
from helper.acts.dishes import recipes_meant, unscaled
from helper.acts.gaps import Ask, Refuse, answer_to, sound_amount, sound_money
from helper.acts.house import House
from helper.acts.making import as_made
from helper.acts.pricing import known_prices, per_unit, per_unit_written, rates, usual_unit
from helper.acts.putting import Note, Priced, per_said, price_of, size_of
from helper.acts.wording import amount_json, day_json, listed, of_food, sentence, size_written
from helper.answers import Answer, Because, Block, Column, Say, Table
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.costing import Costed, LineCost
from helper.kitchen.costing import cost as costing
from helper.kitchen.lots import PriceSeen
from helper.kitchen.matching import match
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.prices import Known
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.units import units
from helper.kitchen.words import words
from helper.reading.frame import number
from helper.reading.reading import Reading, Said

__all__ = ["cheaper", "cost", "price", "record_price"]


# -- a dish ----------------------------------------------------------------------------------


def cost(reading: Reading, house: House) -> Answer:
    """What a dish costs, or an amount of a food: eaten, a serving, and at the till."""
    if not reading.recipes and (reading.amounts or reading.foods):
        found = _bare(reading, house)
        if found is not None:
            return found
    bare = next((one for one in reading.amounts if one.food is None and one.amount.unit), None)
    if bare is not None and not (reading.recipes or reading.foods):
        return answer_to(reading, Ask(f"{written(bare.amount)} of what?"))
    try:
        recipes = recipes_meant(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    if len(recipes) == 1:
        recipes = (as_made(recipes[0], reading, house),)
    answers = [_of_recipe(recipe, reading, house) for recipe in recipes]
    first = answers[0]
    if len(answers) == 1:
        return first
    blocks = tuple(block for one in answers for block in one.blocks[:1])
    reply = {**first.reply, "recipes": [one.reply for one in answers]}
    because = tuple(tree for one in answers for tree in one.because)
    titles = tuple(recipe.title for recipe in recipes)
    return Answer(reading, reply, blocks, because=because, recipes=titles)


def _of_recipe(recipe: Recipe, reading: Reading, house: House) -> Answer:
    costed = costing(match(recipe, house.stock), house.prices, house.measures)
    reply = cost_json(costed)
    reply["recipe"] = recipe.title
    blocks: list[Block] = [Say(_headline(recipe, costed, house))]
    if unscaled(recipe, reading):
        blocks.append(Say("The recipe does not say how many it serves; this is one batch.", "warn"))
    blocks += _budget(reading, costed, house)
    blocks += _lines(costed, house)
    return Answer(
        reading,
        reply,
        tuple(blocks),
        because=(_because(recipe.title, costed, house),),
        recipes=(recipe.title,),
    )


def _bare(reading: Reading, house: House) -> Answer | None:
    """ "What does 2 cups of flour cost": amounts of foods, costed as a dish of nothing else."""
    said = [one for one in reading.amounts if one.food]
    if not said and len(reading.foods) == 1 and len(reading.amounts) == 1:
        said = [Said(reading.amounts[0].amount, reading.foods[0], reading.amounts[0].size)]
    if not said:
        if reading.foods and not _some_title(reading, house):
            return price(reading, house)
        return None
    try:
        for one in said:
            sound_amount(one.amount, one.food or "")
    except Refuse as gap:
        return answer_to(reading, gap)
    foods = tuple(one.food for one in said if one.food)
    lines = tuple(
        Line(of_food(one.amount, one.food or ""), one.food, one.amount, one.size) for one in said
    )
    name = listed(line.text for line in lines)
    costed = costing(match(Recipe(0, name, lines), house.stock), house.prices, house.measures)
    reply = cost_json(costed)
    if costed.unpriced:
        text = f"I know no price for {listed(costed.unpriced)} that could be measured by that."
    else:
        text = f"{name[0].upper()}{name[1:]}: {money_written(costed.total, house.currency)}."
    blocks: list[Block] = [Say(text)]
    if len(costed.lines) == 1 and costed.lines[0].basis:
        blocks.append(Say(sentence(costed.lines[0].basis[0]), "quiet"))
    elif len(costed.lines) > 1:
        blocks += _lines(costed, house)
    because = (_because(name, costed, house),)
    return Answer(reading, reply, tuple(blocks), because=because, foods=foods)


def price(reading: Reading, house: House) -> Answer:
    """What a food costs, and has cost; an amount of it that was said is costed first."""
    answer = known_prices(reading, house)
    amount = next((said.amount for said in reading.amounts), None) or _amount_said(reading)
    if reading.money is not None or amount is None or not answer.foods:
        return answer
    said = Said(amount, answer.foods[0])
    asked = _bare(replace(reading, amounts=(said,), foods=answer.foods), house)
    if asked is None or not asked.understood or asked.reply.get("total") is None:
        return answer
    reply = {**answer.reply, "total": asked.reply["total"], "lines": asked.reply["lines"]}
    return replace(
        answer,
        reply=reply,
        blocks=(*asked.blocks, *answer.blocks),
        because=(*asked.because, *answer.because),
    )


def _amount_said(reading: Reading) -> Amount | None:
    """An amount among the words that the reading of a price has no place for."""
    for one in reading.evidence:
        if one.kind == "amount" and (measured := read_amount(words(one.words))) is not None:
            return measured.amount
    return None


def _some_title(reading: Reading, house: House) -> bool:
    """True where a recipe is named after the foods said."""
    titles = house.books.recipe_titles()
    return any(all(food in title for food in reading.foods) for title in titles)


def cost_json(costed: Costed) -> dict[str, Any]:
    """The contract's fields. The total is null where nothing at all has a known price."""
    priced = [line for line in costed.lines if line.cost is not None]
    nothing = bool(costed.lines) and not priced
    till = costed.till
    return {
        "total": None if nothing else plain(costed.total),
        "per_serving": None if nothing else plain(costed.per_serving),
        "till_cost": None if till is None else plain(till.known),
        "servings": number(costed.servings),
        "lines": [_line_json(line) for line in costed.lines],
        "unpriced": list(costed.unpriced),
        "at_least": costed.at_least,
        "optional": [_line_json(line) for line in costed.optional],
        "free": [_line_json(line) for line in costed.free],
        "till_unpriced": list(till.unpriced) if till is not None else [],
    }


def _line_json(line: LineCost) -> dict[str, Any]:
    food = line.food or line.match.line.text
    return {
        "food": food,
        **amount_json(line.amount),
        "cost": plain(line.cost),
        "basis": "; ".join(line.basis),
    }


def _headline(recipe: Recipe, costed: Costed, house: House) -> str:
    serves = f" for {number_written(recipe.servings)}" if recipe.servings else ""
    if costed.at_least and not costed.total:
        return f"No price is known for anything in {recipe.title}."
    least = "at least " if costed.at_least else ""
    said = f"{recipe.title}{serves} costs {least}{money_written(costed.total, house.currency)}"
    if costed.per_serving is not None:
        said += f", {least}{money_written(costed.per_serving, house.currency)} a serving"
    return f"{said}."


def _budget(reading: Reading, costed: Costed, house: House) -> list[Block]:
    """Whether it stays within a sum that was said."""
    if reading.money is None:
        return []
    a_head = reading.per in ("head", "each")
    value = costed.per_serving if a_head else costed.total
    if value is None:
        return []
    limit = money_written(reading.money, house.currency) + (" a serving" if a_head else "")
    if value > reading.money:
        return [Say(f"That is over {limit}.", "warn")]
    if costed.at_least:
        return [Say(f"What is priced stays under {limit}; the rest is not known.", "warn")]
    return [Say(f"That is within {limit}.", "good")]


def _lines(costed: Costed, house: House) -> list[Block]:
    def row(line: LineCost, note: str = "") -> tuple[str, ...]:
        amount = written(line.amount) if line.amount is not None else ""
        shown = money_written(line.cost, house.currency) if line.cost is not None else "no price"
        return (f"{line.food or line.match.line.text}{note}", amount, shown)

    rows = [row(line) for line in costed.lines]
    rows += [row(line, " (optional, not counted)") for line in costed.optional]
    blocks: list[Block] = [
        Table((Column("food"), Column("amount"), Column("cost", right=True)), tuple(rows))
    ]
    if costed.unpriced:
        blocks.append(
            Say(f"No price known: {listed(costed.unpriced)}. Tell me one when you see it.", "warn")
        )
    till = costed.till
    if till is not None and till.buys:
        what = listed(buy.food for buy in till.buys)
        paid = f"{money_written(till.total, house.currency)} at the till in whole packages"
        if till.unpriced:
            paid = f"at least {paid}" if till.total else "at prices not known"
        blocks.append(Say(f"To buy for it: {what}, {paid}."))
    elif till is not None:
        blocks.append(Say("Everything for it is in the house.", "good"))
    return blocks


def _because(title: str, costed: Costed, house: House) -> Because:
    least = "at least " if costed.at_least else ""
    total = money_written(costed.total, house.currency)
    lines = tuple(
        Because(
            f"{line.food or line.match.line.text}"
            + (f", {written(line.amount)}" if line.amount is not None else "")
            + f": {money_written(line.cost, house.currency)}",
            because=tuple(Because(one) for one in line.basis),
        )
        for line in costed.lines
    )
    return Because(
        f"{title} costs {least}{total}",
        "each line by the lots it would be drawn from, else by the latest price; rounded once",
        "the household's books",
        lines,
    )


# -- a price seen ----------------------------------------------------------------------------


def record_price(reading: Reading, house: House) -> Answer:
    """A price seen, nothing bought."""
    try:
        seen = [_seen(said, food, reading, house) for said, food in _priced_items(reading)]
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    entries = [entry for entry, _ in seen]
    compared = [_compared(entry, house) for entry in entries]

    def prepare(draft: Draft) -> None:
        for entry in entries:
            draft.add("prices", entry)

    what = listed(_entry_written(entry, house) for entry in entries)
    house.books.change(
        prepare, act="record-price", said=reading.said, summary=f"Noted the price of {what}"
    )
    blocks: list[Block] = [Say(f"Noted: {what}.", "good")]
    blocks += [Say(text) for text in compared if text]
    blocks += [Say(sentence(note.text), "quiet") for _, notes in seen for note in notes]
    reply = _entry_json(entries[0])
    if len(entries) > 1:
        reply["prices"] = [_entry_json(entry) for entry in entries]
    return Answer(
        reading,
        reply,
        tuple(blocks),
        changed=True,
        foods=tuple(entry.food for entry in entries),
    )


def _priced_items(reading: Reading) -> list[tuple[Said, str]]:
    items = [(said, said.food) for said in reading.amounts if said.food]
    named = {food for _, food in items}
    loose = [said for said in reading.amounts if not said.food]
    bare = [food for food in reading.foods if food not in named]
    if bare and loose:
        items += [(said, food) for said, food in zip(loose, bare, strict=False)]
    elif bare:
        unit = per_said(reading, None)
        size = Amount(1, unit) if unit is not None else Amount(0, None)
        items += [(Said(size, food, each=unit is not None), food) for food in bare]
    if not items:
        raise Ask("The price of what?")
    return items


def _seen(
    said: Said, food: str, reading: Reading, house: House
) -> tuple[PriceSeen, tuple[Note, ...]]:
    money = sound_money(said.price if said.price is not None else reading.money)
    if money is None:
        raise Ask(f"What did {food} cost?", about="money")
    if said.amount.number == 0 and said.size is None and said.amount.unit is None:
        priced = _as_last(food, money, house)
    else:
        sound_amount(said.amount, food)
        priced = _by_piece(said, food, money, reading, house)
    if priced.price is None:
        raise Ask(f"What did {food} cost?", about="money")
    day = reading.date if reading.date and reading.date <= house.today else house.today
    entry = PriceSeen(
        0, food, priced.size, priced.price, priced.package, reading.shop, day, paid=False
    )
    return entry, priced.notes


def _by_piece(said: Said, food: str, money: Decimal, reading: Reading, house: House) -> Priced:
    unit = said.amount.unit
    if unit is not None and units()[unit].dimension == "package":
        one = Said(said.amount, food, said.size, said.package, money, said.each)
        return price_of(one, food, reading, house, alone=True)
    if unit is None and said.each and said.amount.number == 1:
        return Priced(Amount(1, None), 1, None, money)
    one = Said(said.amount, food, said.size, said.package, money, said.each)
    return price_of(one, food, reading, house, alone=True)


def _as_last(food: str, money: Decimal, house: House) -> Priced:
    """No amount was said: the package last bought is meant, and that is told; else it is asked."""
    latest = house.prices.latest(food)
    if latest is None:
        usual = house.measures.usual_package(food)
        if usual is None or usual.package is None:
            raise Ask(f"{money} for how much {food}?", about="amounts")
        size, notes = size_of(food, usual.package, None, house)
        return Priced(size, 1, usual.package, money, notes)
    known = size_written(latest.size, latest.package)
    note = Note(f"no amount was said, so it is down for {known}, the size last known")
    return Priced(latest.size, 1, latest.package, money, (note,))


def _entry_written(entry: PriceSeen, house: House) -> str:
    where = f" at the {entry.shop}" if entry.shop else ""
    paid = money_written(entry.price, house.currency)
    return f"{entry.food}, {size_written(entry.size, entry.package)}, {paid}{where}"


def _compared(entry: PriceSeen, house: House) -> str:
    """The new price against the lowest and the latest known."""
    before = rates(entry.food, house.prices.history(entry.food), house)
    known = [one for one in before if one.each is not None]
    unit = known[0].unit if known else usual_unit(entry.size)
    new = Known(entry.food, entry.size, entry.price, entry.package)
    now = per_unit(new, unit, house)
    if now is None or not known:
        return ""
    shown = per_unit_written(now, unit, house.currency)
    lowest = min(one.each for one in known if one.each is not None)
    last = known[0].each
    lowest_shown = per_unit_written(lowest, unit, house.currency)
    if now < lowest:
        return f"That is {shown}, the lowest known; before it was {lowest_shown}."
    if last is None:
        return ""
    last_shown = per_unit_written(last, unit, house.currency)
    word = "less than" if now < last else ("as much as" if now == last else "more than")
    return f"That is {shown}, {word} the last price known ({last_shown})."


def _entry_json(entry: PriceSeen) -> dict[str, Any]:
    return {
        "price": plain(entry.price),
        "food": entry.food,
        **amount_json(entry.size),
        "package": entry.package,
        "shop": entry.shop,
        "date": day_json(entry.date),
    }

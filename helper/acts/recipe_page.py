"""One recipe laid out: scaled, marked with what is there, costed, with who can have it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from helper.acts.diners import diners, named_diners, swapping
from helper.acts.dishes import easy, fits, fits_written, recipe_meant, roughly, unscaled
from helper.acts.house import House
from helper.acts.stand_ins import stand_ins
from helper.acts.wording import amount_json, listed, of_food
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.costing import Costed, cost
from helper.kitchen.lines import after_amount
from helper.kitchen.matching import LineMatch, Match, match
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.roles import surroundings
from helper.kitchen.safety import NO
from helper.kitchen.table import Diner
from helper.kitchen.units import units
from helper.kitchen.words import words
from helper.reading.frame import number
from helper.reading.reading import Reading

# How a line's state is shown; what is not in the table needs no word.
_MARKS = {
    "have": "have", "part": "buy some", "missing": "buy", "unsure": "check", "free": "",
    "to taste": "", "unread": "could not be read",
}  # fmt: skip
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\d+\s*[.):]\s*", re.IGNORECASE)


def show_recipe(reading: Reading, house: House) -> Answer:
    """The recipe that is meant, at the servings asked for. Raises Ask or Refuse."""
    recipe = recipe_meant(reading, house)
    original = house.books.recipe(recipe.id) or recipe
    found = match(recipe, house.stock)
    costed = cost(found, house.prices)
    eaters = diners(reading, house)
    suits = fits(original, eaters, house) if eaters else {}
    swaps = _swaps(found, reading, house, eaters)
    steps = tuple(_NUMBERED.sub("", step) for step in recipe.steps)
    remarks = [remark.text for remark in house.books.remarks(recipe.title)]
    page = _Page(recipe, original, found, costed, suits, swaps, steps, remarks, house.currency)
    named = bool(named_diners(reading, house)) or "everyone" in reading.marks
    return Answer(
        reading,
        _reply(page),
        tuple(_blocks(page, reading, named)),
        cautions=house.cautions.recipe(recipe),
        because=(_costs(page),),
        recipes=(recipe.title,),
        foods=reading.foods,
        people=tuple(reading.people),
    )


class _Page:
    """All that stands on a recipe's page."""

    def __init__(
        self,
        recipe: Recipe,
        original: Recipe,
        found: Match,
        costed: Costed,
        suits: dict[str, str],
        swaps: dict[int, tuple[str, dict[str, Any]]],
        steps: Sequence[str],
        remarks: Sequence[str],
        currency: str,
    ) -> None:
        self.recipe = recipe
        self.original = original
        self.found = found
        self.costed = costed
        self.suits = suits
        self.swaps = swaps
        self.steps = steps
        self.remarks = remarks
        self.currency = currency

    @property
    def scaled(self) -> bool:
        """True where amounts are not those that were written."""
        return self.recipe.lines != self.original.lines


def _swaps(
    found: Match, reading: Reading, house: House, eaters: Sequence[Diner]
) -> dict[int, tuple[str, dict[str, Any]]]:
    """For lines by their place: what to use instead, in words and for programs.

    Told for lines that were asked to be left out and for what is missing and can be met here.
    """
    out: dict[int, tuple[str, dict[str, Any]]] = {}
    places = {id(line): at for at, line in enumerate(found.lines)}
    for one in stand_ins(found, house, eaters):
        at = next(
            places[id(line)] for line in found.missing if line.food == one.food
        )  # fmt: skip
        out[at] = _swap_json(one.option.use, one.option.method)
    unwanted = [at for at, line in enumerate(found.lines) if _is_unwanted(line, reading, house)]
    if unwanted:
        around = surroundings(found.recipe, house.measures)
        book = swapping(house, eaters)
        for at in unwanted:
            line = found.lines[at]
            options = book.options(line.food or "", line.amount, around[at], line.line)
            fine = [one for one in options if one.verdict != NO and not _holds(one.foods, reading)]
            out[at] = (
                _swap_json(fine[0].use, fine[0].method)
                if fine
                else ("leave it out", {"use": [], "note": "left out"})
            )
    return out


def _swap_json(use: Sequence[Any], method: str) -> tuple[str, dict[str, Any]]:
    said = "use " + listed([of_food(roughly(one.amount), one.food) for one in use])
    parts = [{"food": one.food, **amount_json(one.amount)} for one in use]
    return said, {"use": parts, "note": method}


def _holds(foods: Sequence[str], reading: Reading) -> bool:
    return any(food in reading.without for food in foods)


def _is_unwanted(line: LineMatch, reading: Reading, house: House) -> bool:
    food = line.food
    return food is not None and any(
        food == one or house.foods.covers(one, food) for one in reading.without
    )


# -- for programs ---------------------------------------------------------------------------------


def _reply(page: _Page) -> dict[str, Any]:
    recipe = page.recipe
    return {
        "recipe": recipe.title,
        "servings": number(recipe.servings),
        "lines": [_line_json(page, at) for at in range(len(recipe.lines))],
        "steps": list(page.steps),
        "yields": recipe.yields or None,
        "minutes": recipe.minutes,
        "oven_f": recipe.oven_f,
        "notes": list(recipe.notes),
        "remarks": list(page.remarks),
        "cost_per_serving": plain(page.costed.per_serving),
        "cost": plain(page.costed.total),
        "unpriced": list(page.costed.unpriced),
        "fits": page.suits,
    }


def _line_json(page: _Page, at: int) -> dict[str, Any]:
    found = page.found.lines[at]
    line = found.line
    return {
        "food": found.food,
        **amount_json(found.amount),
        "note": line.preparation or None,
        "swap": page.swaps[at][1] if at in page.swaps else None,
        "size": amount_json(line.size) if line.size else None,
        "optional": line.optional,
        "state": found.state,
        "text": line.text,
    }


# -- for people -----------------------------------------------------------------------------------


def _blocks(page: _Page, reading: Reading, named: bool) -> Iterator[Block]:
    recipe = page.recipe
    yield Say(_headline(page))
    if unscaled(recipe, reading):
        yield Say("It never says how many it serves, so the amounts are as written.", "warn")
    if page.suits and (named or _serious(page.suits)):
        yield Say(f"{_sentence(fits_written(page.suits))}.", "plain" if named else "quiet")
    yield from _ingredients(page)
    told = [_said_of(line) for line in page.found.lines if line.notes or line.unknown]
    if told:
        yield Items(tuple(dict.fromkeys(note for some in told for note in some)))
    if page.steps:
        yield Items(tuple(page.steps), numbered=True)
    if page.scaled and any(_measures_something(step) for step in page.steps):
        servings = page.original.servings
        whom = f" for {number_written(servings)}" if servings else " as written"
        yield Say(f"Amounts named in the steps are those{whom}.", "warn")
    for note in recipe.notes:
        yield Say(_sentence(note), "quiet")
    if page.remarks:
        yield Say("You said of it:")
        yield Items(tuple(page.remarks[-3:]))


def _headline(page: _Page) -> str:
    recipe, costed = page.recipe, page.costed
    facts = []
    if recipe.servings:
        facts.append(f"for {number_written(recipe.servings)}")
    if recipe.yields and not page.scaled and not recipe.yields.strip().isdigit():
        facts.append(recipe.yields)
    if recipe.minutes:
        facts.append(time_written(recipe.minutes))
    if recipe.oven_f:
        facts.append(f"oven {oven_written(recipe.oven_f)}")
    least = "at least " if costed.at_least else ""
    each = costed.per_serving
    price = costed.total if each is None else each
    facts.append(f"{least}{money_written(price, page.currency)} "
                 f"{'in all' if each is None else 'a serving'}")  # fmt: skip
    return f"{recipe.title}: {', '.join(facts)}."


def _serious(suits: dict[str, str]) -> bool:
    return any(verdict in ("no", "with-swaps") for verdict in suits.values())


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def time_written(minutes: int) -> str:
    """ "50 minutes", "2 hours", "1 hour 15 minutes"."""
    hours, rest = divmod(minutes, 60)
    said = [f"{hours} hour{'s' if hours > 1 else ''}"] if hours else []
    if rest or not said:
        said.append(f"{rest} minute{'s' if rest != 1 else ''}")
    return " ".join(said)


def oven_written(fahrenheit: int) -> str:
    """ "375°F (190°C)"; °C to the next five, as ovens are marked."""
    celsius = 5 * round((fahrenheit - 32) / 9)
    return f"{fahrenheit}°F ({celsius}°C)"


def _ingredients(page: _Page) -> Iterator[Block]:
    """The list, a table for each of its sections."""
    columns = (Column("Amount", True), Column("Of"), Column("Here"))
    sections: dict[str, list[tuple[str, ...]]] = {}
    for at, found in enumerate(page.found.lines):
        swap = page.swaps.get(at)
        optional = found.line.optional and found.state in ("missing", "part")
        mark = "not here" if optional else _MARKS[found.state]
        row = (
            *amount_and_rest(found, page.scaled),
            "; ".join(filter(None, (mark, swap[0] if swap else ""))),
        )
        section = sections.setdefault(found.line.section, [])
        if row not in section[-1:]:  # "salt and pepper to taste" is two things in one line
            section.append(row)
    for title, rows in sections.items():
        yield Table(columns, tuple(rows), _sentence(title))


def amount_and_rest(found: LineMatch, scaled: bool = False) -> tuple[str, str]:
    """A line as a cook writes it, in two: the amount, and what it is of.

    A line that begins otherwise ("juice of 1 lemon") is left whole until its amount changes.
    """
    line = found.line
    rest = after_amount(line.text)
    begins = rest is not None and (line.amount is None or rest != line.text)
    if rest is not None and begins:
        return _amount_of(line), rest
    if not scaled or line.amount is None:
        return "", line.text
    parts = [line.food or line.text, line.preparation]
    return _amount_of(line), ", ".join(part for part in parts if part)


def _amount_of(line: Line) -> str:
    """The amount with the size of its packages; "" for none."""
    if line.amount is None:
        return ""
    said = written(easy(line.amount))
    if line.size is None or not _is_packed(line.amount):
        return said
    each = " each" if line.amount.number > 1 else ""
    return f"{said} ({written(line.size)}{each})"


def _is_packed(amount: Amount) -> bool:
    return units()[amount.unit or "piece"].dimension == "package"


def _said_of(found: LineMatch) -> tuple[str, ...]:
    """What the cook must know of a line: what to do first, what cannot be told."""
    asked = () if any(draw.doubtful for draw in found.draws) else found.unknown
    return (*map(_sentence, found.notes), *(one.ask for one in asked))


def _measures_something(step: str) -> bool:
    """True for steps that name a weight or a volume, which scaling does not reach."""
    found = words(step)
    for at, word in enumerate(found):
        if word.text[0].isdigit() and (amount := read_amount(found, at)) is not None:
            if _is_measured(amount.amount):
                return True
    return False


def _is_measured(amount: Amount) -> bool:
    return amount.unit is not None and units()[amount.unit].dimension in ("mass", "volume")


# -- why ------------------------------------------------------------------------------------------


def _costs(page: _Page) -> Because:
    lines = []
    for line in page.costed.lines:
        price = money_written(line.cost, page.currency)
        amount = f"{written(line.amount)} " if line.amount else ""
        basis = tuple(Because(one) for one in line.basis)
        lines.append(Because(f"{amount}{line.food or line.match.line.text}: {price}",
                             "eaten cost", because=basis))  # fmt: skip
    total = money_written(page.costed.total, page.currency)
    return Because(f"{page.recipe.title} costs {total}", "eaten cost", because=tuple(lines))

"""One recipe laid out: scaled, fitted to who eats, marked with what is there, and costed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

import msgspec

from helper.acts.diners import at_home, named_diners
from helper.acts.dishes import easy, fits, fits_written, recipe_meant, unscaled
from helper.acts.fit_words import steps_written
from helper.acts.house import House
from helper.acts.stand_ins import (
    fitting_for,
    option_json,
    stand_ins,
    used_written,
)
from helper.acts.wording import amount_json, listed
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.costing import Costed, cost
from helper.kitchen.fitting import LEFT_OUT, Change, Fitted, Fitting, Refused, StandIn
from helper.kitchen.foods import Foods
from helper.kitchen.lines import after_amount
from helper.kitchen.matching import LineMatch, Match, match
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.safety import Minded
from helper.kitchen.spoons import by_the_spoon
from helper.kitchen.table import Diner
from helper.kitchen.units import units
from helper.kitchen.wished_away import holds, without
from helper.kitchen.words import words
from helper.reading.frame import number
from helper.reading.reading import Reading

# How a line's state is shown; what is always there needs no word.
_MARKS = {
    "have": "have", "part": "buy some", "missing": "buy", "unsure": "check", "free": "",
    "to taste": "", "unread": "could not be read",
}  # fmt: skip
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\d+\s*[.):]\s*", re.IGNORECASE)
_REMARKS = 3


class _Page(msgspec.Struct, frozen=True):
    """All that stands on a recipe's page.

    `recipe` as it is to be cooked, `original` as the books have it. `changes` are by the place of
    the new line, `swaps` what may be used for what is missing. `fitted` None: nobody was named.
    """

    recipe: Recipe
    original: Recipe
    found: Match
    costed: Costed
    suits: dict[str, str]
    changes: dict[int, Change]
    swaps: dict[int, StandIn]
    fitted: Fitted | Refused | None
    remarks: tuple[str, ...]
    currency: str
    scaled: bool
    left_out: tuple[str, ...]
    foods: Foods

    @property
    def plain_steps(self) -> tuple[str, ...]:
        """The steps without the numbers the writer gave them."""
        return tuple(_NUMBERED.sub("", step) for step in self.recipe.steps)

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps with the technique that goes with each swap."""
        changes = self.fitted.changes if isinstance(self.fitted, Fitted) else ()
        return steps_written(self.plain_steps, changes, self.left_out, self.foods)


def show_recipe(reading: Reading, house: House) -> Answer:
    """The recipe that is meant, for whom and for how many it is asked. Raises Ask or Refuse."""
    page = _page(recipe_meant(reading, house), reading, house)
    title = page.recipe.title
    return Answer(
        reading,
        _reply(page),
        tuple(_blocks(page, reading)),
        cautions=house.cautions.recipe(page.recipe),
        because=(_costs(page), *_changes_because(page)),
        recipes=(title,),
        foods=reading.foods,
        people=tuple(reading.people),
    )


def _page(recipe: Recipe, reading: Reading, house: House) -> _Page:
    original = house.books.recipe(recipe.id) or recipe
    recipe, left_out = without(recipe, reading.without, house.measures)
    averse = [_averse(food) for food in reading.without if holds(recipe, food, house.foods)]
    named = [*named_diners(reading, house), *averse]
    if "everyone" in reading.marks and not reading.people:
        named += at_home(house)
    eaters = named or list(at_home(house))
    fitting = fitting_for(house, eaters)
    fitted = fitting.fit(recipe) if named else None
    scaled = any(line not in original.lines for line in recipe.lines)
    changes: dict[int, Change] = {}
    if isinstance(fitted, Fitted):
        recipe = fitted.recipe
        changes = {at: one.change for at, one in enumerate(fitted.lines) if one.change}
    found = match(recipe, house.stock)
    return _Page(
        recipe,
        original,
        found,
        cost(found, house.prices),
        fits(recipe, eaters, house),
        changes,
        _swaps(found, fitting),
        fitted,
        tuple(one.text for one in house.books.remarks(recipe.title)),
        house.currency,
        scaled,
        left_out,
        house.foods,
    )


def _averse(food: str) -> Diner:
    """ "without butter" as one who does not eat butter; a matter of liking, as far as is told."""
    return Diner(food, (Minded(food, False),))


def _swaps(found: Match, fitting: Fitting) -> dict[int, StandIn]:
    return {one.at: one for one in stand_ins(found, fitting)}


# -- for programs ---------------------------------------------------------------------------------


def _reply(page: _Page) -> dict[str, Any]:
    recipe = page.recipe
    return {
        "recipe": recipe.title,
        "servings": number(recipe.servings),
        "lines": [_line_json(page, at) for at in range(len(recipe.lines))],
        "steps": list(page.steps),
        "left_out": [*page.left_out, *(one.food for one in _left_out(page))],
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
    """One line. `swap` is what it has taken the place of, or what may be used if it is missing."""
    found = page.found.lines[at]
    line = found.line
    return {
        "food": found.food,
        **amount_json(found.amount),
        "note": line.preparation or None,
        "swap": _swap_json(page, at),
        "size": amount_json(line.size) if line.size else None,
        "optional": line.optional,
        "state": found.state,
        "text": line.text,
    }


def _swap_json(page: _Page, at: int) -> dict[str, Any] | None:
    change, other = page.changes.get(at), page.swaps.get(at)
    if change is not None:
        told = option_json(change.option) if change.option else {"note": None}
        return {"for": change.food, **told}
    return option_json(other.option) if other is not None else None


def _left_out(page: _Page) -> list[Change]:
    if not isinstance(page.fitted, Fitted):
        return []
    return [one for one in page.fitted.changes if one.kind == LEFT_OUT]


# -- for people -----------------------------------------------------------------------------------


def _blocks(page: _Page, reading: Reading) -> Iterator[Block]:
    recipe = page.recipe
    yield Say(_headline(page))
    if unscaled(recipe, reading):
        yield Say("It never says how many it serves, so the amounts are as written.", "warn")
    yield from _for_whom(page)
    yield from _ingredients(page)
    told = [note for line in page.found.lines for note in _said_of(line)]
    if told:
        yield Items(tuple(dict.fromkeys(map(_sentence, told))))
    if page.steps:
        yield Items(page.steps, numbered=True)
    if page.scaled and any(_measures_something(step) for step in page.plain_steps):
        servings = page.original.servings
        whom = f" for {number_written(servings)}" if servings else " as written"
        yield Say(f"Amounts named in the steps are those{whom}.", "warn")
    for note in recipe.notes:
        yield Say(_sentence(note), "quiet")
    if page.remarks:
        yield Say("You said of it:")
        yield Items(page.remarks[-_REMARKS:])


def _headline(page: _Page) -> str:
    recipe, costed = page.recipe, page.costed
    facts = []
    servings = number_written(recipe.servings) if recipe.servings else ""
    yields = "" if page.scaled else recipe.yields.strip()
    if yields.startswith(servings) and yields != servings:
        facts.append(yields)  # "24 squares" tells more than "for 24"
    elif servings:
        facts.append(f"for {servings}")
    if recipe.minutes:
        facts.append(time_written(recipe.minutes))
    if recipe.oven_f:
        facts.append(f"oven {oven_written(recipe.oven_f)}")
    least = "at least " if costed.at_least else ""
    each = costed.per_serving
    price = money_written(costed.total if each is None else each, page.currency)
    facts.append(f"{least}{price} {'in all' if each is None else 'a serving'}")
    return f"{recipe.title}: {', '.join(facts)}."


def _for_whom(page: _Page) -> Iterator[Block]:
    """Who can have it, and what was changed so that they can."""
    said = _sentence(fits_written(page.suits))
    if page.fitted is None:
        if page.left_out:
            yield Say(f"Left out: {listed(page.left_out)}.")
        if any(verdict in ("no", "with-swaps") for verdict in page.suits.values()):
            yield Say(f"{said}.", "quiet")
        return
    if isinstance(page.fitted, Refused):
        yield Say(f"As written, since {page.fitted.reason}.", "bad")
        return
    swapped = [
        f"{used_written(one.option) if one.option else page.recipe.lines[at].food} for the "
        f"{one.food}"
        for at, one in page.changes.items()
    ]
    gone = [f"no {food}" for food in (*page.left_out, *(one.food for one in _left_out(page)))]
    if swapped or gone:
        yield Say(f"Changed: {listed(dict.fromkeys((*swapped, *gone)))}.")
    if page.fitted.checks:
        read = dict.fromkeys(one.food for one in page.fitted.checks)
        yield Say(f"Read the label first: {listed(read)}.", "warn")
    elif not (swapped or gone):
        yield Say(f"{said}.", "good")


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
        optional = found.line.optional and found.state in ("missing", "part")
        marks = ["not here" if optional else _MARKS[found.state]]
        if at in page.changes:
            marks.append(f"for the {page.changes[at].food}")
        if at in page.swaps:
            marks.append(f"or use {used_written(page.swaps[at].option)}")
        told = amount_and_rest(found, page.scaled)
        if at in page.changes and found.amount is not None:
            told = (by_the_spoon(found.amount), told[1])
        row = (*told, "; ".join(filter(None, marks)))
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
    if rest is not None and (line.amount is None or rest != line.text):
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
    if line.size is None or units()[line.amount.unit or "piece"].dimension != "package":
        return said
    each = " each" if line.amount.number > 1 else ""
    return f"{said} ({written(line.size)}{each})"


def _said_of(found: LineMatch) -> tuple[str, ...]:
    """What the cook must know of a line: what to do first, what cannot be told."""
    asked = () if any(draw.doubtful for draw in found.draws) else found.unknown
    return (*found.notes, *(one.ask for one in asked))


def _measures_something(step: str) -> bool:
    """True for steps that name a weight or a volume, which scaling does not reach."""
    found = words(step)
    told = (read_amount(found, at) for at, word in enumerate(found) if word.text[0].isdigit())
    return any(_is_measured(one.amount) for one in told if one is not None)


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


def _changes_because(page: _Page) -> Sequence[Because]:
    """Why a line was changed: what spoke against it, and who says what may take its place."""
    if not isinstance(page.fitted, Fitted):
        return ()
    return [
        Because(
            f"{one.food}: {one.kind}",
            "fitting",
            one.option.source if one.option else "",
            tuple(Because(str(against), "verdict") for against in one.against),
        )
        for one in page.fitted.changes
    ]

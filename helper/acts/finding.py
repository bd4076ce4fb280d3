"""What can be cooked: dishes ranked by what was asked, and what stands in the way of more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from msgspec.structs import replace

from helper.acts.diners import at_home, diners, named_diners
from helper.acts.dishes import fits
from helper.acts.house import House
from helper.acts.stand_ins import fitting_for, stand_in_json, stand_in_written, stand_ins
from helper.acts.wishes import avoided, conditions, left_out, wish_of
from helper.acts.wording import amount_json, day_written, listed
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.kitchen.amounts import number_written
from helper.kitchen.costing import LineCost
from helper.kitchen.fitting import StandIn
from helper.kitchen.matching import LineMatch
from helper.kitchen.money import plain, written
from helper.kitchen.ranking import CHEAPEST, QUICKEST, Kitchen, Meal, Meals, Wish
from helper.kitchen.ranking import find_meals as ranked
from helper.kitchen.recipes import Recipe
from helper.kitchen.stock import past_its_date
from helper.kitchen.table import Diner
from helper.kitchen.traits import course_of
from helper.reading.frame import number
from helper.reading.reading import Reading

_NEAREST = 3
_NAMED = 3
RANKING = "the order of dishes"


def find_meals(reading: Reading, house: House) -> Answer:
    """Dishes of the house that fit what was asked, best first. Raises Ask or Refuse."""
    named = named_diners(reading, house)
    strict = bool(named) or "everyone" in reading.marks
    eaters = diners(reading, house)
    wish = wish_of(reading, house, strict)
    kitchen = kitchen_for(reading, house, eaters, strict)
    found = ranked(wish, kitchen)
    if not found.meals:
        return _nothing(reading, house, wish, kitchen, eaters)
    fitting = fitting_for(house, eaters)
    swaps = [stand_ins(meal.match, fitting) for meal in found.meals]
    titles = tuple(meal.recipe.title for meal in found.meals)
    return Answer(
        reading,
        {"meals": [meal_json(*both) for both in zip(found.meals, swaps, strict=True)]},
        tuple(_blocks(found, wish, house, eaters, swaps)),
        because=tuple(_because(at, meal, house) for at, meal in enumerate(found.meals, 1)),
        offered=titles,
        recipes=titles[:1],
        foods=reading.foods,
        people=tuple(reading.people),
    )


def kitchen_for(
    reading: Reading, house: House, eaters: Sequence[Diner], strict: bool = False
) -> Kitchen:
    """What dishes are looked for in, for those who eat."""

    def recipe_of(record: int) -> Recipe:
        recipe = house.books.recipe(record)
        assert recipe is not None
        return recipe

    everybody = at_home(house)

    def suits(recipe: Recipe) -> dict[str, str]:
        # Those at home are judged once for all requests; others for this one.
        if tuple(eaters) == everybody:
            return house.safety.fits(recipe)
        return fits(recipe, eaters, house)

    return Kitchen(
        house.index,
        recipe_of,
        house.stock,
        house.prices,
        suits if eaters else None,
        avoided(eaters, house) if strict else None,
        left_out(reading, house),
        lambda recipe: course(recipe, house),
    )


def course(recipe: Recipe, house: House) -> str:
    """The course of a recipe of the house; told once until the books change."""
    known: dict[int, str] = house.kept("courses", dict)
    if recipe.id not in known:
        known[recipe.id] = course_of(recipe, house.foods)
    return known[recipe.id]


# -- for programs ---------------------------------------------------------------------------------


def meal_json(meal: Meal, swaps: Sequence[StandIn]) -> dict[str, Any]:
    """One dish with the contract's fields."""
    return {
        "recipe": meal.recipe.title,
        "servings": number(meal.recipe.servings),
        "have": [_line_json(line) for line in meal.match.have],
        "missing": [_line_json(line) for line in meal.match.missing],
        "unsure": [_line_json(line) for line in meal.match.unsure],
        "swaps": [stand_in_json(one) for one in swaps],
        "uses_soon": list(meal.uses_soon),
        "cost_per_serving": plain(meal.costed.per_serving),
        "cost": plain(meal.costed.total),
        "unpriced": list(meal.costed.unpriced),
        "minutes": meal.recipe.minutes,
        "fits": dict(meal.fits),
    }


def _line_json(line: LineMatch) -> dict[str, Any]:
    """A line's food with what it asks for, or with what of it is missing."""
    asked = line.short if line.short is not None and line.state != "unsure" else line.amount
    return {"food": line.food or line.line.text, **amount_json(asked)}


# -- for people -----------------------------------------------------------------------------------


def _blocks(
    found: Meals,
    wish: Wish,
    house: House,
    eaters: Sequence[Diner],
    swaps: Sequence[Sequence[StandIn]],
) -> Iterator[Block]:
    yield Say(_headline(found, wish, house.currency))
    yield _table(found.meals, wish, house.currency)
    yield Say(_order_said(wish, eaters), "quiet")
    yield from _notes(found, wish, house)
    hints = [
        f"{at}: {one}"
        for at, some in enumerate(swaps, 1)
        for one in map(stand_in_written, some[:_NAMED])
    ]
    if hints:
        yield Say("What is missing can be met from the house:")
        yield Items(tuple(hints))
    if not wish.strict and eaters:
        yield from _who(found.meals)


def _headline(found: Meals, wish: Wish, currency: str) -> str:
    best = found.meals[0]
    facts = [each_written(best, currency), state_written(best)]
    if best.uses_soon:
        facts.append(f"uses {listed(best.uses_soon[:_NAMED])} in time")
    said = f"{', '.join(fact for fact in facts if fact)}."
    if len(best.asked) == len(wish.foods):
        return f"{best.recipe.title} comes first: {said}"
    said = f"{best.recipe.title}, {said}"
    lacking = [food for food in wish.foods if food not in best.asked]
    both = "both " if len(wish.foods) == 2 else ""
    if lacking == list(found.nowhere):
        return f"No recipe here holds {listed(lacking, 'or')}. Best with the rest: {said}"
    return f"No recipe here holds {both}{listed(wish.foods)} together. Nearest: {said}"


def each_written(meal: Meal, currency: str) -> str:
    """ "$1.30 a serving"."""
    each = meal.costed.per_serving
    if each is None:
        return f"{_least(meal)}{written(meal.costed.total, currency)} in all"
    return f"{_least(meal)}{written(each, currency)} a serving"


def _least(meal: Meal) -> str:
    return "at least " if meal.costed.at_least else ""


def state_written(meal: Meal) -> str:
    """What is to be bought or looked at for a dish, or that everything is there."""
    if meal.match.missing:
        return f"to buy: {listed(_names(meal.match.missing))}"
    if meal.match.unsure:
        return f"to check: {listed(_names(meal.match.unsure))}"
    return "everything is in the house"


def _names(lines: Iterable[LineMatch]) -> list[str]:
    return [line.food or line.line.text for line in lines]


def _table(meals: Sequence[Meal], wish: Wish, currency: str) -> Table:
    columns = [
        Column("", True), Column("Dish"), Column("For", True), Column("A serving", True),
        Column("Have", True), Column("To buy"), Column("Uses soon"),
    ]  # fmt: skip
    timed = wish.minutes is not None or wish.first == QUICKEST
    if timed:
        columns.insert(3, Column("Minutes", True))
    if wish.strict:
        columns.append(Column("Suits"))
    rows = []
    for at, meal in enumerate(meals, 1):
        have, lacking = meal.match.have, (*meal.match.missing, *meal.match.unsure)
        row = [
            str(at),
            meal.recipe.title,
            number_written(meal.recipe.servings) if meal.recipe.servings else "?",
            _cost_cell(meal, currency),
            f"{len(have)} of {len(have) + len(lacking)}",
            _cut([line.food or line.line.text for line in meal.match.missing])
            + "".join(f" {name}?" for name in _names(meal.match.unsure)[:2]),
            _cut(list(meal.uses_soon)),
        ]
        if timed:
            row.insert(3, str(meal.recipe.minutes or "?"))
        if wish.strict:
            row.append(_suits(meal.fits))
        rows.append(tuple(cell.strip() for cell in row))
    return Table(tuple(columns), tuple(rows))


def _cost_cell(meal: Meal, currency: str) -> str:
    each = meal.costed.per_serving
    more = "+" * meal.costed.at_least
    if each is None:
        return f"{written(meal.costed.total, currency)}{more} in all"
    return written(each, currency) + more


def _suits(verdicts: Mapping[str, str]) -> str:
    """One cell: yes, or what has to be done for whom."""
    words = {"with-swaps": "swap", "check": "check", "no": "no"}
    said = []
    for verdict, word in words.items():
        who = [name for name, one in verdicts.items() if one == verdict]
        if who:
            said.append(f"{word}: {', '.join(who)}" if len(verdicts) > 1 else word)
    return "; ".join(said) or "yes"


def _cut(names: list[str], most: int = _NAMED) -> str:
    """Some names, and how many more there are."""
    more = f" +{len(names) - most}" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _order_said(wish: Wish, eaters: Sequence[Diner]) -> str:
    """How the list is ordered, in one line."""
    keys = []
    if wish.foods:
        keys.append("more of the foods you named")
    if wish.course:
        keys.append(f"{wish.course} dishes")
    if eaters:
        keys.append("who can eat it")
    if wish.first:
        keys.append(wish.first)
    keys += ["fewest things to buy", "most food due soon used"]
    if wish.first != CHEAPEST:
        keys.append("lowest cost a serving")
    return f"Ranked by: {', then '.join(keys)}."


def _notes(found: Meals, wish: Wish, house: House) -> Iterator[Block]:
    """What the table cannot say: prices and measures not known, lots that must be looked at."""
    unpriced = _unique(food for meal in found.meals for food in meal.costed.unpriced)
    if unpriced:
        yield Say(f"+ costs more: no price known for {_cut(unpriced, 5)}.", "quiet")
    old = _unique(
        f"{draw.lot.food} ({day_written(draw.lot.best_by, house.today)})"
        for meal in found.meals
        for line in meal.match.unsure
        for draw in line.draws
        if past_its_date(draw.lot, house.today) and draw.lot.best_by
    )
    if old:
        yield Say(f"Past its date, so not counted: {listed(old)}. Is it still good?", "warn")
    asks = _unique(
        one.ask
        for meal in found.meals
        for line in meal.match.unsure
        if not any(draw.doubtful for draw in line.draws)
        for one in line.unknown
    )
    if asks:
        yield Say(f"To tell whether there is enough I need to know: {' '.join(asks[:2])}", "quiet")
    absent = [
        food for food in wish.foods if food not in found.nowhere and not house.stock.holds(food)
    ]
    absent = [food for food in absent if not _is_there(food, house)]
    if absent:
        yield Say(f"Not in the books: {listed(absent)}. Tell me if you have some.", "quiet")


def _is_there(food: str, house: House) -> bool:
    """True when the house has some sort or form of a food, as a person would count it."""
    meant = {food, *house.foods.family(food)}
    return any(lot.food in meant or house.foods.covers(food, lot.food) for lot in house.stock.lots)


def _unique(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _who(meals: Sequence[Meal]) -> Iterator[Block]:
    """Who at home cannot have which dish, by their numbers; allergies are never left unsaid."""
    out: dict[str, list[str]] = {}
    for at, meal in enumerate(meals, 1):
        for name, verdict in meal.fits.items():
            if verdict in ("no", "with-swaps"):
                out.setdefault(name, []).append(str(at) + "*" * (verdict == "with-swaps"))
    if out:
        said = "; ".join(f"{name} {', '.join(places)}" for name, places in out.items())
        note = " (* fine with a swap)" if "*" in said else ""
        yield Say(f"Not as it stands for: {said}{note}.")


# -- nothing found --------------------------------------------------------------------------------


def _nothing(
    reading: Reading, house: House, wish: Wish, kitchen: Kitchen, eaters: Sequence[Diner]
) -> Answer:
    """Says which condition is in the way, and the dishes nearest to what was asked."""
    if not len(house.index):
        text = "There are no recipes in the books yet. Paste one, or load a file of them."
        return Answer(reading, {"meals": [], "in_the_way": [], "nearest": []}, (Say(text),))
    asked = conditions(wish, house.currency, [diner.name for diner in eaters])
    ways = [(one.words, _closest(one.without, kitchen)) for one in asked]
    ways = [(words, meals) for words, meals in ways if meals]
    near = _unique_meals(meal for _, meals in ways for meal in meals)
    said = " ".join(one.words for one in asked)
    blocks: list[Block] = [Say(f"No dish here can be made {said}.")]
    if ways:
        way = listed([words for words, _ in ways], "or")
        blocks.append(
            Say(
                f"In the way: {way}. Nearest, each without one of these:"
                if len(ways) > 1
                else f"In the way: {way}. Nearest without that:"
            )
        )
    else:
        blocks.append(Say("No single condition is in the way; several are, together."))
        near = _closest(Wish(wish.today, wish.foods, limit=_NEAREST), kitchen)
        if near:
            blocks.append(Say("Nearest:"))
    if near:
        blocks.append(_table(near, wish, house.currency))
    titles = tuple(meal.recipe.title for meal in near)
    reply = {"meals": [], "in_the_way": [words for words, _ in ways], "nearest": list(titles)}
    because = tuple(
        Because(f"{words} is in the way: without it there is {listed(_titles(meals), 'or')}",
                RANKING)
        for words, meals in ways
    )  # fmt: skip
    return Answer(reading, reply, tuple(blocks), because=because, offered=titles)


def _closest(wish: Wish, kitchen: Kitchen) -> list[Meal]:
    """The few dishes that come nearest; who may eat matters here only where they were named."""
    looked_in = kitchen if wish.strict else replace(kitchen, fits=None)
    return list(ranked(wish, looked_in).meals[:_NEAREST])


def _titles(meals: Iterable[Meal]) -> list[str]:
    return [meal.recipe.title for meal in meals]


def _unique_meals(meals: Iterable[Meal]) -> list[Meal]:
    return list({meal.recipe.title: meal for meal in meals}.values())[: 2 * _NEAREST]


# -- why ------------------------------------------------------------------------------------------


def _because(at: int, meal: Meal, house: House) -> Because:
    steps = [Because(one, RANKING) for one in meal.why]
    if meal.costed.per_serving is not None:
        costs = tuple(_cost_because(line, house.currency) for line in meal.costed.lines)
        steps[-1] = Because(meal.why[-1], "eaten cost", because=costs)
    return Because(f"{at}. {meal.recipe.title}", RANKING, because=tuple(steps))


def _cost_because(line: LineCost, currency: str) -> Because:
    amount = f"{line.amount} " if line.amount else ""
    said = f"{amount}{line.food or line.match.line.text}: {written(line.cost, currency)}"
    return Because(said, "eaten cost", because=tuple(Because(one) for one in line.basis))

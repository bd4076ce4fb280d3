"""Recipes made, kept, remarked on and written out for others."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts.dishes import recipe_meant, recipes_meant, unscaled
from helper.acts.drawing import taken_json, write_draws
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.acts.making import (
    Made,
    as_made,
    byproducts,
    cooked_on,
    leftover_amount,
    leftovers,
    made,
    servings_said,
    short_json,
)
from helper.acts.pasting import pasted_recipe
from helper.acts.wording import (
    amount_json,
    day_written,
    in_place,
    listed,
    lot_json,
    of_food,
)
from helper.answers import Answer, Because, Block, Column, Items, Say, Table
from helper.household.draft import Draft
from helper.kitchen.amounts import Amount, number_written, written
from helper.kitchen.lines import made_out
from helper.kitchen.lots import Lot
from helper.kitchen.money import NOTHING, plain, to_cents
from helper.kitchen.money import written as money_written
from helper.kitchen.recipes import Recipe, Remark
from helper.kitchen.stock import Draw
from helper.reading.frame import number
from helper.reading.reading import Reading

_LONGEST_REMARK = 500
_FATE = "eaten"


# -- made ------------------------------------------------------------------------------------


def cooked(reading: Reading, house: House) -> Answer:
    """A recipe was made: its needs are drawn from the lots, what is left becomes a lot itself."""
    try:
        reading = servings_said(reading)
        recipes = recipes_meant(reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    if len(recipes) == 1:
        recipes = (as_made(recipes[0], reading, house),)
    dishes = made(recipes, house)
    first = dishes[0]
    saved = byproducts(reading, first.recipe, house)
    left: list[Lot] = []
    amount = leftover_amount(reading, first.recipe)
    if amount is not None:
        whole = first.recipe.servings
        if amount.unit == "portion" and whole and amount.number > whole:
            too_much = f"{number_written(amount.number)} portions left of {number_written(whole)}"
            return answer_to(reading, Refuse(f"{too_much} cannot be. Nothing was changed."))
        left = [leftovers(amount, first, reading, house)]
    _write(reading, house, dishes, left, saved)
    reply = _reply(dishes, left, saved)
    recipe = first.recipe
    return Answer(
        reading,
        reply,
        _cooked_blocks(reading, house, dishes, left, saved),
        changed=True,
        cautions=house.cautions.recipe(recipe),
        because=tuple(_draws_because(dish) for dish in dishes),
        recipes=tuple(dish.recipe.title for dish in dishes),
    )


def _write(
    reading: Reading, house: House, dishes: Sequence[Made], left: list[Lot], saved: list[Lot]
) -> None:
    day = cooked_on(reading, house)

    def prepare(draft: Draft) -> None:
        for dish in dishes:
            write_draws(draft, dish.draws, house.today)
        for lots in (left, saved):
            lots[:] = [draft.add("stock", replace(lot, id=0)) for lot in lots]
        _tick_menu(draft, {dish.recipe.title for dish in dishes})
        draft.meta = {
            "recipe": dishes[0].recipe.title,
            "servings": number(dishes[0].recipe.servings),
            "cost": plain(sum((dish.cost for dish in dishes), NOTHING)),
            "date": day.isoformat(),
            "made": [_dish_json(dish) for dish in dishes],
            "fate": _FATE,
        }

    names = listed(_dish_written(dish.recipe) for dish in dishes)
    house.books.change(prepare, act="cooked", said=reading.said, summary=f"Made {names}")


def _tick_menu(draft: Draft, titles: set[str]) -> None:
    """A planned meal that was made is done: the earliest one not yet done, in the newest menu."""
    menus = draft.menus()
    if not menus:
        return
    meals = list(menus[-1].meals)
    for title in titles:
        for at, meal in enumerate(meals):
            if meal.recipe == title and not meal.done:
                meals[at] = replace(meal, done=True)
                break
    draft.put("menus", replace(menus[-1], meals=tuple(meals)))


def _dish_json(dish: Made) -> dict[str, Any]:
    recipe = dish.recipe
    each = None
    if recipe.servings:
        each = to_cents(dish.cost / Decimal(repr(recipe.servings)))
    return {
        "recipe": recipe.title,
        "servings": number(recipe.servings),
        "taken": taken_json(dish.draws, _FATE),
        "short": short_json(dish.short),
        "cost": plain(dish.cost),
        "per_serving": plain(each),
        "at_least": dish.at_least,
    }


def _reply(dishes: Sequence[Made], left: Sequence[Lot], saved: Sequence[Lot]) -> dict[str, Any]:
    made_ = [_dish_json(dish) for dish in dishes]
    reply = dict(made_[0])
    if len(made_) > 1:
        reply["taken"] = [one for dish in made_ for one in dish["taken"]]
        reply["short"] = [one for dish in made_ for one in dish["short"]]
        reply["cost"] = plain(sum((dish.cost for dish in dishes), NOTHING))
        reply["per_serving"] = None
        reply["recipes"] = made_
    reply["leftovers"] = [lot_json(lot) for lot in left]
    reply["byproducts"] = [lot_json(lot) for lot in saved]
    return reply


def _dish_written(recipe: Recipe) -> str:
    if recipe.servings is None:
        return recipe.title
    return f"{recipe.title} for {number_written(recipe.servings)}"


def _cooked_blocks(
    reading: Reading,
    house: House,
    dishes: Sequence[Made],
    left: Sequence[Lot],
    saved: Sequence[Lot],
) -> tuple[Block, ...]:
    names = listed(_dish_written(dish.recipe) for dish in dishes)
    cost = sum((dish.cost for dish in dishes), NOTHING)
    least = "at least " if any(dish.at_least for dish in dishes) else ""
    said = f"Down as made: {names}. It cost {least}{money_written(cost, house.currency)}"
    each = _dish_json(dishes[0])["per_serving"] if len(dishes) == 1 else None
    if each is not None:
        said += f", {money_written(Decimal(each), house.currency)} a serving"
    blocks: list[Block] = [Say(f"{said}.", "good")]
    if unscaled(dishes[0].recipe, reading) and dishes[0].recipe.servings is None:
        blocks.append(
            Say("The recipe does not say how many it serves, so one batch was taken off.", "warn")
        )
    rows = _taken_rows([draw for dish in dishes for draw in dish.draws], house)
    if rows:
        blocks.append(Table((Column("taken"), Column("amount"), Column("cost", right=True)), rows))
    short = [line for dish in dishes for line in dish.short]
    if short:
        blocks.append(Say("Not in the books, or not enough of it, so not taken off:", "warn"))
        blocks.append(
            Items(
                tuple(
                    of_food(line.short, line.food or "")
                    if line.short is not None and line.food
                    else line.line.text
                    for line in short
                )
            )
        )
    for lot in (*left, *saved):
        until = f", best by {day_written(lot.best_by, house.today)}" if lot.best_by else ""
        what = of_food(lot.left, lot.food)
        blocks.append(Say(f"Put away: {what}, {in_place(lot.place)}{until}."))
    return tuple(blocks)


def _taken_rows(draws: Sequence[Draw], house: House) -> tuple[tuple[str, ...], ...]:
    """What was taken, the lots of one food added up where one unit measures them."""
    sums: dict[tuple[str, str | None], tuple[float, Decimal | None]] = {}
    for draw in draws:
        amount = draw.meets if draw.meets is not None else draw.amount
        count, cost = sums.get((draw.lot.food, amount.unit), (0.0, NOTHING))
        both = None if cost is None or draw.cost is None else cost + draw.cost
        sums[draw.lot.food, amount.unit] = (count + amount.number, both)
    return tuple(
        (
            food,
            written(Amount(count, unit)),
            money_written(cost, house.currency) if cost is not None else "no price",
        )
        for (food, unit), (count, cost) in sums.items()
    )


def _draws_because(dish: Made) -> Because:
    lines = tuple(
        Because(
            f"{written(draw.amount)} of {draw.lot.food} from lot {draw.lot.id}: "
            + (f"{plain(draw.cost)}" if draw.cost is not None else "price not known"),
            "a lot's worth before less its worth after, each to the cent",
            "the household's books",
            tuple(Because(one) for one in draw.basis),
        )
        for draw in dish.draws
    )
    return Because(f"{dish.recipe.title} cost {plain(dish.cost)}", "draws added up", "", lines)


# -- kept ------------------------------------------------------------------------------------


def keep_recipe(reading: Reading, house: House) -> Answer:
    """A recipe typed or pasted is kept; one of the same title takes the place of the old one."""
    recipe = pasted_recipe(reading.said, house.foods)
    if recipe is None or not recipe.lines:
        return answer_to(
            reading,
            Ask(
                "Paste the recipe: the title on the first line, then what goes in, a line each, "
                "then the steps.",
                about="words",
            ),
        )
    if not recipe.title:
        return answer_to(reading, Ask("What is the recipe called?", about="words"))
    old = house.books.recipe_titled(recipe.title)

    def prepare(draft: Draft) -> None:
        before = draft.recipe_titled(recipe.title)
        if before is None:
            draft.add("recipes", recipe)
        else:
            draft.put("recipes", replace(recipe, id=before.id))

    done = "Kept anew" if old is not None else "Kept"
    house.books.change(
        prepare,
        act="keep-recipe",
        said=reading.said[:_LONGEST_REMARK],
        summary=f"{done}: {recipe.title}",
    )
    unread = [line.text for line in recipe.lines if not made_out(line, house.foods)]
    unsure = [
        line.text
        for line in recipe.lines
        if line.food is not None
        and made_out(line, house.foods)
        and (not line.certain or line.food not in house.foods)
    ]
    reply = {
        "recipe": recipe.title,
        "servings": number(recipe.servings),
        "lines": [
            {"food": line.food, **amount_json(line.amount), "text": line.text}
            for line in recipe.lines
        ],
        "unread": unread,
        "unsure": unsure,
        "steps": list(recipe.steps),
        "updated": old is not None,
    }
    return Answer(
        reading,
        reply,
        _kept_blocks(recipe, old is not None, unread, unsure),
        changed=True,
        cautions=house.cautions.recipe(recipe),
        recipes=(recipe.title,),
    )


def _kept_blocks(
    recipe: Recipe, again: bool, unread: Sequence[str], unsure: Sequence[str]
) -> tuple[Block, ...]:
    lines, steps = len(recipe.lines), len(recipe.steps)
    serves = f", for {number_written(recipe.servings)}" if recipe.servings else ""
    yields = f", makes {recipe.yields}" if recipe.yields and not serves else ""
    blocks: list[Block] = [
        Say(
            f"Kept: {recipe.title}{serves}{yields}, {lines} ingredient{'s' * (lines != 1)}, "
            f"{steps} step{'s' * (steps != 1)}.",
            "good",
        )
    ]
    if again:
        blocks.append(Say('It takes the place of the one kept before; "undo" brings that back.'))
    if recipe.servings is None:
        blocks.append(Say("It does not say how many it serves, so no cost a serving.", "quiet"))
    if unread:
        blocks.append(Say("I could not read these lines; they are kept as written:", "warn"))
        blocks.append(Items(tuple(unread)))
    if unsure:
        blocks.append(Say("I am not sure of these; no one is told they may eat them:", "warn"))
        blocks.append(Items(tuple(unsure)))
    return tuple(blocks)


# -- remarked on -----------------------------------------------------------------------------


def remark(reading: Reading, house: House) -> Answer:
    """What the household thought of a recipe."""
    try:
        recipe = recipe_meant(replace(reading, servings=None, scale=None), house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    text = (reading.words or reading.said).strip()[:_LONGEST_REMARK]
    verdict = next((mark for mark in reading.marks if mark in ("disliked", "liked")), None)
    if "disliked" in reading.marks:
        verdict = "disliked"
    day = reading.date if reading.date and reading.date <= house.today else house.today

    def prepare(draft: Draft) -> None:
        draft.add("remarks", Remark(0, recipe.title, text, verdict, day.isoformat()))

    house.books.change(
        prepare, act="remark", said=reading.said, summary=f"Noted about {recipe.title}: {text}"
    )
    before = house.books.remarks(recipe.title)[:-1]
    how = {"liked": ", as liked", "disliked": ", as not liked", None: ""}[verdict]
    blocks: list[Block] = [Say(f"Noted with {recipe.title}{how}: {text}", "good")]
    if before:
        blocks.append(Say(f"Said before: {before[-1].text}", "quiet"))
    reply = {"recipe": recipe.title, "remark": text, "verdict": verdict, "date": day.isoformat()}
    return Answer(reading, reply, tuple(blocks), changed=True, recipes=(recipe.title,))

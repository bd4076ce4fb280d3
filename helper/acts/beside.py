"""What to serve beside a dish or a food."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from helper.acts.house import House
from helper.acts.wording import listed
from helper.answers import Answer, Because, Block, Column, Say, Table, asking
from helper.kitchen.kin import is_general, is_sort
from helper.kitchen.pairings import Main, Pairings, Side
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, NO, YES, Minded
from helper.kitchen.words import key
from helper.reading.reading import Reading
from rules.avoids import avoids
from rules.judge import worst

_MOST = 12
_HEAD = re.compile(r"\s(?:with|from|for|without|in|on|over|under)\s")
_JOINING = frozenset({"and", "or"})


class _Dish(msgspec.Struct, frozen=True):
    """One thing to serve: a recipe of the house, or a food; `fits` whoever was named."""

    side: Side
    recipe: Recipe | None
    in_house: bool
    fits: str = YES


def goes_with(reading: Reading, house: House) -> Answer:
    """Sides from the book, the household's own recipes and stock first."""
    book = Pairings(house.foods)
    main, name = _main(reading, house, book)
    if main is None:
        return asking(reading, "What shall it go with?", about="recipes")
    month = (reading.date or house.today).month
    minded = _minded(reading, house)
    dishes = [_dish(side, house, minded) for side in book.beside(main, month)]
    dishes = [one for one in dishes if one.fits != NO and not _unwanted(one, reading, house)]
    dishes.sort(key=lambda one: (one.recipe is None, not one.in_house, -one.side.score))
    dishes = _each_once(dishes, reading)[:_MOST]
    reply = {"dishes": [_row(one) for one in dishes], "for": name}
    whom = listed((*reading.people, *reading.diets))
    blocks: tuple[Block, ...] = _blocks(name, dishes, whom)
    return Answer(
        reading,
        reply,
        blocks,
        because=tuple(_because(one) for one in dishes),
        offered=tuple(_called(one) for one in dishes),
        recipes=reading.recipes,
        foods=() if reading.recipes else reading.foods,
        people=reading.people,
    )


def _main(reading: Reading, house: House, book: Pairings) -> tuple[Main | None, str]:
    for title in reading.recipes:
        recipe = house.books.recipe_titled(title)
        if recipe is not None:
            return book.of_recipe(recipe, house.keeping.dish(recipe)), recipe.title
    if reading.foods:
        return book.of_food(reading.foods[0], reading.said), reading.foods[0]
    main = Main(key(reading.said), ())
    return (main, "that") if book.beside(main, house.today.month) else (None, "")


def _minded(reading: Reading, house: House) -> tuple[Minded, ...]:
    """What the people and diets named in the request have to mind."""
    people = (house.person(name) for name in reading.people)
    own = [one for person in people if person for one in house.safety.minds(person)]
    diets = [Minded(one) for one in avoids().expanded(reading.diets)]
    return tuple(dict.fromkeys((*own, *diets)))


def _dish(side: Side, house: House, minded: Sequence[Minded]) -> _Dish:
    """A side as this house would serve it: by its own recipe, or the food as it is."""
    verdicts: list[tuple[str, Recipe | None]] = []
    for recipe in _recipes(side, house):
        verdicts.append((house.safety.verdict(house.safety.things(recipe), minded), recipe))
    fitting = [one for one in verdicts if one[0] == YES] or [
        one for one in verdicts if one[0] == CHECK
    ]
    if fitting:
        return _Dish(side, fitting[0][1], False, fitting[0][0])
    there = side.food is not None and any(
        lot.food == side.food or house.foods.covers(side.food, lot.food) for lot in house.lots
    )
    if not minded:
        return _Dish(side, None, there)
    safety = house.safety
    thing = safety.bare(side.food) if side.food else safety.unknown(side.side)
    return _Dish(side, None, there, worst([safety.verdict([thing], minded)]))


class _Head(NamedTuple):
    """A title up to its "with" or "for": its words, the food they name and whether only that."""

    title: str
    words: tuple[str, ...]
    food: str | None
    certain: bool

    @property
    def joined(self) -> bool:
        """True for "beans and ham", which is neither."""
        return bool(set(self.words) & _JOINING)


def _heads(house: House) -> dict[str | None, list[_Head]]:
    """All titles of the house by the food they name."""
    found: defaultdict[str | None, list[_Head]] = defaultdict(list)
    for title in house.index.titles:
        head = _HEAD.split(title, maxsplit=1)[0]
        hit = house.foods.find(head)
        food, certain = (hit.food, hit.certain) if hit is not None else (None, False)
        found[food].append(_Head(title, key(head), food, certain))
    return found


def _recipes(side: Side, house: House) -> list[Recipe]:
    """The household's recipes for a side, the plainest titles first."""
    wanted = key(side.side)
    titles: list[str] = []
    for food, heads in house.kept("heads of titles", lambda: _heads(house)).items():
        sort = food is not None and side.food is not None and _sort_of(side.food, food, house)
        titles += [one.title for one in heads if _is_for(one, wanted, side.food, sort)]
    titles.sort(key=lambda title: (len(key(title)), title))
    found = (house.books.recipe_titled(title) for title in titles[:_MOST])
    return [recipe for recipe in found if recipe is not None]


def _sort_of(wide: str, narrow: str, house: House) -> bool:
    """True where a food is served as the other: biscuits of a sort, but no ham salad for salad."""
    foods = house.foods
    if foods[narrow].base == wide:
        return True
    alike = foods[narrow].kind == foods[wide].kind and not is_general(foods, wide)
    return alike and is_sort(foods, wide, narrow)


def _is_for(head: _Head, wanted: tuple[str, ...], food: str | None, sort: bool) -> bool:
    """True where a recipe is the side itself or a sort of it.

    "Molasses baked beans" is baked beans; "Bean and ham soup" is no bean, "Banana bread" no bread.
    """
    if food is not None and head.food is not None and (head.certain or not head.joined):
        if head.food == food:
            return True
        if head.certain:
            return sort
    return bool(wanted) and head.words[-len(wanted) :] == wanted and not head.joined


def _unwanted(dish: _Dish, reading: Reading, house: House) -> bool:
    """True for what was said to be left out, and for the dish itself."""
    if dish.recipe is not None and dish.recipe.title in reading.recipes:
        return True
    named = {dish.side.food, dish.side.side}
    if dish.recipe is not None:
        named |= {line.food for line in dish.recipe.lines}
    return any(
        food == one or is_sort(house.foods, food, one)
        for food in reading.without
        for one in named
        if one
    )


def _each_once(dishes: Sequence[_Dish], reading: Reading) -> list[_Dish]:
    found: dict[str, _Dish] = {}
    for one in dishes:
        found.setdefault(_called(one), one)
    return list(found.values())


def _called(dish: _Dish) -> str:
    return dish.recipe.title if dish.recipe is not None else dish.side.food or dish.side.side


def _row(dish: _Dish) -> dict[str, object]:
    return {
        "recipe": dish.recipe.title if dish.recipe is not None else None,
        "food": None if dish.recipe is not None else dish.side.food or dish.side.side,
        "side": dish.side.side,
        "why": dish.side.why,
        "in_house": dish.in_house,
        "fits": dish.fits,
        "source": dish.side.source,
    }


def _blocks(name: str, dishes: Sequence[_Dish], whom: str) -> tuple[Block, ...]:
    if not dishes:
        return (
            Say(
                f"The book knows no side for {name}"
                f"{f' that suits {whom}' if whom else ''}. Something crisp and sour stands well"
                " beside what is soft or rich, bread or rice beside what has a sauce."
            ),
        )
    first = listed([_called(one) for one in dishes[:3]])
    cells = tuple(
        (str(at), _called(one), one.side.why, _mark(one, whom)) for at, one in enumerate(dishes, 1)
    )
    columns = (Column("", right=True), Column("beside it"), Column("why"), Column(""))
    return (Say(f"With {name}: {first}."), Table(columns, cells))


def _mark(dish: _Dish, whom: str) -> str:
    marks = ["your recipe"] if dish.recipe is not None else []
    if dish.in_house:
        marks.append("in the house")
    if whom and dish.fits == CHECK:
        marks.append("check the label")
    return ", ".join(marks)


def _because(dish: _Dish) -> Because:
    side = dish.side
    return Because(f"{side.side} with {side.main}: {side.why}", "book of pairings", side.source)

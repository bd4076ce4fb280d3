"""Which recipes hold which foods, so that a question does not walk the whole collection.

Everything is numbers in arrays: for each food the recipes that need it, for each recipe its time
and servings. Ten thousand recipes take a few megabytes. What the stock lacks is kept as a count
per recipe and only the foods that changed since the last question are counted again.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from helper.kitchen.foods import Foods
from helper.kitchen.kin import is_general
from helper.kitchen.matching import from_the_tap
from helper.kitchen.recipes import Recipe


class Entry(NamedTuple):
    """One line for the index. `always` True for lines that never make a dish short: optional,
    to taste, unread; `choices` are the other foods the line would take."""

    food: str
    always: bool = False
    choices: tuple[str, ...] = ()


class Card(NamedTuple):
    """One recipe for the index; `minutes` None where not known."""

    recipe: int
    title: str
    minutes: int | None
    servings: float | None
    lines: Sequence[Entry]


def card(recipe: Recipe) -> Card:
    """The index card of a recipe."""
    lines = tuple(
        Entry(
            line.food,
            line.optional or line.unread or (line.to_taste and line.amount is None),
            tuple(choice.food for choice in line.choices),
        )
        for line in recipe.lines
        if line.food
    )
    return Card(recipe.id, recipe.title, recipe.minutes, recipe.servings, lines)


class RecipeIndex:
    """Foods to recipes. Recipes are kept at places 0, 1, …; `ids[place]` is the recipe's id."""

    def __init__(self, foods: Foods, cards: Iterable[Card] = ()) -> None:
        self._foods = foods
        self.ids = array("q")
        self.minutes = array("i")
        self.titles: list[str] = []
        self._place: dict[int, int] = {}
        self._free: list[int] = []
        # the foods of all lines; a line with choices stands as one name of its own
        self._number: dict[str, int] = {}
        self.names: list[str] = []
        self._needs: list[array[int]] = []
        self._holds: list[array[int]] = []
        self._tap: list[bool] = []
        self._short = array("i")
        self._lacking = bytearray()
        self._counted_for: object = None
        for one in cards:
            self.add(one)

    def __len__(self) -> int:
        return len(self._place)

    def __contains__(self, recipe: object) -> bool:
        return recipe in self._place

    # -- adding and removing -----------------------------------------------------------------

    def add(self, new: Card) -> None:
        """Adds a recipe, or replaces the one with its id."""
        self.remove(new.recipe)
        place = self._free.pop() if self._free else len(self.ids)
        if place == len(self.ids):
            self.ids.append(new.recipe)
            self.minutes.append(0)
            self.titles.append("")
            self._short.append(0)
        self.ids[place] = new.recipe
        self.minutes[place] = -1 if new.minutes is None else new.minutes
        self.titles[place] = new.title
        self._place[new.recipe] = place
        short = 0
        for line in new.lines:
            options = (line.food, *line.choices)
            for food in options:
                self._holds[self._numbered(food)].append(place)
            if line.always:
                continue
            number = self._numbered("|".join(options))
            if not self._tap[number]:
                self._needs[number].append(place)
                short += self._lacking[number]
        self._short[place] = short

    def remove(self, recipe: int) -> None:
        """Takes a recipe out; nothing happens where it is not there."""
        place = self._place.pop(recipe, None)
        if place is None:
            return
        self.ids[place] = -1
        self._free.append(place)
        for lists in (self._needs, self._holds):
            for number, places in enumerate(lists):
                if place in places:
                    lists[number] = array("I", (one for one in places if one != place))

    def _numbered(self, name: str) -> int:
        number = self._number.get(name)
        if number is None:
            number = self._number[name] = len(self.names)
            self.names.append(name)
            self._needs.append(array("I"))
            self._holds.append(array("I"))
            self._tap.append(from_the_tap(self._foods, name))
            self._lacking.append(0)
            self._counted_for = None
        return number

    # -- asking ------------------------------------------------------------------------------

    def holding(self, food: str) -> set[int]:
        """Places of recipes that name a food, a sort of it or another form of it."""
        found: set[int] = set()
        for name in self.meant_by(food):
            number = self._number.get(name)
            if number is not None:
                found.update(self._holds[number])
        return found

    def holding_any(self, food: str) -> set[int]:
        """As `holding`; the name of a whole kind takes in everything of that kind: "no fish"."""
        found = self.holding(food)
        if is_general(self._foods, food):
            for name, number in self._number.items():
                if food in self._foods.kinds(name):
                    found.update(self._holds[number])
        return found

    def meant_by(self, food: str) -> frozenset[str]:
        """What a person may mean by a food: every sort and form of it that recipes here name."""
        family = set(self._foods.family(food)) | {food}
        return frozenset(
            name for name in self._number if name in family or self._foods.covers(food, name)
        )

    def recipes_with(self, food: str) -> tuple[int, ...]:
        """Ids of recipes that name a food, a sort of it or another form of it."""
        return tuple(self.ids[place] for place in sorted(self.holding(food)))

    def places(self) -> Iterable[int]:
        """Places of every recipe."""
        return self._place.values()

    def short_of(self, holds: Callable[[str], bool], stock: object) -> array[int]:
        """For each place, how many needed lines name a food the house lacks altogether.

        `holds` tells whether some lot can stand for a food; `stock` is any token that changes
        when the stock does: for the same token the last count stands.
        """
        if self._counted_for is not stock or stock is None:
            for number, name in enumerate(self.names):
                lacking = not self._tap[number] and not any(holds(one) for one in name.split("|"))
                if lacking != self._lacking[number]:
                    self._lacking[number] = lacking
                    step = 1 if lacking else -1
                    short = self._short
                    for place in self._needs[number]:
                        short[place] += step
            self._counted_for = stock
        return self._short

    def marked(self, marks: Callable[[str], bool]) -> bytearray:
        """For each place, how many of its lines name a food that `marks` picks (at most 255)."""
        found = bytearray(len(self.ids))
        for name, number in self._number.items():
            if "|" not in name and self._holds[number] and marks(name):
                for place in self._holds[number]:
                    if found[place] < 255:
                        found[place] += 1
        return found

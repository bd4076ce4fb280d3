"""What can be asked of the books, whether of the household or of a change being prepared."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from typing import Any

from helper.household.records import HouseRule, Menu, Setting, Told, Wanted
from helper.kitchen.lots import Level, Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe, Remark


def title_key(title: str) -> str:
    """Titles that differ in case and spacing alone are the same title."""
    return " ".join(title.casefold().split())


class Pages(ABC):
    """The tables as lists of records, lowest number first."""

    @abstractmethod
    def get(self, table: str, record: int) -> Any:
        """One record, or None."""

    @abstractmethod
    def each(self, table: str) -> Iterator[Any]:
        """All records of a table, one after the other; recipes are read as they come by."""

    @abstractmethod
    def recipe_titles(self) -> dict[str, int]:
        """Number of each recipe by `title_key` of its title."""

    def all(self, table: str) -> list[Any]:
        """All records of a table."""
        return list(self.each(table))

    def lots(self) -> list[Lot]:
        """What is in the house."""
        return self.all("stock")

    def lot(self, record: int) -> Lot | None:
        """One lot."""
        found: Lot | None = self.get("stock", record)
        return found

    def recipes(self) -> Iterator[Recipe]:
        """Every recipe."""
        return self.each("recipes")

    def recipe(self, record: int) -> Recipe | None:
        """One recipe by its number."""
        found: Recipe | None = self.get("recipes", record)
        return found

    def recipe_titled(self, title: str) -> Recipe | None:
        """One recipe by its whole title; case and spacing do not matter."""
        record = self.recipe_titles().get(title_key(title))
        return None if record is None else self.recipe(record)

    def people(self) -> list[Person]:
        """Who eats here."""
        return self.all("people")

    def person_named(self, name: str) -> Person | None:
        """One person by name; case and spacing do not matter."""
        key = title_key(name)
        return next((one for one in self.people() if title_key(one.name) == key), None)

    def prices(self, food: str | None = None) -> list[PriceSeen]:
        """Prices paid and seen, of one food or of all."""
        return [one for one in self.all("prices") if food is None or one.food == food]

    def levels(self) -> list[Level]:
        """What the household always wants to have."""
        return self.all("levels")

    def remarks(self, recipe: str | None = None) -> list[Remark]:
        """What was said of one recipe or of all, oldest first."""
        key = None if recipe is None else title_key(recipe)
        found: list[Remark] = self.all("remarks")
        return [one for one in found if key is None or title_key(one.recipe) == key]

    def house_rules(self) -> list[HouseRule]:
        """The household's standing rules."""
        return self.all("rules")

    def told(self, kind: str | None = None) -> list[Told]:
        """Facts the household told about its goods, of one kind or of all."""
        return [one for one in self.all("told") if kind is None or one.kind == kind]

    def shopping(self) -> list[Wanted]:
        """The shopping list."""
        return self.all("shopping")

    def menus(self) -> list[Menu]:
        """Menus settled on, oldest first."""
        return self.all("menus")

    @property
    def settings(self) -> dict[str, Any]:
        """The household's choices by name."""
        found: list[Setting] = self.all("settings")
        return {one.name: one.value for one in found}

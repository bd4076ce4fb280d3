"""Cautions as answers carry them: at most two from the book, and how hot the middle must get."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from helper.answers import Caution
from helper.kitchen.cautions import MOST, Care, Cautions, Temperature
from helper.kitchen.foods import Foods
from helper.kitchen.recipes import Recipe


class Heeding:
    """The book of cautions, asked for recipes, foods and sentences.

    `book` is the book itself, for whoever wants more than an answer can carry.
    """

    def __init__(self, foods: Foods) -> None:
        self.book = Cautions(foods)

    def recipe(self, recipe: Recipe) -> tuple[Caution, ...]:
        """The two most severe cautions a recipe calls for, and the heat its meat must reach."""
        found = [said(care) for care in self.book.recipe(recipe)]
        heats = [
            heat
            for heat in self.book.heats(recipe)
            if not any(_names(one.text, heat) for one in found)
        ]
        if heats:
            found.append(_heat(heats))
        return tuple(found)

    def about(
        self,
        foods: Iterable[str] = (),
        states: Collection[str] = (),
        techniques: Collection[str] = (),
        words: str = "",
        least: str = "caution",
        most: int = MOST,
    ) -> tuple[Caution, ...]:
        """The most severe cautions for foods in some states (opened, leftover, soaked …), for
        what is done to them (store, substitute, thaw …), and for the words of a sentence.
        """
        found = self.book.about(foods, states, techniques, words, least, most)
        return tuple(said(care) for care in found)

    def temperature(self, food: str) -> Caution | None:
        """How hot one food must get inside, or None where the table does not tell."""
        heat = self.book.temperature(food)
        return None if heat is None else _heat([heat])


def said(care: Care) -> Caution:
    """A row of the book as an answer carries it, with whom to ask at its end."""
    who = f" (Ask: {care.defer_to}.)" if care.defer_to else ""
    return Caution(care.id, care.severity, care.text + who, care.source)


def _heat(heats: list[Temperature]) -> Caution:
    parts = []
    for heat in heats:
        rest = f" and {heat.rest_minutes} minutes of rest" if heat.rest_minutes else ""
        parts.append(f"{heat.food} {heat.fahrenheit:.0f} F ({heat.celsius:.0f} C){rest}")
    text = f"Safe in the middle: {', '.join(parts)}."
    note = heats[0].note
    if len(heats) == 1 and note:
        text = f"{text[:-1]}; {note}."
    return Caution("safe-temperature", "caution", text, heats[0].source)


def _names(text: str, heat: Temperature) -> bool:
    return f"{heat.fahrenheit:.0f} F" in text

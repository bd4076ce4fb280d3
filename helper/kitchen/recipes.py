"""Recipes: kept as written and as read."""

from __future__ import annotations

import msgspec

from helper.kitchen.amounts import Amount


class Choice(msgspec.Struct, frozen=True, array_like=True):
    """An alternative a line offers: "butter or margarine", "1 cup milk or 1/2 cup cream"."""

    food: str
    amount: Amount | None = None


class Line(msgspec.Struct, frozen=True, omit_defaults=True):
    """One ingredient line.

    `text` is as written. `food` is the canonical name, or the writer's own words where the foods
    table does not know them; None with `unread` True where no food could be made out. `certain`
    is False when a name was only guessed at (typo, words left over): such a line never clears an
    allergen. `size` is the package size of "2 (15 oz) cans". `amount` None = none said
    ("to taste" when `to_taste`). `mentions` are further foods the line names ("dredged in flour");
    `claims` the label words it asks for ("gluten-free oats"); `detail` the size or cut that the
    household-weight table knows ("large", "chopped").
    """

    text: str
    food: str | None = None
    amount: Amount | None = None
    size: Amount | None = None
    preparation: str = ""
    optional: bool = False
    to_taste: bool = False
    certain: bool = True
    unread: bool = False
    choices: tuple[Choice, ...] = ()
    mentions: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    detail: str = ""
    section: str = ""


class Recipe(msgspec.Struct, frozen=True, omit_defaults=True):
    """A recipe. `servings` None = never said; `yields` as written ("24 squares").

    `minutes` is the whole time if told, else the sum read from the steps; `oven_f` the first
    oven temperature in °F. `remarks` are the household's own notes, newest last.
    """

    id: int
    title: str
    lines: tuple[Line, ...] = ()
    steps: tuple[str, ...] = ()
    servings: float | None = None
    yields: str = ""
    minutes: int | None = None
    oven_f: int | None = None
    category: str = ""
    source: str = ""
    notes: tuple[str, ...] = ()


class Remark(msgspec.Struct, frozen=True, omit_defaults=True):
    """What the household said of a recipe; `verdict` is liked, disliked or None."""

    id: int
    recipe: str
    text: str
    verdict: str | None = None
    date: str | None = None

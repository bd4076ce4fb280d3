"""What a request was read as."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import msgspec

from helper.kitchen.amounts import Amount


class Said(msgspec.Struct, frozen=True):
    """An amount said of a food; `food` None when only an amount was said."""

    amount: Amount
    food: str | None = None
    size: Amount | None = None
    package: str | None = None
    price: Decimal | None = None
    each: bool = False


class Evidence(msgspec.Struct, frozen=True):
    """Which words made which part: `words` as typed, `kind` (food, person, act, …), `meaning`.

    `certain` False: the words were misspelt and taken for something near.
    """

    words: str
    kind: str
    meaning: str
    certain: bool = True


class Question(msgspec.Struct, frozen=True):
    """One short question back, with the things that may be answered."""

    text: str
    choices: tuple[str, ...] = ()
    about: str = "act"


class Reading(msgspec.Struct, frozen=True):
    """A request as read: the act and everything that was said with it. Gaps stay empty.

    `date` is the day spoken of, `until` a best-by day; `days` a span; `money` a price or a
    budget, `per` what it is for (each, head, all); `scale` 2.0 for "double"; `fate` what became
    of food used (eaten, thrown, given); `words` free words of remarks and rules; `pick` an
    ordinal into the last list; `asked` words that narrow the act ("opened", "everyone"). `only`
    the foods that the sentence itself spoke of, where one thing of a request is put right and all
    of it done again.
    """

    said: str
    act: str | None = None
    recipes: tuple[str, ...] = ()
    foods: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    diets: tuple[str, ...] = ()
    amounts: tuple[Said, ...] = ()
    money: Decimal | None = None
    servings: float | None = None
    days: int | None = None
    place: str | None = None
    date: dt.date | None = None
    minutes: int | None = None
    until: dt.date | None = None
    per: str | None = None
    scale: float | None = None
    fate: str | None = None
    shop: str | None = None
    package: str | None = None
    words: str | None = None
    pick: int | None = None
    marks: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    likeness: float = 0.0
    margin: float = 0.0
    near: tuple[str, ...] = ()
    question: Question | None = None

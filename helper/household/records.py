"""Which table holds which kind of record, and how a record is written down.

Records are frozen structs with an `id`. On paper they are JSON; in memory a table keeps that JSON
as it stands, and a record is made of it when somebody asks. So ten thousand recipes cost little
more than their own text.
"""

from __future__ import annotations

import datetime as dt
import functools
from decimal import Decimal
from typing import Any, Protocol, TypeVar

import msgspec

from helper.household.troubles import BooksDamaged
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Level, Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Recipe, Remark

NOTHING = msgspec.Raw(b"null")


class Record(Protocol):
    """Anything the books can hold: a struct with a number of its own."""

    @property
    def id(self) -> int:
        """The record's number in its table; never given twice."""
        ...


R = TypeVar("R", bound=Record)


class HouseRule(msgspec.Struct, frozen=True, omit_defaults=True):
    """A standing rule of this household, as said and as understood.

    `kind` says what sort of rule it is ("never", "instead" …); `food` what it is about,
    `other` the food that takes its place, `person` whom it is for (None = everybody).
    """

    id: int
    text: str
    kind: str = "never"
    food: str | None = None
    other: str | None = None
    person: str | None = None
    date: dt.date | None = None
    more: dict[str, Any] = {}


class Told(msgspec.Struct, frozen=True, omit_defaults=True):
    """A fact the household told us about its own goods.

    `kind` "size": one `package` of `food` holds `size`. What a label says is told of a lot, not
    here: another package of the same food may say something else.
    """

    id: int
    kind: str
    food: str
    package: str | None = None
    size: Amount | None = None
    shop: str | None = None
    text: str = ""
    date: dt.date | None = None


class Wanted(msgspec.Struct, frozen=True, omit_defaults=True):
    """A line of the shopping list. `amount` None = some; `recipe` what it is for."""

    id: int
    food: str
    amount: Amount | None = None
    package: str | None = None
    recipe: str | None = None
    ticked: bool = False
    note: str = ""


class Meal(msgspec.Struct, frozen=True, omit_defaults=True):
    """One planned meal."""

    date: dt.date
    recipe: str
    servings: float
    slot: str = "dinner"
    done: bool = False


class Menu(msgspec.Struct, frozen=True, omit_defaults=True):
    """A plan of meals that the household has settled on.

    `people` and `diets` are those it was made for, where any were named; else everybody at home.
    """

    id: int
    meals: tuple[Meal, ...] = ()
    made: dt.date | None = None
    till_cost: Decimal | None = None
    note: str = ""
    people: tuple[str, ...] = ()
    diets: tuple[str, ...] = ()


class Taken(msgspec.Struct, frozen=True, omit_defaults=True):
    """A file taken in before, so that the same rows are not taken in twice unasked.

    `digest` stands for the whole file, `rows` for each of its rows.
    """

    id: int
    name: str
    digest: str
    rows: tuple[str, ...] = ()
    date: dt.date | None = None


class Setting(msgspec.Struct, frozen=True, omit_defaults=True):
    """One choice of the household: its currency, its usual number of servings …"""

    id: int
    name: str
    value: Any = None


KINDS: dict[str, type[Any]] = {
    "stock": Lot,
    "prices": PriceSeen,
    "recipes": Recipe,
    "remarks": Remark,
    "people": Person,
    "levels": Level,
    "rules": HouseRule,
    "told": Told,
    "shopping": Wanted,
    "menus": Menu,
    "taken": Taken,
    "settings": Setting,
}

_encoder = msgspec.json.Encoder(decimal_format="string")


@functools.cache
def _decoder(table: str) -> msgspec.json.Decoder[Any]:
    return msgspec.json.Decoder(KINDS[table])


def written(record: object) -> msgspec.Raw:
    """A record as the books write it down."""
    return msgspec.Raw(_encoder.encode(record))


def read(table: str, paper: msgspec.Raw) -> Any:
    """The record of what the books have written down, or None for nothing."""
    if paper == NOTHING:
        return None
    try:
        return _decoder(table).decode(paper)
    except msgspec.DecodeError as error:
        raise BooksDamaged(
            f"A record in the table of {table} makes no sense: {error}",
            bytes(paper)[:80].decode(errors="replace"),
            "Take back the change that wrote it, or put back a copy of the books.",
        ) from None

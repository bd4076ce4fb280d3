"""Tables of text: rows by column name, and cells read as numbers, money, days and foods."""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
from collections.abc import Iterable, Iterator
from decimal import Decimal, InvalidOperation
from typing import NamedTuple

import msgspec

from helper.household.sensible import odd_amount, odd_money
from helper.household.taking_in.report import CannotTakeIn
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lines import claim_words, read_line
from helper.kitchen.numbers import read_number
from helper.kitchen.units import UnknownUnit, unit_named, units
from helper.kitchen.words import key, words

_LONGEST_CELL = 300
_SIGNS = "$£€¥ "


class Unreadable(ValueError):
    """A cell that cannot be read; the text is the reason for the person."""


class Row(msgspec.Struct, frozen=True):
    """One row: its line in the file and its cells by column, trimmed; "" for a missing cell."""

    line: int
    cells: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")


def header(text: str) -> tuple[str, ...]:
    """The column names of a table, in lower case."""
    first = _first(text)
    names = next(_cut(csv.reader([first], delimiter=_delimiter(first))), [])
    return tuple(name.strip().casefold().replace(" ", "_") for name in names)


def _first(text: str) -> str:
    """The line of the column names."""
    return next((line for line in text.split("\n") if line.strip() and not _is_sign(line)), "")


def _is_sign(line: str) -> bool:
    """Whether a line only names the sign between cells ("sep=;"), as spreadsheets write it."""
    return line.strip(' "').casefold().startswith("sep=")


def _delimiter(first: str) -> str:
    return max(",;\t", key=first.count)


def _cut(reader: Iterable[list[str]]) -> Iterator[list[str]]:
    """The rows of a reader; a cell that never ends, as after a stray quote, is told."""
    try:
        yield from reader
    except csv.Error as error:
        raise CannotTakeIn(
            f"The table cannot be read: {error}",
            f"line {getattr(reader, 'line_num', 1)}",
            "Nothing was taken in. Look for a quote that is not closed.",
        ) from None


def table(text: str) -> Iterator[Row]:
    """The rows of a table with commas, semicolons or tabs; empty rows are passed over."""
    columns = header(text)
    reader = csv.reader(io.StringIO(text), delimiter=_delimiter(_first(text)))
    started = False
    before = 0
    for cells in _cut(reader):
        line, before = before + 1, reader.line_num
        if not any(cell.strip() for cell in cells):
            continue
        if not started and _is_sign(cells[0]):
            continue
        if not started:
            started = True
            continue
        named = {
            column: " ".join(cell.split())[:_LONGEST_CELL]
            for column, cell in zip(columns, cells, strict=False)
        }
        yield Row(line, named)


def number(text: str, column: str) -> float:
    """ "2", "1.5", "1,5", "1 1/2"; raises Unreadable."""
    bare = text.strip()
    try:
        value = float(bare.replace(",", ".") if bare.count(",") == 1 else bare)
    except ValueError:
        found = words(bare)
        read = read_number(found, 0)
        if read is None or read.after != len(found):
            raise Unreadable(f"{column} {text!r} is no number") from None
        value = read.value
    if not math.isfinite(value):
        raise Unreadable(f"{column} {text!r} is no number")
    return value


def amount(text: str, unit: str, nothing: bool = False) -> Amount:
    """An amount out of two cells; an empty unit means counted pieces. Raises Unreadable."""
    name: str | None = None
    if unit:
        try:
            name = unit_named(unit).name
        except UnknownUnit:
            raise Unreadable(f"unit {unit!r} is not known") from None
    found = Amount(number(text, "amount"), None if name == "piece" else name)
    if wrong := odd_amount(found, nothing):
        raise Unreadable(wrong)
    return found


def money(text: str) -> Decimal | None:
    """ "1.59", "$1.59", "1,59"; None for an empty cell. Raises Unreadable."""
    bare = text.strip(_SIGNS)
    if not bare:
        return None
    if "," in bare and "." not in bare:
        bare = bare.replace(",", ".")
    try:
        value = Decimal(bare.replace(",", ""))
    except InvalidOperation:
        raise Unreadable(f"price {text!r} is no sum of money") from None
    if wrong := odd_money(value):
        raise Unreadable(wrong)
    return value


def day(text: str, column: str) -> dt.date | None:
    """An ISO date; None for an empty cell. Raises Unreadable."""
    if not text:
        return None
    try:
        found = dt.date.fromisoformat(text)
    except ValueError:
        raise Unreadable(f"{column} {text!r} is no date; write it as 2027-03-31") from None
    if not 1900 <= found.year <= 2200:
        raise Unreadable(f"{column} {text!r} is no date of ours")
    return found


def package(text: str) -> str | None:
    """The package word as the units table has it; other words are kept as they are."""
    if not text:
        return None
    try:
        name = unit_named(text).name
    except UnknownUnit:
        return text.casefold()
    return name if units()[name].dimension == "package" else text.casefold()


class Named(NamedTuple):
    """A food as a cell names it: `known` False for names the tables lack."""

    food: str
    claims: tuple[str, ...]
    known: bool


def food(text: str, foods: Foods) -> Named:
    """The food a cell names. A name that does not fit word for word stays a name of its own:
    nothing is then taken for known of it. Raises Unreadable where there is no name.
    """
    if not key(text):
        raise Unreadable("no food is named" if not text else f"{text!r} names no food")
    exact = foods.named(text)
    if exact is not None and key(text):
        found = foods.find(text)
        if found is not None and not _claimed(text):
            return Named(exact, (), True)
    line = read_line(text, foods)[0]
    if line.food and line.certain and line.amount is None and not line.choices:
        if not line.mentions and line.food in foods:
            return Named(line.food, line.claims, True)
    return Named(own_name(text), (), False)


def _claimed(text: str) -> bool:
    parts = key(text)
    return any(
        parts[start:end] in claim_words()
        for start in range(len(parts))
        for end in range(start + 1, len(parts) + 1)
    )


def own_name(text: str) -> str:
    """The name of a food that only this household knows: lower case, singular at its end."""
    parts = [word for word in words(text) if word.text[0].isalnum()]
    return " ".join([*(word.text for word in parts[:-1]), parts[-1].key]) if parts else ""


def several(text: str) -> list[str]:
    """The things of a cell that holds several, divided by semicolons, bars or commas."""
    for sign in (";", "|", ","):
        if sign in text:
            return [part.strip() for part in text.split(sign) if part.strip()]
    return [text.strip()] if text.strip() else []

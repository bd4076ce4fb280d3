"""`stock.csv`: one lot a row, or a price without a lot where there are no packages."""

from __future__ import annotations

import datetime as dt
from collections import Counter

import msgspec

from helper.household.books import Household
from helper.household.draft import Draft
from helper.household.places import usual_place
from helper.household.records import Taken
from helper.household.taking_in import cells
from helper.household.taking_in.files import digest
from helper.household.taking_in.report import Progress, Refused, Report
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.keeping import Keeping
from helper.kitchen.lines import claim_words
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.words import key

COLUMNS = ("food", "amount")
_PLACES = ("shelf", "fridge", "freezer")
_MOST_PACKAGES = 10_000


class _Read(msgspec.Struct):
    """A row that makes sense, with its fingerprint."""

    record: Lot | PriceSeen
    digest: str
    note: str = ""


def take_in_stock(
    text: str,
    name: str,
    books: Household,
    foods: Foods,
    today: dt.date,
    again: bool = False,
    progress: Progress | None = None,
) -> Report:
    """Takes in every row that can be read; rows that came in before only if `again`."""
    refused: list[Refused] = []
    read = _rows(text, name, foods, refused, progress)
    before = _seen(books)
    fresh = [one for one in read if again or one.digest not in before]
    seen = len(read) - len(fresh)
    lots = [one for one in fresh if isinstance(one.record, Lot)]
    if fresh:
        _write(fresh, name, digest(text), books, today)
    asked = ""
    if seen:
        when = max((before[one.digest] for one in read if one.digest in before), default="")
        rows_ = f"{seen:,} row{'s' * (seen != 1)}"
        asked = (
            f"{rows_} of {name} came in before{f' on {when}' if when else ''} and "
            f"{'were' if seen != 1 else 'was'} left out, so that nothing is counted twice. "
            "Are they to be added once more?"
        )
    notes = tuple(dict.fromkeys(one.note for one in fresh if one.note))
    return Report(
        name,
        "stock",
        tuple(one.record.food for one in lots),
        (),
        tuple(refused),
        notes,
        seen,
        asked,
        len(fresh) - len(lots),
    )


def _rows(
    text: str, name: str, foods: Foods, refused: list[Refused], progress: Progress | None
) -> list[_Read]:
    found: list[_Read] = []
    twins: Counter[tuple[str, ...]] = Counter()
    listed = list(cells.table(text))
    known: dict[str, cells.Named] = {}
    keeping = Keeping(foods)
    for at, row in enumerate(listed):
        if progress is not None and at % 200 == 0:
            progress(at, len(listed))
        try:
            record, note = _record(row, foods, known, keeping)
        except cells.Unreadable as error:
            refused.append(Refused(name, row.line, str(error), ", ".join(row.cells.values())))
            continue
        # Two like rows in one file are two like lots; the same rows in another file are not.
        like = tuple(f"{column}={cell}" for column, cell in sorted(row.cells.items()) if cell)
        twins[like] += 1
        print_ = digest("\n".join((*like, str(twins[like]))))
        found.append(_Read(record, print_, f"Line {row.line}: {note}" if note else ""))
    return found


def _record(
    row: cells.Row, foods: Foods, known: dict[str, cells.Named], keeping: Keeping
) -> tuple[Lot | PriceSeen, str]:
    """The lot or price of one row. Raises Unreadable."""
    named = known.get(row["food"])
    if named is None:
        named = known[row["food"]] = cells.food(row["food"], foods)
    size = cells.amount(row["amount"], row["unit"])
    count = cells.number(row["packages"], "packages") if row["packages"] else 1.0
    if not 0 <= count <= _MOST_PACKAGES:
        raise cells.Unreadable(f"packages {row['packages']!r} cannot be")
    package, price = cells.package(row["package"]), cells.money(row["price"])
    bought = cells.day(row["bought"], "bought")
    best_by = cells.day(row["best_by"], "best_by")
    shop = row["shop"] or None
    food = foods.as_packed(named.food, package)
    note = "" if named.known else f"{named.food} is not in the tables, kept under that name."
    if not count:
        if price is None:
            raise cells.Unreadable("no packages and no price: nothing to take in")
        return PriceSeen(0, food, size, price, package, shop, bought), note
    place = _place(row["place"])
    place = place or usual_place(food, foods[food].form, keeping) or "shelf"
    return Lot(
        0,
        food,
        Amount(size.number * count, size.unit),
        size,
        count,
        package,
        price,
        place,
        bought,
        best_by,
        None,
        shop,
        _claims(row["claims"], named.claims),
    ), note


def _place(text: str) -> str | None:
    if not text:
        return None
    if text.casefold() not in _PLACES:
        raise cells.Unreadable(f"place {text!r} is none of {', '.join(_PLACES)}")
    return text.casefold()


def _claims(text: str, named: tuple[str, ...]) -> tuple[str, ...]:
    """Claim ids; a claim that the book lacks stays as it is written and clears nothing."""
    said = [claim_words().get(key(one), one.casefold()) for one in cells.several(text)]
    return tuple(dict.fromkeys((*named, *said)))


def _seen(books: Household) -> dict[str, str]:
    """Fingerprints of the rows taken in so far, with the day."""
    taken: list[Taken] = books.all("taken")
    return {row: one.date.isoformat() if one.date else "" for one in taken for row in one.rows}


def _write(fresh: list[_Read], name: str, whole: str, books: Household, today: dt.date) -> None:
    lots = sum(isinstance(one.record, Lot) for one in fresh)

    def prepare(draft: Draft) -> None:
        for one in fresh:
            draft.add("stock" if isinstance(one.record, Lot) else "prices", one.record)
        rows = tuple(one.digest for one in fresh)
        draft.add("taken", Taken(0, name, whole, rows, today))

    books.change(
        prepare,
        act="take-in",
        summary=f"Took in {lots:,} lots and {len(fresh) - lots:,} prices from {name}",
        meta={"file": name, "kind": "stock"},
    )

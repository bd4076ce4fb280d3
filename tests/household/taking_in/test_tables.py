"""Stock and people taken in from tables."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helper.household.books import Household
from helper.household.taking_in import CannotTakeIn, Report, take_in
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods

TODAY = dt.date(2026, 11, 25)
FOODS = Foods()
HEADER = "food,amount,unit,packages,package,price,place,bought,best_by,shop,claims\n"


def taken(
    folder: Path, text: str | bytes, books: Household, name: str = "stock.csv", **more: bool
) -> Report:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return take_in(path, books, FOODS, TODAY, **more)


def scratch() -> Household:
    return Household.scratch(today=lambda: TODAY)


def test_a_row_is_a_lot_with_everything_it_says(tmp_path: Path) -> None:
    books = scratch()
    row = "navy beans,1,lb,2,bag,1.59,shelf,2026-10-28,2028-03-31,corner shop,gluten free;vegan\n"
    report = taken(tmp_path, HEADER + row, books)
    assert report.clean
    (lot,) = books.lots()
    assert lot.food == "navy bean"
    assert (lot.left, lot.size, lot.packages) == (Amount(2, "lb"), Amount(1, "lb"), 2)
    assert (lot.price, lot.package, lot.shop) == (Decimal("1.59"), "bag", "corner shop")
    assert (lot.bought, lot.best_by) == (dt.date(2026, 10, 28), dt.date(2028, 3, 31))
    assert lot.claims[0] == "gluten-free"


def test_only_food_and_amount_are_needed_and_an_empty_unit_counts(tmp_path: Path) -> None:
    books = scratch()
    assert taken(tmp_path, "food,amount\neggs,12\n", books).clean
    (lot,) = books.lots()
    assert (lot.food, lot.left, lot.place) == ("egg", Amount(12, None), "fridge")


def test_no_packages_is_a_price_and_no_lot(tmp_path: Path) -> None:
    books = scratch()
    taken(tmp_path, HEADER + "butter,1,lb,0,package,3.79,,2026-11-01,,corner shop,\n", books)
    assert not books.lots()
    (price,) = books.prices("butter")
    assert (price.price, price.size, price.paid) == (Decimal("3.79"), Amount(1, "lb"), False)


@pytest.mark.parametrize(
    "text",
    [
        b"\xef\xbb\xbffood,amount,unit\nnavy beans,1,lb\n",
        b"food;amount;unit\r\nnavy beans;1,0;lb\r\n",
        b"Food,Amount,Unit\n\nnavy beans, 1 ,lb\n\n",
        b"food\tamount\tunit\nnavy beans\t1\tlb\n",
        "food,amount,unit\nnavy beans,1,lb\n".encode("utf-16"),
        "food,amount,unit\nnavy beans,1,lb\n".encode("utf-16-le"),
        b"food,amount,unit\rnavy beans,1,lb\r",
        b"sep=;\r\nfood;amount;unit\r\nnavy beans;1;lb\r\n",
        b'"food","amount","unit"\n"navy\x00 beans","1","lb"\n\x00\x00',
    ],
)
def test_tables_as_programs_write_them(text: bytes, tmp_path: Path) -> None:
    books = scratch()
    assert taken(tmp_path, text, books).clean
    assert [(lot.food, lot.left) for lot in books.lots()] == [("navy bean", Amount(1, "lb"))]


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (",1,lb,,,,,,,,", "no food"),
        ("rice,,lb,,,,,,,,", "amount"),
        ("rice,much,lb,,,,,,,,", "'much' is no number"),
        ("rice,-1,lb,,,,,,,,", "-1 lb cannot be"),
        ("rice,0,lb,,,,,,,,", "cannot be"),
        ("rice,nan,lb,,,,,,,,", "no number"),
        ("rice,1e9,lb,,,,,,,,", "more than any kitchen"),
        ("rice,1,furlong,,,,,,,,", "'furlong' is not known"),
        ("rice,1,lb,-2,,,,,,,", "packages"),
        ("rice,1,lb,0,,,,,,,", "nothing to take in"),
        ("rice,1,lb,1,,cheap,,,,,", "no sum of money"),
        ("rice,1,lb,1,,-1,,,,,", "cannot be"),
        ("rice,1,lb,1,,NaN,,,,,", "no sum of money"),
        ("rice,1,lb,1,,1,attic,,,,", "'attic' is none of"),
        ("rice,1,lb,1,,1,shelf,yesterday,,,", "no date"),
        ("rice,1,lb,1,,1,shelf,,2027-02-30,,", "no date"),
    ],
)
def test_a_bad_row_is_left_out_with_its_line_and_reason(
    row: str, reason: str, tmp_path: Path
) -> None:
    books = scratch()
    report = taken(tmp_path, f"{HEADER}oats,1,lb,,,,,,,,\n{row}\nsalt,1,lb,,,,,,,,\n", books)
    assert len(books.lots()) == 2
    (refused,) = report.refused
    assert (refused.file, refused.row) == ("stock.csv", 3)
    assert reason in refused.reason
    assert not report.clean


def test_a_food_the_tables_lack_keeps_its_own_name(tmp_path: Path) -> None:
    books = scratch()
    report = taken(tmp_path, "food,amount,unit\nZorgle Pastes,8,oz\n", books)
    assert books.lots()[0].food == "zorgle paste"
    assert "zorgle paste" in report.notes[0]


def test_the_same_rows_are_not_taken_in_twice_unless_told_to(tmp_path: Path) -> None:
    books = scratch()
    rows = "navy beans,1,lb,2,bag,1.59,,,,,\nrice,5,lb,1,bag,3.49,,,,,\n"
    taken(tmp_path, HEADER + rows, books)
    again = taken(tmp_path, HEADER + rows + "salt,1,lb,,,,,,,,\n", books, "other.csv")
    assert (again.seen, again.added) == (2, ("salt",))
    assert "2 rows" in again.asked
    assert len(books.lots()) == 3
    assert taken(tmp_path, HEADER + rows, books, again=True).seen == 0
    assert len(books.lots()) == 5


def test_two_like_rows_of_one_file_are_two_lots(tmp_path: Path) -> None:
    books = scratch()
    taken(tmp_path, "food,amount,unit\nrice,1,lb\nrice,1,lb\n", books)
    assert len(books.lots()) == 2


def test_taking_in_is_one_change_that_can_be_taken_back(tmp_path: Path) -> None:
    books = scratch()
    text = "food,amount,unit\nrice,1,lb\nsalt,1,lb\n"
    taken(tmp_path, text, books)
    books.undo()
    assert not books.lots()
    assert taken(tmp_path, text, books).seen == 0


def test_people_with_what_they_avoid(tmp_path: Path) -> None:
    books = scratch()
    text = (
        "name,avoids,severity,portion\n"
        "Ada,gluten;peanuts,allergy,1\nBo,cilantro,choice,0.5\nCy,,,\nDee,dust,,\n"
    )
    report = taken(tmp_path, text, books, "people.csv")
    people = {person.name: person for person in books.people()}
    assert people["Ada"].avoids == ("gluten", "peanut")
    assert (people["Bo"].avoids, people["Bo"].portion) == (("cilantro",), 0.5)
    assert people["Dee"].avoids == ("dust",)
    assert "dust" in report.notes[0]


def test_a_word_for_several_allergens_is_each_of_them(tmp_path: Path) -> None:
    books = scratch()
    taken(tmp_path, "name,avoids\nAda,shellfish;Kosher\n", books, "people.csv")
    assert books.people()[0].avoids == ("crustacean", "mollusc", "pork-free")


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("Ada,,angry,1", "severity"),
        ("Ada,,,-1", "portion"),
        ("Ada,,,99", "portion"),
        (",egg,,", "name"),
    ],
)
def test_people_that_cannot_be(row: str, reason: str, tmp_path: Path) -> None:
    books = scratch()
    report = taken(tmp_path, f"name,avoids,severity,portion\n{row}\n", books, "people.csv")
    assert reason in report.refused[0].reason
    assert not books.people()


def test_people_of_a_known_name_are_updated(tmp_path: Path) -> None:
    books = scratch()
    for avoids in ("egg", "milk"):
        report = taken(tmp_path, f"name,avoids\nAda,{avoids}\n", books, "people.csv")
    assert report.updated == ("Ada",)
    assert [person.avoids for person in books.people()] == [("milk",)]


def test_a_line_for_each_thing_somebody_avoids(tmp_path: Path) -> None:
    books = scratch()
    text = "name,avoids,severity,portion\nAda,cilantro,choice,\nBo,,,\nada,egg,allergy,0.5\n"
    report = taken(tmp_path, text, books, "people.csv")
    ada = books.person_named("Ada")
    assert ada is not None
    assert set(ada.avoids) == {"cilantro", "egg"}
    assert (ada.severity, ada.portion) == ("allergy", 0.5)
    assert "Line 4" in report.notes[0]


@pytest.mark.parametrize(
    "text", ["", "\n\n", "colour,shape\nred,round\n", "sep=;\n", "food,amount,amount\nflour,5,6\n"]
)
def test_a_table_of_something_else_is_refused(text: str, tmp_path: Path) -> None:
    books = scratch()
    with pytest.raises(CannotTakeIn):
        taken(tmp_path, text, books)
    assert books.version == 0


@pytest.mark.parametrize("name", ["missing.csv", "picture.png"])
def test_files_that_are_not_there_or_not_known(name: str, tmp_path: Path) -> None:
    with pytest.raises(CannotTakeIn):
        take_in(tmp_path / name, scratch(), FOODS, TODAY)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200))
def test_no_table_of_anything_breaks_the_reading(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    books = scratch()
    path = tmp_path_factory.mktemp("any") / "stock.csv"
    path.write_text("food,amount,unit,price,best_by\n" + text, encoding="utf-8", errors="replace")
    report = take_in(path, books, FOODS, TODAY)
    assert len(report.added) == len(books.lots())
    for lot in books.lots():
        assert lot.left.number > 0
        assert lot.food.isprintable()

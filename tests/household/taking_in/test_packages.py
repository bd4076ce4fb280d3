"""A can says in which form a food is: dry beans are never drawn from tins."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from helper.household.books import Household
from helper.household.taking_in import take_in
from helper.kitchen.foods import Foods

STOCK = """food,amount,unit,packages,package,price
navy beans,16,oz,2,bag,1.29
navy beans,15,oz,3,can,0.95
tomato paste,6,oz,3,can,0.79
"""


def test_beans_in_a_can_are_the_canned_ones_and_paste_stays_paste(tmp_path: Path) -> None:
    file = tmp_path / "stock.csv"
    file.write_text(STOCK, encoding="utf-8")
    books = Household.scratch()
    take_in(file, books, Foods(), dt.date(2026, 11, 25))
    assert [lot.food for lot in books.lots()] == ["navy bean", "canned navy bean", "tomato paste"]

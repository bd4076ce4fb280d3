"""What can be cooked out of growing collections, beside the same join in SQLite in memory.

SQLite gets the same work as one statement: recipes that hold some of the foods asked for, the
lines of each that the house lacks, those that use what is due, ordered alike, the best ten. Which
foods may stand for which is worked out beforehand for it. It neither costs nor judges; we do.
"""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator

from helper.acts.diners import at_home
from helper.acts.finding import kitchen_for
from helper.acts.house import House
from helper.kitchen.due import SOON, days_left
from helper.kitchen.ranking import Kitchen, Wish, find_meals
from helper.reading.reading import Reading
from tests.benchmarks.houses import DAY, foods_used, house
from tests.benchmarks.timing import Beside, figure, growth, in_turns, told

SIZES = (100, 1_000, 10_000)
LARGEST = 50_000
TURNS = 15
BASELINE = "the same join in SQLite in memory"

_SHORTLIST = """
with held as (
    select recipe, count(distinct asked.said) as foods
    from line join asked on asked.food = line.food group by recipe
)
select held.recipe,
       held.foods,
       sum(line.food not in (select food from stands)) as short,
       sum(line.food in (select food from due)) as uses
from held join line on line.recipe = held.recipe
group by held.recipe
order by held.foods desc, short, uses desc, held.recipe limit 10
"""


def main() -> None:
    sizes = (*SIZES, LARGEST) if "--all" in sys.argv else SIZES
    found = [_measured(count) for count in sizes]
    exponent = growth(sizes, [one.own for one in found])
    figure("find-meals: grows with the collection by", f"n^{exponent:.2f}", "below n^1")


def _measured(count: int) -> Beside:
    home = House(house(count), DAY)
    kitchen = kitchen_for(Reading(said=""), home, at_home(home), False)
    base = _database(home)
    pairs = _pairs()

    def ours() -> None:
        find_meals(Wish(DAY, next(pairs), limit=8), kitchen)

    def theirs() -> None:
        _ask(base, next(pairs), kitchen)

    for _ in range(TURNS):
        ours()  # verdicts are worked out once and kept
    beside = in_turns(ours, theirs, TURNS)
    told(f"find-meals over {count:,} recipes", beside, BASELINE, 1.0)
    return beside


def _pairs() -> Iterator[tuple[str, str]]:
    """Two foods to ask for, other ones every time: a common one and a rarer one."""
    foods = foods_used()
    while True:
        for at in range(20):
            yield foods[at], foods[at + 30]


def _database(home: House) -> sqlite3.Connection:
    base = sqlite3.connect(":memory:")
    base.executescript(
        "create table line (recipe integer, food text);"
        "create table stands (food text primary key) without rowid;"
        "create table due (food text primary key) without rowid;"
        "create table asked (food text primary key, said text) without rowid;"
    )
    base.executemany(
        "insert into line values (?, ?)",
        ((recipe.id, line.food) for recipe in home.books.recipes() for line in recipe.lines),
    )
    base.executescript(
        "create index by_food on line (food, recipe);"
        "create index by_recipe on line (recipe, food);"
        "analyze;"
    )
    stock, soon = home.stock, set()
    for lot in stock.lots:
        left = days_left(lot, DAY)
        if left is not None and 0 <= left <= SOON:
            soon.add(lot.food)
    for name in home.index.names:
        if stock.holds(name):
            base.execute("insert into stands values (?)", (name,))
        if any(kin.food in soon for kin in stock.pantry.standing_for(name)):
            base.execute("insert into due values (?)", (name,))
    base.commit()
    return base


def _ask(base: sqlite3.Connection, foods: tuple[str, ...], kitchen: Kitchen) -> None:
    base.execute("delete from asked")
    base.executemany(
        "insert or ignore into asked values (?, ?)",
        ((name, food) for food in foods for name in kitchen.index.meant_by(food)),
    )
    base.execute(_SHORTLIST).fetchall()


if __name__ == "__main__":
    main()

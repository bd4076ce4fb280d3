"""What a request for dishes asks of them: its fields and its small words, as a wish."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from msgspec.structs import replace

from helper.acts.dishes import sound_servings
from helper.acts.gaps import Refuse, sound_money
from helper.acts.house import House
from helper.acts.wording import in_place, listed
from helper.kitchen.due import SOON
from helper.kitchen.money import written
from helper.kitchen.ranking import CHEAPEST, QUICKEST, Wish
from helper.kitchen.safety import NO, Minded
from helper.kitchen.table import Diner
from helper.kitchen.words import key
from helper.reading.names import avoid_words
from helper.reading.reading import Reading
from rules.avoids import avoids
from rules.judge import Thing

SHOWN = 8
DINNER = "dinner"
_COURSE = "course "
_LONGEST_DAY = 24 * 60


class Condition(NamedTuple):
    """One thing a wish asks for, in words, and the wish without it."""

    words: str
    without: Wish


def wish_of(reading: Reading, house: House, strict: bool) -> Wish:
    """The wish a request amounts to. Raises Refuse for what cannot be meant."""
    money = sound_money(reading.money)
    if reading.minutes is not None and not 0 < reading.minutes <= 7 * _LONGEST_DAY:
        raise Refuse(f"{reading.minutes} minutes is no time to cook in.")
    foods = tuple(food for food in reading.foods if food not in reading.without)
    said = wishes_said(reading.said)
    return Wish(
        house.today,
        foods,
        reading.without,
        reading.minutes,
        sound_servings(reading.servings),
        money,
        reading.per in ("head", "each"),
        "stock_only" in said,
        None if foods else reading.place,
        SOON if reading.days is None else reading.days,
        not foods and (reading.days is not None or "due_only" in said),
        strict,
        next((order for order in (CHEAPEST, QUICKEST) if order in said), ""),
        _course(said, foods),
        SHOWN,
    )


def _course(said: frozenset[str], foods: Sequence[str]) -> str:
    """The course asked for; who names neither course nor food asks what is for dinner."""
    named = sorted(one.removeprefix(_COURSE) for one in said if one.startswith(_COURSE))
    others = [course for course in named if course != DINNER]
    return others[0] if others else "" if foods and not named else DINNER


@cache
def _wish_words() -> dict[tuple[str, ...], str]:
    with (Path(__file__).parent / "wish_words.csv").open(encoding="utf-8", newline="") as file:
        return {
            key(phrase): row["wish"]
            for row in csv.DictReader(file)
            for phrase in row["words"].split(";")
        }


def wishes_said(said: str) -> frozenset[str]:
    """The wishes that small words of a request stand for: "without shopping", "quick"."""
    table = _wish_words()
    longest = max(map(len, table))
    found = key(said)
    return frozenset(
        table[phrase]
        for at in range(len(found))
        for length in range(1, longest + 1)
        if (phrase := found[at : at + length]) in table
    )


def conditions(wish: Wish, currency: str, eaters: Sequence[str]) -> list[Condition]:
    """Everything a wish asks for, each with the wish less that."""
    none = Wish(wish.today)
    found: list[tuple[str, dict[str, object]]] = []
    if wish.without:
        found.append((f"without {listed(wish.without, 'or')}", {"without": ()}))
    if wish.minutes is not None:
        found.append((f"in {wish.minutes} minutes", {"minutes": None, "first": QUICKEST}))
    if wish.budget is not None:
        per = "a serving" if wish.a_head else "in all"
        found.append(
            (f"for {written(wish.budget, currency)} {per}", {"budget": None, "first": CHEAPEST})
        )
    if wish.stock_only:
        found.append(("without shopping", {"stock_only": False}))
    if wish.place:
        found.append((f"from what is {in_place(wish.place)}", {"place": None}))
    if wish.due_only:
        days = f"within {wish.within} days"
        found.append((f"with something due {days}", {"due_only": False, "within": none.within}))
    if wish.strict:
        found.append((f"for {listed(eaters)}", {"strict": False}))
    if wish.foods:
        found.append((f"with {listed(wish.foods)}", {"foods": ()}))
    return [Condition(words, replace(wish, **change)) for words, change in found]


def left_out(reading: Reading, house: House) -> Callable[[str], bool] | None:
    """Picks foods that hold what is to be left out, where that is an allergen or against a diet.

    "without milk" leaves the butter out, too; None where nothing of the kind is asked.
    """
    words = avoid_words()
    ids = {
        id_
        for food in reading.without
        for id_ in words.get(key(f"no {food}"), words.get(key(food), ()))
        if id_ in avoids().ids
    }
    return barred([Minded(id_) for id_ in sorted(ids)], house) if ids else None


def avoided(diners: Sequence[Diner], house: House) -> Callable[[str], bool]:
    """Picks foods that one of the eaters may not have."""
    return barred([one for diner in diners for one in diner.minds], house)


def barred(minded: Sequence[Minded], house: House) -> Callable[[str], bool]:
    """Picks foods that are ruled out by one of these; what was judged once is kept."""
    safety = house.safety
    name = "barred by " + ",".join(sorted({one.avoid for one in minded}))
    known: dict[str, bool] = house.kept(name, dict)

    def is_barred(food: str) -> bool:
        if food not in known:
            known[food] = safety.verdict([Thing(food)], minded) == NO
        return known[food]

    return is_barred

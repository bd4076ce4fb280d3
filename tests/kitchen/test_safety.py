"""Safety as the kitchen sees it: which words count, what people's avoids mean, what is in stock."""

from __future__ import annotations

import pytest

from helper.kitchen.amounts import Amount
from helper.kitchen.avoiding import ids_of
from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
from helper.kitchen.safety import Minded, Safety, claimed

FOODS = Foods()
SAFETY = Safety(FOODS)


def verdict(text: str, avoid: str, safety: Safety = SAFETY) -> str:
    return safety.verdict([safety.thing(line) for line in read_line(text, FOODS)], [Minded(avoid)])


@pytest.mark.parametrize(
    ("text", "avoid", "expected"),
    [
        ("1 cup penut butter", "peanut", "no"),
        ("2 cups buckweat flour", "gluten-free", "no"),
        ("2 tbsp soya sawce", "soy", "no"),
        ("2 cups dish stock", "fish", "no"),
        ("1 cup clabber", "milk", "no"),
        ("1 cup oleo", "milk", "check"),
        ("1 cup zorbo", "milk", "check"),
        ("1 lb cod, dredged in flour", "gluten-free", "no"),
        ("1 (28 oz) can tomatoes, crushed by hand", "milk", "yes"),
        ("12 oz kale, stems out, chopped", "milk", "yes"),
        ("1/2 cup butter or dairy-free margarine", "milk", "no"),
        ("2 tbsp olive oil or butter", "milk", "no"),
        ("1 cup gluten-free rolled oats, toasted in butter", "milk", "no"),
    ],
)
def test_every_word_of_a_line_counts(text: str, avoid: str, expected: str) -> None:
    assert verdict(text, avoid) == expected


def test_label_words_are_said_of_the_food_behind_them() -> None:
    assert claimed("butter or dairy-free margarine", FOODS) == {"margarine": ("dairy-free",)}


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("milk", ("milk",)),
        ("egg", ("egg",)),
        ("eggs", ("egg-free",)),
        ("nut", ("tree-nut", "peanut")),
        ("celiac", ("gluten",)),
        ("lactose-free", ("low-lactose",)),
        ("Shellfish", ("crustacean", "mollusc")),
        ("tomatoes", ("tomato",)),
        ("blue dye", ("blue dye",)),
    ],
)
def test_what_people_call_what_they_avoid(said: str, expected: tuple[str, ...]) -> None:
    assert ids_of(said, FOODS) == expected


def test_an_avoid_nobody_knows_is_never_cleared() -> None:
    person = Person(1, "Inga", ("blue dye",))
    assert SAFETY.verdict([SAFETY.bare("carrot")], SAFETY.minds(person)) == "check"


def test_the_worst_lot_in_the_house_counts() -> None:
    labelled = Lot(1, "rolled oat", Amount(1, "lb"), Amount(1, "lb"), claims=("gluten-free",))
    plain = Lot(2, "rolled oat", Amount(1, "lb"), Amount(1, "lb"))
    line = "1 cup rolled oats"
    assert verdict(line, "gluten-free", Safety(FOODS, lots=[labelled])) == "yes"
    assert verdict(line, "gluten-free", Safety(FOODS, lots=[labelled, plain])) == "check"


def test_a_warning_on_a_label_in_the_house_counts() -> None:
    warned = Lot(1, "rice", Amount(1, "lb"), Amount(1, "lb"), claims=("may contain milk",))
    assert verdict("1 cup rice", "milk", Safety(FOODS, lots=[warned])) == "check"


def test_a_food_the_house_never_serves_is_out_for_everybody() -> None:
    safety = Safety(FOODS, [Person(1, "Bo")], [("rice", None)])
    assert safety.verdict([safety.bare("rice")], safety.minds(safety.people[0])) == "no"

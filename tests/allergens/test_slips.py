"""A slip of one letter in a food's name never clears what is in the food.

Unless the slip makes another food's own name of it: nobody can tell that from a page.
"""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.safety import Safety
from helper.kitchen.words import words
from rules.judge import Stand
from rules.tables import rows

FOODS = Foods()
SAFETY = Safety(FOODS)
BEARING = [
    row["food"]
    for row in rows("books/allergens.csv")
    if row["contains"] and row["food"] in FOODS and any(len(w) > 4 for w in row["food"].split())
]
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def stand(line: str) -> Stand:
    return SAFETY.judge.dish([SAFETY.thing(one) for one in read_line(line, FOODS)])


@st.composite
def slipped(draw: st.DrawFn) -> tuple[str, str]:
    """A food that holds an allergen, and its name with a letter lost, added, changed or moved."""
    food = draw(st.sampled_from(BEARING))
    parts = food.split()
    at = draw(st.sampled_from([i for i, part in enumerate(parts) if len(part) > 4]))
    word = parts[at]
    place = draw(st.integers(1, len(word) - 1))
    letter = draw(st.sampled_from(LETTERS))
    parts[at] = draw(
        st.sampled_from(
            [
                word[:place] + word[place + 1 :],
                word[:place] + letter + word[place:],
                word[:place] + letter + word[place + 1 :],
                word[: place - 1] + word[place] + word[place - 1] + word[place + 1 :],
            ]
        )
    )
    return food, " ".join(parts)


@given(slipped())
def test_a_slip_clears_nothing(case: tuple[str, str]) -> None:
    food, said = case
    known = {spot.food for spot in FOODS.spot(words(food))}
    read = {spot.food for spot in FOODS.spot(words(said))}
    assume(read <= known)
    held = stand(food).ruled_out
    answered = stand(f"1 c. {said}")
    assert not held - answered.ruled_out - answered.unsure

"""What the words beside a food's name make of it: "salmon loaf", "fried okra", "lemon chicken".

Only the verdicts mind these. The food named is still the food that is bought and used, but more
may be in it than its name tells.
"""

from __future__ import annotations

from collections.abc import Sequence

from helper.kitchen.foods import Found
from helper.kitchen.quantities import line_words, unit_at
from helper.kitchen.words import Word


def remade(found: Sequence[Word], spots: Sequence[Found]) -> list[Word]:
    """The words beside a food's name that make another thing of it, with more in it.

    "Salmon loaf" holds more than salmon, "fried okra" is floured first as a rule; a loaf of
    bread, and okra that is then fried, are what they are. See `paired` for foods side by side.
    """
    ends = {spot.end for spot in spots}
    starts = {spot.start for spot in spots}
    inside = {i for spot in spots for i in range(spot.start, spot.end)}
    return [
        word
        for at, word in enumerate(found)
        if at not in inside
        and (
            (at in ends and (word.key,) in line_words("made into"))
            or (at + 1 in starts and (word.key,) in line_words("coated"))
        )
    ]


def paired(found: Sequence[Word], spots: Sequence[Found]) -> list[tuple[Found, Found]]:
    """Foods side by side that no table has as one, so that more may be in what they make.

    "Lemon chicken" is a dish; in "2 cloves garlic" the first name is a unit.
    """
    listed = list(found)
    return [
        (first, second)
        for first, second in zip(spots, spots[1:], strict=False)
        if first.end == second.start and unit_at(listed, first.start) is None
    ]

"""What an ingredient line says beside its point: weights in brackets, alternatives, purposes.

"1 squash (2 1/2 to 3 lb), peeled", "juice of 1 lemon", "5 oz spinach, or 1 cup frozen", "flour,
plus more for the board".
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.quantities import Measured, line_words, phrase_at, read_amount
from helper.kitchen.recipes import Choice
from helper.kitchen.units import units
from helper.kitchen.words import Word

_ENDS = (",", ";", "(", ")")
_DEGREES = "°"


class Aside(NamedTuple):
    """An amount said once more, another way; `each` True where it is said of every piece."""

    amount: Amount
    each: bool


def asides(found: Sequence[Word], foods: Foods) -> tuple[list[Aside], list[Word]]:
    """Takes out brackets, and clauses between commas, that hold an amount and name no food."""
    said: list[Aside] = []
    kept: list[Word] = []
    at = 0
    while at < len(found):
        end = _clause_end(found, at)
        inside = list(found[at + 1 : end]) if end else []
        aside = _aside(inside, foods) if inside else None
        if aside is None and not _is_heat(inside):
            kept.append(found[at])
            at += 1
            continue
        if aside is not None:
            said.append(aside)
        at = end + (found[end].text == ")") if end < len(found) else end
    return said, kept


def _clause_end(found: Sequence[Word], at: int) -> int:
    """Where the clause that opens at `at` is over; 0 where none opens."""
    closing = {"(": (")",), ",": (",", "(", ";")}.get(found[at].text)
    if closing is None:
        return 0
    for i in range(at + 1, len(found)):
        if found[i].text in closing:
            return i
    return len(found) if found[at].text == "," else 0


def _aside(inside: list[Word], foods: Foods) -> Aside | None:
    got = read_amount(inside, 0)
    if got is None or got.amount.unit is None or got.size is not None:
        return None
    rest = inside[got.after :]
    if foods.spot(rest) or foods.left_over(rest):
        return None
    return Aside(got.amount, any(word.text in ("each", "apiece") for word in rest))


def _is_heat(inside: Sequence[Word]) -> bool:
    """ "(about 110°F)": how warm it is to be."""
    return any(word.text == _DEGREES for word in inside)


def size_told(amount: Measured | None, said: Sequence[Aside]) -> Amount | None:
    """The weight of ONE counted piece, where a bracket told it or the weight of all of them."""
    if amount is None or amount.size is not None or not amount.amount.number:
        return amount.size if amount else None
    counted = units()[amount.amount.unit or "piece"].dimension in ("piece", "package")
    weighed = [one for one in said if units()[one.amount.unit or "piece"].dimension == "mass"]
    if not counted or not weighed:
        return None
    told = weighed[0]
    return told.amount if told.each else told.amount.times(1 / amount.amount.number)


def part_taken(found: list[Word], foods: Foods) -> tuple[str, Measured | None, list[Word]]:
    """ "juice and grated zest of 1 lemon" → the part in words, the amount, the food's words."""
    at = next((i for i, word in enumerate(found) if word.text in ("of", "from")), 0)
    ahead = found[:at]
    parts = [word for word in ahead if (word.key,) in line_words("part")]
    others = [word for word in ahead if word not in parts]
    if not parts or foods.left_over(others):
        return "", None, found
    rest = found[at + 1 :]
    amount = read_amount(rest, 0)
    if amount is None and rest and rest[0].text in ("a", "an"):
        amount = Measured(Amount(1), 1)
    if amount is None or amount.after >= len(rest):
        return "", None, found
    return " ".join(word.text for word in ahead), amount, rest[amount.after :]


def alternative(later: list[Word], food: str, foods: Foods) -> tuple[Choice | None, list[Word]]:
    """ ", or 1 cup frozen" behind a line's food → what may be taken instead, and the words left.

    A form alone ("frozen") is the line's own food in that form.
    """
    at = next((i for i, word in enumerate(later) if word.text not in _ENDS), len(later))
    if at >= len(later) or later[at].text != "or":
        return None, later
    amount = read_amount(later, at + 1)
    start = amount.after if amount else at + 1
    end = next((i for i in range(start, len(later)) if later[i].text in _ENDS), len(later))
    said = later[start:end]
    spots = foods.spot(said)
    other = spots[-1].food if spots else _in_form(said, food, foods)
    if other is None:
        return None, later
    inside = {i for spot in spots for i in range(spot.start, spot.end)}
    left = [word for i, word in enumerate(said) if i not in inside]
    return Choice(other, amount.amount if amount else None), [*left, *later[end:]]


def _in_form(said: list[Word], food: str, foods: Foods) -> str | None:
    for at in range(len(said)):
        length = phrase_at(said, at, line_words("form"))
        if length:
            form = line_words("form")[tuple(word.key for word in said[at : at + length])]
            return foods.in_form(food, form)
    return None


def purpose_end(found: list[Word], at: int, foods: Foods) -> int:
    """Where "for the board" or "plus more for kneading" is over; `at` where none begins there.

    A food named on the way ends it, so that it is not passed over.
    """
    length = phrase_at(found, at, line_words("more"))
    if not length:
        if [word.text for word in found[at : at + 2]] != ["for", "the"]:
            return at
        length = 2
    end = at + length
    while end < len(found) and found[end].text not in _ENDS and foods.at(found, end) is None:
        if phrase_at(found, end, line_words("optional")):
            break
        end += 1
    return end

"""Gaps in a request: what is still to be asked, and what cannot be meant."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from helper.answers import Answer, asking, sorry
from helper.kitchen.amounts import Amount, written
from helper.kitchen.measures import Unknown
from helper.kitchen.units import factor, units
from helper.reading.reading import Reading

# More than this is no household's: a ton, a thousand liters, ten thousand pieces or packages.
_MOST = {"mass": (1000.0, "kg"), "volume": (1000.0, "l")}
_MOST_COUNTED = 10_000
_MOST_MONEY = Decimal(100_000)


class Ask(Exception):
    """Something must be asked before the act can be done; `about` as in `answers.asking`."""

    def __init__(self, text: str, choices: Sequence[str] = (), about: str = "foods") -> None:
        super().__init__(text)
        self.text = text
        self.choices = tuple(choices)
        self.about = about


class Refuse(Exception):
    """The request cannot be carried out as it stands; nothing was changed."""

    def __init__(self, text: str, choices: Sequence[str] = ()) -> None:
        super().__init__(text)
        self.text = text
        self.choices = tuple(choices)


def answer_to(reading: Reading, gap: Ask | Refuse) -> Answer:
    """The answer that asks back or refuses."""
    if isinstance(gap, Ask):
        return asking(reading, gap.text, gap.choices, gap.about)
    return sorry(reading, gap.text, gap.choices)


def ask_size(unknown: Unknown) -> Ask:
    """The question that settles an unknown measure."""
    return Ask(f"I do not know {unknown.what}. {unknown.ask}", about="size")


def sound_amount(amount: Amount, food: str, nothing: bool = False) -> Amount:
    """The amount, if it can be meant; `nothing` True where none at all is an answer too."""
    if amount.number < 0 or (amount.number == 0 and not nothing):
        raise Refuse(f"{written(amount)} of {food} cannot be: say how much. Nothing was changed.")
    measure = units()[amount.unit or "piece"]
    number, most = amount.number, float(_MOST_COUNTED)
    if measure.dimension in _MOST:
        most, unit = _MOST[measure.dimension]
        number *= factor(amount.unit, unit) or 1.0
    if not number <= most:
        raise Refuse(
            f"{written(amount)} of {food} is more than any kitchen holds. "
            "Nothing was changed; say it again with the amount you mean."
        )
    return amount


def sound_money(money: Decimal | None) -> Decimal | None:
    """The sum, if it can be meant."""
    if money is not None and not 0 <= money <= _MOST_MONEY:
        raise Refuse(f"A price of {money} cannot be right. Nothing was changed.")
    return money

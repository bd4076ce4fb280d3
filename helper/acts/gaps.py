"""Gaps in a request: what is still to be asked, and what cannot be meant."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from helper.answers import Answer, asking, sorry
from helper.household.sensible import odd_amount, odd_money
from helper.kitchen.amounts import Amount
from helper.kitchen.measures import Unknown
from helper.reading.reading import Reading


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
    if wrong := odd_amount(amount, nothing):
        raise Refuse(f"{food.capitalize()}: {wrong}. Nothing was changed; say how much it is.")
    return amount


def sound_money(money: Decimal | None) -> Decimal | None:
    """The sum, if it can be meant."""
    if money is not None and (wrong := odd_money(money)):
        raise Refuse(f"{wrong[0].upper()}{wrong[1:]}. Nothing was changed.")
    return money

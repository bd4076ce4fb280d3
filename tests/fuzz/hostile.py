"""Text that has broken programs before, and requests grown wild: always the same for a seed."""

from __future__ import annotations

import random
import re

STEERING = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]")

NUMBERS = (
    "-3", "0", "1e308", "1e999999999", "NaN", "inf", "1/0", "0/0", "999999999", "-1/2", "$1/2",
    "9" * 60, "1/" + "9" * 400, "9" * 5000, "0.0000001", "\u0663", "\u00b2", "1.2.3", "5-3", "0/5",
)  # fmt: skip
SIGNS = (
    "\x1b[31m", "\x1b]0;title\x07", "\x9b2J", "\x00", "\x7f", "\u202e", "\ud800", "\u200b",
    "\U0001f600", "\r", "\t", "\u2028", "((((", "\"", "'", "\\", "%s", "{food}", "{}", "$(id)",
    "../../x", "`", "\ufb01", "\u0130", "1\u20440",
)  # fmt: skip
REQUESTS = (
    "what can I make with beans and ham", "got 2 lb of butter for 7.00", "used 3 eggs",
    "how much flour do we have", "cost of the bean soup for 8", "what should we use soon",
    "never serve cilantro on 3/27", "is the chili safe for Tobin", "plan dinners for 2 days",
    "how much are shrimp in the last 30 days", "we have 2 cans of tomatoes left", "undo that",
    "convert 2 cups flour to grams", "show me the corn bread for 12", "what can I use for eggs",
    "put 5 lb of rice on the list", "saw milk at 3.49 a gallon", "how long does rice keep",
    "what did we spend in the last 7 days", "made the bean soup for 6", "why", "and for 12?",
)  # fmt: skip


def wild(count: int, seed: int) -> list[str]:
    """Requests with numbers, signs and cuts put into them at random."""
    dice = random.Random(seed)
    return [_grown(dice) for _ in range(count)]


def _grown(dice: random.Random) -> str:
    said = dice.choice(REQUESTS)
    for _ in range(dice.randint(1, 3)):
        at = dice.randrange(len(said) + 1)
        match dice.randrange(4):
            case 0:
                said = said[:at] + dice.choice(SIGNS) + said[at:]
            case 1:
                said = re.sub(r"\d+", lambda _: dice.choice(NUMBERS), said)
            case 2:
                said = f"{said[:at]} {dice.choice(NUMBERS)} {said[at:]}"
            case _:
                said = said[:at] + said[at + dice.randrange(8) :]
    return said

"""Money is exact: Decimal, in the household's one currency, rounded once and only to be shown."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, ROUND_HALF_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal

# Wide enough for any number a person can type; what is too much is said where it is refused.
_WIDE = Context(prec=400)
CENT = Decimal("0.01")
NOTHING = Decimal(0)
# Below ten cents a unit the cent is too coarse.
_FINE, _FINE_BELOW = Decimal("0.0001"), Decimal("0.10")

# Signs a person may type or read, by ISO 4217 code (ISO 4217; signs are common usage).
SIGNS = {"USD": "$", "GBP": "£", "EUR": "€", "CAD": "$", "AUD": "$", "JPY": "¥"}


def to_cents(money: Decimal) -> Decimal:
    """Rounded to the cent, halves up, as a till does."""
    return money.quantize(CENT, ROUND_HALF_UP, _WIDE)


def left_in_cents(worth: Decimal) -> Decimal:
    """What is left, rounded so that what was taken from a whole one is rounded as a till does."""
    return worth.quantize(CENT, ROUND_HALF_DOWN, _WIDE)


def fine(money: Decimal) -> Decimal:
    """To the cent, or to the hundredth of a cent where the sum is small; halves to even."""
    return money.quantize(CENT if money >= _FINE_BELOW else _FINE, ROUND_HALF_EVEN, _WIDE)


def share(price: Decimal, part: float, whole: float) -> Decimal:
    """The part of a price that a part of the goods costs; not rounded."""
    return price * Decimal(repr(part)) / Decimal(repr(whole))


def apportioned(parts: Sequence[Decimal]) -> list[Decimal]:
    """Parts in whole cents that add up to their sum, rounded once.

    Each is its own amount rounded down, and the cents still lacking go to those that lost most
    by it, so that none is a whole cent away from what it was (the largest remainder method).
    """
    floors = [part.quantize(CENT, ROUND_FLOOR, _WIDE) for part in parts]
    lacking = to_cents(sum(parts, NOTHING)) - sum(floors, NOTHING)
    by_loss = sorted(range(len(parts)), key=lambda at: floors[at] - parts[at])
    for at in by_loss[: int(lacking / CENT)]:
        floors[at] += CENT
    return floors


def plain(money: Decimal | None) -> str | None:
    """As a machine reads it: "2.40", or None where unknown."""
    return None if money is None else str(to_cents(money))


def written(money: Decimal | None, currency: str = "USD") -> str:
    """As a person reads it: "$2.40"; "price unknown" where it is not known."""
    if money is None:
        return "price unknown"
    sign = SIGNS.get(currency)
    return f"{sign}{to_cents(money):,}" if sign else f"{to_cents(money):,} {currency}"

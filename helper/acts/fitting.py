"""A recipe made fit for a table, in a few words: for menus, and what must be bought for them."""

from __future__ import annotations

import msgspec

from helper.acts.fit_words import swap_written
from helper.kitchen.fitting import Fitting, Refused
from helper.kitchen.recipes import Recipe
from helper.kitchen.safety import CHECK, NO, WITH_SWAPS, YES
from helper.kitchen.swaps import Swapping
from helper.kitchen.table import Objection


class Fitted(msgspec.Struct, frozen=True):
    """The recipe as it would be cooked. `verdict` yes, with-swaps, check or no; `swaps` in words;

    `against` is what still speaks against it.
    """

    recipe: Recipe
    verdict: str
    swaps: tuple[str, ...] = ()
    against: tuple[Objection, ...] = ()


def fitted(recipe: Recipe, ways: Swapping, shopping: bool = True) -> Fitted:
    """The recipe with the best swaps for what someone at the table may not have, or as it is.

    With `shopping` False the best are those out of the house.
    """
    found = Fitting(ways, shopping).fit(recipe)
    if isinstance(found, Refused):
        return Fitted(recipe, NO, (), found.against)
    swaps = tuple(swap_written(change) for change in found.changes)
    verdict = CHECK if found.checks else WITH_SWAPS if swaps else YES
    return Fitted(found.recipe, verdict, swaps, found.checks)

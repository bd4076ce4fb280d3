"""What can be done: one function per act, `(reading, house) -> Answer`, found by the act's name.

Families of acts share a module. A module is imported only when one of its acts is asked for, so
that a question about the stock does not wait for the menu planner's solver.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from helper.acts.house import House
from helper.answers import Answer
from helper.reading.reading import Reading

Doing = Callable[[Reading, House], Answer]

FAMILIES: dict[str, tuple[str, ...]] = {
    "meals": ("find-meals", "show-recipe", "missing"),
    "costs": ("cost", "price", "record-price", "cheaper"),
    "shelf": ("stock", "use-soon", "add-stock", "use-stock", "recount", "keep-stocked"),
    "cooking": ("cooked", "keep-recipe", "remark"),
    "sharing": ("share",),
    "table": ("safe-for", "set-person", "house-rule"),
    "swaps": ("swap",),
    "lore": ("keeps", "goes-with", "rescue", "season", "convert"),
    "planning": ("menu", "shopping", "lasts"),
    "telling": ("why", "history", "help", "undo"),
}
_FAMILY_OF = {name: family for family, names in FAMILIES.items() for name in names}


def doing(act: str) -> Doing:
    """The function that does an act: `find-meals` is `find_meals` in its family's module."""
    module = import_module(f"helper.acts.{_FAMILY_OF[act]}")
    found: Doing = getattr(module, act.replace("-", "_"))
    return found

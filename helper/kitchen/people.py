"""Who eats here, how much, and what they keep away from."""

from __future__ import annotations

import msgspec


class Person(msgspec.Struct, frozen=True, omit_defaults=True):
    """One person at the table.

    `avoids` holds allergen ids, diet ids or canonical food names; `severity` is allergy,
    intolerance or choice; `portion` 1.0 for one adult serving; `home` False for a visitor.
    """

    id: int
    name: str
    avoids: tuple[str, ...] = ()
    severity: str = "allergy"
    portion: float = 1.0
    home: bool = True
    note: str | None = None

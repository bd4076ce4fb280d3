"""Kitchen units: which there are, how people spell them, and how big they are.

The table `rules/reference/units.csv` is the only place a unit is defined, each with its source.
Two readers use it: the size table below, exact and quick, for the many conversions of a request,
and a pint registry built from the very same rows, for checked conversions between any two units
and for temperatures. A person's text never reaches pint: its parser reads "1 pinch" as a
pico-inch. Words are looked up in our spelling table first, then named.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

import msgspec

from rules.tables import rows

if TYPE_CHECKING:
    from pint import UnitRegistry


class Unit(msgspec.Struct, frozen=True):
    """One unit.

    `name` is the id used in records and JSON; `dimension` one of volume, mass, package, piece and
    temperature; `size` is in ml for volumes, g for masses, pieces for counts, and None where only
    the food can say (a can, a clove) and for degrees. `kind` tells exact (us, metric, imperial)
    from `about` measures.
    """

    name: str
    plural: str
    dimension: str
    size: float | None
    kind: str
    source: str


class UnknownUnit(ValueError):
    """A unit word that the table does not hold; `word` is what was written."""

    def __init__(self, word: str) -> None:
        super().__init__(f"{word!r} is no unit known here")
        self.word = word


@cache
def units() -> dict[str, Unit]:
    """Every unit by its name, sizes worked out along the chain of definitions."""
    found: dict[str, Unit] = {}
    exact: dict[str, Fraction] = {}
    for row in rows("reference/units.csv"):
        size: float | None = None
        if row["times"]:
            exact[row["unit"]] = Fraction(row["times"]) * (exact.get(row["of"]) or 1)
            size = float(exact[row["unit"]])
        found[row["unit"]] = Unit(
            row["unit"], row["plural"], row["dimension"], size, row["kind"], row["source"]
        )
    for row in rows("reference/temperature_scales.csv"):
        # a unit like any other once it is read, though it is told from a "c" of milk elsewhere
        found[row["sign"]] = Unit(
            row["sign"], row["sign"], "temperature", None, "degrees", row["source"]
        )
    return found


@cache
def spellings() -> dict[str, str]:
    """Every way a unit is written → its name; "T" and "t" alone keep their case."""
    words: dict[str, str] = {}
    for row in rows("reference/units.csv"):
        for word in row["spellings"].split(";"):
            words[word] = row["unit"]
            if len(word) > 2 and not word.endswith(("s", ".", "z", "#")):
                words.setdefault(word + "s", row["unit"])
        words[row["plural"]] = row["unit"]
    return words


def unit_named(word: str) -> Unit:
    """The unit a word means. Raises UnknownUnit; never guesses a factor."""
    table = spellings()
    bare = word.strip().rstrip(".")
    for form in (bare, bare.lower(), word.strip().lower()):
        if form in table:
            return units()[table[form]]
    raise UnknownUnit(word)


@lru_cache(maxsize=1024)
def factor(source: str | None, target: str | None) -> float | None:
    """How many `target` make one `source`; None where the two do not measure the same thing.

    Counted pieces are written None. Packages and parts convert only into themselves: how big a
    can or a clove is depends on the food (see `measures`); degrees are turned by `heats`.
    """
    if source == target:
        return 1.0
    one, other = units()[source or "piece"], units()[target or "piece"]
    if one.name == other.name:
        return 1.0
    if one.dimension != other.dimension or one.size is None or other.size is None:
        return None
    return one.size / other.size


@cache
def registry() -> UnitRegistry[float]:
    """A pint registry that knows the kitchen's units and nothing else, no prefixes at all."""
    from pint import UnitRegistry

    ureg: UnitRegistry[float] = UnitRegistry(None)
    ureg.define("milliliter = [volume]")
    ureg.define("gram = [mass]")
    ureg.define("piece = [count]")
    ureg.define("kelvin = [temperature]; offset: 0")
    ureg.define("celsius = kelvin; offset: 273.15")
    ureg.define("fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9")
    names = {"ml": "milliliter", "g": "gram"}
    for row in rows("reference/units.csv"):
        if row["of"] and row["times"]:
            base = names.get(row["of"], row["of"]).replace(" ", "_")
            ureg.define(f"{row['unit'].replace(' ', '_')} = {row['times']} * {base}")
    return ureg


def in_pint(name: str) -> str:
    """The registry's name for one of our units."""
    return {"ml": "milliliter", "g": "gram"}.get(name, name).replace(" ", "_")

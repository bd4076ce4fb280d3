"""Amounts through a food: what a cup, a clove, a can of it weighs, and what follows from that.

Household weights are of the edible part; a shop sells the food as it is. Where one side of a
conversion is weighed or packed as bought and the other measured in the kitchen, `bought=True`
puts the trim between them: as bought = edible / (1 - part thrown away).

There is no factor of one for what is not known: the answer is None, and `unknown` says what is
missing and how to ask for it. What the household tells is kept by the caller and given as `told`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import msgspec

from helper.kitchen.amounts import Amount, written
from helper.kitchen.facts import Facts, Package, changes, state
from helper.kitchen.foods import Foods
from helper.kitchen.units import factor, units

# Volume measures in the order they are trusted for a density: the largest is the most exact.
_VOLUMES = ("cup", "fl oz", "tbsp", "tsp")

Told = Mapping[tuple[str, str | None], Amount]


class Weighed(msgspec.Struct, frozen=True):
    """Grams of the edible part (or as given, for weights), and the sentences they rest on."""

    grams: float
    basis: tuple[str, ...] = ()


class Converted(msgspec.Struct, frozen=True):
    """An amount in another unit, and the sentences the conversion rests on."""

    amount: Amount
    basis: tuple[str, ...] = ()


class Unknown(msgspec.Struct, frozen=True):
    """What is not known of a food, and the question that would settle it.

    `unit` is the measure whose size is missing: an answer to it is told as (food, unit).
    """

    food: str
    what: str
    ask: str
    unit: str | None = None


class _Size(NamedTuple):
    """One measure in g or ml. `scale` True: weighed or packed as bought, not edible part."""

    number: float
    unit: str
    scale: bool
    basis: tuple[str, ...]


class Measures:
    """Conversions through foods. `told` maps (food, unit or None for pieces) to an amount."""

    def __init__(self, foods: Foods, told: Told | None = None, facts: Facts | None = None) -> None:
        self.foods = foods
        self.facts = facts or Facts()
        self._told = dict(told or {})
        self._sizes: dict[tuple[str, str | None, str], _Size | None] = {}
        self._densities: dict[tuple[str, str], tuple[float, str] | None] = {}

    # -- what is asked -----------------------------------------------------------------------

    def grams(
        self, food: str, amount: Amount, detail: str = "", size: Amount | None = None
    ) -> Weighed | None:
        """What an amount weighs. `detail` is a size or cut of the weights table; `size` the
        contents of one package or piece where told ("2 cans of 15 oz").
        """
        found = self._physical(food, amount, detail, size)
        if found is None:
            return None
        if found.unit == "g":
            return Weighed(found.number, found.basis)
        dense = self._density(food, detail)
        if dense is None:
            return None
        return Weighed(found.number * dense[0], (*found.basis, dense[1]))

    def convert(
        self,
        food: str,
        amount: Amount,
        unit: str | None,
        detail: str = "",
        size: Amount | None = None,
        bought: bool = False,
    ) -> Converted | None:
        """An amount of a food in another unit (None = pieces), or None where it is not known.

        `bought` True puts the trim between kitchen measures and weights as bought.
        """
        if size is None or amount.unit == unit:
            plain = amount.to(unit)
            if plain is not None:
                return Converted(plain)
            marked = self._marked(food, amount, unit)
            if marked is not None:
                return marked
        source = self._physical(food, amount, detail, size)
        target = self._physical(food, Amount(1, unit), detail, None)
        if source is None or target is None:
            return None
        basis = [*source.basis, *target.basis]
        ratio = source.number / target.number
        if source.unit != target.unit:
            dense = self._density(food, detail)
            if dense is None:
                return None
            ratio *= dense[0] if source.unit == "ml" else 1 / dense[0]
            basis.append(dense[1])
        if bought and source.scale != target.scale and (trim := self._trim(food)):
            ratio *= (1 - trim[0]) if source.scale else 1 / (1 - trim[0])
            basis.append(trim[1])
        high = None if amount.high is None else ratio * amount.high / (amount.number or 1)
        return Converted(Amount(ratio, unit, high, amount.about), tuple(dict.fromkeys(basis)))

    def _marked(self, food: str, amount: Amount, unit: str | None) -> Converted | None:
        """Between a measure whose room trade fixes (a stick of butter) and another volume."""
        for name in self._names(food):
            here, there = (self.facts.volume(name, one) for one in (amount.unit, unit))
            if here is not None:
                whole = here.amount.times(amount.number).to(unit)
                if whole is not None:
                    return Converted(whole, (here.source,))
            elif there is not None:
                part = amount.to(there.amount.unit)
                if part is not None:
                    number = part.number / there.amount.number
                    return Converted(Amount(number, unit), (there.source,))
        return None

    def packages(self, food: str) -> list[Package]:
        """Usual packages of a food, most usual first; [] where none is on record."""
        return self.facts.packages(food)

    def usual_package(self, food: str) -> Package | None:
        """The most usual package of a food, or None."""
        found = self.facts.packages(food)
        return found[0] if found else None

    def unknown(
        self, food: str, amount: Amount, unit: str | None, size: Amount | None = None
    ) -> Unknown:
        """Why an amount of a food does not convert into a unit, as a question to the person."""
        for missing in (amount.unit, unit):
            if size is None and self._physical(food, Amount(1, missing), "", None) is None:
                one = f"one {missing or 'piece'} of {food}"
                return Unknown(food, f"how much {one} is", f"How much is {one}?", missing)
        ask = f"How much does a cup of {food} weigh?"
        return Unknown(food, f"what a cup of {food} weighs", ask, "cup")

    # -- how it is found -----------------------------------------------------------------------

    def _physical(
        self, food: str, amount: Amount, detail: str, size: Amount | None
    ) -> _Size | None:
        """The amount in g or ml."""
        measure = units()[amount.unit or "piece"]
        if size is not None and measure.dimension in ("package", "piece"):
            inner = self._physical(food, size, detail, None)
            if inner is None:
                return None
            return _Size(inner.number * amount.number, inner.unit, inner.scale, inner.basis)
        key = (food, amount.unit, detail)
        if key not in self._sizes:
            self._sizes[key] = self._one(food, amount.unit, detail)
        one = self._sizes[key]
        return one and one._replace(number=one.number * amount.number)

    def _one(self, food: str, unit: str | None, detail: str) -> _Size | None:
        """How much one measure of a food is, in g or ml."""
        measure = units()[unit or "piece"]
        told = self._told.get((food, unit)) or self._told.get((food, measure.name))
        if told is not None and told.unit != unit:
            inner = self._physical(food, told, detail, None)
            if inner is not None:
                said = f"you told: one {measure.name} of {food} is {written(told)}"
                return inner._replace(basis=(said, *inner.basis))
        if measure.dimension == "mass" and measure.size:
            return _Size(measure.size, "g", True, ())
        if measure.dimension == "volume" and measure.size:
            return _Size(measure.size, "ml", False, ())
        if measure.dimension == "package":
            return self._packed(food, measure.name) or self._weighed(food, measure.name, detail)
        if measure.name not in ("piece", "dozen"):
            return self._weighed(food, measure.name, detail)
        piece = self._weighed(food, "piece", detail)
        return piece and piece._replace(number=piece.number * (measure.size or 1))

    def _weighed(self, food: str, unit: str, detail: str) -> _Size | None:
        for name in self._names(food):
            table = self.facts.weights(name)
            for cut in dict.fromkeys((detail, "")):
                found = table.get((unit, cut))
                if found is not None:
                    said = _sentence(unit, cut, name, found.grams, found.source)
                    return _Size(found.grams, "g", False, (said,))
        return None

    def _packed(self, food: str, unit: str) -> _Size | None:
        for name in self._names(food):
            for package in self.facts.packages(name):
                if package.package == unit:
                    inner = self._physical(name, package.amount, "", None)
                    if inner is not None:
                        said = (
                            f"a usual {unit} of {name} is {written(package.amount)} "
                            f"({package.source})"
                        )
                        return inner._replace(scale=True, basis=(said, *inner.basis))
        return None

    def _density(self, food: str, detail: str) -> tuple[float, str] | None:
        """Grams in one ml, and the sentence it rests on."""
        key = (food, detail)
        if key not in self._densities:
            self._densities[key] = self._find_density(food, detail)
        return self._densities[key]

    def _find_density(self, food: str, detail: str) -> tuple[float, str] | None:
        for unit in _VOLUMES:
            told = self._told.get((food, unit))
            ratio = factor(told.unit, "g") if told else None
            if told is not None and ratio is not None:
                grams = told.number * ratio
                said = f"you told: one {unit} of {food} is {written(told)}"
                return grams / (units()[unit].size or 1), said
        for name in self._names(food):
            table = self.facts.weights(name)
            for cut in dict.fromkeys((detail, "")):
                for unit in _VOLUMES:
                    found = table.get((unit, cut))
                    if found is not None:
                        said = _sentence(unit, cut, name, found.grams, found.source)
                        return found.grams / (units()[unit].size or 1), said
        return None

    def _names(self, food: str) -> tuple[str, ...]:
        """The food, then its base where both are in a state that weighs alike."""
        record = self.foods[food]
        base = record.base
        if not base or base == food:
            return (food,)
        mine, its = state(record.form), state(self.foods[base].form)
        change = changes().get((mine, its))
        if mine == its or (change is not None and change.like_for_like):
            return (food, base)
        return (food,)

    def _trim(self, food: str) -> tuple[float, str] | None:
        """The part thrown away and the sentence it rests on."""
        for name in self._names(food):
            trim = self.facts.trim(name)
            if trim is not None and trim.part < 1:
                return trim.part, (
                    f"{round(trim.part * 100)}% of {name} as bought is thrown away"
                    f"{f': {trim.what}' if trim.what else ''} ({trim.source})"
                )
        return None


def _sentence(unit: str, cut: str, food: str, grams: float, source: str) -> str:
    of = "" if unit == "piece" else f"{unit} of "
    return f"one {of}{f'{cut} ' if cut else ''}{food} weighs {grams:g} g ({source})"

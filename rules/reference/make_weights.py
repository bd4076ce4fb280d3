"""Make ``weights.csv`` and ``trim.csv`` from the public-domain USDA release SR28.

The release comes with the ``usda_nutrition`` distribution, which the test extra installs and
which is read here as plain files, never imported. Run from anywhere::

    python rules/reference/make_weights.py

Each food of ``foods/*.csv`` with an ``sr28`` number gets its household weights (grams of edible
portion for one cup, slice, piece, ...) and its refuse in percent of the weight as bought. How the
release words its measures stands in ``sr28_words.csv``, and what a cook means by a bare unit where
that differs from the rule below in ``usual_sizes.csv``.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).resolve().parent

WEIGHT_COLUMNS = ("food", "unit", "detail", "grams", "source")
TRIM_COLUMNS = ("food", "refuse_percent", "what", "source")

# Measures of volume, each with how many of it fill a cup.
PER_CUP = {"cup": 1, "fl oz": 8, "tbsp": 16, "tsp": 48}

# A smaller measure of the release stands beside a larger one when they agree this well.
AGREEMENT = 1 / 20

# What is no household measure: what a pound of raw meat leaves, a restaurant's drink, a cup of
# the dry food given as what it weighs cooked, the tip of a spear.
USELESS = re.compile(r"yield from 1 lb\b|^item .*fl oz|dry, yields|^spear tip")

# Dimensions and remarks that change nothing about the measure.
REMARKS = re.compile(r'[(].*|, ns as to.*|[0-9./-]+"')

# One of so many pieces of a cake, pie or pizza.
PART_OF_WHOLE = re.compile(r"^piece (?=\(1/\d+ of)")


class Measure(NamedTuple):
    """One household measure: the unit, how it is filled, and the grams of one."""

    unit: str
    detail: str
    grams: float


class Described(NamedTuple):
    """What the release says of one food: long name, inedible part, its percent by weight."""

    name: str
    refuse_what: str
    refuse_percent: int


class Listed(NamedTuple):
    """A row of a food listing that matters here."""

    food: str
    names: tuple[str, ...]
    sr28: str


class Words(NamedTuple):
    """How the release words its measures: each table from its words to ours.

    `pieces` are words for one counted thing, `beside_piece` may stand with them, `usual` lists
    the details in the order in which a cook means them when he says no more.
    """

    units: dict[str, str]
    sizes: dict[str, str]
    details: dict[str, str]
    shapes: dict[str, str]
    pieces: frozenset[str]
    beside_piece: frozenset[str]
    usual: tuple[str, ...]


def release_folder() -> Path | None:
    """Folder of the SR28 text files, or None where the distribution is not installed."""
    spec = find_spec("usda_nutrition")
    for place in (spec and spec.submodule_search_locations) or ():
        folder = Path(place) / "data" / "sr28"
        if folder.is_dir():
            return folder
    return None


def _release_rows(path: Path) -> Iterator[list[str]]:
    for line in path.read_text(encoding="latin-1").splitlines():
        yield [cell.strip("~") for cell in line.split("^")]


def _table_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def read_descriptions(folder: Path) -> dict[str, Described]:
    """FOOD_DES.txt by five-digit number."""
    return {
        row[0]: Described(row[2], row[7], int(row[8] or 0))
        for row in _release_rows(folder / "FOOD_DES.txt")
    }


def read_weights(folder: Path) -> dict[str, list[tuple[str, float]]]:
    """WEIGHT.txt by number: (measure as worded, grams of one), in the release's order."""
    found: dict[str, list[tuple[int, str, float]]] = {}
    for number, sequence, amount, measure, grams, *_ in _release_rows(folder / "WEIGHT.txt"):
        if float(amount) > 0:
            found.setdefault(number, []).append(
                (int(sequence), measure.strip(), float(grams) / float(amount))
            )
    return {n: [(m, g) for _, m, g in sorted(rows)] for n, rows in found.items()}


def read_listing(folder: Path = HERE / "foods") -> list[Listed]:
    """Every row of every listing, ordered by food."""
    return sorted(
        Listed(row["food"], (row["food"], *filter(None, row["aliases"].split(";"))), row["sr28"])
        for path in folder.glob("*.csv")
        for row in _table_rows(path)
    )


def read_usual_sizes(path: Path = HERE / "usual_sizes.csv") -> dict[tuple[str, str], str]:
    """Hand-made exceptions: (food, unit) -> the detail a cook means by the bare unit."""
    return {(row["food"], row["unit"]): row["detail"] for row in _table_rows(path)}


def read_words(path: Path = HERE / "sr28_words.csv") -> Words:
    """The release's wording, from its table."""
    by_role: dict[str, dict[str, str]] = {}
    for row in _table_rows(path):
        by_role.setdefault(row["role"], {})[row["words"]] = row["ours"]
    return Words(
        units=by_role["unit"],
        sizes=by_role["size"],
        details=by_role["detail"] | by_role["shape"],
        shapes=by_role["shape"],
        pieces=frozenset(by_role["piece"]),
        beside_piece=frozenset(by_role["beside a piece"]),
        usual=tuple(by_role["usual"]),
    )


def _own_words(names: Iterable[str]) -> frozenset[str]:
    """The words of a food's names, also in the plural, so that "apricot half" is recognised."""
    own: set[str] = set()
    for name in names:
        for word in (name, name.replace(" ", ""), *name.split()):
            own |= {word, word + "s", word + "es", re.sub("y$", "ies", word)}
    return frozenset(own)


def _first(table: dict[str, str], words: str, but: frozenset[str] = frozenset()) -> str | None:
    """The entry of `table` that stands earliest in `words`, the longest where two begin there."""
    hits = [
        (match.start(), -len(key), value)
        for key, value in table.items()
        if key not in but and (match := re.search(rf"\b{re.escape(key)}\b", words))
    ]
    return min(hits)[2] if hits else None


def _split_unit(words: str, own: frozenset[str], known: Words) -> tuple[str, str] | None:
    """The unit and the words left for its detail; None where no unit of ours is meant.

    A size may come before the unit or stand alone ("small head", "medium"); alone it means one
    counted thing, as do the food's own name and the words for pieces.
    """
    for phrase in sorted(known.units, key=len, reverse=True):
        if re.match(rf"{re.escape(phrase)}\b", words):
            return known.units[phrase], words[len(phrase) :]
    size = next((s for s in sorted(known.sizes, key=len, reverse=True) if words.startswith(s)), "")
    after = words.removeprefix(size).strip(" ,")
    if unit := known.units.get(after) or known.units.get(re.split("[ ,]", after)[0]):
        return unit, words
    counted = re.split("[ ,]+", words.replace("extra ", ""))
    things = own | known.pieces | frozenset(known.sizes)
    if counted[0] in things and (things | known.beside_piece).issuperset(counted):
        return "piece", words
    return None


def read_measure(worded: str, own: frozenset[str], known: Words) -> tuple[str, str] | None:
    """Unit and detail behind the release's words for a measure; None where it is no use.

    ``cup, chopped`` -> (cup, chopped); ``medium (2-1/2" dia)`` -> (piece, medium);
    ``stalk, large (11" long)`` -> (stalk, large). Weights and servings are of no use. `own` are
    the words of the food's own names.
    """
    words = worded.lower()
    if USELESS.search(words):
        return None
    packing = " not packed" if "not packed" in words else ""
    words = REMARKS.sub("", PART_OF_WHOLE.sub("slice ", words)).strip(" ,") + packing
    found = _split_unit(words, own, known)
    if found is None:
        return None
    unit, rest = found
    size = _first(known.sizes, rest)
    if unit == "piece":
        return unit, size or ""
    cut = _first(known.details, rest, but=own)
    if cut in known.shapes.values() and own & frozenset(known.shapes):
        return None  # another shape than the one this food is named for
    if unit in PER_CUP and size is None and cut is None:
        unknown = [word for word in re.findall("[a-z]+", rest) if word not in own]
        if unknown and unknown[0] != "or":  # "chopped or diced", "or 1 packet": no other thing
            return None
    return unit, cut or size or ""


def measures(
    worded: Iterable[tuple[str, float]], names: Iterable[str], known: Words
) -> list[Measure]:
    """The release's measures of one food as ours; the first of two alike stands."""
    own = _own_words(names)
    found: dict[tuple[str, str], float] = {}
    for words, grams in worded:
        if key := read_measure(words, own, known):
            found.setdefault(key, grams)
    return [Measure(unit, detail, grams) for (unit, detail), grams in found.items()]


def with_usual(
    listed: list[Measure], usual: Iterable[str], by_hand: dict[str, str]
) -> list[Measure]:
    """Add for each unit the row without detail: what a cook means who says no more.

    `by_hand` names the detail by unit where it is known better than by the order of `usual`; of
    counted things the medium one is meant.
    """
    out = list(listed)
    for unit in dict.fromkeys(measure.unit for measure in listed):
        grams = {measure.detail: measure.grams for measure in listed if measure.unit == unit}
        wanted = by_hand.get(unit)
        if wanted in grams:
            out = [m for m in out if (m.unit, m.detail) != (unit, "")]
        elif "" in grams:
            continue
        else:
            order = ("medium", *usual) if unit == "piece" else tuple(usual)
            wanted = next((detail for detail in order if detail in grams), next(iter(grams)))
        out.append(Measure(unit, "", grams[wanted]))
    return out


def with_volumes(listed: list[Measure]) -> list[tuple[Measure, bool]]:
    """Complete cup, tablespoon and teaspoon from one density; True marks what was worked out.

    The largest measure is the most exact; a smaller one that the release lists itself stands
    when it agrees, so that a food has one density.
    """
    plain = {m.unit: m.grams for m in listed if m.detail == ""}
    out = [(m, False) for m in listed if not (m.unit in PER_CUP and m.detail == "")]
    largest = next((unit for unit in PER_CUP if unit in plain), None)
    if largest is None:
        return out
    cup = plain[largest] * PER_CUP[largest]
    for unit, count in PER_CUP.items():
        worked_out = cup / count
        own = plain.get(unit)
        if own is not None and abs(own - worked_out) <= worked_out * AGREEMENT:
            out.append((Measure(unit, "", own), False))
        elif unit != "fl oz":
            out.append((Measure(unit, "", worked_out), True))
    return out


def written(grams: float) -> str:
    """Grams as they stand in the table: as many figures as a kitchen scale can use."""
    text = f"{grams:.1f}" if grams >= 10 else f"{grams:.2f}"
    return text.rstrip("0").rstrip(".")


def weight_rows(
    listing: Iterable[Listed],
    weights: dict[str, list[tuple[str, float]]],
    usual_sizes: dict[tuple[str, str], str],
    known: Words,
) -> list[tuple[str, ...]]:
    """Rows of ``weights.csv`` below its header, ordered by food, unit, detail."""
    rows = []
    for food, names, sr28 in listing:
        by_hand = {unit: detail for (of, unit), detail in usual_sizes.items() if of == food}
        listed = measures(weights.get(sr28, ()), names, known)
        for measure, worked_out in with_volumes(with_usual(listed, known.usual, by_hand)):
            source = f"USDA SR28 {sr28}" + (", worked out from its volume" if worked_out else "")
            rows.append((food, measure.unit, measure.detail, written(measure.grams), source))
    return sorted(rows)


def trim_rows(listing: Iterable[Listed], described: dict[str, Described]) -> list[tuple[str, ...]]:
    """Rows of ``trim.csv`` below its header: foods with an inedible part, ordered by food."""
    rows: list[tuple[str, ...]] = []
    for food, _, sr28 in listing:
        if sr28 in described and (percent := described[sr28].refuse_percent) > 0:
            what = described[sr28].refuse_what.lower()
            rows.append((food, str(percent), what, f"USDA SR28 {sr28}"))
    return rows


def write_table(path: Path, columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    """Write a reference table: UTF-8, one line feed a row."""
    with path.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(rows)


def make(target: Path = HERE) -> None:
    """Write both tables into `target`; FileNotFoundError where SR28 is not installed."""
    folder = release_folder()
    if folder is None:
        raise FileNotFoundError("SR28 is not here: install the test extra (usda_nutrition).")
    listing = [row for row in read_listing() if row.sr28]
    rows = weight_rows(listing, read_weights(folder), read_usual_sizes(), read_words())
    write_table(target / "weights.csv", WEIGHT_COLUMNS, rows)
    write_table(target / "trim.csv", TRIM_COLUMNS, trim_rows(listing, read_descriptions(folder)))


if __name__ == "__main__":
    make()

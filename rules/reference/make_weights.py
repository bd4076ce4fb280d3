"""Make ``weights.csv`` and ``trim.csv`` from the public-domain USDA release SR28.

The release comes with the ``usda_nutrition`` distribution, which the test extra installs and
which is read here as plain files, never imported. Run from anywhere::

    python rules/reference/make_weights.py

Each food of ``foods/*.csv`` with an ``sr28`` number gets its household weights (grams of edible
portion for one cup, slice, piece, ...) and its refuse in percent of the weight as bought.
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

# Words of the release for a measure -> our unit. Volumes first, then parts and packages.
UNIT_WORDS = {
    "cup": "cup", "cups": "cup", "tbsp": "tbsp", "tablespoon": "tbsp", "tsp": "tsp",
    "teaspoon": "tsp", "fl oz": "fl oz", "slice": "slice", "slices": "slice", "stick": "stick",
    "clove": "clove", "cloves": "clove", "head": "head", "stalk": "stalk", "stalks": "stalk",
    "leaf": "leaf", "leaves": "leaf", "sprig": "sprig", "sprigs": "sprig", "ear": "ear",
    "strip": "strip", "strips": "strip", "bunch": "bunch", "can": "can", "package": "package",
    "pkg": "package", "scoop": "scoop", "spear": "spear", "spears": "spear", "wedge": "wedge",
    "pat": "pat", "patty": "patty", "link": "link", "links": "link", "fillet": "fillet",
    "loaf": "loaf", "bag": "bag", "jar": "jar", "bottle": "bottle", "box": "box",
    "container": "container", "envelope": "envelope", "packet": "packet", "pouch": "packet",
    "bar": "bar", "cube": "cube", "square": "square", "sheet": "sheet", "half": "half",
    "halves": "half", "ring": "ring", "rings": "ring", "floweret": "floret",
    "flowerets": "floret", "block": "block", "carton": "carton", "sheets": "sheet",
    "pattie": "patty", "tablespoons": "tbsp", "dash": "dash",
    "cubic inch": "cubic inch",
}

# Words of the release for one counted thing, whatever the food.
PIECE_WORDS = {
    "piece", "pieces", "fruit", "each", "unit", "item", "root", "tuber", "vegetable", "kernel",
    "nut", "nuts", "pepper", "potato", "melon", "pod", "pods", "squash", "medium", "small",
    "large", "bulb", "berry", "berries", "cookie", "cracker", "wafer", "wrapper", "sausage",
}

# Words that may stand beside a counted thing without making it another thing.
BESIDE_PIECE = {
    "without", "with", "and", "refuse", "skin", "peel", "seeds", "whole", "pitted", "unpeeled",
    "single", "square", "rectangular", "round", "long",
}

SIZES = {
    "extra large": "extra large", "extra small": "extra small", "jumbo": "jumbo",
    "small": "small", "medium": "medium", "large": "large", "thin": "thin", "thick": "thick",
    "regular": "", "standard": "", "average": "", "mini": "mini", "miniature": "mini",
}

# Words of the release for how it was cut or filled -> ours. Longer phrases come first.
DETAIL_WORDS = {
    "not packed": "unpacked", "unpacked": "unpacked", "packed": "packed",
    "unsifted": "", "unthawed": "frozen", "thawed": "thawed", "sifted": "sifted",
    "chopped": "chopped", "sliced": "sliced", "slices": "sliced", "diced": "diced",
    "cubes": "cubed", "cubed": "cubed", "mashed": "mashed", "shredded": "shredded",
    "grated": "grated", "ground": "ground", "pureed": "pureed", "puree": "pureed",
    "crushed": "crushed", "crumbled": "crumbled", "crumbs": "crumbs", "melted": "melted",
    "drained": "drained", "whole": "whole", "halves": "halved", "halved": "halved",
    "quartered": "chopped", "chunks": "chunks", "pieces": "pieces", "strips": "strips",
    "flowerets": "florets", "sections": "sections", "balls": "balls", "pitted": "pitted",
    "with pits": "with pits", "julienne": "julienne", "inch pieces": "pieces",
    "leaves": "leaves", "kernels": "kernels", "whipped": "whipped", "in shell": "in shell",
    "slivered": "slivered", "creamed": "creamed", "cooked": "cooked", "dry": "dry",
    "prepared": "prepared", "condensed": "condensed", "minced": "minced", "flaked": "flaked",
    "shells": "shells", "rotini": "rotini", "penne": "penne", "farfalle": "farfalle",
    "without pits": "pitted", "shelled": "", "undrained": "", "stirred": "", "pulp": "",
    "chips": "", "cut": "", "spooned": "", "fluid": "", "hearts": "", "arils": "", "creamy": "",
    "rounds": "", "solid": "", "elbows": "elbow", "spaghetti": "spaghetti",
    "lasagne": "lasagna", "lasagna": "lasagna",
}

# Details that are shapes of one food rather than ways of cutting it.
SHAPES = {"shells", "rotini", "penne", "farfalle", "elbow", "spaghetti", "lasagna"}

# Which way of cutting a cook means where the release lists none plain, best first.
USUAL_DETAILS = (
    "chopped", "shredded", "sliced", "diced", "cubed", "pieces", "halved", "whole", "unpacked",
    "leaves", "medium", "large", "small",
)


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


def release_folder() -> Path | None:
    """Folder of the SR28 text files, or None where the distribution is not installed."""
    spec = find_spec("usda_nutrition")
    for place in spec.submodule_search_locations or () if spec else ():
        folder = Path(place) / "data" / "sr28"
        if folder.is_dir():
            return folder
    return None


def _rows(path: Path) -> Iterator[list[str]]:
    for line in path.read_text(encoding="latin-1").splitlines():
        yield [cell.strip("~") for cell in line.split("^")]


def read_descriptions(folder: Path) -> dict[str, Described]:
    """FOOD_DES.txt by five-digit number."""
    return {
        row[0]: Described(row[2], row[7], int(row[8] or 0)) for row in _rows(folder / "FOOD_DES.txt")
    }


def read_weights(folder: Path) -> dict[str, list[tuple[str, float]]]:
    """WEIGHT.txt by number: (measure as worded, grams of one), in the release's order."""
    found: dict[str, list[tuple[int, str, float]]] = {}
    for number, sequence, amount, measure, grams, *_ in _rows(folder / "WEIGHT.txt"):
        if float(amount) > 0:
            found.setdefault(number, []).append(
                (int(sequence), measure.strip(), float(grams) / float(amount))
            )
    return {n: [(m, g) for _, m, g in sorted(rows)] for n, rows in found.items()}


def read_listing(folder: Path = HERE / "foods") -> list[Listed]:
    """Every row of every listing, ordered by food."""
    rows = []
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            for row in csv.DictReader(handle):
                names = (row["food"], *filter(None, row["aliases"].split(";")))
                rows.append(Listed(row["food"], names, row["sr28"]))
    return sorted(rows)


def read_usual_sizes(path: Path = HERE / "usual_sizes.csv") -> dict[tuple[str, str], str]:
    """Hand-made exceptions: (food, unit) -> the detail a cook means by the bare unit."""
    with path.open(encoding="utf-8", newline="") as handle:
        return {(row["food"], row["unit"]): row["detail"] for row in csv.DictReader(handle)}


def _own_words(names: Iterable[str]) -> set[str]:
    """The words of a food's names, also in the plural, so that "apricot half" is recognised."""
    words: set[str] = set()
    for name in names:
        for word in (name, name.replace(" ", ""), *name.split()):
            words |= {word, word + "s", word + "es", re.sub("y$", "ies", word)}
    return words


def _first(table: dict[str, str], words: str) -> str | None:
    """The entry of `table` that stands earliest in `words`, the longest where two begin there."""
    hits = [
        (match.start(), -len(key), value)
        for key, value in table.items()
        if (match := re.search(rf"\b{re.escape(key)}\b", words))
    ]
    return min(hits)[2] if hits else None


def read_measure(worded: str, names: Iterable[str]) -> tuple[str, str] | None:
    """Unit and detail behind the release's words for a measure; None where it is no use.

    ``cup, chopped`` -> (cup, chopped); ``medium (2-1/2" dia)`` -> (piece, medium);
    ``stalk, large (11" long)`` -> (stalk, large). Weights and servings are of no use.
    """
    words = worded.lower().replace("tbsp.", "tbsp")
    words = re.sub(r"^piece (?=\(1/\d+ of)", "slice ", words)  # of a cake, pie or pizza
    packing = "not packed" if "not packed" in words else ""
    words = re.sub(r'[(].*|, ns as to.*|[0-9./-]+"', "", words).strip(" ,")
    words = f"{words} {packing}".strip()
    own = _own_words(names)
    head = re.split(r"[ ,]", words)[0]
    unit: str | None = None
    for phrase in ("fl oz", "cubic inch", head):
        if words.startswith(phrase) and phrase in UNIT_WORDS:
            unit, rest = UNIT_WORDS[phrase], words[len(phrase):]
            break
    else:
        bare = re.sub(r"^(extra large|extra small|\w+)\b", "", words) if head in SIZES or (
            head == "extra") else words
        for phrase in filter(None, (bare.strip(" ,"), re.split(r"[ ,]", bare.strip(" ,"))[0])):
            if phrase in UNIT_WORDS:
                unit = UNIT_WORDS[phrase]
                break
        rest = words
        if unit is None:
            counted = re.split(r"[ ,]+", re.sub(r"\bextra\b", "", words).strip())
            known = own | PIECE_WORDS | set(SIZES) | BESIDE_PIECE
            if counted[0] not in known - BESIDE_PIECE or not known.issuperset(counted):
                return None
            unit = "piece"
    size = _first(SIZES, rest)
    cut = _first({k: v for k, v in DETAIL_WORDS.items() if k not in own}, rest)
    if unit == "piece" and cut in {"whole", "pieces", "pitted"}:
        cut = None
    if cut in SHAPES and own & {word for word, shape in DETAIL_WORDS.items() if shape in SHAPES}:
        return None
    if size is None and cut is None and unit in PER_CUP:
        unknown = [w for w in re.findall(r"[a-z]+", rest) if w not in own]
        if unknown and unknown[0] not in {"or", "poured"}:
            return None
    return unit, cut or size or ""


def measures(worded: Iterable[tuple[str, float]], names: tuple[str, ...]) -> list[Measure]:
    """The release's measures of one food as ours; the first of two alike stands."""
    found: dict[tuple[str, str], float] = {}
    for words, grams in worded:
        if key := read_measure(words, names):
            found.setdefault(key, grams)
    return [Measure(unit, detail, grams) for (unit, detail), grams in found.items()]


def with_usual(
    listed: list[Measure], food: str, usual_sizes: dict[tuple[str, str], str]
) -> list[Measure]:
    """Add for each unit the row without detail: what a cook means who says no more."""
    out = list(listed)
    for unit in dict.fromkeys(m.unit for m in listed):
        of_unit = {m.detail: m.grams for m in listed if m.unit == unit}
        wanted = usual_sizes.get((food, unit))
        if wanted in of_unit:
            out = [m for m in out if (m.unit, m.detail) != (unit, "")]
        elif "" in of_unit:
            continue
        else:
            order = ("medium", *USUAL_DETAILS) if unit == "piece" else USUAL_DETAILS
            wanted = next((d for d in order if d in of_unit), next(iter(of_unit)))
        out.append(Measure(unit, "", of_unit[wanted]))
    return out


def with_volumes(listed: list[Measure]) -> list[tuple[Measure, bool]]:
    """Complete cup, tablespoon and teaspoon from one density; True marks what was worked out.

    The largest measure is the most exact; a smaller one that the release lists itself stands
    when it agrees within a twentieth, so that a food has one density.
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
        if own is not None and abs(own - worked_out) <= worked_out / 20:
            out.append((Measure(unit, "", own), False))
        elif unit != "fl oz":
            out.append((Measure(unit, "", worked_out), True))
    return out


def _number(grams: float) -> str:
    """Grams as written in the table: as many figures as a kitchen scale can use."""
    return f"{grams:.1f}".removesuffix(".0") if grams >= 10 else f"{grams:.2f}".rstrip("0").rstrip(".")


def weight_rows(
    listing: Iterable[Listed],
    weights: dict[str, list[tuple[str, float]]],
    usual_sizes: dict[tuple[str, str], str],
) -> list[tuple[str, ...]]:
    """Rows of ``weights.csv`` below its header, ordered by food, unit, detail."""
    rows = []
    for food, names, sr28 in listing:
        plain = with_usual(measures(weights.get(sr28, ()), names), food, usual_sizes)
        for measure, worked_out in with_volumes(plain):
            source = f"USDA SR28 {sr28}" + (", worked out from its volume" if worked_out else "")
            rows.append((food, measure.unit, measure.detail, _number(measure.grams), source))
    return sorted(rows)


def trim_rows(
    listing: Iterable[Listed], described: dict[str, Described]
) -> list[tuple[str, ...]]:
    """Rows of ``trim.csv`` below its header: foods with an inedible part, ordered by food."""
    return [
        (food, str(described[sr28].refuse_percent), described[sr28].refuse_what.lower(),
         f"USDA SR28 {sr28}")
        for food, _, sr28 in listing
        if sr28 in described and described[sr28].refuse_percent > 0
    ]


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
    rows = weight_rows(listing, read_weights(folder), read_usual_sizes())
    write_table(target / "weights.csv", WEIGHT_COLUMNS, rows)
    write_table(target / "trim.csv", TRIM_COLUMNS, trim_rows(listing, read_descriptions(folder)))


if __name__ == "__main__":
    make()

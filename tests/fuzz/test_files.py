"""Files taken in: garbled, absurd, huge or nested, they are refused kindly or read in part."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helper.demo import NOMINAL_DAY
from helper.household.books import Household
from helper.household.taking_in import take_in
from helper.household.troubles import Trouble
from helper.kitchen.foods import Foods
from tests.fuzz.hostile import NUMBERS, SIGNS, STEERING

ROOT = Path(__file__).parent.parent.parent
FOODS = Foods()
SUFFIXES = (".csv", ".json", ".jsonld", ".html", ".txt", ".md")


def taken(path: Path) -> tuple[Household, str]:
    """Books after the file, and what the person is told of it."""
    books = Household.scratch(today=lambda: NOMINAL_DAY)
    try:
        return books, "\n".join(take_in(path, books, FOODS, NOMINAL_DAY).lines)
    except Trouble as trouble:
        assert not books.version
        return books, str(trouble)


@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.binary(max_size=300), st.sampled_from(SUFFIXES))
def test_any_bytes_at_all(tmp_path: Path, data: bytes, suffix: str) -> None:
    path = tmp_path / f"file{suffix}"
    path.write_bytes(data)
    taken(path)


@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.integers() | st.sampled_from(SIGNS + NUMBERS),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
        max_leaves=6,
    ),
    st.sampled_from(
        ["name", "recipeIngredient", "recipeInstructions", "recipeYield", "totalTime", "author"]
    ),
)
def test_recipes_with_anything_in_their_fields(tmp_path: Path, value: object, field: str) -> None:
    recipe = {
        "@type": "Recipe",
        "name": "Bean soup",
        "recipeIngredient": ["1 lb navy beans"],
        field: value,
    }
    path = tmp_path / "recipe.json"
    path.write_text(json.dumps(recipe, allow_nan=False, default=str) if _sound(value) else "{}")
    books, _ = taken(path)
    for one in books.recipes():
        assert not STEERING.search(one.title + "".join(line.text for line in one.lines))


def _sound(value: object) -> bool:
    try:
        json.dumps(value, allow_nan=False).encode()
    except (ValueError, UnicodeEncodeError):
        return False
    return True


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("column", ["amount", "packages", "price", "best_by", "unit", "food"])
def test_rows_nobody_can_mean(tmp_path: Path, number: str, column: str) -> None:
    row = {
        "food": "flour",
        "amount": "5",
        "unit": "lb",
        "packages": "1",
        "price": "2",
        "best_by": "",
    }
    row[column] = number
    path = tmp_path / "stock.csv"
    path.write_text(",".join(row) + "\r\n" + ",".join(row.values()) + "\r\nmilk,1,gallon,1,4,\r\n")
    books, _ = taken(path)
    assert "milk" in " ".join(lot.food for lot in books.lots())  # the other row came in
    assert all(0 < lot.left.number < 1e5 for lot in books.lots())


@pytest.mark.parametrize("sign", [one for one in SIGNS if one != "\ud800"])
def test_names_are_clean_and_write_nowhere_else(tmp_path: Path, sign: str) -> None:
    inside = tmp_path / "in"
    inside.mkdir()
    path = inside / "stock.csv"
    quoted = sign.replace('"', '""')
    path.write_text(f'food,amount,unit\n"../../x {quoted} bean",1,lb\n', encoding="utf-8")
    _, told = taken(path)
    assert not STEERING.search(told)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["in"]


# -- from outside ---------------------------------------------------------------------------------


def load(tmp_path: Path, path: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "helper", "--household", str(tmp_path / "h"), "--load", str(path),
         "help"],
        env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(tmp_path / "data")},
        capture_output=True, text=True, errors="replace", cwd=tmp_path, timeout=60,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("deep.json", "[" * 200_000),
        ("deep.json", "[" * 50_000 + "]" * 50_000),
        ("deep.json", '{"@graph":' * 50_000 + "1" + "}" * 50_000),
        ("deep.html", '<script type="application/ld+json">' + "[" * 100_000 + "</script>"),
        ("tags.html", "<div>" * 100_000),
        ("open.html", "<" * 200_000),
        ("wide.csv", "food,amount\nflour" + "," * 500_000),
        ("quote.csv", 'food,amount\n"' + "x" * 500_000),
        ("long.txt", "x" * 2_000_000),
        ("empty.csv", ""),
    ],
    ids=lambda one: one if len(one) < 20 else "",
)
def test_heavy_files_are_refused_kindly(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text)
    done = load(tmp_path, tmp_path / name)
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr
    assert name in done.stderr or "line 2" in done.stderr


def test_a_file_too_large_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "large.json"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    done = load(tmp_path, path)
    assert done.returncode == 2
    assert "50 MB" in done.stderr


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless file here")
def test_an_endless_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "endless.csv").symlink_to("/dev/zero")
    done = load(tmp_path, tmp_path / "endless.csv")
    assert done.returncode == 2
    assert "50 MB" in done.stderr


def test_the_household_is_private_whatever_the_mask(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        (tmp_path / "stock.csv").write_text("food,amount,unit\nflour,5,lb\n")
        load(tmp_path, tmp_path / "stock.csv")
    finally:
        os.umask(before)
    folder = tmp_path / "h"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    files = [one for one in folder.rglob("*") if one.is_file()]
    assert files
    assert {stat.S_IMODE(one.stat().st_mode) for one in files} == {0o600}

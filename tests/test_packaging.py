"""What is built and installed: it is all there, and it runs where little is allowed.

The wheel is built as pip does it, which needs the package index for the builder; without one
these tests are left out.
"""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ASKED = "what can I make with beans and ham"
PARTS = ("helper", "rules", "demo_household")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--no-deps", "-w", str(folder), str(ROOT)]
    # The tables are made ready here, not in the builder's environment.
    done = subprocess.run(
        command,
        env={**os.environ, "HATCH_BUILD_NO_HOOKS": "true"},
        capture_output=True,
        text=True,
        timeout=300,
    )
    if done.returncode:
        pytest.skip(f"no wheel could be built here: {done.stderr[-200:]}")
    return next(folder.glob("household_meal_helper-*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel unpacked, with nowhere in it to write, and its tables ready made."""
    folder = tmp_path_factory.mktemp("site")
    with zipfile.ZipFile(wheel) as files:
        files.extractall(folder)
    # by itself, as the builder does it: here much of it has been worked out and kept already
    made = [sys.executable, "-m", "helper.made", str(folder / "rules" / "made")]
    subprocess.run(made, cwd=ROOT, check=True, timeout=300)
    (folder / "rules" / "__pycache__").write_text("a file where a folder would be")
    return folder


def _belonging() -> set[str]:
    """Files of the packages as the wheel names them."""
    found = {
        path.relative_to(ROOT).as_posix()
        for part in PARTS
        for path in (ROOT / part).rglob("*")
        if path.is_file() and not any(one[0] in "._" for one in path.relative_to(ROOT).parts[:-1])
    }
    return {
        f"helper/{name}" if name.startswith("demo_household") else name
        for name in found
        if not name.endswith((".pyc", ".mpk"))
    }


def test_everything_that_belongs_in_the_wheel_is_there(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as files:
        names = set(files.namelist())
    assert _belonging() <= names
    assert {"helper/py.typed", "rules/py.typed", "helper/demo_household/stock.csv"} <= names
    assert any(name.startswith("helper/reading/phrases/") for name in names)


def test_nothing_else_is_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as files:
        strange = {
            name for name in files.namelist() if not name.split("/")[0].endswith(".dist-info")
        } - _belonging()
    assert not strange


@pytest.fixture
def run(installed: Path, tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run the installed package with a home that cannot be written to."""

    def _run(*arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
        nowhere = {"HOME": "/dev/null", "XDG_CACHE_HOME": "/dev/null", "XDG_DATA_HOME": "/dev/null"}
        done = subprocess.run(
            [sys.executable, "-m", "helper", *arguments],
            env={**os.environ, **nowhere, "PYTHONPATH": str(installed), **env},
            capture_output=True,
            text=True,
            errors="replace",
            cwd=tmp_path,
            timeout=120,
        )
        assert "Traceback" not in done.stdout + done.stderr
        return done

    return _run


def test_the_demo_runs_where_nothing_can_be_written(
    run: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    done = run("--demo", ASKED)
    assert (done.returncode, done.stderr) == (0, "")
    assert "a serving" in done.stdout


def test_a_household_that_cannot_be_made_is_said_so(
    run: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    done = run(ASKED)
    assert done.returncode == 2
    assert "/dev/null" in done.stderr


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"},
        {"PYTHONIOENCODING": "latin-1"},
        {"TERM": "dumb"},
        {"NO_COLOR": "1"},
        {"TERM": ""},
        {"COLUMNS": "20"},
        {"COLUMNS": "nonsense", "LINES": "-1"},
    ],
    ids=lambda env: " ".join(env.values()) or "no TERM",
)
def test_any_terminal_and_language_will_do(
    run: Callable[..., subprocess.CompletedProcess[str]], env: dict[str, str]
) -> None:
    done = run("--demo", ASKED, **env)
    assert done.returncode == 0
    assert "\x1b" not in done.stdout
    assert "Ranked" in done.stdout


def test_an_edited_table_counts_more_than_what_was_shipped(
    installed: Path, run: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    soup = next((installed / "helper/demo_household/recipes").glob("bean-and-ham-soup.txt"))
    before = soup.read_text(encoding="utf-8")
    title = before.splitlines()[0].lstrip("# ")
    assert title in run("--demo", f"show me {title}").stdout
    try:
        soup.write_text(before.replace(title, title[::-1], 1), encoding="utf-8")
        assert title not in run("--demo", f"show me {title}").stdout
    finally:
        soup.write_text(before, encoding="utf-8")

"""The command from outside: options, exit statuses, what goes where, and bad input."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from helper import __version__
from helper.household.storage import Header, Snapshot, snapshot_written

ROOT = Path(__file__).parent.parent
STOCK = "food,amount,unit,packages,price\nnavy beans,1,lb,2,1.59\nflour,5,lb,1,2.60\n"


class Ran:
    def __init__(self, done: subprocess.CompletedProcess[bytes]) -> None:
        self.status = done.returncode
        self.out = done.stdout.decode(errors="replace")
        self.err = done.stderr.decode(errors="replace")
        assert "Traceback" not in self.out + self.err

    @property
    def objects(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.out.splitlines()]


Run = Callable[..., Ran]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Run the command on a household of its own, away from the tester's files."""

    def _run(*arguments: str | Path, said: str | bytes = b"", **env: str) -> Ran:
        places = {"XDG_DATA_HOME": str(tmp_path / "data"), "PYTHONPATH": str(ROOT)}
        done = subprocess.run(
            [sys.executable, "-m", "helper", *map(str, arguments)],
            input=said if isinstance(said, bytes) else said.encode(),
            capture_output=True,
            env={**os.environ, **places, **env},
            cwd=tmp_path,
            timeout=60,
        )
        return Ran(done)

    return _run


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    path = tmp_path / "stock.csv"
    path.write_text(STOCK)
    return path


# -- the call ---------------------------------------------------------------------------------


def test_version(run: Run) -> None:
    assert run("--version").out.strip() == f"meal-helper {__version__}"


@pytest.mark.parametrize(
    "wrong",
    [
        ["--nonsense"],
        ["--today", "yesterday"],
        ["--load"],
        ["one", "two"],
        ["--today", "2026-02-30"],
        ["--today", "9999-12-31"],
        ["--household", ""],
    ],
)
def test_a_wrong_call_is_status_2_and_says_so(run: Run, wrong: list[str]) -> None:
    ran = run(*wrong)
    assert ran.status == 2
    assert ran.out == ""
    assert wrong[-1] in ran.err


def test_a_household_is_made_where_told_and_private(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "our kitchen"
    assert run("--household", folder, "got 2 lb of butter for 7.00").status == 0
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert "2 lb" in run("--household", folder, "how much butter do we have").out


def test_without_a_folder_the_users_own_is_used(run: Run, tmp_path: Path) -> None:
    run("got 2 lb of butter for 7.00")
    assert list((tmp_path / "data").rglob("journal.jsonl"))


def test_a_household_that_cannot_be_opened_is_status_2(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    ran = run("--household", tmp_path / "file", "help")
    assert ran.status == 2
    assert "file" in ran.err


def test_a_household_of_a_newer_version_is_status_2(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "h"
    folder.mkdir()
    (folder / "tables.json").write_bytes(snapshot_written(Snapshot(Header(schema=999))))
    ran = run("--household", folder, "help")
    assert ran.status == 2
    assert "newer" in ran.err


def test_a_damaged_journal_is_told_and_mended_when_asked(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "h"
    for what in ("2 lb of butter for 7.00", "5 lb of flour for 2.60", "12 eggs for 3.00"):
        run("--household", folder, f"got {what}")
    journal = folder / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"flour for", b"flower for"))
    ran = run("--household", folder, "got 1 lb of rice for 2.00")
    assert ran.status == 1
    assert "line 3" in ran.err
    assert "--mend" in ran.err
    assert "1 line" in run("--household", folder, "--mend").out
    assert run("--household", folder, "got 1 lb of rice for 2.00").err == ""
    assert "no mending" in run("--household", folder, "--mend").out


def test_the_demo_keeps_nothing(run: Run, tmp_path: Path) -> None:
    before = "got 99 lb of butter for 7.00"
    assert run("--demo", before).status == 0
    assert "99" not in run("--demo", "how much butter do we have").out
    assert not list((tmp_path / "data").rglob("*"))


def test_today_decides_what_is_due(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "h"
    run("--household", folder, "--today", "2026-11-20", "got 2 lb of butter for 7.00")
    ran = run(
        "--household", folder, "--today", "2026-12-24", "--json", "what did we spend this week"
    )
    assert ran.objects[0]["reply"]["spent"] == "0.00"
    assert ran.objects[0]["reply"]["to"] == "2026-12-24"


# -- requests ---------------------------------------------------------------------------------


def test_a_request_is_answered_on_standard_output(run: Run) -> None:
    ran = run("--demo", "how much flour do we have")
    assert (ran.status, ran.err) == (0, "")
    assert "flour" in ran.out
    assert "\x1b" not in ran.out


def test_what_is_not_understood_is_status_1_and_a_complaint(run: Run) -> None:
    ran = run("--demo", "qwertz uiop asdfgh")
    assert (ran.status, ran.out) == (1, "")
    assert "did not understand" in ran.err


def test_piped_requests_are_one_conversation(run: Run) -> None:
    said = "got 2 lb of butter for 7.00\nundo that\nhow much butter do we have\n"
    ran = run("--json", said=said)
    assert [one["reading"]["act"] for one in ran.objects] == ["add-stock", "undo", "stock"]
    assert [one["changed"] for one in ran.objects] == [True, True, False]


def test_one_object_a_request_whatever_the_line_ends(run: Run) -> None:
    ran = run("--json", "--demo", said="\ufeffhelp\r\n\r\n  \nqwertz\r\nhow much flour do we have")
    assert [one["request"] for one in ran.objects] == [
        "help", "qwertz", "how much flour do we have",
    ]  # fmt: skip
    assert ran.status == 1


def test_a_stray_control_character_does_not_make_two_requests_of_one(run: Run) -> None:
    ran = run("--json", "--demo", said="how much\x0bflour\rdo we\u2028have\n")
    (one,) = ran.objects
    assert one["reading"]["act"] == "stock"
    assert "also" not in one


@pytest.mark.parametrize("as_json", [["--json"], []])
@pytest.mark.parametrize(
    "hostile",
    [
        b"x" * 1_000_000,
        b"beans and ham " * 70_000,
        b"\x00\x00\x00",
        b"\xff\xfe\x80\xff",
        b"\x1b[2J\x1b]0;title\x07",
        b"used 0 eggs",
        b"got 99999999999999999999999999 lb of butter",
        b"((((((((((",
        b"../../../../etc/passwd",
    ],
    ids=range(9),
)
def test_hostile_lines_are_answered_kindly(run: Run, hostile: bytes, as_json: list[str]) -> None:
    ran = run(*as_json, "--demo", said=hostile + b"\nhow much flour do we have\n")
    assert ran.status == 1
    assert not set(ran.out + ran.err) & set("\x00\x1b\x9b")
    assert "went wrong" not in ran.out + ran.err
    if as_json:
        first, second = ran.objects
        assert (first["understood"], first["changed"]) == (False, False)
        assert second["understood"]
    else:
        assert "flour" in ran.out


def test_whoever_stops_reading_gets_no_traceback(tmp_path: Path) -> None:
    command = f"{sys.executable} -m helper --demo --json | head -c 10"
    done = subprocess.run(
        ["sh", "-c", command],
        input=b"help\n" * 200,
        capture_output=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(tmp_path)},
        timeout=60,
    )
    assert done.stderr == b""


@pytest.mark.parametrize(
    "env", [{"LC_ALL": "C", "PYTHONUTF8": "0"}, {"PYTHONIOENCODING": "latin-1"}]
)
def test_other_language_settings_do_not_break_answers(run: Run, env: dict[str, str]) -> None:
    ran = run("--demo", "how much cr\u00e8me fra\u00eeche do we have", **env)
    assert ran.status in (0, 1)
    assert ran.out + ran.err
    ran = run("--demo", "--json", said="how much flour do we have\nwhat is in the fridge", **env)
    assert len(ran.objects) == 2


def test_a_fault_of_the_program_is_an_apology_and_a_log(run: Run, tmp_path: Path) -> None:
    broken = tmp_path / "sitecustomize.py"
    broken.write_text(
        "import helper.acts.telling as telling\n"
        "def broken(reading, house):\n    raise RuntimeError('wires crossed')\n"
        "telling.help = broken\n"
    )
    path = f"{tmp_path}{os.pathsep}{ROOT}"
    ran = run("--household", tmp_path / "h", "help", PYTHONPATH=path)
    assert ran.status == 1
    assert 'over "help"' in ran.err
    assert "wires crossed" not in ran.err
    assert "wires crossed" in (tmp_path / "h" / "faults.log").read_text()


# -- files ------------------------------------------------------------------------------------


def test_files_come_in_before_the_request(run: Run, stock: Path) -> None:
    ran = run("--load", stock, "how much flour do we have")
    assert ran.status == 0
    assert ran.out.index("2 lots taken in") < ran.out.index("5 lb")


def test_with_json_only_objects_go_to_standard_output(run: Run, stock: Path) -> None:
    ran = run("--load", stock, "--json", "how much flour do we have")
    assert [one["understood"] for one in ran.objects] == [True]
    assert "2 lots taken in" in ran.err


def test_a_bad_row_is_named_and_the_others_taken_in(run: Run, stock: Path) -> None:
    stock.write_text(STOCK + "eggs,-3,,1,2\n")
    ran = run("--load", stock, "how much flour do we have")
    assert ran.status == 1
    assert "stock.csv, line 4" in ran.err
    assert "5 lb" in ran.out


def test_the_same_file_twice_is_not_counted_twice(run: Run, stock: Path) -> None:
    run("--load", stock)
    ran = run("--load", stock, "--json", "how much flour do we have")
    assert ran.status == 1
    assert "before" in ran.err
    assert ran.objects[0]["reply"]["total"] == {"amount": 5, "unit": "lb"}


@pytest.mark.parametrize("name", ["missing.csv", "folder.csv", "picture.png"])
def test_a_file_that_cannot_be_read_is_status_2(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "picture.png").write_bytes(b"\x89PNG")
    ran = run("--load", tmp_path / name, "help")
    assert (ran.status, ran.out) == (2, "")
    assert name in ran.err

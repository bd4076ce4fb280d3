"""The README is kept true: its list of requests is the act table's, its commands are runnable."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from helper.acts.headings import grouped
from helper.app import main
from helper.reading.acts import acts

README = Path(__file__).parent.parent / "README.md"
MARKED = re.compile(r"(<!-- requests -->\n).*?(<!-- /requests -->)", re.S)


def requests_listed() -> str:
    rows = ["| to know or to tell | for example |", "| --- | --- |"]
    for heading, listed in grouped().items():
        rows.append(f"| **{heading}** | |")
        rows += [f"| {act.wants} | {act.example} |" for act in listed]
    return "\n".join(rows) + "\n"


def test_readme_lists_what_can_be_said() -> None:
    text = README.read_text(encoding="utf-8")
    now = MARKED.sub(lambda found: found[1] + requests_listed() + found[2], text)
    if os.environ.get("ACCEPT"):
        README.write_text(now, encoding="utf-8")
    assert MARKED.search(text), "the markers of the list are gone"
    assert now == text or os.environ.get("ACCEPT")


def test_every_act_is_listed_once() -> None:
    listed = [act.name for group in grouped().values() for act in group]
    assert sorted(listed) == sorted(acts())


def test_help_shows_every_example(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["--help"])
    assert end.value.code == 0
    shown = capsys.readouterr().out
    for act in acts().values():
        assert act.example in shown


def test_both_commands_stand_in_the_readme() -> None:
    commands = [line for line in README.read_text().splitlines() if "pip install" in line]
    assert len(commands) == 2
    assert all(one.startswith("python3 -m venv") for one in commands)
    assert "--demo" in commands[0]
    assert commands[1].endswith("pytest")

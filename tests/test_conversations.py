"""Conversations kept as text: said again, they must be answered as they stand there."""

from __future__ import annotations

import datetime as dt
import os
import re
from pathlib import Path

import pytest

from helper.conversation import Conversation
from helper.household.books import Household
from helper.showing.text import plain_text

FOLDER = Path(__file__).parent / "conversations"
FILES = sorted(FOLDER.glob("*.txt"))

# What may differ from run to run, and what stands for it.
SCRUBS = ((re.compile(r"\b\d\d:\d\d(:\d\d)?\b"), "HH:MM"),)


def household(name: str, today: dt.date, folder: Path) -> Household:
    if name == "demo":
        from helper.demo import demo_books

        return demo_books(today)
    assert name == "empty", f"no household is called {name}"
    now = dt.datetime.combine(today, dt.time(12), dt.UTC)
    return Household.open(folder, today=lambda: today, now=lambda: now)


def replayed(text: str, folder: Path) -> str:
    """The conversation with every answer as it is given now."""
    scene = dict(
        line.split(": ", 1) for line in re.findall(r"^\w+: .*$", text.split("\n> ")[0], re.M)
    )
    today = dt.date.fromisoformat(scene["today"])
    talk = Conversation(household(scene["household"], today, folder), today)
    out: list[str] = []
    lines = text.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("> "))
    out += lines[:first]
    at = first
    while at < len(lines):
        line = lines[at]
        at += 1
        if line.startswith("# "):
            out.append(line)
        if not line.startswith("> "):
            continue
        said = [line[2:]]
        out.append(line)
        while at < len(lines) and lines[at].startswith(". "):
            said.append(lines[at][2:])
            out.append(lines[at])
            at += 1
        answer = plain_text(talk.say("\n".join(said)))
        for pattern, stands_for in SCRUBS:
            answer = pattern.sub(stands_for, answer)
        out += [*answer.split("\n"), ""]
    return "\n".join(out).rstrip("\n") + "\n"


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_answered_as_before(path: Path, tmp_path: Path) -> None:
    written = path.read_text(encoding="utf-8")
    now = replayed(written, tmp_path / "household")
    if os.environ.get("ACCEPT"):
        path.write_text(now, encoding="utf-8")
    else:
        assert now == written


def test_there_are_conversations() -> None:
    assert FILES

"""Files of a household garbled, swapped, emptied or replaced: nothing that can be had is lost."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helper.household.books import Household
from helper.household.journal import sealed
from helper.household.troubles import Trouble
from helper.kitchen.people import Person
from tests.fuzz.hostile import STEERING

JOURNAL, TABLES, PREVIOUS = "journal.jsonl", "tables.json", "tables.previous.json"
FILES = (JOURNAL, TABLES, PREVIOUS, "books.lock", "journal.torn", "said.txt", "faults.log")
PEOPLE = ("Ada", "Ben", "Cleo", "Dora")


def nested(depth: int) -> bytes:
    return sealed(b'{"seq":' + b"[" * depth + b"]" * depth + b"}") + b"\n"


# What a failing disk, a sync program, an editor or a prankster leaves in the place of a file.
LEAVINGS: dict[str, Callable[[bytes], bytes]] = {
    "nothing": lambda _: b"",
    "zeros": lambda whole: bytes(len(whole) + 1),
    "noise": lambda _: bytes(range(256)) * 20,
    "lines": lambda _: b"\n" * 50_000,
    "nested": lambda _: nested(20_000),
    "an object": lambda _: b"{}\n",
    "a sealed object": lambda _: sealed(b'{"a":1}') + b"\n",
    "one long line": lambda _: b"x" * 3_000_000,
    "half a letter": lambda _: "\ud83d".encode(errors="surrogatepass") * 50,
    "escapes": lambda _: b"\x1b[2J\x1b]0;title\x07\n" * 20,
    "line ends of another system": lambda whole: whole.replace(b"\n", b"\r\n"),
    "a mark before it": lambda whole: b"\xef\xbb\xbf" + whole,
    "a line before it": lambda whole: b"see you at six\n" + whole,
    "a line after it": lambda whole: whole + b"see you at six\n",
    "twice": lambda whole: whole + whole,
    "the first half": lambda whole: whole[: len(whole) // 2],
    "the last half": lambda whole: whole[len(whole) // 2 :],
}


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A household of four people with every file it may have; the fourth is in the journal only."""
    folder = tmp_path_factory.mktemp("sound") / "house"
    household = Household.open(folder)
    for name in PEOPLE:
        if name == PEOPLE[-1]:
            household.checkpoint()
            household.checkpoint()
        household.change(lambda draft, n=name: draft.add("people", Person(0, n)), act="add")  # type: ignore[misc]
    return folder


@pytest.fixture
def house(sound: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(sound, tmp_path / "house"))


def names(household: Household) -> list[str]:
    return [person.name for person in household.people()]


def add_eve(household: Household) -> str:
    """Somebody more comes; returns why she could not."""
    try:
        household.change(lambda draft: draft.add("people", Person(0, "Eve")), act="add")
    except Trouble as trouble:
        return str(trouble)
    return ""


def still_at_work(folder: Path) -> list[str]:
    """Open, add somebody, open again; returns who was there at first, all told and clean."""
    household = Household.open(folder)
    there = names(household)
    if there != list(PEOPLE):
        assert household.notices
    assert not STEERING.search("".join(household.notices))
    if add_eve(household):
        assert names(Household.open(folder)) == there
        household.mend()
        assert not add_eve(household)
    household.checkpoint()
    again = Household.open(folder)
    assert names(again) == [*there, "Eve"]
    again.undo()
    assert names(again) == there
    return there


@pytest.mark.parametrize("leaving", LEAVINGS)
@pytest.mark.parametrize("file", FILES)
def test_a_file_with_something_else_in_it(house: Path, file: str, leaving: str) -> None:
    path = house / file
    whole = path.read_bytes() if path.exists() else b""
    path.write_bytes(LEAVINGS[leaving](whole))
    there = still_at_work(house)
    if file == JOURNAL and leaving not in ("the first half", "the last half"):
        # The tables knew of all but the last, or the journal still tells of them all.
        assert there in (list(PEOPLE), list(PEOPLE[:-1]))
    elif file != JOURNAL:
        assert there == list(PEOPLE)
        assert Household.open(house).check() == []


def test_nothing_of_a_garbled_journal_is_thrown_away(house: Path) -> None:
    garbled = (house / JOURNAL).read_bytes().replace(b"\n", b"\r\n")
    (house / JOURNAL).write_bytes(garbled)
    still_at_work(house)
    assert garbled in (house / "journal.torn").read_bytes()


@pytest.mark.parametrize("leaving", ["nothing", "zeros", "line ends of another system"])
def test_a_journal_garbled_while_the_books_are_open(house: Path, leaving: str) -> None:
    household = Household.open(house)
    path = house / JOURNAL
    whole = path.read_bytes()
    path.write_bytes(LEAVINGS[leaving](whole))
    household.refresh()
    assert names(household) == list(PEOPLE)
    assert not add_eve(household)
    assert names(Household.open(house)) == [*PEOPLE, "Eve"]
    assert household.notices


@pytest.mark.parametrize("file", FILES)
def test_a_folder_in_the_place_of_a_file(house: Path, file: str) -> None:
    (house / file).unlink(missing_ok=True)
    (house / file).mkdir()
    if file in (JOURNAL, TABLES):
        with pytest.raises(Trouble, match="folder"):
            Household.open(house)
    else:
        assert names(Household.open(house)) == list(PEOPLE)


@pytest.mark.skipif(os.name == "nt", reason="links there need permission")
@pytest.mark.parametrize("file", [JOURNAL, TABLES, "books.lock"])
def test_a_link_that_leads_round_or_nowhere(house: Path, file: str) -> None:
    for target in (house / file, house / "nowhere" / "at all"):
        (house / file).unlink(missing_ok=True)
        (house / file).symlink_to(target)
        with contextlib.suppress(Trouble):
            add_eve(Household.open(house))
    assert not (house / "nowhere").exists()


def test_journal_and_tables_in_each_others_place(house: Path) -> None:
    journal, tables = (house / JOURNAL).read_bytes(), (house / TABLES).read_bytes()
    (house / JOURNAL).write_bytes(tables)
    (house / TABLES).write_bytes(journal)
    assert still_at_work(house) == list(PEOPLE[:-1])  # from the tables before
    assert tables in (house / "journal.torn").read_bytes()


@pytest.mark.parametrize(
    "line",
    [
        b'{"seq":1,"time":"","act":"books","meta":{"schema":"old"}}',
        b'{"seq":1,"time":"","act":"books","meta":null}',
        b'{"seq":1,"time":"","act":"add","changes":[{"table":"people","id":1,"after":{"name":5}}]}',
    ],
    ids=range(3),
)
def test_sealed_nonsense_is_told_and_not_stumbled_over(tmp_path: Path, line: bytes) -> None:
    (tmp_path / JOURNAL).write_bytes(sealed(line) + b"\n")
    told = []
    try:
        household = Household.open(tmp_path)
        told = household.notices
        household.people()
    except Trouble as trouble:
        told.append(str(trouble))
    assert told


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    noise=st.binary(min_size=1, max_size=60),
    at=st.floats(0, 1),
    fate=st.sampled_from(["over", "into", "cut"]),
    file=st.sampled_from([JOURNAL, TABLES, PREVIOUS]),
)
def test_noise_anywhere_in_the_files(
    sound: Path,
    tmp_path_factory: pytest.TempPathFactory,
    noise: bytes,
    at: float,
    fate: str,
    file: str,
) -> None:
    folder = Path(shutil.copytree(sound, tmp_path_factory.mktemp("noise") / "house"))
    whole = (folder / file).read_bytes()
    place = int(at * len(whole))
    rest = {"over": whole[place + len(noise) :], "into": whole[place:], "cut": b""}[fate]
    (folder / file).write_bytes(whole[:place] + (b"" if fate == "cut" else noise) + rest)
    there = still_at_work(folder)
    assert set(there) <= set(PEOPLE)
    if file != JOURNAL:
        assert there == list(PEOPLE)

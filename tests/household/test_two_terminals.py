"""Several programs on one household at once: nothing lost, nothing doubled, nobody locked out."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from helper.household.books import Household
from helper.household.disk import Disk
from helper.household.troubles import BooksBusy
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot

ROOT = Path(__file__).resolve().parents[2]

WORKER = """
import sys
from pathlib import Path
from helper.household.books import Household
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.kitchen.people import Person
folder, name, times = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
household = Household.open(folder)

def prepare(draft):
    draft.add("people", Person(0, f"{name}{number}"))
    jar = draft.lot(1)
    draft.put("stock", Lot(1, jar.food, Amount(jar.left.number - 1), jar.size))

for number in range(times):
    household.change(prepare, act="use")
    if number % 10 == 5:
        household.checkpoint()
household.close()
"""

HOLDER = """
import sys, time
from pathlib import Path
from helper.household.disk import Disk
with Disk().lock(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def program(text: str, *words: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", text, *map(str, words)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )


def ended(worker: subprocess.Popen[str]) -> int:
    """Its exit status, when it is done."""
    with worker:
        return worker.wait(timeout=60)


def jar(household: Household) -> Lot:
    return household.lots()[0]


def test_programs_at_once_lose_and_double_nothing(folder: Path) -> None:
    household = Household.open(folder)
    household.change(lambda d: d.add("stock", Lot(0, "egg", Amount(1000), Amount(1))), act="add")
    workers = [program(WORKER, folder, name, 200) for name in "ABC"]
    assert [ended(worker) for worker in workers] == [0, 0, 0]
    household.refresh()
    assert jar(household).left == Amount(1000 - 600)
    expected = sorted(f"{name}{number}" for name in "ABC" for number in range(200))
    assert sorted(person.name for person in household.people()) == expected
    again = Household.open(folder)
    assert again.people() == household.people()
    assert again.check() == []


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_a_killed_program_leaves_no_lock_and_no_half_change(folder: Path) -> None:
    household = Household.open(folder)
    household.change(lambda d: d.add("stock", Lot(0, "egg", Amount(9999), Amount(1))), act="add")
    for _ in range(3):
        worker = program(WORKER, folder, "K", 5000)
        version = household.version
        while household.version < version + 20:
            household.refresh()
            time.sleep(0.005)
        worker.send_signal(signal.SIGKILL)
        assert ended(worker) == -signal.SIGKILL
        again = Household.open(folder)
        assert 9999 - jar(again).left.number == len(again.people())
        again.change(
            lambda d: d.put("stock", Lot(1, "egg", Amount(jar(d).left.number), Amount(1))),  # type: ignore[arg-type]
            act="count",
        )
        assert again.check() == []


def test_a_program_that_holds_on_is_named_and_its_death_frees_the_books(folder: Path) -> None:
    folder.mkdir()
    lock = folder / "books.lock"
    holder = program(HOLDER, lock)
    assert holder.stdout is not None
    assert holder.stdout.readline() == "held\n"
    with pytest.raises(BooksBusy, match="does not let go"), Disk().lock(lock, patience=0.05):
        pass
    holder.kill()
    ended(holder)
    with Disk().lock(lock, patience=0.05):
        assert lock.exists()

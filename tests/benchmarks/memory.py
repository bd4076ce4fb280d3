"""The most memory a conversation takes over 10,000 recipes and 500 lots."""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from helper.household.books import Household
from tests.benchmarks.houses import DAY, lots, people, recipes
from tests.benchmarks.timing import figure

COUNT = 10_000
LIBRARIES = "import pint, tinydb, rapidfuzz, prompt_toolkit"
ASKED = (
    "what can I make with beans and ham",
    "what do we have",
    "what is missing for the first one",
    "got 2 lb of butter for 7.00",
    "what should we use soon",
)
_TALK = f"""
import datetime as dt, resource, sys
from pathlib import Path
from helper.conversation import Conversation
from helper.household.books import Household
day = dt.date.fromisoformat("{DAY}")
with Household.open(Path(sys.argv[1]), today=lambda: day) as books:
    talk = Conversation(books, day)
    for words in {ASKED!r}:
        talk.say(words)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        household = Path(folder) / "household"
        with Household.open(household) as books:
            fill(books, COUNT)
        peak = int(_run([sys.executable, "-c", _TALK, str(household)])) / 1024
    bare = f"{LIBRARIES}, resource; print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    least = int(_run([sys.executable, "-c", bare])) / 1024
    figure(
        f"peak memory, {COUNT:,} recipes and 500 lots",
        f"{peak:.0f} MB",
        f"150 MB; {LIBRARIES} alone: {least:.0f} MB",
    )


def fill(books: Household, count: int) -> None:
    """Put an invented household into books on the disk, and sum them up."""
    for table, records in (("people", people()), ("stock", lots()), ("recipes", recipes(count))):
        draft = books.draft()
        for record in records:
            draft.add(table, record)
        books.write(draft, act="take-in", summary=f"Took in {table}")
    books.checkpoint()


def _run(command: list[str]) -> str:
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def peak_here() -> float:
    """The most memory this process has taken, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main()

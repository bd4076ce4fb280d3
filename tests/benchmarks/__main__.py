"""Start-up beside named baselines, in one run: `python -m tests.benchmarks`.

Prints the median of several starts, and the ratio to the baseline named. Nothing here is a test:
figures depend on the machine, ratios much less.
"""

from __future__ import annotations

import os
import pty
import select
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
STARTS = 9
PROMPT = b"kitchen:"  # what a terminal gets of it; the space is a move of the cursor
LIBRARIES = "import pint, tinydb, rapidfuzz"
BARE_PROMPT = "from prompt_toolkit import PromptSession; PromptSession('kitchen: ').prompt()"


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "XDG_DATA_HOME": folder, "PYTHONPATH": str(ROOT), "TERM": "xterm"}
        helper = [sys.executable, "-m", "helper"]
        report(
            "one request on the demo household",
            lambda: whole([*helper, "--demo", "what do we have"], env),
            LIBRARIES,
            lambda: whole([sys.executable, "-c", LIBRARIES], env),
        )
        household = str(Path(folder) / "household")
        report(
            "one request on a small household",
            lambda: whole([*helper, "--household", household, "what do we have"], env),
            LIBRARIES,
            lambda: whole([sys.executable, "-c", LIBRARIES], env),
        )
        report(
            "chat prompt ready",
            lambda: until([*helper, "--household", household], PROMPT, env),
            "a bare prompt_toolkit session",
            lambda: until([sys.executable, "-c", BARE_PROMPT], PROMPT, env),
        )


def report(
    name: str, ours: Callable[[], float], baseline: str, theirs: Callable[[], float]
) -> None:
    """Take turns, so that a busy moment of the machine falls on both."""
    ours(), theirs()  # warm the disk and the compiled files
    taken = [(ours(), theirs()) for _ in range(STARTS)]
    own, other = (statistics.median(times) for times in zip(*taken, strict=True))
    print(
        f"{name:36} {own * 1000:6.0f} ms  {own / other:5.2f} x  {baseline} ({other * 1000:.0f} ms)"
    )


def whole(command: list[str], env: dict[str, str]) -> float:
    """Seconds from start to end."""
    start = time.perf_counter()
    subprocess.run(command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - start


def until(command: list[str], shown: bytes, env: dict[str, str]) -> float:
    """Seconds until something is shown on a terminal of its own; the program is ended then."""
    master, slave = pty.openpty()
    start = time.perf_counter()
    child = subprocess.Popen(
        command, env=env, stdin=slave, stdout=slave, stderr=slave, start_new_session=True
    )
    os.close(slave)
    seen = b""
    try:
        while shown not in seen and time.perf_counter() - start < 20:
            if select.select([master], [], [], 0.05)[0]:
                seen += os.read(master, 4096)
                if b"\x1b[6n" in seen:  # asked where the cursor is: a terminal answers
                    os.write(master, b"\x1b[1;1R")
                    seen = seen.replace(b"\x1b[6n", b"")
        return time.perf_counter() - start
    finally:
        child.terminate()
        child.wait()
        os.close(master)


if __name__ == "__main__":
    main()

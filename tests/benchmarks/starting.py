"""One request from the command line, and the chat's prompt, beside the libraries under them."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.timing import in_turns, told

ROOT = Path(__file__).parent.parent.parent
STARTS = 11
PROMPT = b"kitchen:"  # what a terminal gets of it; the space is a move of the cursor
LIBRARIES = "import pint, tinydb, rapidfuzz, prompt_toolkit"
BARE_PROMPT = "from prompt_toolkit import PromptSession; PromptSession('kitchen: ').prompt()"
REQUESTS = ("what can I make with beans and ham", "what do we have")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        env = _environment(folder)
        helper = [sys.executable, "-m", "helper"]
        libraries = [sys.executable, "-c", LIBRARIES]
        for request in REQUESTS:
            beside = in_turns(
                _run([*helper, "--demo", request], env), _run(libraries, env), STARTS, _clocked
            )
            told(f'"{request}"', beside, LIBRARIES, 1.5)
        household = str(Path(folder) / "household")
        prompts = in_turns(
            _until([*helper, "--household", household], env),
            _until([sys.executable, "-c", BARE_PROMPT], env),
            STARTS,
            _clocked,
        )
        told("chat prompt ready", prompts, "a bare prompt_toolkit session", 1.5)


def _environment(folder: str) -> dict[str, str]:
    """Compiled modules as an installed package has them, wherever this is run."""
    env = {
        **os.environ,
        "XDG_DATA_HOME": folder,
        "PYTHONPATH": str(ROOT),
        "PYTHONPYCACHEPREFIX": f"{folder}/compiled",
        "TERM": "xterm",
    }
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    return env


def _clocked(work: Callable[[], object]) -> float:
    seconds = work()
    assert isinstance(seconds, float)
    return seconds


def _run(command: list[str], env: dict[str, str]) -> Callable[[], float]:
    def run() -> float:
        start = time.perf_counter()
        subprocess.run(command, env=env, stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - start

    return run


def _until(command: list[str], env: dict[str, str]) -> Callable[[], float]:
    """Seconds until the prompt shows on a terminal of its own; the program is ended then."""

    def run() -> float:
        master, slave = pty.openpty()
        start = time.perf_counter()
        child = subprocess.Popen(
            command, env=env, stdin=slave, stdout=slave, stderr=slave, start_new_session=True
        )
        os.close(slave)
        seen = b""
        try:
            while PROMPT not in seen and time.perf_counter() - start < 20:
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

    return run


if __name__ == "__main__":
    main()

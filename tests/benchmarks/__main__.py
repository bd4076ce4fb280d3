"""Ratios beside named baselines, in one run: `python -m tests.benchmarks [NAME …]`.

Names are those of the modules here: starting, finding, writing, reading, memory, years, menus.
`--all` adds what takes long. Nothing here is a test: figures depend on the machine, ratios much
less.
"""

from __future__ import annotations

import importlib
import sys

NAMES = ("starting", "finding", "writing", "reading", "memory", "years", "menus")


def main() -> None:
    asked = [name for name in NAMES if name in sys.argv[1:]]
    for name in asked or NAMES:
        print(f"-- {name}", flush=True)
        importlib.import_module(f"tests.benchmarks.{name}").main()


if __name__ == "__main__":
    main()

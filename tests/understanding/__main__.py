"""Prints how well requests are read: `python -m tests.understanding [look|measure] [--show]`.

`--show` lists what was read wrongly; it refuses for the measured part, which is only counted.
"""

from __future__ import annotations

import sys
from collections import Counter

from tests.understanding.scoring import Score, score_dialogues, score_nonsense, score_requests


def report(part: str, show: bool) -> None:
    requests = score_requests(part)
    dialogues = score_dialogues(part)
    nonsense = score_nonsense(part)
    print(f"{part}: {requests.total} requests, {dialogues.total} dialogues")
    print(f"  act right          {requests.share('act'):.1%}")
    print(f"  whole frame right  {requests.share('frame'):.1%}")
    print(f"  asked back         {requests.share('asked'):.1%}")
    print(f"  not understood     {requests.share('lost'):.1%}")
    print(f"  dialogues right    {dialogues.share('frame'):.1%}")
    print(f"  dialogue acts      {dialogues.share('act'):.1%}")
    print(
        f"  nonsense: {nonsense.counts['changed']} changes, {nonsense.counts['acted']} looks "
        f"of {nonsense.total}"
    )
    print(f"  confusions: {_most(requests.confusions)}")
    if show:
        for line in (*requests.wrong, *dialogues.wrong, *nonsense.wrong):
            print("   ", line)


def _most(confusions: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in confusions.most_common(12))


def main(arguments: list[str]) -> None:
    show = "--show" in arguments
    for part in [one for one in arguments if one in ("look", "measure")] or ["look", "measure"]:
        report(part, show and part == "look")


if __name__ == "__main__":
    main(sys.argv[1:])

__all__ = ["Score", "main"]

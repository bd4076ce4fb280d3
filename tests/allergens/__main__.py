"""Prints how safe verdicts are: `python -m tests.allergens [look|measure] [--show]`.

`--show` lists what was answered wrongly; it refuses for the measured part, which is only counted.
"""

from __future__ import annotations

import sys

from tests.allergens.scoring import score


def report(part: str, show: bool) -> None:
    found = score(part)
    print(f"{part}: {sum(found.total.values())} questions")
    print(f"  contained and cleared  {found.missed['contains']} of {found.total['contains']}")
    print(f"  may be in it, caught   {found.caught:.1%} of {found.total['may']}")
    print(f"  safe, false alarms     {found.alarm_rate:.1%} of {found.total['safe']}")
    if show:
        for case in found.wrong:
            print("   ", *case)


def main(arguments: list[str]) -> None:
    show = "--show" in arguments
    for part in [one for one in arguments if one in ("look", "measure")] or ["look", "measure"]:
        report(part, show and part == "look")


main(sys.argv[1:])

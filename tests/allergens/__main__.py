"""Prints how safe verdicts are: `python -m tests.allergens [look|measure] [--aloud] [--show]`.

`--aloud` asks bare foods of the conversation besides; `--show` lists what was answered wrongly,
and refuses for the measured part, which is only counted.
"""

from __future__ import annotations

import sys
from collections import Counter

from tests.allergens.scoring import Score, score, score_aloud


def report(name: str, found: Score, show: bool) -> None:
    """One part's figures, and its failures where they may be seen."""
    missed, may = found.cleared("contains"), found.cleared("may")
    alarms = found.alarms()
    other = [case for case in alarms if not case.kind.startswith("plain")]
    asked = Counter(case.label for case in found.cases if not case.kind.startswith("plain"))
    print(f"{name}: {sum(found.total.values())} questions")
    print(f"  contained and cleared     {len(missed)} of {found.total['contains']}")
    print(f"  may be in it and caught   {found.caught:.1%} of {found.total['may']}")
    print(f"  plain lines, alarms       {found.plain_alarm_rate:.1%} of {len(found.plain)}")
    slips = sum(not good for good in found.plain_typos.values())
    print(f"  plain with a slip, alarms {slips} of {len(found.plain_typos)}")
    print(f"  surely not in it, alarms  {len(other)} of {asked['none_of']}")
    if show:
        for case in (*missed, *may):
            print("    cleared:", *case)
        grouped: dict[tuple[str, str], list[str]] = {}
        for case in alarms:
            grouped.setdefault((case.kind, case.said), []).append(f"{case.avoid} {case.verdict}")
        for (kind, said), verdicts in grouped.items():
            print(f"    alarm: {kind}: {said}: {', '.join(verdicts)}")


def main(arguments: list[str]) -> None:
    """The parts asked for, or both."""
    show = "--show" in arguments
    for part in [one for one in arguments if one in ("look", "measure")] or ["look", "measure"]:
        report(part, score(part), show and part == "look")
        if "--aloud" in arguments:
            report(f"{part}, aloud", score_aloud(part), show and part == "look")


if __name__ == "__main__":
    main(sys.argv[1:])

"""Everything that is worked out from the tables once, made ready to be shipped with the package.

`python -m helper.made FOLDER` is called when a wheel is built, so that nobody who installs the
helper waits for it at the first start. `rules.prepared` says how it is found and when it is stale.
"""

from __future__ import annotations

import sys
from pathlib import Path

from rules.prepared import shipping


def make_all(folder: Path) -> None:
    """Work out the foods, what examples teach, the verdicts on foods and the demo's books."""
    from helper.demo import NOMINAL_DAY, demo_books
    from helper.kitchen.safety import judge
    from helper.reading import continuing, cuts
    from helper.reading.phrasebook import phrasebook

    with shipping(folder):
        phrasebook()
        continuing.scales()
        cuts.scales()
        judge()
        demo_books(NOMINAL_DAY)


if __name__ == "__main__":
    make_all(Path(sys.argv[1]))

"""How well requests are read: act and whole-frame accuracy on the labelled corpus.

Run `python -m tests.understanding`; add `--show` to list what was read wrongly.
"""

from __future__ import annotations

import csv
import datetime as dt
import json
from collections import Counter
from pathlib import Path

from helper.kitchen.foods import Foods
from helper.reading.names import Names
from helper.reading.phrases import phrasebook
from helper.reading.reader import Reader

HERE = Path(__file__).parent
TODAY = dt.date(2026, 11, 25)


def corpus_reader() -> Reader:
    with (HERE / "household/people.csv").open(encoding="utf-8") as file:
        people = [row["name"] for row in csv.DictReader(file)]
    recipes = json.loads((HERE / "household/recipes.json").read_text(encoding="utf-8"))
    recipes = recipes.get("@graph", recipes) if isinstance(recipes, dict) else recipes
    titles = [recipe["name"] for recipe in recipes]
    with (HERE / "household/stock.csv").open(encoding="utf-8") as file:
        shops = {row["shop"] for row in csv.DictReader(file) if row.get("shop")}
    names = Names(Foods(), titles, people, shops, phrasebook().vocabulary)
    return Reader(names, phrasebook())


if __name__ == "__main__":
    import sys
    reader = corpus_reader()
    for name in sys.argv[1:2]:
        acts = Counter()
        total = right = 0
        for line in (HERE / name).read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            reading = reader.read(row["say"], TODAY)
            gold = row["reading"]["act"]
            total += 1
            if reading.act == gold and reading.question is None:
                right += 1
            else:
                acts[f"{gold} -> {reading.act}{'?' if reading.question else ''}"] += 1
                if "--show" in sys.argv:
                    print(f"{gold:13} {str(reading.act):13}{'?' if reading.question else ' '} {reading.likeness:.2f} {reading.margin:.2f} {row['say']}")
        print(name, right, total, round(right / total, 3))
        print(acts.most_common(30))

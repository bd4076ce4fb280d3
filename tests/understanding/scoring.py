"""Scoring readings against the labelled corpus, by the rules of its README."""

from __future__ import annotations

import csv
import datetime as dt
import json
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from helper.kitchen.foods import Foods
from helper.reading.acts import acts
from helper.reading.context import Context
from helper.reading.frame import frame
from helper.reading.names import Names
from helper.reading.parts import parts
from helper.reading.phrasebook import phrasebook
from helper.reading.reader import Reader
from helper.reading.reading import Reading
from tests.understanding.talking import conversation, readings

HERE = Path(__file__).parent
TODAY = dt.date(2026, 11, 25)
SETS = ("foods", "without", "people", "diets", "recipes")


class Score:
    def __init__(self) -> None:
        self.total = 0
        self.counts: Counter[str] = Counter()
        self.confusions: Counter[str] = Counter()
        self.wrong: list[str] = []

    def share(self, name: str) -> float:
        return self.counts[name] / (self.total or 1)


@cache
def corpus_reader() -> Reader:
    with (HERE / "household/people.csv").open(encoding="utf-8") as file:
        people = [row["name"] for row in csv.DictReader(file)]
    with (HERE / "household/stock.csv").open(encoding="utf-8") as file:
        stock = list(csv.DictReader(file))
    foods = Foods()
    shops = {row["shop"] for row in stock if row.get("shop")}
    return Reader(
        Names(foods, yields(), people, shops, phrasebook().vocabulary, phrasebook().strange),
        phrasebook(),
    )


@cache
def yields() -> dict[str, float]:
    document = json.loads((HERE / "household/recipes.json").read_text(encoding="utf-8"))
    recipes = document.get("@graph", document) if isinstance(document, dict) else document
    found: dict[str, float] = {}
    for recipe in recipes:
        digits = "".join(
            c if c.isdigit() else " " for c in str(recipe.get("recipeYield", ""))
        ).split()
        found[recipe["name"]] = float(digits[0]) if digits else 0.0
    return found


def rows(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (HERE / name).read_text(encoding="utf-8").splitlines()]


def shown(reading: Reading) -> dict[str, Any]:
    """The frame, with "double" worked out from the recipe's own servings."""
    if reading.scale and reading.recipes and not reading.servings:
        made = yields().get(reading.recipes[0])
        if made:
            reading = replace(reading, servings=made * reading.scale)
    return frame(reading)


def differences(row: dict[str, Any], got: dict[str, Any], gold: dict[str, Any]) -> list[str]:
    ignore = set(row.get("ignore", ()))
    optional = row.get("optional", ())
    wrong = []
    if gold["act"] in ("why", "undo", "help"):
        return wrong
    foods_may = set(row.get("may_foods", ()))
    for name, value in got.items():
        if name == "act" or name in ignore:
            continue
        want = gold.get(name)
        if name == "amounts":
            if _amounts(value) != _amounts(want or []):
                wrong.append(f"amounts {_amounts(value)} for {_amounts(want or [])}")
            continue
        if name in SETS:
            value, want = set(value), set(want or ())
            if name == "foods":
                value, want = value - foods_may, want - foods_may
        elif name == "money" and value and want:
            value, want = float(value["amount"]), float(want["amount"])
        empty = not value and value != 0
        if empty and (not want or name in optional):
            continue
        if isinstance(optional, dict) and name in optional and value == optional[name]:
            continue
        if not want and name in optional:
            continue
        if value != want:
            wrong.append(f"{name} {value!r} for {want!r}")
    return wrong


def _amounts(amounts: list[dict[str, Any]]) -> list[tuple[float, str | None, str | None]]:
    out = []
    for one in amounts:
        number, unit = float(one["amount"]), one.get("unit")
        if unit == "dozen":
            number, unit = number * 12, None
        if unit == "piece":
            unit = None
        out.append((round(number, 3), unit, one.get("food")))
    return sorted(out, key=str)


def _judge(score: Score, row: dict[str, Any], readings: list[Reading], said: str) -> bool:
    gold = row["reading"]
    reading = readings[0]
    asked = reading.question is not None
    fine = {gold["act"], *row.get("or_act", ())}
    act_right = reading.act in fine and not asked
    wrong = (
        differences(row, shown(reading), gold) if act_right and reading.act == gold["act"] else []
    )
    also = row.get("also", ())
    if act_right and also:
        got = [r.act for r in readings[1:]]
        if got != [one["act"] for one in also]:
            wrong.append(f"also {got} for {[one['act'] for one in also]}")
        else:
            for more, want in zip(readings[1:], also, strict=True):
                wrong += differences(
                    {**row, "optional": row.get("optional", ())}, shown(more), want
                )
    elif act_right and len(readings) > 1:
        wrong.append(f"also {[r.act for r in readings[1:]]} for nothing")
    score.counts["act"] += act_right
    score.counts["asked"] += asked
    score.counts["lost"] += reading.act is None
    right = act_right and not wrong
    score.counts["frame"] += right
    if not act_right:
        score.confusions[f"{gold['act']}>{'ask ' if asked else ''}{reading.act}"] += 1
        score.wrong.append(
            f"ACT {gold['act']} -> {'ask:' if asked else ''}{reading.act} "
            f"{reading.likeness:.2f}/{reading.margin:.2f} | {said}"
        )
    elif wrong:
        score.wrong.append(f"{gold['act']}: {'; '.join(wrong)} | {said}")
    return right


def score_requests(part: str) -> Score:
    score = Score()
    for row in rows(f"requests_{part}.jsonl"):
        score.total += 1
        readings = parts(row["say"], corpus_reader(), TODAY, Context())
        _judge(score, row, readings, row["say"])
    return score


def score_dialogues(part: str) -> Score:
    score = Score()
    for dialogue in rows(f"dialogues_{part}.jsonl"):
        score.total += 1
        inner = Score()
        talk = conversation(TODAY)
        right = True
        trail: list[str] = []
        for turn in dialogue["turns"]:
            trail.append(turn["say"])
            read = readings(talk, turn["say"])
            right = _judge(inner, turn, read, " / ".join(trail)) and right
        score.counts["frame"] += right
        score.counts["act"] += inner.counts["act"] == len(dialogue["turns"])
        score.wrong += [f"DIALOGUE {line}" for line in inner.wrong]
    return score


def score_nonsense(part: str) -> Score:
    score = Score()
    for row in rows("nonsense.jsonl"):
        if row["part"] != part:
            continue
        score.total += 1
        for reading in parts(row["say"], corpus_reader(), TODAY, Context()):
            if reading.act is None or reading.question is not None:
                continue
            changes = acts()[reading.act].changes
            score.counts["changed" if changes else "acted"] += 1
            mark = "CHANGE" if changes else "look"
            score.wrong.append(
                f"NONSENSE {mark} {reading.act} {reading.likeness:.2f} | {row['say']}"
            )
    return score

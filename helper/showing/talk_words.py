"""The few words that the chat itself understands, before any request is read."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path


@cache
def _phrases() -> dict[str, str]:
    with (Path(__file__).parent / "chat_words.csv").open(encoding="utf-8", newline="") as file:
        return {
            phrase: row["meaning"]
            for row in csv.DictReader(file)
            for phrase in row["words"].split(";")
        }


def means(meaning: str, said: str) -> bool:
    """Whether all that was said is one of the phrases for a meaning ("leave", "skip")."""
    bare = " ".join(said.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())
    return _phrases().get(bare.strip(" .!")) == meaning

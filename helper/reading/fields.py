"""Filling the fields of a Reading from what was found in the words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from helper.kitchen.foods import Foods
from helper.kitchen.quantities import Measured
from helper.kitchen.words import Word
from helper.reading.acts import Act
from helper.reading.reading import Evidence, Said
from helper.reading.spans import Span
from helper.reading.vocabulary import phrase_from


def fill(act: Act, found: Sequence[Word], spans: Sequence[Span], foods: Foods) -> dict[str, Any]:
    """The fields that this act takes, out of the spans. Nothing unsaid is put in."""
    spans = _meant(act, spans)
    fields: dict[str, Any] = {}
    fields["recipes"] = _recipes(spans)
    fields["amounts"], bare = _amounts(found, spans, foods)
    fields["foods"] = _foods(spans, bare, foods)
    fields["without"] = _unique(s.value for s in spans if s.kind == "without")
    fields["people"] = _unique(s.value for s in spans if s.kind == "person")
    fields["diets"] = _unique(id_ for s in spans if s.kind == "diet" for id_ in s.value)
    money = [s for s in spans if s.kind in ("money", "price?")]
    if money:
        fields["money"], fields["per"] = money[-1].value
    for kind, name in (
        ("servings", "servings"),
        ("days", "days"),
        ("place", "place"),
        ("minutes", "minutes"),
        ("shop", "shop"),
        ("scale", "scale"),
        ("ordinal", "pick"),
    ):
        value = next((s.value for s in spans if s.kind == kind), None)
        if value is not None:
            fields[name] = int(value) if name == "pick" else value
    fields.update(_dates(found, spans))
    fields.update(_marks(found, spans))
    if "without" not in act.takes and fields["without"]:
        fields["foods"] = _unique((*fields["foods"], *fields["without"]))
        fields["without"] = ()
    keep = act.takes | {"per", "shop", "scale", "pick", "until", "fate", "marks"}
    return {name: value for name, value in fields.items() if name in keep and value}


def _unique(values: Any) -> tuple[Any, ...]:
    return tuple(dict.fromkeys(values))


def _meant(act: Act, spans: Sequence[Span]) -> list[Span]:
    """Words that name both a dish and foods, settled the way the act prefers."""
    out: list[Span] = []
    for span in spans:
        if span.rivals and act.prefers == "food":
            out.extend(span.rivals)
        else:
            out.append(span)
    return out


def _recipes(spans: Sequence[Span]) -> tuple[str, ...]:
    return _unique(s.value[0] for s in spans if s.kind == "recipe")


def _foods(spans: Sequence[Span], packed: dict[int, str], foods: Foods) -> tuple[str, ...]:
    return _unique(packed.get(s.start, s.value) for s in spans if s.kind == "food")


def _amounts(
    found: Sequence[Word], spans: Sequence[Span], foods: Foods
) -> tuple[tuple[Said, ...], dict[int, str]]:
    """Amounts tied to the foods they are said of, with the prices behind them.

    Also returns which food spans the package makes another food of ("4 tins of tomatoes").
    """
    said: list[Said] = []
    packed: dict[int, str] = {}
    used: set[int] = set()
    for i, span in enumerate(spans):
        if span.kind != "amount":
            continue
        measured: Measured = span.value
        food = _food_beside(found, spans, i, used)
        name = None
        if food is not None:
            used.add(food.start)
            name = food.value
            if measured.amount.unit == "can" and (canned := foods.in_form(name, "canned")):
                packed[food.start] = name = canned
        elif measured.amount.unit is None and not _stands_alone(found, span):
            continue
        price, each = _price_after(spans, i)
        said.append(Said(measured.amount, name, measured.size, None, price, each))
    return tuple(said), packed


def _stands_alone(found: Sequence[Word], span: Span) -> bool:
    """A bare number at the end of a sentence may count what was just talked about."""
    return span.end >= len(found) or not found[span.end].is_name


def _food_beside(
    found: Sequence[Word], spans: Sequence[Span], i: int, used: set[int]
) -> Span | None:
    """The food an amount is said of: the next one, or else the one just before."""
    after = spans[i + 1] if i + 1 < len(spans) else None
    if after is not None and after.kind == "recipe" and after.rivals:
        after = after.rivals[0]
    if after is not None and after.kind in ("food", "without") and after.start not in used:
        between = [w.text for w in found[spans[i].end : after.start]]
        if len(between) <= 3 and not {",", "and", "at", "in"} & set(between):
            return after
    before = spans[i - 1] if i else None
    if before is not None and before.kind == "food" and before.start not in used:
        return before
    if after is not None and after.kind == "food" and after.start not in used:
        return after
    return None


def _price_after(spans: Sequence[Span], i: int) -> tuple[Decimal | None, bool]:
    for span in spans[i + 1 :]:
        if span.kind in ("money", "price?"):
            return span.value[0], span.value[1] == "each"
        if span.kind == "amount":
            return None, False
    return None, False


def _dates(found: Sequence[Word], spans: Sequence[Span]) -> dict[str, dt.date]:
    """A day spoken of, told apart from a best-by day by the word that announces it."""
    fields: dict[str, dt.date] = {}
    for span in spans:
        if span.kind != "date":
            continue
        announced = any(
            (hit := phrase_from(found, at, "announce")) is not None and hit[1] >= span.start - 1
            for at in range(max(0, span.start - 4), span.start)
        )
        fields.setdefault("until" if announced else "date", span.value)
    if "until" in fields and "date" not in fields:
        fields["date"] = fields["until"]
    return fields


def _marks(found: Sequence[Word], spans: Sequence[Span]) -> dict[str, Any]:
    """What became of a food, and other small words that change what is meant."""
    fields: dict[str, Any] = {}
    marks: list[str] = []
    taken = {i for s in spans if s.kind in ("food", "recipe") for i in range(s.start, s.end)}
    for at in range(len(found)):
        if at in taken:
            continue
        for fate in ("thrown", "given", "eaten"):
            if phrase_from(found, at, fate) is not None and "fate" not in fields:
                fields["fate"] = fate
        for mark in ("last", "half_left", "opened", "liked", "disliked", "everyone", "correction"):
            if phrase_from(found, at, mark) is not None and mark not in marks:
                marks.append(mark)
    fields["marks"] = tuple(marks)
    return fields


def evidence_of(
    found: Sequence[Word],
    changed: dict[int, str],
    spans: Sequence[Span],
    said: str,
    plain_text: str,
) -> tuple[Evidence, ...]:
    """Which words made which part, for "why"; respelt words are marked."""
    out = []
    for span in spans:
        typed = " ".join(changed.get(i, found[i].text) for i in range(span.start, span.end))
        certain = not any(i in changed for i in range(span.start, span.end))
        out.append(Evidence(typed, span.kind.rstrip("?"), _meaning(span), certain))
    return tuple(out)


def _meaning(span: Span) -> str:
    value = span.value
    if isinstance(value, Measured):
        return str(value.amount)
    if isinstance(value, tuple):
        return ", ".join(str(part) for part in value if part is not None)
    return str(value)

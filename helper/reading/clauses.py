"""What is said of somebody, cut into clauses: "allergic to eggs | and doesn't like fish".

Every word of a clause must be accounted for; what is not stands in `unread`, so that nothing is
noted of a sentence that was not understood.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from helper.kitchen.words import Word
from helper.reading.persons import Telling, told_by
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

AGAIN = "again"
_NAMED = ("food", "without", "diet")
_WHEN = ("date", "days", "pronoun", "person")
_MANY = ("servings", "scale", "amount")
_KINDS = ("eats_all", "minds", "without", "avoiding", "fond", "same_as", "of_all", "of_one",
          "of_last", "tell_glue", "joint", "polite")  # fmt: skip
_NEGATIVE = ("minds", "without", "avoiding")


class Clause(msgspec.Struct, frozen=True):
    """Words `start` to before `end`, and what they do: foods named are kept away from where

    `minds`; `tells` are the things told by phrases (severity, portion, away …); `unread` words
    nothing is made of; `unsure` where it cannot be told whether the foods are avoided; `personal`
    where it is said as of people alone: "can't have milk", where "have no milk" tells of a shelf.
    """

    start: int
    end: int
    spans: tuple[Span, ...] = ()
    minds: bool = False
    tells: tuple[str, ...] = ()
    same: bool = False
    eats_all: bool = False
    unread: tuple[str, ...] = ()
    unsure: bool = False
    personal: bool = True

    @property
    def names(self) -> bool:
        """Whether it names anything to eat, or a diet."""
        return bool(self.spans)

    @property
    def empty(self) -> bool:
        """Whether nothing is said in it."""
        return not (self.spans or self.tells or self.same or self.eats_all or self.minds)


class _Item(msgspec.Struct, frozen=True):
    start: int
    end: int
    kind: str
    span: Span | None = None


def clauses(
    found: Sequence[Word],
    start: int,
    end: int,
    spans: Sequence[Span],
    telling: Telling,
    bare: bool = False,
) -> list[Clause]:
    """The clauses of some words; `bare` where foods alone are what is kept away from."""
    items = _items(found, start, end, spans, telling)
    cuts = [0]
    cuts += [at for at in range(1, len(items)) if _begins(items, at, found)]
    parts = [items[a:b] for a, b in zip(cuts, [*cuts[1:], len(items)], strict=True)]
    made = [_clause(part, found, bare) for part in parts if part]
    return [one for one in made if not one.empty or one.unread or one.unsure]


def _items(
    found: Sequence[Word], start: int, end: int, spans: Sequence[Span], telling: Telling
) -> list[_Item]:
    """The words as spans, phrases, signs, and words nothing is made of."""
    starts = {span.start: span for span in spans if span.end <= end}
    items = []
    at = start
    while at < end:
        best = _Item(at, at + 1, "sign" if not found[at].text[0].isalnum() else "unread")
        for kind in _KINDS:
            hit = phrase_from(found, at, kind)
            if hit is not None and hit[1] <= end and _longer(hit[1], best):
                best = _Item(at, hit[1], kind)
        told, after = told_by(found, at, telling)
        if told and after <= end and (after > best.end or best.kind not in _NEGATIVE):
            best = _Item(at, after, f"tell:{told}")
        span = starts.get(at)
        if span is not None and span.kind in (*_NAMED, *_WHEN, *_MANY):
            if span.end >= best.end and not (span.kind in _MANY and best.kind[:5] == "tell:"):
                best = _Item(at, span.end, span.kind, span)
        inside = [one for one in starts if at < one < best.end and starts[one].kind in _NAMED]
        if inside and best.span is None:  # "is | allergic to eggs": the phrase is a name's too
            best = _Item(at, min(inside), best.kind)
        items.append(best)
        at = best.end
    return items


def _longer(after: int, best: _Item) -> bool:
    return best.kind in ("unread", "sign") or after > best.end


def _begins(items: Sequence[_Item], at: int, found: Sequence[Word]) -> bool:
    """Whether a clause of its own begins here: behind a comma or "and", with something to say."""
    if items[at - 1].kind not in ("sign", "joint") and found[items[at - 1].start].text != "but":
        return False
    for item in items[at:]:
        if item.kind in ("tell_glue", "of_all", "of_one", "of_last", "joint", "sign", "polite"):
            continue
        if item.kind == "diet":
            return not _is_noun(found, item)
        return item.kind in ("minds", "without", "fond", "eats_all", "same_as") or (
            item.kind.startswith("tell:")
        )
    return False


def _is_noun(found: Sequence[Word], item: _Item) -> bool:
    """ "Gluten" in "nuts and gluten" goes on with the list."""
    words = [word for word in found[item.start : item.end] if word.is_name]
    return len(words) == 1 and (words[0].key,) in meanings("diet_word")


def _clause(items: Sequence[_Item], found: Sequence[Word], bare: bool) -> Clause:
    spans = tuple(item.span for item in items if item.span is not None)
    named = tuple(span for span in spans if span.kind in _NAMED)
    tells = tuple(dict.fromkeys(i.kind[5:] for i in items if i.kind.startswith("tell:")))
    kinds = {item.kind for item in items}
    foods = any(span.kind == "food" for span in named)
    minds = bool(kinds & {*_NEGATIVE, "diet"}) or "severity" in tells
    fond = "fond" in kinds and not minds
    unread = [found[item.start].text for item in items if item.kind == "unread"]
    counted = [item for item in items if item.kind in _MANY]
    if counted and "portion" not in tells:
        unread += [found[item.start].text for item in counted]
    unread += [found[item.start].text for item in items if _denied(item, items, found, tells)]
    plain = bare and foods and not fond
    again = AGAIN in tells
    return Clause(
        items[0].start,
        items[-1].end,
        () if fond and not again else named,
        (minds or plain or again) and bool(named),
        tells,
        "same_as" in kinds and not named,
        "eats_all" in kinds,
        tuple(unread),
        (foods and not (minds or fond or plain or again))
        or (bool(kinds & {*_NEGATIVE}) and not (named or tells or kinds & {"eats_all", "same_as"})),
        bool(tells) or "eats_all" in kinds or any(_is_personal(item, found) for item in items),
    )


def _is_personal(item: _Item, found: Sequence[Word]) -> bool:
    for at in range(item.start, item.end):
        hit = phrase_from(found, at, "minds")
        if hit is not None and hit[0] == "person":
            return True
    return item.kind == "diet" and not _is_noun(found, item)


def _denied(
    item: _Item, items: Sequence[_Item], found: Sequence[Word], tells: Sequence[str]
) -> bool:
    """ "Not vegan", "isn't allergic": a denial of what is minded says nothing to be noted."""
    if AGAIN in tells:
        return False
    if item.kind in ("diet", "without"):
        first = phrase_from(found, item.start, "denies")
        if first is not None and first[1] < item.end:
            return not any(phrase_from(found, item.start, kind) for kind in ("minds",))
    behind = [one for one in items if one.start == item.end]
    denied = phrase_from(found, item.start, "denies")
    return (
        denied is not None
        and denied[1] == item.end
        and any(one.kind in ("diet", "tell:severity") for one in behind)
    )

"""One of several: the second of a list, the pea one, the red beans that were offered."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from helper.kitchen.words import Word, key, words
from helper.reading.context import Context
from helper.reading.heard import Heard, is_small
from helper.reading.names import Names
from helper.reading.spans import Span
from helper.reading.vocabulary import phrase_from

_ONE = 6  # words up to the "one" of "the sausage and cabbage one"


def picked_from(context: Context, pick: int) -> str | None:
    """The thing an ordinal means in the list last shown."""
    base = context.open
    listed = base.recipes if base is not None and len(base.recipes) > 1 else context.offered
    if pick == -1:
        return listed[-1] if listed else None
    return listed[pick - 1] if 0 < pick <= len(listed) else None


def is_title(name: str, names: Names) -> bool:
    """True where something offered is a recipe of the house."""
    return any(
        span.whole and name in span.value for span in names.titles.spot(words(" ".join(key(name))))
    )


def listed_dishes(
    spans: Sequence[Span], found: Sequence[Word], context: Context, names: Names
) -> list[Span]:
    """The spans, foods that call up one dish of the list just shown as that dish too.

    "Show me the red beans" means the red beans and rice that was offered.
    """
    listed = _listed(context)
    ones = _named_ones(found, listed, names)
    out: list[Span] = []
    for span in spans:
        if any(one.start <= span.start < one.end for one in ones):
            continue
        if _isthe_one(span, out, found):
            continue
        said = {word.key for word in found[span.start : span.end]}
        hits = [one for one in dict.fromkeys(listed) if said <= set(key(one))]
        after_the = span.start > 0 and found[span.start - 1].text == "the"
        if span.start > 1 and found[span.start - 2].text == "with":
            after_the = False  # "with the ham" is a wish, and names no dish
        if span.kind != "food" or not after_the or len(hits) != 1 or not is_title(hits[0], names):
            out.append(span)
        else:
            out.append(replace(span, kind="recipe", value=(hits[0],), rivals=(span,)))
    return sorted((*out, *ones), key=lambda span: span.start)


def _listed(context: Context) -> tuple[str, ...]:
    return (*context.recipes, *(context.offered if context.fresh else ()))


def _named_ones(found: Sequence[Word], listed: Sequence[str], names: Names) -> list[Span]:
    """ "The sausage and cabbage one": the only one of those spoken of with these words in it."""
    out: list[Span] = []
    for at, word in enumerate(found):
        if word.text != "the" or (out and at < out[-1].end):
            continue
        end = next((i for i in range(at + 2, min(at + _ONE, len(found))) if _is_one(found, i)), 0)
        said = {word.key for word in found[at + 1 : end] if not is_small(word, "small")}
        hits = [one for one in dict.fromkeys(listed) if said and said <= set(key(one))]
        if end and len(hits) == 1 and is_title(hits[0], names):
            out.append(Span("recipe", at, end + 1, (hits[0],), whole=True))
    return out


def _is_one(found: Sequence[Word], at: int) -> bool:
    return found[at].text in ("one", "ones")


def _isthe_one(span: Span, before: Sequence[Span], found: Sequence[Word]) -> bool:
    """ "The pea one" counts nothing."""
    if span.kind != "amount" or span.length != 1 or found[span.start].text != "one":
        return False
    named = next((one for one in before if one.end == span.start), None)
    if named is not None and named.kind == "diet":
        return True
    if named is None or named.kind not in ("food", "recipe"):
        return False
    return named.start > 0 and found[named.start - 1].text in ("the", "that", "this")


def the_one(heard: Heard, context: Context, names: Names) -> str | None:
    """ "the pea one": the dish of those shown or asked about that has the word in its title."""
    ones = [at for at in range(len(heard.found)) if phrase_from(heard.found, at, "one")]
    last = max((span.end for span in heard.spans), default=0)
    if not ones or ones[-1] < last - 1 or ones[-1] == 0:
        return None
    rest = {word.key for word in heard.left(kinds=("food", "recipe"))}
    if not rest or len(rest) > 3:
        return None
    base = context.open
    asked = context.asking.question if context.asking is not None else None
    listed = [*(asked.choices if asked else ()), *context.offered, *(base.recipes if base else ())]
    fits = [one for one in dict.fromkeys(listed) if rest <= set(key(one))]
    if len(fits) == 1:
        return fits[0]
    if base is None or (len(base.foods) != 1 and not base.recipes):
        return None
    if base.recipes:
        return names.titles.like(base.recipes[0], rest)
    said = " ".join([word.key for word in heard.left(kinds=("food", "recipe"))] + [base.foods[0]])
    found = [one for span in names.titles.spot(words(said)) for one in span.value]
    fits = [one for one in dict.fromkeys(found) if rest <= set(key(one))]
    return fits[0] if len(fits) == 1 else None

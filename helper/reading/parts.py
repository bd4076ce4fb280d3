"""Several things in one request: "used the last of the butter and add 2 lb to the list".

Where a further request may begin is learnt (`helper.reading.cuts`); a line is cut there if both
sides are clear requests of their own. Lists of foods are full of "and", and many people tell why
they ask before they do.
"""

from __future__ import annotations

import datetime as dt
import math

from msgspec.structs import replace

from helper.kitchen.words import key, plain, words
from helper.reading.acts import acts
from helper.reading.changes import SAFE, SHOW, SWAP
from helper.reading.context import Context
from helper.reading.cuts import Cut, cuts, told_together
from helper.reading.follow import UNDO
from helper.reading.heard import Heard
from helper.reading.of_the_last import COOKED, settled
from helper.reading.pasted import KEEP
from helper.reading.reader import Reader, after_dropping
from helper.reading.reading import Reading
from helper.reading.skeleton import skeleton
from helper.reading.vocabulary import holds_phrase

_EATEN = "eaten"
LONGEST = 400  # characters: what is longer is pasted
CLEAR = 0.5  # likeness that each part needs
LIKELY = 0.06  # a place that leans less is not looked at
TRIED = 2  # places that are tried
PERSON, USED, COUNTED, HELP, LIST = "set-person", "use-stock", "recount", "help", "shopping"
_FOR_SOMEBODY = (SAFE, "find-meals", SWAP)
# How the lean of a place, what is clearer of the parts than of the whole, and how often the two
# acts are told together are summed up: fitted once to the requests of the part that is looked at.
_AT_FIRST, _LEAN, _MARGIN, _LIKENESS, _TOGETHER = -3.25, 0.95, 6.4, 6.45, 0.89
_ALIKE = 0.2  # how likely a place is where both parts ask for the same act
_GRAVE = 3.5  # what an allergy of somebody weighs: it must not be passed over
_GOES_ON = (0.9, 0.15)  # what counts as likeness and margin of what goes on by rule


def parts(said: str, reader: Reader, today: dt.date, context: Context) -> list[Reading]:
    """The readings of one request: mostly one, two or three where it holds as many."""
    said = after_dropping(said)
    whole = reader.read(said, today, context)
    if len(said) > LONGEST:
        return [whole]
    if context.asking is not None:
        context = replace(context, asking=None)
        if reader.read(said, today, context) != whole:
            return [whole]  # it answers what was asked
    # what follows the colon belongs to the recipe, here and where only the part before is one
    if whole.act == KEEP and ":" in said:
        return [whole]
    found, spans = reader.named(said, today)
    text = said if len(plain(said)) == len(said) else plain(said)  # which the words point into
    for cut in cuts(found, spans)[:TRIED]:
        if cut.leaning < LIKELY:
            break
        left, right = text[: found[cut.end - 1].end], text[found[cut.at].start :]
        first = reader.read(left, today, context)
        if (then := _settled(left, reader, today, context)) is not None:
            return parts(right, reader, today, then)
        if first.act is None or first.question is not None or _clear(first)[0] < CLEAR:
            continue
        if first.act == KEEP and ":" in left:
            return [replace(first, said=said)]
        then = _after(first, context)
        second = reader.read(right, today, then)
        if (joined := _who_comes(first, second) or _for_want_of(left, first, second)) is not None:
            return [joined]
        apart = first.act != second.act or (
            first.foods != second.foods and _on_and_off(first, left, right)
        )
        if second.act == UNDO and not _says(right, "taking_back"):
            continue
        if (apart or _eaten_or_not(first, second)) and _are_two(cut, whole, first, second):
            if _is_planned(left, first, second, reader):
                return [second]
            return [*parts(left, reader, today, context), *parts(right, reader, today, then)]
    return [whole]


def _settled(left: str, reader: Reader, today: dt.date, context: Context) -> Context | None:
    """ "Salmon patties it is, then": what is spoken of where the request behind it begins."""
    found, spans = reader.named(left, today)
    heard = Heard(left, found, spans, skeleton(found, spans), today)
    return settled(heard, context, reader.names)


def _is_planned(left: str, first: Reading, second: Reading, reader: Reader) -> bool:
    """ "Cook the chili tonight. What am I short": an order tells of nothing that was made."""
    asked = second.act is not None and not acts()[second.act].changes
    same = bool(first.recipes) and first.recipes == second.recipes
    return first.act == COOKED and asked and same and reader.begins(left, "to_cook")


def _after(first: Reading, context: Context) -> Context:
    """What has been spoken of when the second request begins."""
    return Context(
        last=first,
        recipes=first.recipes or context.recipes,
        foods=first.foods or context.foods,
        people=first.people or context.people,
        offered=context.offered,
        changed=first.act is not None and acts()[first.act].changes,
    )


def _are_two(cut: Cut, whole: Reading, first: Reading, second: Reading) -> bool:
    """True where the parts say more, and more clearly, than the whole does."""
    likeness, margin = _clear(second)
    if second.act in (None, HELP) or likeness < CLEAR or _is_the_rest(first, second):
        return False
    if second.act == SHOW and not second.likeness and not (second.servings or second.scale):
        return False  # "is it safe for Ada though, the corn bread"
    if second.act == KEEP and ":" not in second.said:
        return False  # "write that down" is said of what stands before it
    if first.act == second.act:
        return cut.leaning > _ALIKE  # the whole is as clear, whatever it leaves out
    lean = max(0.0, math.log(cut.leaning / (1 - cut.leaning)))
    (before, clear), (sure, apart) = _clear(first), _clear(whole)
    margin += clear - 2 * apart
    likeness += before - 2 * sure
    together = math.log1p(told_together(first.act or "", second.act))
    clearer = _MARGIN * margin + _LIKENESS * likeness
    grave = first.act == PERSON and bool(first.people) and _says(first.said, "allergy_word")
    return _AT_FIRST + _LEAN * lean + clearer + _TOGETHER * together + _GRAVE * grave > 0


def _clear(reading: Reading) -> tuple[float, float]:
    """Likeness and margin, also of what goes on from the request before by rule and has none."""
    by_rule = reading.act is not None and not reading.likeness
    return _GOES_ON if by_rule else (reading.likeness, reading.margin)


def _on_and_off(first: Reading, left: str, right: str) -> bool:
    """ "Take coffee off the list, and add tea"."""
    return first.act == LIST and _says(left, "off_list") != _says(right, "off_list")


def _eaten_or_not(first: Reading, second: Reading) -> bool:
    """ "We ate the apples, and I threw out two carrots": one is no waste."""
    if not first.act == second.act == USED or not (first.foods and second.foods):
        return False
    fates = {first.fate or _EATEN, second.fate or _EATEN}
    return len(fates) > 1 and not set(first.foods) & set(second.foods)


def _says(said: str, kind: str) -> bool:
    return holds_phrase(words(said), kind)


def _for_want_of(left: str, first: Reading, second: Reading) -> Reading | None:
    """ "There's no milk in the house. What else would do": why a swap is asked for."""
    told = first.act is not None and acts()[first.act].changes and not first.amounts
    if second.act != SWAP or not told or not (first.foods or first.without):
        return None
    if not _says(left, "lack"):
        return None
    foods = dict.fromkeys((*first.foods, *first.without, *second.foods))
    return replace(second, foods=tuple(foods), evidence=(*first.evidence, *second.evidence))


def _is_the_rest(first: Reading, second: Reading) -> bool:
    """ "Used a pound, so we're down to one": the books know what is left by themselves."""
    return first.act == USED and second.act == COUNTED and set(second.foods) <= set(first.foods)


def _who_comes(first: Reading, second: Reading) -> Reading | None:
    """ "Does it have fish in it? Bertil is coming": asked for Bertil's sake."""
    here, asked = (first, second) if first.act == PERSON else (second, first)
    if here.act != PERSON or here.diets or here.without or not here.people:
        return None
    if asked.act not in _FOR_SOMEBODY or set(asked.people) - set(here.people):
        return None
    if here is first and key(here.said)[-1:] == key(here.people[-1])[-1:]:
        return None  # "note that Bertil | is allergic": nothing is told of him yet
    evidence = (*first.evidence, *second.evidence)
    return replace(asked, people=here.people, evidence=evidence)

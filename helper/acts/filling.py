"""Answers to open questions: what was missing is filled in, and the request stands as if it had
been said whole. "How big is one jar of it?" "8 oz."

An answer must be nothing but what was asked for; anything longer is a request of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from helper.acts.said import meant
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.quantities import read_amount
from helper.kitchen.units import units
from helper.kitchen.words import Word, words
from helper.reading.reading import Reading, Said
from helper.reading.sums import spot_money
from helper.reading.vocabulary import meanings

WORDS = "answer_words"
# A mark on readings whose package size was told in answer to a question: it is worth keeping.
TOLD = "told"
# Words that may stand around a figure and say nothing: "it was about 8 oz".
_EMPTY = ("small", "filler", "polite", "linking", "pronoun", "each")
_LONGEST = 12


def filled(asking: Reading, said: str, foods: Foods) -> Reading | None:
    """The request that waits for an answer, with the answer in it; None where it is none.

    `asking` is the reading with its question. A choice picked from a list is the reader's task.
    """
    question = asking.question
    found = words(said)
    if question is None or not found or len(found) > _LONGEST:
        return None
    settled = replace(asking, question=None)
    if question.about == "size":
        return _with_size(settled, found)
    if question.about == "amounts":
        return _with_amount(settled, said, found, foods)
    if question.about == "money":
        return _with_money(settled, found)
    if question.about == "foods" and not question.choices:
        return _with_food(settled, said, foods)
    return None


def _figure(found: Sequence[Word]) -> Amount | None:
    """The amount that the words are, with nothing but empty words around it."""
    for at in range(len(found)):
        measured = read_amount(list(found), at)
        if measured is not None and at and _no_count(found[at - 1], found[at]):
            return None
        if measured is not None:
            rest = [*found[:at], *found[measured.after :]]
            return measured.amount if all(_is_empty(word) for word in rest) else None
    return None


def _no_count(before: Word, number: Word) -> bool:
    """ "For 6" tells for whom or for how much money, "that one" which."""
    which = number.text == "one" and (before.key,) in meanings("determiner")
    return which or (before.key,) in meanings("into")


def _is_empty(word: Word) -> bool:
    return (
        not word.is_name
        or any((word.key,) in meanings(kind) for kind in _EMPTY)
        or meant(word.text, WORDS, "empty") is not None
    )


def _with_size(asking: Reading, found: Sequence[Word]) -> Reading | None:
    """The size of the first package or piece whose size is not known, or the weight of a cup."""
    size = _figure(found)
    if size is None or size.unit is None or units()[size.unit].size is None:
        return None
    amounts = list(asking.amounts)
    for kinds in (("package", "piece"), ("volume",)):
        for at, said in enumerate(amounts):
            if said.size is None and units()[said.amount.unit or "piece"].dimension in kinds:
                amounts[at] = replace(said, size=size)
                marks = tuple(dict.fromkeys((*asking.marks, TOLD)))
                return replace(asking, amounts=tuple(amounts), marks=marks)
    return None


def _with_amount(asking: Reading, said: str, found: Sequence[Word], foods: Foods) -> Reading | None:
    """The amount of the one thing that has none, or of the only thing there is."""
    if len(sums := spot_money(found)) == 1 and _figure(found) is not None:
        return _with_money(asking, found) if sums[0].length == len(found) else None
    whole = _figure(found)
    parted = whole is None or whole.unit is None
    for part in ("all", "half"):
        mark = meant(said, WORDS, part)
        if mark is not None and parted and len(found) <= 4:
            rest = tuple(one for one in asking.amounts if len(asking.amounts) > 1 and one.food)
            marks = tuple(dict.fromkeys((*asking.marks, mark)))
            return replace(asking, amounts=rest, marks=marks)
    hits = foods.spot(found)
    if hits and not any(_same_food(hit.food, asking.foods, foods) for hit in hits):
        return None
    counted = {one.food for one in asking.amounts if one.food}
    lacks = [food for food in asking.foods if food not in counted]
    if hits and lacks and not any(_same_food(hit.food, lacks, foods) for hit in hits):
        return None  # told of another thing than the one that was asked about
    named = {i for hit in hits for i in range(hit.start, hit.end)}
    # "2 loaves" is a measure of bread though "loaf" is a food's name too
    amount = _figure(found) or _figure([w for i, w in enumerate(found) if i not in named])
    if amount is None:
        return None
    if len(asking.amounts) == 1 and (asking.amounts[0].food or len(asking.foods) <= 1):
        only = asking.amounts[0]
        food = only.food or next(iter(asking.foods), None)
        if only.food is not None and set(asking.foods) <= {only.food}:
            return replace(asking, amounts=(replace(only, food=food, amount=amount),))
    with_amount = {one.food for one in asking.amounts}
    silent = next((food for food in asking.foods if food not in with_amount), None)
    if silent is None:
        return None
    return replace(asking, amounts=(*asking.amounts, Said(amount, silent)))


def _same_food(said: str, asked: Sequence[str], foods: Foods) -> bool:
    """True where the food named is one asked about, or a sort of it."""
    return any(said == one or foods.covers(one, said) or foods.covers(said, one) for one in asked)


def _with_money(asking: Reading, found: Sequence[Word]) -> Reading | None:
    sums = spot_money(found)
    if len(sums) == 1:
        money, per = sums[0].value
        return replace(asking, money=money, per=per or asking.per)
    return None


def _with_food(asking: Reading, said: str, foods: Foods) -> Reading | None:
    """The food of an amount that was said of nothing."""
    food = foods.named(said)
    if food is None:
        return None
    amounts = tuple(replace(one, food=food) if one.food is None else one for one in asking.amounts)
    return replace(asking, foods=(*asking.foods, food), amounts=amounts)

"""A swap in words, for programs, and with its reasons."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from helper.acts.wording import amount_json, listed, of_food
from helper.answers import Because
from helper.kitchen.amounts import written
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.roles import Surroundings
from helper.kitchen.safety import CHECK, NO
from helper.kitchen.spoons import spooned
from helper.kitchen.swaps import Option, Used
from helper.kitchen.table import Table
from rules.roles import FAILS, UNTOLD
from rules.why import Because as Reason

_FEW = 4


def used(option: Option) -> str:
    """ "1 tbsp lemon juice + 15 tbsp milk"."""
    return " + ".join(spoken(one) for one in option.use)


def spoken(one: Used) -> str:
    """ "2 tbsp + 3/4 tsp vegetable oil", "2 eggs"."""
    told = written(one.amount)
    return of_food(one.amount, one.food).replace(told, spooned(one.amount), 1)


def option_json(option: Option) -> dict[str, Any]:
    """A swap as the contract has it; `verdict`, `cost` and `for` beyond that."""
    return {
        "for": {"food": option.food, **amount_json(option.amount)},
        "use": [{"food": one.food, **amount_json(one.amount)} for one in option.use],
        "works_in": list(option.works_in),
        "fails_in": list(option.fails_in),
        "note": note(option),
        "in_stock": option.in_house,
        "adds_allergens": list(option.brings),
        "may_add_allergens": list(option.may_bring),
        "clears": list(option.clears),
        "source": option.source,
        "verdict": option.verdict,
        "cost": plain(option.cost),
    }


def note(option: Option) -> str:
    """How it is done, and what speaks against it here."""
    warned = [f"Fails in: {text}." for text in option.warnings]
    return " ".join([*filter(None, [_sentence(option.method)]), *warned])


def short(option: Option, currency: str, placed: bool) -> str:
    """One item of a list: what to use, where it works, what it costs, what it brings."""
    told = []
    if not placed and option.works_in:
        told.append(listed(option.works_in[:_FEW]))
    elif placed and option.fit == UNTOLD:
        told.append(f"told for {listed(option.works_in[:_FEW])}")
    told.append(there(option, currency))
    if option.brings:
        told.append(f"brings in {listed(option.brings)}")
    told += [str(one) for one in option.against[:1] if one.verdict == NO]
    if option.verdict == CHECK:
        told.append("check the label")
    return f"{used(option)} ({'; '.join(filter(None, told))})"


def there(option: Option, currency: str = "") -> str:
    """Whether it is in the house, or to buy and (in a currency) for how much."""
    if option.in_house:
        return "in the house"
    priced = currency and option.cost is not None
    return f"to buy, {money_written(option.cost, currency)}" if priced else "to buy"


def objections(options: Iterable[Option]) -> str:
    """What speaks against some options, each thing once."""
    said = dict.fromkeys(str(one) for option in options for one in option.against)
    return listed(list(said)[:_FEW])


def because(option: Option, around: Surroundings, table: Table) -> Because:
    """Why this swap: the role it fills, the places it is told for, the verdicts, the stock."""
    below = []
    if around.found is not None:
        below += [reason(around.found.why(around.label, role)) for role in around.roles]
    if option.works_in:
        below.append(Because(f"it works in {listed(option.works_in)}", source=option.source))
    below += [
        Because(f"the book warns of: {text}", source=option.source) for text in option.warnings
    ]
    minded = [avoid for avoid in table.minded() if avoid in option.clears]
    below += [reason(table.why(food, avoid)) for avoid in minded for food in option.foods]
    below += [reason(table.why(one.food, one.avoid)) for one in option.against]
    below.append(Because(there(option), source="the household's books"))
    return Because(
        _headed(option), rule=option.id, source=option.source, because=tuple(dict.fromkeys(below))
    )


def because_of(
    options: Sequence[Option], around: Surroundings, table: Table
) -> tuple[Because, ...]:
    """Why the first of some swaps; the others stand beneath it, each with its source."""
    if not options:
        return ()
    first, *others = options
    found = [because(first, around, table)]
    if others:
        rest = tuple(Because(_headed(one), rule=one.id, source=one.source) for one in others)
        found.append(Because("what else was weighed", because=rest))
    return tuple(found)


def _headed(option: Option) -> str:
    """ "1/4 cup all-purpose flour: 2 tbsp corn starch"."""
    fails = " fails here" if option.fit == FAILS else ""
    return f"{of_food(option.amount, option.food)}: {used(option)}{fails}"


def reason(found: Reason) -> Because:
    """A reason of the rules engine as one of an answer."""
    return Because(
        found.statement, found.rule, found.source, tuple(reason(one) for one in found.because)
    )


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if not text or text.endswith((".", "!", "?")) else f"{text}."

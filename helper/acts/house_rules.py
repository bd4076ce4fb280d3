"""Standing rules of this household: what is never served, what does for what, and on which days.

A house rule adds to what people avoid. None takes anything away: an allergy stays an allergy.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import meant, place, said_here
from helper.acts.swap_order import pair
from helper.answers import Answer, Block, Say, asking, sorry
from helper.household.records import HouseRule
from helper.kitchen.safety import NO
from helper.reading.reading import Reading
from rules.judge import Thing

_WORDS = "rule_words"
NEVER, INSTEAD = "never", "instead"


def house_rule(reading: Reading, house: House) -> Answer:
    """A standing rule of the household. Reply: rule."""
    foods = _about(reading)
    if not foods and reading.money is not None:
        text = (
            "A rule of the house cannot hold a sum of money: what food costs changes from shop to "
            'shop. Say it with the request, as in "dinner under $10" or "plan the week under $60".'
        )
        return sorry(reading, text)
    if not foods:
        return asking(reading, "Which food is the rule about?", (), "foods")
    again = meant(reading.said, "person_words", "again") is not None and reading.people
    if again or meant(reading.said, _WORDS, "allowed") is not None:
        who = reading.people[0] if reading.people else "somebody"
        text = f"No house rule switches off what {who} avoids. If that has changed, tell me so."
        return sorry(reading, text)
    made = _rules(reading, house, foods)
    same = [rule for rule in house.books.house_rules() if _same(rule, made[0])]
    if same:
        text = f"That is a rule of this house already: {same[0].text}"
        return Answer(reading, {"rule": _json(same[0])}, (Say(text),), foods=foods)
    kept: list[HouseRule] = []
    house.books.change(
        lambda draft: kept.extend(draft.add("rules", rule) for rule in made),
        act="house-rule",
        said=reading.said,
        summary=f"house rule: {made[0].text}",
    )
    rules = kept[-len(made) :]
    return Answer(
        reading=reading,
        reply={"rule": _json(rules[0]), "rules": [_json(rule) for rule in rules]},
        blocks=(*(Say(_worded(rule), "good") for rule in rules), *_warnings(rules, house)),
        changed=True,
        foods=foods,
    )


def _about(reading: Reading) -> tuple[str, ...]:
    """The foods a rule is about: those the sentence names, or else those the talk is about."""
    foods = tuple(dict.fromkeys((*reading.foods, *reading.without, *reading.diets)))
    return tuple(food for food in foods if said_here(reading, food)) or foods


def _rules(reading: Reading, house: House, foods: tuple[str, ...]) -> list[HouseRule]:
    person = reading.people[0] if reading.people else None
    more = {"days": days} if (days := _days(reading)) else {}
    told = _pair(reading, house, foods) if len(foods) == 2 else None
    if told is not None:
        used, replaced = told
        return [HouseRule(0, reading.said, INSTEAD, replaced, used, person, house.today, more)]
    return [
        HouseRule(0, reading.said, NEVER, food, None, person, house.today, more) for food in foods
    ]


def _pair(reading: Reading, house: House, foods: tuple[str, ...]) -> tuple[str, str] | None:
    """(the food used, the food it replaces), by which side of the word for "instead" they stand."""
    if place(reading.said, _WORDS, "instead") is None:
        return None
    meant = pair(replace(reading, foods=foods), house.foods)
    return None if meant is None else (meant.new[0], meant.old)


def _days(reading: Reading) -> str | None:
    """The day of the week a rule holds for, by its English name."""
    if place(reading.said, _WORDS, "day") is None:
        return None
    hit = place(reading.said, _WORDS, "day")
    if reading.date is not None:
        return _weekday(reading.date)
    return reading.said[hit[1] : hit[2]].lower() if hit else None


def _weekday(day: dt.date) -> str:
    return day.strftime("%A").lower()


def _same(one: HouseRule, other: HouseRule) -> bool:
    return (one.kind, one.food, one.other, one.person, one.more) == (
        other.kind, other.food, other.other, other.person, other.more,
    )  # fmt: skip


def _worded(rule: HouseRule) -> str:
    whom = f" for {rule.person}" if rule.person else ""
    when = f" on {rule.more['days']}" if rule.more.get("days") else ""
    if rule.kind == INSTEAD:
        return f"House rule: {rule.other} does for {rule.food}{whom}{when}."
    return f"House rule: no {rule.food}{whom}{when}."


def _warnings(rules: list[HouseRule], house: House) -> list[Block]:
    """Whom a stand-in would not suit: for them the rule will not be used."""
    return [
        Say(
            f"{rule.other} is not for {person.name}, so for {person.name} this does not hold.",
            "warn",
        )
        for rule in rules
        if rule.other
        for person in house.people
        if house.safety.verdict([Thing(rule.other)], house.safety.minds(person)) == NO
    ]


def _json(rule: HouseRule) -> dict[str, Any]:
    return {
        "id": rule.id,
        "kind": rule.kind,
        "food": rule.food,
        "other": rule.other,
        "person": rule.person,
        "days": rule.more.get("days"),
        "text": rule.text,
    }

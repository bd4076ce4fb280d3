"""Who eats here: names, what they keep away from, how much they eat, who is only visiting."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import avoids_said, meant, names_said, said_here, table
from helper.answers import Answer, Say, asking, sorry
from helper.household.draft import Draft
from helper.kitchen.avoiding import avoid_words, ids_of
from helper.kitchen.foods import Foods
from helper.kitchen.people import Person
from helper.kitchen.words import key
from helper.reading.phrasebook import phrasebook
from helper.reading.reading import Reading
from rules.avoids import avoids

_WORDS = "person_words"
_GRAVEST = ("allergy", "intolerance", "choice")
_LARGEST_PORTION = 10.0


class _Told(NamedTuple):
    """What was said of somebody, as far as it was said."""

    avoids: tuple[str, ...]
    again: bool
    severity: str | None
    portion: float | None
    home: bool | None

    @property
    def nothing(self) -> bool:
        return not self.avoids and self.portion is None and self.home is None


def set_person(reading: Reading, house: House) -> Answer:
    """Somebody's name, portions, what they avoid. Reply: person."""
    names = reading.people or unknown_names(reading, house)[:1]
    if not names:
        return asking(reading, "Who is that?", tuple(p.name for p in house.people), "people")
    told = _told(reading, house.foods)
    if told.portion is not None and not 0 < told.portion <= _LARGEST_PORTION:
        return sorry(reading, f"A portion of {told.portion:g} makes no sense; say one like 0.5.")
    known = {name: house.books.person_named(name) for name in names}
    if told.nothing and all(known.values()):
        return asking(reading, f"What should I know about {names[0]}?", (), "diets")
    made: list[Person] = []

    def prepare(draft: Draft) -> None:
        for name in names:
            person = draft.person_named(name)
            after = _with(
                person or Person(0, name, severity=_severity((), told) or "allergy"), told
            )
            made.append(draft.put("people", after) if person else draft.add("people", after))

    summary = f"{' and '.join(names)}: {_summary(told)}"
    house.books.change(prepare, act="set-person", said=reading.said, summary=summary)
    people = made[-len(names) :]
    return Answer(
        reading=reading,
        reply={"person": _json(people[0]), "people": [_json(person) for person in people]},
        blocks=tuple(Say(_worded(person), "good") for person in people),
        changed=any(known[person.name] != person for person in people),
        people=tuple(person.name for person in people),
    )


def unknown_names(reading: Reading, house: House) -> tuple[str, ...]:
    """Names said that nobody of the house has; a word for kin stands for the one meant by it."""
    known = house.foods.words()
    known |= {word for person in house.people for word in key(person.name)}
    known |= {word for one in avoid_words() for word in one}
    said = names_said(reading.said, frozenset(known), phrasebook().vocabulary)
    if said:
        return said
    kin = meant(reading.said, _WORDS, "kin")
    return (kin,) if kin else ()


def _told(reading: Reading, table_of_foods: Foods) -> _Told:
    portion = meant(reading.said, _WORDS, "portion")
    foods = [food for food in reading.foods if said_here(reading, food)]
    ids = [
        *avoids_said(reading, table_of_foods),
        *(id for food in foods for id in ids_of(food, table_of_foods)),
    ]
    listed = avoids().expanded(ids)
    away = meant(reading.said, _WORDS, "away") is not None
    home = meant(reading.said, _WORDS, "home") is not None
    return _Told(
        listed,
        meant(reading.said, _WORDS, "again") is not None and bool(listed),
        meant(reading.said, _WORDS, "severity"),
        float(portion) if portion else reading.scale if reading.scale else None,
        False if away else True if home else None,
    )


def _with(person: Person, told: _Told) -> Person:
    """The person with what was told; an avoid is only ever taken off when that was said."""
    kept = person.avoids
    if told.again:
        gone = _gone(kept, told.avoids)
        kept = tuple(avoid for avoid in kept if avoid not in gone)
    else:
        kept = tuple(dict.fromkeys((*kept, *told.avoids)))
    added = bool(told.avoids) and not told.again
    return replace(
        person,
        avoids=kept,
        severity=(_severity(person.avoids and (person.severity,), told) if added else None)
        or person.severity,
        portion=person.portion if told.portion is None else told.portion,
        home=person.home if told.home is None else told.home,
    )


def _gone(kept: Iterable[str], told: Iterable[str]) -> set[str]:
    """What may be eaten again: the ids said, diets that leave out nothing else, and words for
    the same.
    """
    said = set(told)
    groups = avoids().groups
    members = {member for id in said if id in groups for member in groups[id].members}
    same = {
        avoid
        for avoid in kept
        if avoid in groups
        and groups[avoid].members
        and set(groups[avoid].members) <= said | members
    }
    return said | members | same


def _severity(before: Iterable[str], told: _Told) -> str | None:
    """The graver of what was known and what was told; told by words, or else by the diet."""
    by_diet = {
        diet: row["severity"] for row in table("severities") for diet in row["diets"].split(";")
    }
    said = told.severity
    if said is None and told.avoids and all(avoid in by_diet for avoid in told.avoids):
        said = min((by_diet[avoid] for avoid in told.avoids), key=_GRAVEST.index)
    if said is None and told.avoids:
        said = _GRAVEST[0]
    both = [*before, *([said] if said else [])]
    return min(both, key=_GRAVEST.index) if both else None


def _summary(told: _Told) -> str:
    parts = []
    if told.avoids:
        verb = "may have again" if told.again else "minds"
        parts.append(f"{verb} {', '.join(told.avoids)}")
    if told.portion is not None:
        parts.append(f"eats {told.portion:g} of a portion")
    if told.home is not None:
        parts.append("is at home" if told.home else "is visiting")
    return ", ".join(parts) or "noted as somebody who eats here"


def _worded(person: Person) -> str:
    minds = f"{', '.join(person.avoids)} ({person.severity})" if person.avoids else "eats anything"
    portion = "" if person.portion == 1 else f", {person.portion:g} of a portion"
    return f"Noted for {person.name}: {minds}{portion}{'' if person.home else ', visiting'}."


def _json(person: Person) -> dict[str, Any]:
    return {
        "name": person.name,
        "avoids": list(person.avoids),
        "severity": person.severity,
        "portion": person.portion,
        "home": person.home,
    }

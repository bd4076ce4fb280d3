"""Who eats here: names, what they keep away from, how much they eat, who is only visiting."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any, NamedTuple

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import avoids_said, meant, names_said, said_here, table
from helper.acts.stays import back_on, back_said, stay_said, stay_written, with_stay
from helper.acts.wording import day_json, day_written
from helper.answers import Answer, Column, Say, Table, asking, sorry
from helper.household.draft import Draft
from helper.kitchen.amounts import number_written
from helper.kitchen.avoiding import avoid_words, ids_of
from helper.kitchen.people import Person, Stay
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
    stay: Stay | None = None
    back: dt.date | None = None

    @property
    def nothing(self) -> bool:
        told = (self.portion, self.home, self.stay, self.back)
        return not self.avoids and all(one is None for one in told)


def set_person(reading: Reading, house: House) -> Answer:
    """Somebody's name, portions, what they avoid, when they are here or away. Reply: person."""
    if not reading.people and meant(reading.said, _WORDS, "who") is not None:
        return _everybody(reading, house)
    names = reading.people or unknown_names(reading, house)[:1]
    if not names:
        return asking(reading, "Who is that?", tuple(p.name for p in house.people), "people")
    told = _told(reading, house)
    if told.portion is not None and not 0 < told.portion <= _LARGEST_PORTION:
        return sorry(reading, f"A portion of {told.portion:g} makes no sense; say one like 0.5.")
    known = {name: house.books.person_named(name) for name in names}
    strangers = [name for name, person in known.items() if person is None]
    if strangers and (told.back or (told.stay and not told.stay.home)):
        text = f"I do not know {strangers[0]}, so nobody less is counted at the table."
        return sorry(reading, text)
    if told.nothing and all(known.values()):
        return asking(reading, f"What should I know about {names[0]}?", (), "diets")
    made: list[Person] = []

    def prepare(draft: Draft) -> None:
        for name in names:
            person = draft.person_named(name)
            new = Person(0, name, severity=_severity((), told) or "allergy")
            after = _with(person or new, told, house.today)
            made.append(draft.put("people", after) if person else draft.add("people", after))

    summary = f"{' and '.join(names)}: {_summary(told)}"
    house.books.change(prepare, act="set-person", said=reading.said, summary=summary)
    people = made[-len(names) :]
    return Answer(
        reading=reading,
        reply={"person": _json(people[0]), "people": [_json(person) for person in people]},
        blocks=(
            *(Say(_worded(person, house.today), "good") for person in people),
            *(
                Say(f"I do not know what {name} keeps away from: tell me before you cook.", "warn")
                for name in strangers
                if not told.avoids and told.stay
            ),
        ),  # fmt: skip
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


def _everybody(reading: Reading, house: House) -> Answer:
    """Who is at the table on a day, and who is not."""
    day = reading.date or house.today
    people = house.books.people()
    here = [one for one in people if one.eats_on(day)]
    when = day_written(day, house.today)
    portions = number_written(sum(one.portion for one in here))
    few = "Nobody eats" if not here else "1 eats" if len(here) == 1 else f"{len(here)} eat"
    rows = tuple(
        (one.name, "yes" if one in here else "no", number_written(one.portion),
         ", ".join(one.avoids), "; ".join(stay_written(stay, house.today) for stay in one.stays
                                          if stay.last is None or stay.last >= house.today))
        for one in people
    )  # fmt: skip
    heads = ("Who", "At the table", "Portion", "Keeps away from", "Away or here")
    used = [at for at in range(len(heads)) if any(row[at] for row in rows)]
    table = Table(
        tuple(Column(heads[at], right=at == 2) for at in used),
        tuple(tuple(row[at] for at in used) for row in rows),
    )
    first = Say(f"{few} here {when}" + (f", {portions} portions." if here else "."))
    return Answer(
        reading,
        {"person": None, "date": day.isoformat(), "at_table": [one.name for one in here],
         "people": [_json(one) for one in people]},
        (first, table) if people else (first,),
        people=tuple(one.name for one in here),
    )  # fmt: skip


def _told(reading: Reading, house: House) -> _Told:
    table_of_foods = house.foods
    portion = meant(reading.said, _WORDS, "portion")
    foods = [food for food in reading.foods if said_here(reading, food)]
    ids = [
        *avoids_said(reading, table_of_foods),
        *(id for food in foods for id in ids_of(food, table_of_foods)),
    ]
    listed = avoids().expanded(ids)
    away = meant(reading.said, _WORDS, "away") is not None
    home = meant(reading.said, _WORDS, "home") is not None
    stay = stay_said(reading, house.today)
    back = None if stay else back_said(reading, house.today)
    if stay is not None or back is not None:
        away, home = bool(stay and stay.home), False
    return _Told(
        listed,
        meant(reading.said, _WORDS, "again") is not None and bool(listed),
        meant(reading.said, _WORDS, "severity"),
        float(portion) if portion else reading.scale if reading.scale else None,
        False if away else True if home else None,
        stay,
        back,
    )


def _with(person: Person, told: _Told, today: dt.date) -> Person:
    """The person with what was told; an avoid is only ever taken off when that was said."""
    kept = person.avoids
    if told.again:
        gone = _gone(kept, told.avoids)
        kept = tuple(avoid for avoid in kept if avoid not in gone)
    else:
        kept = tuple(dict.fromkeys((*kept, *told.avoids)))
    added = bool(told.avoids) and not told.again
    if told.stay is not None:
        person = with_stay(person, told.stay, today)
    if told.back is not None:
        person = back_on(person, told.back, today)
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
    if told.stay is not None:
        last = told.stay.last.isoformat() if told.stay.last else "further notice"
        parts.append(
            f"{'here' if told.stay.home else 'away'} {told.stay.first.isoformat()} to {last}"
        )
    elif told.back is not None:
        parts.append(f"back from {told.back.isoformat()}")
    elif told.home is not None:
        parts.append("is at home" if told.home else "is visiting")
    return ", ".join(parts) or "noted as somebody who eats here"


def _worded(person: Person, today: dt.date) -> str:
    minds = f"{', '.join(person.avoids)} ({person.severity})" if person.avoids else "eats anything"
    portion = "" if person.portion == 1 else f", {number_written(person.portion)} of a portion"
    stays = "".join(f"; {stay_written(one, today)}" for one in person.stays)
    visitor = "" if person.home else ", a visitor" if stays else ", visiting"
    return f"Noted for {person.name}: {minds}{portion}{visitor}{stays}."


def _json(person: Person) -> dict[str, Any]:
    return {
        "name": person.name,
        "avoids": list(person.avoids),
        "severity": person.severity,
        "portion": person.portion,
        "home": person.home,
        "stays": [
            {"from": one.first.isoformat(), "to": day_json(one.last), "here": one.home}
            for one in person.stays
        ],
    }

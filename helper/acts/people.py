"""Who eats here: names, what they keep away from, how much they eat, who is only visiting."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.introducing import asked_by_name, introduction, still_asked, unasked
from helper.acts.said import all_meant, avoids_said, meant, names_said, said_here, table
from helper.acts.stays import back_on, back_said, stay_said, stay_written, with_stay
from helper.acts.wording import day_json, day_written
from helper.answers import Answer, Column, Say, Table, asking, sorry
from helper.household.draft import Draft
from helper.kitchen.amounts import number_written
from helper.kitchen.avoiding import avoid_words, ids_of
from helper.kitchen.people import Person, Stay
from helper.kitchen.words import key, words
from helper.reading.introductions import Introduction
from helper.reading.phrasebook import phrasebook
from helper.reading.reading import Reading
from helper.reading.vocabulary import holds_phrase
from rules.avoids import avoids

_WORDS = "person_words"
_GRAVEST = ("allergy", "intolerance", "choice")
_CHOICE = _GRAVEST[-1]
_BY_DIET = {
    diet: row["severity"] for row in table("severities") for diet in row["diets"].split(";")
}
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
    eats_all: bool = False

    @property
    def nothing(self) -> bool:
        told = (self.portion, self.home, self.stay, self.back, self.eats_all or None)
        return not self.avoids and all(one is None for one in told)


def set_person(reading: Reading, house: House) -> Answer:
    """Somebody's name, portions, what they avoid, when they are here or away. Reply: person."""
    if not reading.people and meant(reading.said, _WORDS, "who") is not None:
        return _everybody(reading, house)
    heard = introduction(reading.said, house)
    several = len(heard.names) + len(heard.unnamed) > 1 or bool(heard.doubts)
    if heard.sure and (heard.told or several):
        named = (*heard.names, *(name for one in heard.told for name in one.people))
        told = {
            name: [_told(one, house) for one in heard.told if name in one.people] for name in named
        }
        return _noted(reading, told, house, heard)
    if several and (reading.diets or reading.without or heard.doubts):
        return asked_by_name(reading, heard)
    if heard.sure and not heard.told:
        reading = replace(reading, without=(), foods=(), diets=())  # "Ada likes lentils"
    names = reading.people or unknown_names(reading, house)[:1]
    if not names:
        return asking(reading, "Who is that?", tuple(p.name for p in house.people), "people")
    return _noted(reading, {name: [_told(reading, house)] for name in names}, house)


def _noted(
    reading: Reading,
    told: dict[str, list[_Told]],
    house: House,
    heard: Introduction | None = None,
) -> Answer:
    """All that was told of each by name, noted in one change."""
    known = {name: house.books.person_named(name) for name in told}
    refusals = (_refusal(name, parts, known[name]) for name, parts in told.items())
    if refused := next(filter(None, refusals), None):
        return sorry(reading, refused)
    if all(known.values()) and all(one.nothing for parts in told.values() for one in parts):
        text = (
            f"What should I know about {next(iter(told))}? What somebody keeps away from, how much "
            "they eat and when they are here is noted; what they like is not."
        )
        return asking(reading, text, (), "diets")
    kin = {one.name: one.kin for one in heard.people if one.kin != one.name} if heard else {}
    made: list[Person] = []

    def prepare(draft: Draft) -> None:
        for name, parts in told.items():
            person = draft.person_named(name)
            after = person or Person(0, name, portion=_portions(name))
            for one in parts:
                after = _with(after, one, house.today)
            after = replace(after, note=after.note or kin.get(name) or None)
            made.append(draft.put("people", after) if person else draft.add("people", after))

    summary = "; ".join(f"{name}: {_summaries(parts)}" for name, parts in told.items())
    house.books.change(prepare, act="set-person", said=reading.said, summary=summary)
    people = made[-len(told) :]
    new = [one for one in people if known[one.name] is None and not one.avoids]
    silent = [one.name for one in new if not any(part.eats_all for part in told[one.name])]
    return Answer(
        reading=replace(reading, people=tuple(told)),
        reply={"person": _json(people[0]), "people": [_json(person) for person in people]},
        blocks=(
            *(
                Say(_worded(person, house.today, person.name in silent), "good")
                for person in people
            ),
            *(unasked(silent) if heard or any(one.stay for one in told[people[0].name]) else ()),
            *(still_asked(heard) if heard else ()),
        ),
        changed=any(known[person.name] != person for person in people),
        people=tuple(person.name for person in people),
    )


def _refusal(name: str, parts: Sequence[_Told], known: Person | None) -> str | None:
    """What stands in the way of noting that, or None."""
    for told in parts:
        if told.portion is not None and not 0 < told.portion <= _LARGEST_PORTION:
            return f"A portion of {told.portion:g} makes no sense; say one like 0.5."
        if known is None and (told.back or (told.stay and not told.stay.home)):
            return f"I do not know {name}, so nobody less is counted at the table."
        if known is not None and told.eats_all and known.avoids:
            return (
                f"{name} is down as keeping away from {', '.join(known.avoids)}, and that stays "
                f"until it is named: {name} can have {known.avoids[0]} again."
            )
    return None


def _portions(name: str) -> float:
    """Portions of somebody new: as many as the word for them stands for."""
    return float(meant(name, _WORDS, "heads") or 1)


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
        _degree(reading.said, listed),
        float(portion) if portion else reading.scale if reading.scale else None,
        False if away else True if home else None,
        stay,
        back,
        not listed and holds_phrase(words(reading.said), "eats_all"),
    )


def _degree(said: str, avoids: Sequence[str]) -> str | None:
    """How grave it was said to be: the gravest word said; mere dislike of what harms is more.

    Who "doesn't eat gluten" may have to, unless it is said to be a preference.
    """
    degrees = all_meant(said, _WORDS, "severity")
    if not degrees:
        return None
    gravest = min(degrees, key=_GRAVEST.index)
    if gravest != _CHOICE or meant(said, _WORDS, "preference") is not None:
        return gravest
    harmful = any(_BY_DIET.get(avoid, _CHOICE) != _CHOICE for avoid in avoids)
    return "intolerance" if harmful else gravest


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
    said = told.severity
    if said is None and told.avoids and all(avoid in _BY_DIET for avoid in told.avoids):
        said = min((_BY_DIET[avoid] for avoid in told.avoids), key=_GRAVEST.index)
    if said is None and told.avoids:
        said = _GRAVEST[0]
    both = [*before, *([said] if said else [])]
    return min(both, key=_GRAVEST.index) if both else None


def _summaries(parts: Iterable[_Told]) -> str:
    said = [text for one in parts if (text := _summary(one))]
    return ", ".join(said) or "noted as somebody who eats here"


def _summary(told: _Told) -> str:
    parts = []
    if told.eats_all:
        parts.append("eats everything")
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
    return ", ".join(parts)


def _worded(person: Person, today: dt.date, silent: bool = False) -> str:
    """What is known of somebody now; `silent` where nobody said what they may not have."""
    minds = f"{', '.join(person.avoids)} ({person.severity})" if person.avoids else "eats anything"
    minds = "eats here" if silent else minds
    portion = "" if person.portion == 1 else f", {number_written(person.portion)} of a portion"
    stays = "".join(f"; {stay_written(one, today)}" for one in person.stays)
    visitor = "" if person.home else ", a visitor" if stays else ", here only on visits"
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

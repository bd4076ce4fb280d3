"""`people.csv`: who eats here, what they avoid, how strictly, and how much they eat."""

from __future__ import annotations

import msgspec

from helper.household.books import Household
from helper.household.draft import Draft
from helper.household.taking_in import cells
from helper.household.taking_in.report import Refused, Report
from helper.kitchen.avoiding import ids_of
from helper.kitchen.foods import Foods
from helper.kitchen.people import Person
from rules.avoids import avoids

COLUMNS = ("name",)
SEVERITIES = ("allergy", "intolerance", "choice")
_LARGEST_PORTION = 10.0


def take_in_people(text: str, name: str, books: Household, foods: Foods) -> Report:
    """Takes in every row that can be read; a name known already is updated."""
    refused: list[Refused] = []
    notes: list[str] = []
    people: dict[str, Person] = {}
    for row in cells.table(text):
        try:
            person, told = _person(row, foods)
        except cells.Unreadable as error:
            refused.append(Refused(name, row.line, str(error), ", ".join(row.cells.values())))
            continue
        before = people.get(person.name.casefold())
        if before is not None:
            person = _together(before, person)
            told.append(f"{person.name} stands in it before; the rows are taken together.")
        people[person.name.casefold()] = person
        notes += [f"Line {row.line}: {one}" for one in told]
    old = {person.name.casefold() for person in books.people()}
    added = tuple(one.name for key_, one in people.items() if key_ not in old)
    updated = tuple(one.name for key_, one in people.items() if key_ in old)

    def prepare(draft: Draft) -> None:
        for person in people.values():
            known = draft.person_named(person.name)
            if known is None:
                draft.add("people", person)
            else:
                draft.put(
                    "people",
                    msgspec.structs.replace(
                        person,
                        id=known.id,
                        note=known.note,
                        home=known.home if person.home else False,
                    ),
                )

    if people:
        books.change(
            prepare,
            act="take-in",
            summary=f"Took in {len(people)} people from {name}",
            meta={"file": name, "kind": "people"},
        )
    return Report(name, "people", added, updated, tuple(refused), tuple(notes))


def _together(first: Person, second: Person) -> Person:
    """Two rows of one person, as of people who write a line for each thing they avoid."""
    strict = [one.severity for one in (first, second) if one.avoids]
    return msgspec.structs.replace(
        first,
        avoids=tuple(dict.fromkeys((*first.avoids, *second.avoids))),
        severity=min(strict, key=SEVERITIES.index, default=first.severity),
        portion=first.portion if second.portion == 1 else second.portion,
        home=first.home and second.home,
    )


def _person(row: cells.Row, foods: Foods) -> tuple[Person, list[str]]:
    """One person. Raises Unreadable. The strictest reading is taken where something is left out."""
    if not row["name"]:
        raise cells.Unreadable("no name")
    notes: list[str] = []
    avoided: list[str] = []
    for said in cells.several(row["avoids"]):
        ids = ids_of(said, foods)
        if ids == (said,) and said not in avoids().groups and said not in foods:
            ids = (cells.own_name(said),)
            notes.append(
                f"{said!r} is neither an allergen, a diet nor a food of the tables; "
                f"it is kept as a word to look for."
            )
        avoided += ids
    severity = row["severity"].casefold() or "allergy"
    if severity not in SEVERITIES:
        raise cells.Unreadable(f"severity {row['severity']!r} is none of {', '.join(SEVERITIES)}")
    portion = cells.number(row["portion"], "portion") if row["portion"] else 1.0
    if not 0 < portion <= _LARGEST_PORTION:
        raise cells.Unreadable(f"portion {row['portion']!r} cannot be")
    home = row["home"].casefold() not in ("no", "n", "false", "0", "visitor")
    return Person(0, row["name"], tuple(dict.fromkeys(avoided)), severity, portion, home), notes

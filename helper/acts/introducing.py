"""What a sentence tells of people, made into what is noted of each, or into a question.

An allergy is never noted for somebody by guessing: where a sentence of several people is not read
for sure, all of it is asked for anew, name by name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.said import table
from helper.acts.wording import listed
from helper.answers import Answer, Say, asking
from helper.kitchen.words import key
from helper.reading.introductions import ACT, Introduction, introductions
from helper.reading.persons import ME, given_names
from helper.reading.reading import Question, Reading

_WORDS = "person_words"
# Meanings of the table that tell who or how long, and nothing of a person by themselves.
_FOR_SOMEBODY = ("find-meals", "menu")
_SIDE = frozenset(("who", "kin", "days", "span of days"))


@cache
def phrases_told_by() -> dict[tuple[str, ...], str]:
    """Phrases that tell something of a person → what they tell: severity, portion, away …"""
    return {
        key(phrase): row["meaning"]
        for row in table(_WORDS)
        if row["meaning"] not in _SIDE
        for phrase in row["words"].split(";")
    }


def introduction(said: str, house: House) -> Introduction:
    """What a sentence tells of people, as this household knows them."""
    return introductions(said, house.names, house.today, phrases_told_by())


def told_of_people(said: str, house: House) -> Reading | None:
    """The request to note what a sentence tells of people, None where it is something else.

    Names alone count where several are said and one of them is new.
    """
    heard = introduction(said, house)
    if heard.unread or not (heard.people or heard.told or heard.doubts):
        return None
    strangers = [name for name in heard.names if house.person(name) is None]
    told = heard.told or heard.doubts
    if not told and not (strangers and len(heard.names) + len(heard.unnamed) > 1):
        return None
    return reading_of(said, heard)


def reading_of(said: str, heard: Introduction) -> Reading:
    """The sentence as one request: everybody named, and all that is said of any of them."""
    told = heard.told
    people = (*heard.names, *(name for one in told for name in one.people))
    return Reading(
        said=said,
        act=ACT,
        people=tuple(dict.fromkeys(people)),
        diets=tuple(dict.fromkeys(id for one in told for id in one.diets)),
        without=tuple(dict.fromkeys(food for one in told for food in one.without)),
        date=next((one.date for one in told if one.date), None),
        evidence=tuple(dict.fromkeys(part for one in told for part in one.evidence)),
        likeness=1.0,
    )


def asked_by_name(reading: Reading, heard: Introduction) -> Answer:
    """Nothing is noted, and everybody is asked for by name."""
    names = heard.names
    if heard.unnamed:
        first = f"I do not know the name of {listed(heard.unnamed)}"
    elif heard.doubts:
        first = f'I cannot tell for sure who is meant by "{heard.doubts[0]}"'
    else:
        first = "I did not follow all of that"
    one = next((name for name in reversed(names) if name != ME), "Ada")
    what = heard.doubts[0] if heard.doubts else "allergic to eggs"
    text = (
        f"{first}, so nothing is noted yet. Tell me name by name, one sentence each, "
        f'as in "{"Ada" if heard.unnamed else one}: {what}".'
    )
    return asking(replace(reading, people=names), text, (), "told")


def is_for_guests(readings: Sequence[Reading], unknown: Mapping[str, str]) -> bool:
    """Whether meals are asked for somebody unknown who is surely a person: Easter is none."""
    named = {name for said, name in unknown.items() if said.casefold() in given_names()}
    return bool(readings) and all(
        one.act in _FOR_SOMEBODY and named.intersection(one.people) for one in readings
    )


def answered_for_whom(asking: Reading, said: str, house: House) -> list[Reading]:
    """ "What must Tove not have?" "sesame": noted of Tove, and then the request itself again."""
    unknown = [name for name in asking.people if house.person(name) is None]
    waits = asking.question is not None and asking.question.about == "diets"
    if not waits or asking.act == ACT or len(unknown) != 1:
        return []
    words = f"{unknown[0]}: {said.strip()}"
    heard = introduction(words, house)
    if not (heard.sure and heard.told) or set(heard.names) != {*unknown}:
        return []
    return [reading_of(words, heard), replace(asking, question=None)]


def asked_for_whom(reading: Reading) -> Reading:
    """The same, waiting to be told what the person it is for must not have."""
    if reading.diets or reading.without:
        return reading
    who = listed(reading.people)
    return replace(reading, question=Question(f"What must {who} not have?", (), "diets"))


def unasked(names: Sequence[str]) -> list[Say]:
    """A warning about those of whom nobody said what they keep away from."""
    if not names:
        return []
    alone = len(names) == 1 and names[0] != ME
    who = listed("you" if name == ME else name for name in names)
    verb = "keeps" if alone else "keep"
    text = f"I do not know what {who} {verb} away from: tell me before you cook."
    return [Say(text, "warn")]


def still_asked(heard: Introduction) -> list[Say]:
    """What remains to be told after an introduction: names not said, people not named."""
    blocks = []
    if heard.unnamed:
        who = listed(heard.unnamed)
        text = f"Not noted: {who}. Tell me each by name, so that I can count them."
        blocks.append(Say(text, "warn"))
    elif heard.count is not None and heard.count != len(heard.names):
        text = f"You said {heard.count}, and I have noted {len(heard.names)}. Who is missing?"
        if heard.count < len(heard.names):
            text = f"You said {heard.count}, and I have noted {len(heard.names)}."
        blocks.append(Say(text, "warn"))
    return blocks

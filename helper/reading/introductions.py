"""Who eats here, said in one go: "Ada, Ben who can't have milk, and Cy, allergic to peanuts".

The sentence is cut at the people it names. What stands behind a name is said of it; behind "Ada
and Ben" it is said of both where the words leave no doubt, and else it is a doubt: an allergy is
never given to somebody by guessing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence

import msgspec

from helper.kitchen.words import Word, plain, words
from helper.reading.acts import acts
from helper.reading.clauses import Clause, clauses
from helper.reading.fields import evidence_of, fill
from helper.reading.heard import asks_by_tag
from helper.reading.names import Names
from helper.reading.persons import EVERYBODY, ME, UNNAMED, Mention, Mentions, Telling, given_names
from helper.reading.reading import Reading
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, phrase_from

ACT = "set-person"
_MOST = 30  # people; a longer list is no introduction
_LONGEST = 1200  # characters
_STOPS = ".!;\n"
_SIGNS = ("(", ":", "-")


class Introduction(msgspec.Struct, frozen=True):
    """What a sentence tells of people.

    `people` are all who are named, in order, with what kin they are; `told` one reading a clause,
    its `people` those it is said of; `doubts` words that may be said of one or another;
    `unnamed` people spoken of without a name; `unread` words nothing was made of; `count` how
    many there are said to be.
    """

    people: tuple[Mention, ...] = ()
    told: tuple[Reading, ...] = ()
    doubts: tuple[str, ...] = ()
    unnamed: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    count: int | None = None

    @property
    def sure(self) -> bool:
        """Whether all of it was read, and nothing may be said of somebody else."""
        return bool(self.people or self.told) and not (self.doubts or self.unread)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all who are named."""
        return tuple(dict.fromkeys(one.name for one in self.people))


def introductions(
    said: str, names: Names, today: dt.date, telling: Telling | None = None
) -> Introduction:
    """What the words tell of people; empty where they name nobody or ask something.

    `telling` are the phrases that tell something of a person besides foods and diets.
    """
    typed = said.translate({0x2019: "'", 0x2018: "'"})
    if len(typed) > _LONGEST or len(plain(typed)) != len(typed):
        typed = plain(typed)[:_LONGEST]
    found = words(typed)
    if not found or found[-1].text == "?" or len(said) > _LONGEST or _asks(found):
        return Introduction()
    return _Sentence(typed, found, names, today, telling or {}).read()


def _asks(found: Sequence[Word]) -> bool:
    at = 0
    while at < len(found) and (hit := phrase_from(found, at, "polite")) is not None:
        at = hit[1]
    behind = (i for i in range(at + 1, len(found)) if _joins(found, i - 1) == i)
    asked = any(phrase_from(found, i, "asks_within") for i in behind)  # "…, and is the pie ok"
    return bool(phrase_from(found, at, "questioning") or asked or asks_by_tag(found))


class _Sentence:
    """One saying while it is read: the people heard of so far, and what was said of them."""

    def __init__(
        self, typed: str, found: list[Word], names: Names, today: dt.date, telling: Telling
    ) -> None:
        self.typed, self.found, self.names, self.telling = typed, found, names, telling
        spans = names.with_people({}, alone=True).spot(found, today)
        self.mentions = Mentions(typed, found, spans, names, telling).all()
        taken = {i for one in self.mentions for i in range(one.start, one.end)}
        self.spans = [
            part
            for span in spans
            for part in (span.rivals or (span,))
            if taken.isdisjoint(range(part.start, part.end))
        ]
        self.told: list[Reading] = []
        self.doubts: list[str] = []
        self.unread: list[str] = []
        self.unnamed: list[str] = []
        self.row: list[Mention] = []  # those named since something was last said
        self.last: list[Mention] = []  # those something was last said of
        self.said_last: list[Clause] = []
        self.count: int | None = None
        self.given: list[Mention] = []  # those something was said of before they were named
        self.alike = False  # whether the next name is said to be as the last: "so is Ben"

    def read(self) -> Introduction:
        """Goes through the sentence once, from name to name."""
        if not self.mentions or len(self.mentions) > _MOST:
            return Introduction()
        ends = [*(one.start for one in self.mentions[1:]), len(self.found)]
        self._before(self.mentions[0].start)
        for mention, end in zip(self.mentions, ends, strict=True):
            self._named(mention)
            self._between(mention.end, end)
        people = tuple(self._known_people())
        return Introduction(
            people,
            tuple(self.told),
            tuple(self.doubts),
            tuple(dict.fromkeys(self.unnamed)),
            tuple(dict.fromkeys(self.unread)),
            self.count,
        )

    def _known_people(self) -> Iterator[Mention]:
        seen: set[str] = set()
        for one in self.mentions:
            if one.kind:
                continue
            if one.name not in seen:
                seen.add(one.name)
                yield one

    # -- who -------------------------------------------------------------------------------------

    def _named(self, mention: Mention) -> None:
        if self.alike:
            self.given = self._row_from(mention)
            self._note(self.given, self.said_last)
            self.alike = False
        if mention in self.given:
            return
        if any(one.name == mention.name for one in self.row):
            self._row_ends()
        self.row.append(mention)

    def _row_ends(self) -> None:
        """Those named of whom nothing was said: they eat here, and a group of them has no names."""
        self.unnamed += [
            one.name for one in self.row if one.kind and one.kind != EVERYBODY and not one.members
        ]
        self.row = []

    # -- what stands between two names ------------------------------------------------------------

    def _before(self, end: int) -> None:
        """What opens the sentence: "we're five:", "remember that", or "no nuts for"."""
        start = 0
        while start < end:
            hit = _opening(self.found, start)
            if hit is None:
                break
            start = hit
        if start < end and not self._gives(start, end):
            rest = self.found[start:end]
            numbers = [int(w.text) for w in rest if w.text.isdigit()]
            numbers += [
                int(s.value)
                for s in self.spans
                if s.kind in ("servings",) and s.start < end and float(s.value).is_integer()
            ]
            self.unread += [w.text for w in rest if w.is_name and not self._counted(w)]
            self.count = numbers[0] if numbers else None
        elif start:
            counted = [int(s.value) for s in self.spans if s.kind == "servings" and s.end <= end]
            self.count = counted[0] if counted else None

    def _counted(self, word: Word) -> bool:
        at = self.found.index(word)
        return any(s.kind in ("servings", "amount") and s.start <= at < s.end for s in self.spans)

    def _between(self, start: int, end: int) -> None:
        """Signs and joints, what is said of those before, and what is given to those behind."""
        at = start
        for stop in [*self._stops(start, end), end]:
            self._said(at, stop, last=stop == end and end < len(self.found))
            if stop < end:
                self._row_ends()
            at = stop + 1
        if end == len(self.found):
            self._row_ends()

    def _stops(self, start: int, end: int) -> list[int]:
        return [
            at
            for at in range(start, end)
            if self.found[at].text in _STOPS
            or "\n" in self.typed[self.found[at - 1].end : self.found[at].start]
            and not self.found[at].is_name
        ]

    def _said(self, start: int, end: int, last: bool) -> None:
        """What stands in one part between two names."""
        inner, after = self._stripped(start, end)
        if inner >= after:
            return
        given = self._giving(inner, after) if last else None
        cut = inner if given is not None and given[0] <= inner else given[0] if given else after
        sign = self._sign(start, end)
        if cut > inner:
            self._tell(inner, self._stripped(inner, cut)[1], sign)
        if given is None:
            return
        self._row_ends()
        if given[1] is not None:
            self._give(given[0], given[1], end)
        elif self.said_last:
            self.alike = True
        else:
            self.doubts.append(self._text(inner, after))

    def _stripped(self, start: int, end: int) -> tuple[int, int]:
        """Without the signs and joints at both ends."""
        found = self.found
        while start < end and _joins(found, start):
            start = _joins(found, start) or start
        changed = True
        while changed and end > start:
            changed = False
            for at in range(max(start, end - 3), end):
                if (
                    _joins(found, at) == end
                    or _opening(found, at) == end
                    and at > start
                    and (_joins(found, at - 1) == at)
                ):
                    end, changed = at, True
                    break
        return start, end

    def _sign(self, start: int, end: int) -> str:
        """The sign that leads from a name to what is said: a bracket, colon, dash or comma."""
        first = self.found[start].text if start < end else ""
        return first if first in (*_SIGNS, ",") else ""

    # -- said of those before ----------------------------------------------------------------------

    def _tell(self, start: int, end: int, sign: str) -> None:
        made = clauses(self.found, start, end, self.spans, self.telling, bare=sign in _SIGNS)
        if not made:
            return
        if len(made) == 1 and made[0].same and self.said_last:
            made = self.said_last
            who: Sequence[Mention] | None = list(self.row) or None
        else:
            who = self._subjects(start, made, sign)
            self.unread += [word for one in made for word in one.unread]
        text = self._text(start, end)
        if self._other_subject(start, end):
            self.doubts.append(text)
        content = [one for one in made if not one.empty]
        if who is None or any(one.kind and not one.members for one in who):
            unknown = [one.name for one in who or () if one.kind and not one.members]
            self.unnamed += unknown
            if any(one.minds or one.unsure or one.tells for one in content):
                self.doubts.append(text)
            self.row = []
            return
        if any(one.unsure or (one.same and one not in self.said_last) for one in made):
            self.doubts.append(text)
        self._note(who, content)
        self.unnamed += [
            one.name for one in self.row if one not in who and one.kind and not one.members
        ]
        self.last, self.said_last, self.row = list(who), content, []

    def _other_subject(self, start: int, end: int) -> bool:
        """Whether something in there is said of a word that is no known name: "eggs, Win is"."""
        ends = {span.start: span.end for span in self.spans}
        for at in range(start + 1, end):
            word, before = self.found[at], self.found[at - 1]
            joined = not before.is_name or (before.key,) in meanings("joint")
            if not word.is_name or not joined or _tells(self.found, at):
                continue
            large = self.typed[word.start].isupper()
            named = any(span.start <= at < span.end for span in self.spans)
            if large and (word.text in given_names() or not named):
                return True  # "and Win to soy": written large, most likely a name
            behind = max(ends.get(at, at + 1), ends.get(at - 1, at + 1))
            if behind < end and (
                phrase_from(self.found, behind, "of_one") or _is_minding(self.found, behind)
            ):
                return True
        return False

    def _subjects(self, start: int, made: Sequence[Clause], sign: str) -> Sequence[Mention] | None:
        """Those of whom it is said; None where it may be one or several."""
        row, found = self.row, self.found
        if not row:
            return self._spoken_of(start)
        if len(row) == 1:
            return row
        if sign == "(":
            return row if _opens(found, start, ("of_all",)) else row[-1:]
        if _opens(found, start, ("of_last",)):
            return row[-1:]
        joined = self._joint(row[-2], row[-1])
        if _opens(found, start, ("pronoun_all", "of_all")):
            two = len(row) == 2 or "both" not in [word.text for word in found[start : start + 3]]
            return row if two and sign != "," and joined else None
        if _opens(found, start, ("of_one",)) or row[-1].kind == UNNAMED:
            return row[-1:] if joined == "," else None
        if found[row[-1].end - 1].text.endswith("'s"):
            return row[-1:] if joined == "," else None
        if sign in (":", "-"):
            return row if joined == "and" else None
        if sign == ",":
            return None
        return row if joined == "and" else row[-1:] if joined == "," else None

    def _spoken_of(self, start: int) -> Sequence[Mention] | None:
        """ "Tom is new. He is vegetarian": the one, or those, last spoken of."""
        last = self.last or self._before_stop(start)
        if _opens(self.found, start, ("pronoun_all",)):
            return last or None
        return last if len(last) == 1 else None

    def _before_stop(self, start: int) -> list[Mention]:
        stops = [at for at in range(start) if self.found[at].text in _STOPS]
        first = stops[-2] if len(stops) > 1 else 0
        return [one for one in self.mentions if first <= one.start < start]

    def _joint(self, one: Mention, other: Mention) -> str:
        """How two names are joined: "and", "," or ", and"."""
        between = [w.text for w in self.found[one.end : other.start]]
        comma = "," in between
        linked = any((w,) in meanings("joint") or w == "&" for w in between)
        return ", and" if comma and linked else "and" if linked else "," if comma else ""

    # -- given to those behind ---------------------------------------------------------------------

    def _gives(self, start: int, end: int) -> bool:
        """ "No nuts for Ann": said of the name that follows, at the beginning."""
        given = self._giving(start, end)
        if given is None or given[1] is None or given[0] > start:
            return False
        self._give(given[0], given[1], end)
        return True

    def _giving(self, start: int, end: int) -> tuple[int, int | None] | None:
        """Where what is given to the next name begins, and where it ends; None for nothing."""
        found = self.found
        after = next(
            (
                at
                for at in range(start, end)
                if (hit := phrase_from(found, at, "told_for")) is not None and hit[1] == end
            ),
            None,
        )
        if after is not None and after > start:
            made = clauses(found, start, after, self.spans, self.telling)
            if not made or not (made[-1].minds or made[-1].tells):
                return None
            return made[-1].start, after
        for at in range(start, end):
            hit = phrase_from(found, at, "same_before")
            if hit is not None and hit[1] == end:
                return at, None
        return None

    def _give(self, start: int, after: int, end: int) -> None:
        made = clauses(self.found, start, after, self.spans, self.telling)
        self.unread += [word for one in made for word in one.unread]
        if any(one.unsure for one in made):
            self.doubts.append(self._text(start, after))
        mention = next(one for one in self.mentions if one.start == end)
        who = self._row_from(mention)
        if any(one.kind and not one.members for one in who):
            self.unnamed += [one.name for one in who if one.kind and not one.members]
            self.doubts.append(self._text(start, after))
            return
        self.given, self.last = who, who
        self.said_last = [one for one in made if not one.empty]
        self._note(who, self.said_last)

    def _row_from(self, first: Mention) -> list[Mention]:
        """That name and those joined to it by "and"."""
        row = [first]
        for one in self.mentions:
            if one.start >= row[-1].end and self._joint(row[-1], one) in ("and", ","):
                if not self._only_joints(row[-1].end, one.start):
                    break
                row.append(one)
        return row

    def _only_joints(self, start: int, end: int) -> bool:
        at = start
        while at < end:
            ahead = _joins(self.found, at)
            if ahead is None:
                return False
            at = ahead
        return True

    # -- noted -------------------------------------------------------------------------------------

    def _note(self, who: Sequence[Mention], content: Sequence[Clause]) -> None:
        names = tuple(dict.fromkeys(name for one in who for name in (one.members or (one.name,))))
        if any(one.kin == ME for one in who):
            self.unread += [self._text(c.start, c.end) for c in content if not c.personal]
        again = [one for one in content if "again" in one.tells and one.names]
        if again and len(content) > len(again):
            self.doubts.append(self._text(again[0].start, again[0].end))
        for clause in content:
            self.told.append(self._reading(clause, names))

    def _reading(self, clause: Clause, people: Collection[str]) -> Reading:
        here = [
            span
            for span in self.spans
            if clause.start <= span.start
            and span.end <= clause.end
            and (span.kind not in ("food", "without", "diet") or span in clause.spans)
        ]
        inside: list[Span] = here if clause.minds else [s for s in here if s not in clause.spans]
        fields = fill(acts()[ACT], self.found, inside, self.names.foods)
        fields.pop("people", None)
        return Reading(
            said=self._text(clause.start, clause.end),
            act=ACT,
            people=tuple(people),
            evidence=evidence_of(self.found, {}, inside),
            likeness=1.0,
            **fields,
        )

    def _text(self, start: int, end: int) -> str:
        return self.typed[self.found[start].start : self.found[end - 1].end].strip(" ,;.()")


def _is_minding(found: Sequence[Word], at: int) -> bool:
    hit = phrase_from(found, at, "minds")
    return hit is not None and hit[0] == "person"


def _tells(found: Sequence[Word], at: int) -> bool:
    """Whether a phrase begins here that goes on about the same person."""
    kinds = ("minds", "tell_glue", "of_one", "of_all", "of_last", "fond", "eats_all", "denies",
             "joint", "pronoun_one", "pronoun_all", "same_as", "polite")  # fmt: skip
    return any(phrase_from(found, at, kind) is not None for kind in kinds)


def _joins(found: Sequence[Word], at: int) -> int | None:
    """Where a sign or a joint ends that stands here."""
    if not found[at].text[0].isalnum():
        return at + 1
    hit = phrase_from(found, at, "joint")
    return None if hit is None else hit[1]


def _opening(found: Sequence[Word], at: int) -> int | None:
    """Where words end that open a sentence about people, a number of them included."""
    if not found[at].is_name:
        return at + 1
    ends = [
        hit[1]
        for kind in ("person_opener", "polite", "joint")
        if (hit := phrase_from(found, at, kind)) is not None
    ]
    return max(ends, default=None)


def _opens(found: Sequence[Word], at: int, kinds: Sequence[str]) -> bool:
    while at < len(found) and not found[at].is_name:
        at += 1
    return any(phrase_from(found, at, kind) is not None for kind in kinds)

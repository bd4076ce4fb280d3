"""Which words of a sentence are people: names, words for kin, "me", and groups without names.

A name is one the household knows, one of the table of given names, or a word no table knows where
a name may stand. A name that is a word or a food too ("Olive", "Will") counts where only somebody
can be meant: written large inside a sentence, or with something said of it that is only said of
people.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache

import msgspec
from msgspec.structs import replace

from helper.kitchen.numbers import read_number
from helper.kitchen.words import Word, key, words
from helper.reading.names import Names
from helper.reading.spans import Span
from helper.reading.vocabulary import ended_by, meanings, phrase_from, read_words

ME = "Me"
EVERYBODY = "everybody"
UNNAMED = "one unnamed"
SEVERAL = "several unnamed"
_FIRM = ("severity", "portion", "preference")

# Phrases that acts know to tell something of a person → what they tell.
Telling = Mapping[tuple[str, ...], str]


class Mention(msgspec.Struct, frozen=True):
    """Words `start` to before `end` are somebody: `name`, and the `kin` they are said to be.

    `kind` is empty for one person with a name, else everybody, one unnamed ("the youngest") or
    several unnamed ("three kids"); `members` are those of a group whose names are known.
    """

    start: int
    end: int
    name: str
    kin: str = ""
    kind: str = ""
    members: tuple[str, ...] = ()


class Mentions:
    """Finds the people in one sentence."""

    def __init__(
        self,
        said: str,
        found: Sequence[Word],
        spans: Sequence[Span],
        names: Names,
        telling: Telling,
    ) -> None:
        self.said = said
        self.found = found
        self.names = names
        self.telling = telling
        cores = [(_core(span, found), span) for span in spans if span.kind != "person"]
        self._longer = {at: span.end for at, span in cores if span.end > at + 1}
        self._named = {i for span in spans if span.kind != "person" for i in _range(span)}
        self._diets = {i for span in spans if span.kind == "diet" for i in _range(span)}
        capitals = [self.typed(i)[:1].isupper() for i, word in enumerate(found) if word.is_name]
        self._shouted = len(capitals) > 1 and all(capitals) and said.upper() == said

    def typed(self, at: int) -> str:
        """A word as it was written."""
        return self.said[self.found[at].start : self.found[at].end]

    def all(self) -> list[Mention]:
        """Everybody named, in order."""
        out: list[Mention] = []
        at = 0
        while at < len(self.found):
            hit = self._at(at, out)
            if hit is None:
                at = max(at + 1, self._passed(at))
            elif out and (one := self._called(out[-1], hit) or self._told_by(out[-1], hit)):
                out[-1] = one
                at = one.end
            elif out and self._only_tells(out[-1], hit):
                out[-1] = replace(hit, start=out[-1].start)
                at = hit.end
            elif out and self._is_named_so(out[-1], hit):
                kin = out[-1].kin
                out[-1:] = [replace(out[-1], name=hit.name, kind=""), replace(hit, kin=kin)]
                at = hit.end
            else:
                out.append(hit)
                at = hit.end
        return out

    def _passed(self, at: int) -> int:
        """Where the phrase or longer name ends that begins here, none of which is a name."""
        ends = [self._longer.get(at, at)]
        for kind in ("minds", "eats_all", "fond", "person_opener"):
            if (hit := phrase_from(self.found, at, kind)) is not None:
                ends.append(hit[1])
        ends.append(told_by(self.found, at, self.telling)[1])
        return max(ends)

    def _at(self, at: int, before: Sequence[Mention]) -> Mention | None:
        found = self.found
        if not found[at].is_name and not found[at].text[0].isdigit():
            return None
        opener = phrase_from(found, at, "person_opener")
        if opener is not None and opener[1] > at + 1:
            return None
        for kind, meaning in (("one_unnamed", UNNAMED), ("everybody", EVERYBODY)):
            if (hit := phrase_from(found, at, kind)) is not None:
                members = tuple(self.names.people.values()) if meaning == EVERYBODY else ()
                return Mention(at, hit[1], self._text(at, hit[1]), "", meaning, members)
        if (kin := self._kin(at)) is not None:
            return kin
        told = ended_by(found, at, "telling_whom")  # "she tells me" is said of her alone
        if not told and (me := phrase_from(found, at, "self")) is not None:
            return Mention(at, me[1], self._of_kin(ME) or ME, ME)
        return self._name(at, before)

    # -- kin ------------------------------------------------------------------------------------

    def _kin(self, at: int) -> Mention | None:
        """ "My husband", "gran", "our three kids", "the twins": kin, one or several."""
        found, inner = self.found, at
        owned = phrase_from(found, inner, "kin_own")
        if owned is not None:
            inner = owned[1]
        number = read_number(list(found), inner) if inner < len(found) else None
        if number is not None:
            inner = number.after
        hit = phrase_from(found, inner, "kin") if inner < len(found) else None
        if hit is None or self._longer.get(inner, 0) > hit[1]:
            return None
        kin, end = hit
        alone = owned is not None or number is not None or self._stands_alone(inner)
        if not alone:
            return None
        last = found[end - 1]
        plural = last.text != last.key and not last.text.endswith("'s")
        if kin in meanings("kin_several").values() or (last.key,) in meanings("kin_several"):
            plural = number is not None and number.value != 2
        if not plural and (number is None or number.value == 1 or not _is_digit(found, at)):
            known = self._of_kin(kin)
            if known is None:
                return Mention(at, end, self._text(at, end), kin, UNNAMED)
            return Mention(at, end, known or kin, kin)
        members = [name for name, own in self.names.kin.items() if own in _members(kin)]
        if number is not None and number.value != len(members):
            members = []
        return Mention(at, end, self._text(at, end), kin, SEVERAL, tuple(members))

    def _of_kin(self, kin: str) -> str | None:
        """The one of that kin the household knows, "" for nobody, None where it may be several."""
        known = [name for name, own in self.names.kin.items() if own == kin]
        return None if len(known) > 1 else known[0] if known else ""

    def _stands_alone(self, at: int) -> bool:
        return (self.found[at].text,) in meanings("kin_alone") or (
            (self.found[at].key,) in meanings("kin_alone") and self._may_stand(at)
        )

    # -- names ----------------------------------------------------------------------------------

    def _name(self, at: int, before: Sequence[Mention]) -> Mention | None:
        known = self._known(at)
        if known is not None:
            return known
        if at in self._longer or not self._is_name(at, before):
            return None
        end = at + 1
        parts = [self._bare(at)]
        while end < len(self.found) and self._goes_on(end, before):
            step = 2 if self.found[end].text == "-" else 1
            sign = "-" if step == 2 else " "
            parts.append(sign + self._bare(end + step - 1))
            end += step
        if self.typed(at)[:1].isupper() and not self._shouted:
            name = "".join(parts)
        else:
            lower = self._shouted
            name = "".join(one.title() if one.islower() or lower else one for one in parts)
        return Mention(at, end, name)

    def _known(self, at: int) -> Mention | None:
        """A name of the household, as it is spelt there: "olives" are nobody's."""
        for length in (3, 2, 1):
            said = self.found[at : at + length]
            name = self.names.people.get(tuple(word.key for word in said))
            if name is None or len(said) < length:
                continue
            spelt = [word.text for word in words(name)] == [_owner(word.text) for word in said]
            kin = any((name_.casefold(),) in meanings("kin_alone") for name_ in [name])
            if not spelt and not kin:
                continue
            if length == 1 and (self._longer.get(at) or not self._speaks_of_one(at, name)):
                continue
            return Mention(at, at + length, name)
        return None

    def _speaks_of_one(self, at: int, name: str) -> bool:
        """A known name that is a food or a word too must stand where a name may stand."""
        word = self.found[at].text
        food = self.names.foods.named(word) is not None
        if not food and given_names().get(word) != "word":
            return True
        return self._large(at) or self._may_stand(at)

    def _is_name(self, at: int, before: Sequence[Mention]) -> bool:
        word = self.found[at]
        if not word.is_name or len(word.text) < 2 or _is_small(self.found, at):
            return False
        bare = _owner(word.text)
        capital = self.typed(at)[:1].isupper() and not self._shouted
        if bare in given_names():
            plain = not self._known_word(at)
            return plain or self._large(at) or self._may_stand(at) or self._in_row(at, before)
        if at in self._named:
            return False
        if self._known_word(at):
            heard = self._acts(at + 1) or self._in_row(at, before) or _is_opener(self.found, at)
            return self._large(at) and self._may_stand(at) and heard
        if capital:
            return True
        near = self.names.speller.nearest(bare) is not None
        return self._may_stand(at) and not (near and not self._acts(at + 1, firm=True))

    def _known_word(self, at: int) -> bool:
        word = self.found[at]
        bare = _owner(word.text)
        knows = self.names.speller.knows
        return at in self._named or knows(bare) or knows(word.key)

    def _large(self, at: int) -> bool:
        """Written large inside a sentence, where only names are."""
        first = at == 0 or self.found[at - 1].text in ".!?"
        return not first and not self._shouted and self.typed(at)[:1].isupper()

    def _may_stand(self, at: int) -> bool:
        """Whether a name may stand here: what comes next is said of somebody, or a list goes on."""
        before = at == 0 or not self.found[at - 1].is_name or _is_opener(self.found, at)
        if not before:
            return False
        if self._acts(at + 1, diets=at not in self._named):
            return True
        large = self.typed(at)[:1].isupper() and not self._shouted
        after = self.found[at + 1].text if at + 1 < len(self.found) else ""
        if large and after in (":", "("):
            return True
        return large and self._listed(at + 1) and (at > 0 or self._large_behind(at + 1))

    def _listed(self, at: int) -> bool:
        """Whether a list may go on here, or ends."""
        if at >= len(self.found) or not self.found[at].text[0].isalnum():
            return True
        return phrase_from(self.found, at, "joint") is not None

    def _large_behind(self, at: int) -> bool:
        """Whether a comma or "and" follows, and behind it a word written large."""
        while at < len(self.found) and (not self.found[at].is_name or self._listed(at)):
            at += 1
        return at < len(self.found) and self.typed(at)[:1].isupper()

    def _acts(self, at: int, diets: bool = False, firm: bool = False) -> bool:
        """Whether something follows that is only said of people; a `diet` is said of dishes too.

        With `firm`, that somebody is gone does not count: cereal is gone, too.
        """
        found = self.found
        if at < len(found) and found[at].text in "(:-":
            at += 1
        for ahead in range(at, min(at + 4, len(found))):
            minds = phrase_from(found, ahead, "minds")
            if minds is not None and minds[0] == "person":
                return True
            if phrase_from(found, ahead, "eats_all"):
                return True
            told = told_by(found, ahead, self.telling)[0]
            if told and not (firm and told not in _FIRM):
                return True
            if ahead in self._named:
                return diets and ahead in self._diets
            if not any(phrase_from(found, ahead, kind) for kind in ("tell_glue", "denies", "fond")):
                return False
        return False

    def _in_row(self, at: int, before: Sequence[Mention]) -> bool:
        """Whether it stands in a row of names: right behind one, with a comma or "and" between,

        and with the row going on or ending behind it.
        """
        if not before or before[-1].end >= at or not self._listed(at + 1):
            return False
        between = self.found[before[-1].end : at]
        return all(word.text in ",&" or (word.key,) in meanings("joint") for word in between)

    def _goes_on(self, at: int, before: Sequence[Mention]) -> bool:
        """ "Ada Marie", "Anne-Marie": the name's next part."""
        found = self.found
        if found[at].text == "-":
            near = found[at - 1].end == found[at].start and at + 1 < len(found)
            return near and found[at + 1].start == found[at].end and found[at + 1].is_name
        large = self.typed(at)[:1].isupper() and not self._shouted
        first = self.typed(at - 1)[:1].isupper()
        unowned = not found[at - 1].text.endswith("'s")
        return large and first and unowned and (at not in self._named) and self._is_name(at, before)

    def _called(self, kin: Mention, name: Mention) -> Mention | None:
        """ "My daughter Cy", "I'm Ann", "my wife, Ada, …": kin and name of one person."""
        if not kin.kin or kin.kind or name.kin or name.kind or kin.name not in (kin.kin, name.name):
            return None
        between = self.found[kin.end : name.start]
        if not between or (len(between) == 1 and between[0].text == "("):
            return Mention(kin.start, name.end, name.name, kin.kin)
        return None

    def _told_by(self, name: Mention, kin: Mention) -> Mention | None:
        """ "Henrik's mum says he's allergic": told by her, and of Henrik alone."""
        told = phrase_from(self.found, kin.end, "reports")
        owned = name.end == kin.start and self.found[kin.start - 1].text.endswith("'s")
        if not (owned and kin.kin and told) or name.kind:
            return None
        pronoun = phrase_from(self.found, told[1], "pronoun_of")
        if pronoun is not None and pronoun[0] == meanings("kin_pronoun").get(key(kin.kin)):
            return None  # "Dov's sister says she can't": it may be said of her
        return replace(name, end=told[1])

    def _only_tells(self, kin: Mention, hit: Mention) -> bool:
        """ "My mum says Ada can't have eggs": nothing is told of mum."""
        told = phrase_from(self.found, kin.end, "reports")
        return bool(kin.kin and kin.kin != ME and not hit.kin and told and told[1] == hit.start)

    def _is_named_so(self, kin: Mention, name: Mention) -> bool:
        """ "Mum can't have prawns, she's called Ada": the name of the kin spoken of before."""
        one = kin.kin and kin.kin != ME and kin.kind in ("", UNNAMED)
        unnamed = kin.name in ("", kin.kin) or bool(kin.kind)
        plain = not (name.kin or name.kind)
        return bool(one) and unnamed and plain and ended_by(self.found, name.start, "called_so")

    def _bare(self, at: int) -> str:
        return _owner(self.typed(at))

    def _text(self, start: int, end: int) -> str:
        return self.said[self.found[start].start : self.found[end - 1].end]


def _members(kin: str) -> tuple[str, ...]:
    """The kin that a word for several takes in: children are sons, daughters and more."""
    return tuple(
        part
        for value, row in ((row["value"], row) for row in read_words("people_words"))
        if row["kind"] == "kin_member" and value == kin
        for part in row["words"].split(";")
    ) or (kin,)


def told_by(found: Sequence[Word], at: int, telling: Telling) -> tuple[str, int]:
    """What the longest telling phrase at word `at` tells, and where it ends; "" for none."""
    keys: list[str] = []
    best = ("", at)
    for i in range(at, min(at + 6, len(found))):
        if not found[i].text[0].isalnum():
            break
        keys.append(found[i].key)
        if tuple(keys) in telling:
            best = (telling[tuple(keys)], i + 1)
    return best


@cache
def given_names() -> dict[str, str]:
    """Given names in lower case → name, or word where they are a word, food or place too."""
    return {
        name.casefold(): row["kind"]
        for row in read_words("given_names")
        for name in row["names"].split(";")
    }


def _is_small(found: Sequence[Word], at: int) -> bool:
    kinds: Collection[str] = ("kin_own", "joint", "tell_glue", "pronoun_one", "pronoun_all", "self")
    return found[at].text not in given_names() and any(
        (found[at].key,) in meanings(kind) for kind in kinds
    )


def _is_opener(found: Sequence[Word], at: int) -> bool:
    """Whether the words just before announce people: "this is", "and", "remember that"."""
    kinds = ("person_opener", "joint", "polite", "told_for", "same_before", "kin")
    return any(ended_by(found, at, kind) for kind in kinds)


def _is_digit(found: Sequence[Word], at: int) -> bool:
    return read_number(list(found), at) is not None or read_number(list(found), at + 1) is not None


def _owner(text: str) -> str:
    """Without the ending of possession: "Fenn's"."""
    return text[:-2] if text.endswith(("'s", "’s")) else text


def _core(span: Span, found: Sequence[Word]) -> int:
    """Where the name of a span begins: what is one of a list takes its comma along."""
    at = span.start
    while at < span.end - 1 and not (
        found[at].is_name and phrase_from(found, at, "list_joint") is None
    ):
        at += 1
    return at


def _range(span: Span) -> range:
    return range(span.start, span.end)

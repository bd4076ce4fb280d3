"""Reading a request: words → names and amounts → skeleton → act, fields, evidence.

The act is decided by margin. A clear winner is taken; two that are close are asked about; where
nothing is near, the three nearest things that can be asked are named. An act that changes the
books needs more likeness and a wider margin than one that only looks.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from msgspec.structs import replace

from helper.kitchen.words import Word, words
from helper.reading.acts import Act, acts
from helper.reading.answering import answer_to
from helper.reading.carried import with_context
from helper.reading.changes import SHOW
from helper.reading.context import Context
from helper.reading.continuing import continued
from helper.reading.fields import FIELD_OF, evidence_of, fill
from helper.reading.follow import correction, follow_up
from helper.reading.heard import Heard, asks_by_tag
from helper.reading.introductions import ACT
from helper.reading.labels import labelled
from helper.reading.names import Names
from helper.reading.of_the_last import COOKED
from helper.reading.one_of import listed_dishes
from helper.reading.pasted import KEEP
from helper.reading.phrasebook import Likeness, Phrasebook
from helper.reading.phrases import NOTHING
from helper.reading.reading import Evidence, Question, Reading
from helper.reading.skeleton import skeleton
from helper.reading.spans import Span
from helper.reading.spelling import Speller, capitals, not_taken, respelt
from helper.reading.strangers import introduced
from helper.reading.turning import ADDED, MOVED
from helper.reading.vocabulary import (
    ended_by,
    holds_phrase,
    meanings,
    phrase_from,
    spelt,
    word_classes,
)

_DROPPING = re.compile(r"([^.,;!?]{2,30})[.,;!]+\s+(.+)", re.DOTALL)
IDLE = "idle"  # a mark on words that ask nothing: "thanks"
LONGEST = 4000  # characters of one request; beyond that it is no sentence
NEAR = 0.64  # likeness an act needs to be thought of
SURE, APART = 0.78, 0.006  # likeness and margin a change needs not to be asked about
# Not so near, the first thing said needs a wider margin: half of such changes are none.
FIRM, WIDE = 0.84, 0.05
ALONE = 0.12  # from this margin on nothing else can be meant, unlike as it may be
PLAIN = 0.8  # what words that are mostly misspelt, or of another language, need
QUESTION = 0.12  # what a question mark takes from acts that would change the books
LONG = 4  # letters of a strange word that may be the name of something
SHORT, GOES_ON = 4, 0.08  # so few words lean so much to what was asked before


class Reader:
    """Reads requests for one household's names, against one book of phrases."""

    def __init__(self, names: Names, phrases: Phrasebook) -> None:
        self.names = names
        self.phrases = phrases

    def read(self, said: str, today: dt.date, context: Context | None = None) -> Reading:
        """What the words mean. `act` is None where nothing is near or a question is asked back."""
        context = context or Context()
        if len(said) > LONGEST:
            return Reading(said=said[:200])
        said = after_dropping(said)
        found, changed = respelt(words(said), self.names.speller, capitals(said))
        if not found:
            return Reading(said=said)
        spans = listed_dishes(self.names.spot(found, today), found, context, self.names)
        evidence = evidence_of(found, changed, spans)
        tokens = skeleton(found, spans)
        heard = Heard(said, found, spans, tokens, today, evidence)
        reading = answer_to(heard, context, self.names)
        if reading is None and heard.is_whole("idle"):
            return Reading(said=said, marks=(IDLE,))
        if reading is None and not context.done and heard.is_whole("dropping"):
            return Reading(said=said, marks=(IDLE,))  # there is nothing to take back
        reading = reading or labelled(heard, self.names, context)
        of_place = _asks_of_place(heard)
        for way in (correction,) if of_place else (correction, follow_up):
            reading = reading or way(heard, context, self.names)
        if reading is not None:
            return reading
        likenesses = self.phrases.compare(tokens)
        talked = _with_talk(likenesses, tokens, context)
        if not of_place and (more := continued(heard, context, self.names, talked)):
            return more
        strange = _mostly_strange(found, changed, self.names.speller)
        if strange and (not likenesses or likenesses[0].score < PLAIN):
            return Reading(said=said)
        reading = self._decide(said, found, spans, tokens, talked, context)
        reading = with_context(reading, heard, context, self.names)
        reading = _moved(self._of_something(reading, heard), heard)
        if reading.act == ACT and not reading.people:
            reading = replace(reading, people=introduced(said, self.names, today))
        shown = Evidence(said, "act", reading.act or "", True)
        unsure = not_taken(found, changed, spans, self.names.speller)
        return replace(reading, evidence=(*evidence, shown), unsure=unsure)

    def named(self, said: str, today: dt.date) -> tuple[list[Word], list[Span]]:
        """The words of something said, put right, and what they name."""
        found, _ = respelt(words(said), self.names.speller)
        return found, self.names.spot(found, today)

    def begins(self, said: str, *kinds: str) -> bool:
        """True where words begin with a phrase of one of these kinds of the vocabulary."""
        found, _ = respelt(words(said), self.names.speller)
        return any(phrase_from(found, 0, kind) is not None for kind in kinds)

    def says(self, said: str, kind: str) -> bool:
        """True where a phrase of that kind of the vocabulary is said anywhere."""
        return holds_phrase(respelt(words(said), self.names.speller)[0], kind)

    def _of_something(self, reading: Reading, heard: Heard) -> Reading:
        """A question about a thing no table knows is not one about everything there is."""
        act = reading.act
        whole = act is not None and act in spelt("of_all")
        if not whole or _names_any(reading) or reading.people or reading.place:
            return reading
        strange = [
            word
            for word in heard.left()
            if word.is_name and len(word.text) >= LONG and not self.names.speller.knows_word(word)
        ]
        if not strange or heard.has("pronoun"):
            return reading
        said = " ".join(word.text for word in strange)
        text = f"I know no {said}, and the books hold nothing of that name. What do you mean?"
        return replace(reading, question=Question(text, (), "foods"))

    def _decide(
        self,
        said: str,
        found: list[Word],
        spans: Sequence[Span],
        tokens: list[str],
        likenesses: list[Likeness],
        context: Context,
    ) -> Reading:
        likenesses = _as_asked(_with_kinds(likenesses, spans), found)
        likenesses = _as_planned(_as_moved(likenesses, found, spans), found)
        near = tuple(one.act for one in likenesses if one.act != NOTHING)[:3]
        if not likenesses or likenesses[0].act == NOTHING:
            return Reading(said=said, near=near)
        best = likenesses[0]
        act = acts()[best.act]
        second = next((one.score for one in likenesses[1:]), 0.0)
        margin = best.score - second
        reading = Reading(
            said=said,
            act=best.act,
            likeness=best.score,
            margin=margin,
            near=near,
            **fill(act, found, spans, self.names.foods),
        )
        if act.changes and _only_names(spans, tokens) and any(s.kind == "recipe" for s in spans):
            # a dish's name and a time of day tell of nothing done: they ask for the dish
            fields = fill(acts()[SHOW], found, spans, self.names.foods)
            return Reading(said=said, act=SHOW, near=near, likeness=best.score, **fields)
        if best.score < NEAR or not _says_enough(act, reading, spans, tokens, context):
            return Reading(said=said, near=near, likeness=best.score)
        if (either := _either_way(act, tokens, context)) is not None:
            return _asked(replace(reading, act=either[0]), either)
        # out of the blue, what is not so near is more often none of our business
        apart = APART if best.score >= FIRM or context.last is not None else WIDE
        clear = best.score >= SURE and margin >= apart
        # what somebody must not have is never noted of the wrong one: it is asked
        alone = margin >= ALONE and not act.avoids
        if act.changes and not (clear or alone):
            return _asked(reading, near)
        return reading


def after_dropping(said: str) -> str:
    """ "Never mind. What's in the pantry?", "Goodness. And the soup?": the request behind it."""
    dropped = _DROPPING.match(said)
    if dropped is None:
        return said
    first, rest = words(dropped[1]), words(dropped[2])
    if _is_whole(first, "exclaiming"):
        return after_dropping(dropped[2])
    asks = any(phrase_from(rest, 0, kind) for kind in ("questioning", "ordering"))
    # "lovely, put two pounds down": pleased, and then a request
    passed = _is_whole(first, "dropping", "polite") or _is_whole(first, "pleased")
    return dropped[2] if passed and asks else said


def _is_whole(found: Sequence[Word], kind: str, before: str = "") -> bool:
    """True where the words are one phrase of that kind; some of another kind may lead to it."""
    at = 0
    while at < len(found):
        hit = phrase_from(found, at, kind)
        if hit is not None and hit[1] == len(found):
            return True
        led = phrase_from(found, at, before) if before else None
        if led is None:
            return False
        at = led[1]
    return False


def _asks_of_place(heard: Heard) -> bool:
    """ "What's in the fridge" is a whole question, whatever was asked for before it."""
    outright = heard.opens("asks_outright") and not heard.opens("link")
    return bool(outright) and {span.kind for span in heard.spans} == {"place"}


def _says_enough(
    act: Act,
    reading: Reading,
    spans: Sequence[Span],
    tokens: Sequence[str],
    context: Context,
) -> bool:
    """A bare number asks nothing, and nothing is changed where no thing to change is named."""
    counts = reading.amounts and all(one.amount.unit is None for one in reading.amounts)
    if act.lists and reading.likeness < SURE and counts and not _names_any(reading):
        return False  # "pick one"
    numbers = ("<amount>", "<number>", "<money>", "?")
    if tokens and all(token in numbers or (token,) in meanings("more") for token in tokens):
        return False
    if act.changes and act.takes and not reading.foods and _only_names(spans, tokens):
        return False
    if not act.changes or not act.names_things:
        return True
    named = reading.foods or reading.recipes or reading.without or reading.people
    stands = any(s.kind == "amount" for s in spans) or any(
        (token,) in meanings("standing_for") for token in tokens
    )
    counted = (reading.amounts or stands or "half_left" in reading.marks) and context.foods
    return bool(named or counted or reading.diets or any(s.kind == "pronoun" for s in spans))


def _names_any(reading: Reading) -> bool:
    return bool(reading.foods or reading.recipes or reading.without)


def _only_names(spans: Sequence[Span], tokens: Sequence[str]) -> bool:
    """ "Chili tonight": a dish or an ordinal with nothing that is said to have been done."""
    small = {**meanings("small"), **meanings("day_part")}
    telling = {span.kind for span in spans} & {"without", "diet"}
    return not telling and all(t[0] == "<" or t == "?" or (t,) in small for t in tokens)


def _mostly_strange(found: Sequence[Word], changed: dict[int, str], known: Speller) -> bool:
    """More than half of the words unknown or respelt: another language, or none."""
    named = [i for i, word in enumerate(found) if word.is_name]
    strange = [
        i
        for i in named
        if i in changed or not (known.knows(found[i].key) or known.knows(found[i].text))
    ]
    return len(named) >= 4 and len(strange) > len(named) / 2


def _asked(reading: Reading, near: Sequence[str]) -> Reading:
    choices = tuple(acts()[name].wants for name in near[:2])
    text = (
        f"Do you mean {choices[0]}, or {choices[1]}?" if len(choices) > 1 else "What do you mean?"
    )
    return replace(reading, question=Question(text, tuple(near[:2]), "act"))


def _either_way(act: Act, tokens: Sequence[str], context: Context) -> tuple[str, ...] | None:
    """ "Add milk" puts it on the shelf or on the list, whichever was spoken of before."""
    if len(tokens) < 2 or not set(tokens[1:]) <= {"<food>", "<amount>"}:
        return None
    may = tuple(meanings("either_act").get((tokens[0],), "").split())
    last = context.last.act if context.last is not None else None
    return may if act.name in may and last not in may else None


def _with_talk(
    likenesses: list[Likeness], tokens: Sequence[str], context: Context
) -> list[Likeness]:
    """A few words after another request most likely go on about the same.

    A change is not likelier for one made before: it has to be said by itself.
    """
    talked = [one.act for one in (context.last, context.earlier) if one is not None and one.act]
    last = {act for act in talked if act and not acts()[act].changes}
    if len(tokens) > SHORT or not last or talked[0] not in last:
        return likenesses
    out = [
        Likeness(one.act, one.score + GOES_ON * (one.act in last), one.nearest)
        for one in likenesses
    ]
    return sorted(out, key=lambda one: (-one.score, one.act))


def _with_kinds(likenesses: list[Likeness], spans: Sequence[Span]) -> list[Likeness]:
    """What is named speaks for some acts too: a person's name does not ask for the stock.

    A recipe that is told names things of all kinds.
    """
    kinds = {FIELD_OF.get(span.kind, "") for span in spans} - {""}
    if not kinds:
        return likenesses
    out = []
    for one in likenesses:
        takes = acts()[one.act].takes if one.act != NOTHING else frozenset()
        missed = len([kind for kind in kinds if kind not in takes]) if one.act != KEEP else 0
        out.append(Likeness(one.act, one.score - 0.05 * missed, one.nearest))
    return sorted(out, key=lambda one: (-one.score, one.act))


def _as_asked(likenesses: list[Likeness], found: Sequence[Word]) -> list[Likeness]:
    """A question tells of nothing that happened, unless it asks to have it noted."""
    asks = bool(found) and (found[-1].text == "?" or asks_by_tag(found))
    if holds_phrase(found, "polite") or not asks:
        return likenesses
    out = [
        Likeness(one.act, one.score - QUESTION * _changing(one.act), one.nearest)
        for one in likenesses
    ]
    return sorted(out, key=lambda one: (-one.score, one.act))


def _moved(reading: Reading, heard: Heard) -> Reading:
    """ "Move 1 lb from the freezer to the fridge": it is not used, and nothing has come in."""
    places = [s for s in heard.spans if s.kind == "place"]
    left = [s for s in places if ended_by(heard.found, s.start, "leaving_place")]
    kept = [s for s in places if s not in left]
    if reading.act not in (ADDED, "use-stock") or not (left and kept and reading.foods):
        return reading
    if {one for w in heard.found for one in word_classes().get(w.text, ())} & {"@buy", "@arrive"}:
        return reading
    marks = (*reading.marks, MOVED)
    return replace(reading, act=ADDED, place=kept[-1].value, marks=marks, question=None)


def _as_moved(
    likenesses: list[Likeness], found: Sequence[Word], spans: Sequence[Span]
) -> list[Likeness]:
    """What is pulled from a place of the house has not come into it, unless it is said to have."""
    leaves = any(s.kind == "place" and ended_by(found, s.start, "leaving_place") for s in spans)
    classes = {one for word in found for one in word_classes().get(word.text, ())}
    if not leaves or classes & {"@buy", "@arrive"}:
        return likenesses
    out = [
        Likeness(one.act, one.score - QUESTION * (one.act == ADDED), one.nearest)
        for one in likenesses
    ]
    return sorted(out, key=lambda one: (-one.score, one.act))


def _as_planned(likenesses: list[Likeness], found: Sequence[Word]) -> list[Likeness]:
    """ "I want to make a crumble": what is to be has not been made."""
    if not holds_phrase(found, "to_be_made"):
        return likenesses
    out = [
        Likeness(one.act, one.score - QUESTION * (one.act == COOKED), one.nearest)
        for one in likenesses
    ]
    return sorted(out, key=lambda one: (-one.score, one.act))


def _changing(act: str) -> bool:
    return act != NOTHING and acts()[act].changes

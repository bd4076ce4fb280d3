"""Words that only go on from the request before them, told by what was learnt from examples.

They stand in `phrases/going_on/*.txt`: "act: words", where the act is that of the request said
before. Phrases that ask for something by themselves stand for words that begin anew, after
whatever was said before. Words round what is named are passed over here; the ways of
`helper.reading.follow`, which account for every word, come first.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterable, Sequence
from functools import cache

from msgspec.structs import replace

from helper.kitchen.foods import Foods
from helper.reading.acts import acts
from helper.reading.changes import changes, guarded, is_further
from helper.reading.context import Context
from helper.reading.fields import FIELD_OF
from helper.reading.follow import may_set, takes_alone
from helper.reading.going_on import EARLIER, gone_on
from helper.reading.heard import Heard
from helper.reading.names import Names
from helper.reading.phrasebook import Likeness
from helper.reading.phrases import FOLDER, GOING_ON, NOTHING, read_marked, read_phrases
from helper.reading.reading import Reading
from helper.reading.skeleton import features, skeleton_of
from helper.reading.vocabulary import ended_by, meanings, phrase_from
from helper.reading.weighing import Scales, learnt

_SHORT = (2, 4, 7, 12)  # words up to which a saying counts as so short
# How what was learnt is weighed against what the words would be by themselves: fitted once to
# conversations, where 9 of 10 sayings were told apart rightly.
_OWN, _MARGIN, _AT_FIRST = 3.5, -2.2, -1.1
_CLEARLY = 0.1  # by so much must something told be nearer than anything else
_HAIR = 0.01
_OUTRIGHT = 0.15  # so much nearer, words that no link opens begin anew
_RATHER = 0.04  # and by so much where a question word opens it
_SURELY = 1.5  # what goes on from a change that is made already has to be clearer
_RIGHTED = 1.2  # and less so where it puts that right
# From here on neither a pronoun speaks against it, nor what the words would be alone.
_PLAINLY = 2.5
_ANEW = 8  # of so many phrases one is learnt as words that begin anew: there are enough


def continued(
    heard: Heard, context: Context, names: Names, alone: Sequence[Likeness]
) -> Reading | None:
    """The open request with what these words change in it, or None where they begin anew.

    `alone`: how near the words come to each act by themselves, nearest first.
    """
    base = context.open
    if base is None or base.act is None or not acts()[base.act].takes:
        return None
    if heard.has("ordinal") or (heard.opens("asks_outright") and not heard.opens("link")):
        return None  # a question by itself, or of one of those that were shown
    heard = heard.without_in_it()
    done = context.done and guarded(base.act)
    if done and (before := _only_of_earlier(heard, base, context)) is not None:
        found = continued(heard, replace(context, last=before, earlier=None), names, alone)
        return None if found is None else replace(found, marks=(*found.marks, EARLIER))
    earlier = context.earlier.act if context.earlier is not None else None
    if earlier not in (None, base.act) and _is_near(earlier, alone):
        return None
    lean = _lean(heard, base.act, alone)
    if _asks_anew(heard) and _is_clear(base.act, alone, _RATHER):
        return None
    long = len(heard.tokens) >= _SHORT[1]
    if long and not heard.opens("link") and _is_clear(base.act, alone, _OUTRIGHT):
        return None
    if _is_clear(base.act, alone, _CLEARLY):
        anew = acts()[alone[0].act].changes and not heard.opens("link")
        if anew and lean < _PLAINLY:
            return None  # "bought milk", after a question about carrots, asks of no milk
    corrects = bool(heard.opens("correction") or heard.opens("slip"))
    if lean < ((_SURELY, _RIGHTED)[corrects] if done else 0.0):
        return None
    if guarded(base.act) and (heard.asks or heard.opens("needing")):
        return None  # "get another bag", of rice that was used up
    if heard.has("pronoun") and not heard.opens("link"):
        head = heard.head()
        if head is not None and not head.has("pronoun") and not heard.asks:
            heard = head  # "without potatoes, we had them yesterday"
        elif lean < _PLAINLY:
            return None  # "would it do for Bertil" asks something else of it
    fields = changes(heard, base, names, corrects=corrects)
    if not fields or not (corrects or may_set(heard, context, base, fields)):
        return None
    begins = any(
        s.kind == "date" and ended_by(heard.found, s.start, "starting") for s in heard.spans
    )
    planned = acts()[base.act].lists and not guarded(base.act) and context.done
    if planned and heard.has("date") and not (begins or fields.get("days")):
        # a word on one day of a plan: the plan stays, and is not made anew
        kept = {"people": base.people, "servings": base.servings}
        return Reading(**{**kept, **fields}, said=heard.said, act=base.act, evidence=heard.evidence)
    further = is_further(heard, base, fields)
    return gone_on(heard, context, base, fields, amends=context.done and not further)


def _only_of_earlier(heard: Heard, base: Reading, context: Context) -> Reading | None:
    """The change before the last where only that one can take what is said: "for six it was"."""
    before = context.earlier
    if before is None or before.act is None or not guarded(before.act):
        return None
    said = {FIELD_OF[span.kind] for span in heard.spans if span.kind in FIELD_OF}
    return before if said and takes_alone(said, before, base) else None


def _is_near(act: str | None, alone: Sequence[Likeness]) -> bool:
    """True where the words by themselves are nearest to this act, and not by a hair."""
    own = alone[0].score if alone and alone[0].act == act else 0.0
    return own > 0 and (len(alone) < 2 or own - alone[1].score > _HAIR)


def _is_clear(act: str, alone: Sequence[Likeness], by: float) -> bool:
    """True where the words by themselves are nearer to another act than to any, by so much."""
    if len(alone) < 2 or alone[0].act not in acts() or alone[0].act == act:
        return False
    return alone[0].score - alone[1].score > by


def _asks_anew(heard: Heard) -> bool:
    """ "And what can I use for lemon", over a recipe, is a question of its own."""
    link = heard.opens("link")
    return link is not None and phrase_from(heard.found, link[1], "questioning") is not None


def _lean(heard: Heard, act: str, alone: Sequence[Likeness]) -> float:
    """Above 0 where words rather go on from a request of this act than ask what they say."""
    likely = min(max(going_on(heard.tokens, act), 0.001), 0.999)
    lean = math.log(likely / (1 - likely))
    if len(alone) < 2:
        return lean
    if alone[0].act == act:
        return lean  # asked in full, it is asked anew
    own = next((one.score for one in alone if one.act == act), 0.0)
    return lean + _OWN * own + _MARGIN * (alone[0].score - alone[1].score) + _AT_FIRST


def going_on(tokens: Sequence[str], act: str) -> float:
    """0 to 1: how likely a skeleton goes on from a request of that act."""
    return scales().leaning(_features(tokens, act))


def _features(tokens: Sequence[str], act: str) -> list[str]:
    plain = features(tokens)
    kinds = {token for token in tokens if token[0] == "<"}
    length = sum(len(tokens) > most for most in _SHORT)
    first = tokens[0] if tokens else ""
    return [
        *plain,
        f"long {length}",
        f"after {act}",
        f"after {act} {length}",
        f"after {act} ^ {first}",
        *(f"after {act} {kind}" for kind in kinds),
    ]


@cache
def scales() -> Scales:
    """What was learnt, worked out once."""
    return learnt("going_on", "continuing.py", _examples)


def _examples() -> Iterable[tuple[bool, Sequence[str]]]:
    names = Names(Foods())
    said = [(act, text) for (act, *_), text in read_marked(FOLDER / GOING_ON)]
    befores = sorted(act for act, _ in said)
    openers = [one for one, often in meanings("opener").items() for _ in range(int(often))]
    for act, text in said:
        yield True, _features(skeleton_of(text, names), act)
    for phrase in read_phrases():
        number = zlib.crc32(phrase.text.encode())
        if phrase.act != NOTHING and number % _ANEW == 0:
            # by its share of all numbers: a further example moves few of them to another act
            before = befores[number * len(befores) >> 32]
            tokens = skeleton_of(phrase.text, names)
            yield False, _features(tokens, before)
            if len(tokens) > _SHORT[1]:
                # "and", "ok" open what begins anew as well
                yield False, _features([*openers[number % len(openers)], *tokens], before)

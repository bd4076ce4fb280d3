""" "Stock: rice", "price: butter": what is asked, as the label of a form, and of what.

Labels that would change the books are left to what the whole sentence is like.
"""

from __future__ import annotations

from helper.reading.acts import acts
from helper.reading.context import Context
from helper.reading.fields import fill
from helper.reading.heard import Heard
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from

_MOST = 4  # words of such a label


def labelled(heard: Heard, names: Names, context: Context) -> Reading | None:
    """The request of a label, a colon and nothing but what it is asked of; None for others.

    The label may stand behind a food without a sign: "egg substitute".
    """
    # "split pea instead", over a dish, is said of the dish
    over_dish = context.open is not None and bool(context.open.recipes)
    if not (over_dish and heard.says("in_its_place")) and (behind := _behind(heard, names)):
        return behind
    sign = next((at for at, word in enumerate(heard.found) if word.text == ":"), None)
    hit = phrase_from(heard.found, 0, "label")
    if sign is None or hit is None or hit[1] != sign:
        return None
    spans = [s for s in heard.spans if s.start > sign]
    act = acts()[hit[0]]
    if not spans or act.changes or heard.left(after=sign):
        return None
    fields = fill(act, heard.found, spans, names.foods)
    if not any(fields.get(name) for name in ("foods", "recipes", "place", "amounts")):
        return None
    return Reading(
        said=heard.said, act=act.name, evidence=heard.evidence, likeness=1.0, margin=1.0, **fields
    )


def _behind(heard: Heard, names: Names) -> Reading | None:
    said = [word for word in heard.found if word.text[0].isalnum()]
    hit = phrase_from(said, len(said) - 1, "label_behind") if 1 < len(said) <= _MOST else None
    food = names.foods.named(" ".join(word.text for word in said[:-1])) if hit else None
    if hit is None or food is None:
        return None
    return Reading(
        said=heard.said, act=hit[0], foods=(food,), evidence=heard.evidence,
        likeness=1.0, margin=1.0,
    )  # fmt: skip

"""A recipe told a line at a time, after "keep this recipe": which lines belong to it.

It is kept from the first line of what goes in, and kept anew with each further one, so that it is
whole wherever the talk breaks off. A closing word, a question, or what follows an empty line and
looks like no part of a recipe ends it.
"""

from __future__ import annotations

import msgspec

from helper.acts.pasting import pasted_recipe
from helper.acts.wording import listed
from helper.answers import Answer, Say
from helper.kitchen.foods import Foods
from helper.kitchen.quantities import read_amount
from helper.kitchen.recipes import Recipe
from helper.kitchen.words import key, words
from helper.reading.pasted import KEEP
from helper.reading.reading import Reading
from helper.reading.vocabulary import meanings, phrase_from

# A mark on the readings of single lines of a recipe.
LINE = "line"


class Dictation(msgspec.Struct, frozen=True):
    """The lines told so far, and whether an empty one came last."""

    lines: tuple[str, ...] = ()
    paused: bool = False

    @property
    def text(self) -> str:
        """What was told so far, as it would have been pasted."""
        return "\n".join(self.lines)

    def ends_with(self, line: str) -> bool:
        """True for a word that closes the recipe: "done"."""
        return key(line) in meanings("told_all")

    def measured(self, line: str) -> bool:
        """True for a line that begins with an amount."""
        return read_amount(words(line)) is not None

    def takes(self, line: str, foods: Foods) -> bool:
        """Whether a line is part of the recipe, and no request of its own."""
        found = words(line)
        if not found or self.ends_with(line):
            return False
        if found[-1].text == "?" or phrase_from(found, 0, "asks_outright") is not None:
            return False
        return not self.paused or self._goes_on(line, foods)

    def _goes_on(self, line: str, foods: Foods) -> bool:
        """Behind an empty line: what goes in or a step, where a recipe has either next."""
        bare = line.strip()
        first = words(bare)[0].text
        if first.isdigit() and bare[len(first) : len(first) + 1] in (".", ")"):
            return True
        recipe = self.recipe(foods)
        if recipe is not None and recipe.steps:
            return False
        return bare[-1] in ".:" or self.measured(bare)

    def recipe(self, foods: Foods) -> Recipe | None:
        """The recipe so far; None while nothing that goes in was told."""
        if len(self.lines) < 2:
            return None
        found = pasted_recipe(self.text, foods)
        return found if found is not None and found.lines else None

    def with_line(self, line: str) -> Dictation:
        """The recipe with one more line."""
        return Dictation((*self.lines, line.strip()))

    def reading(self) -> Reading:
        """The request to keep what was told so far."""
        return Reading(said=self.text, act=KEEP, words=self.text, marks=(LINE,))


def begun(reading: Reading) -> Answer:
    """The answer to a title, and to all that comes before what goes in."""
    title = reading.said.split("\n")[0]
    return Answer(
        reading, {"recipe": title, "lines": [], "unread": []}, (Say(f"{title}: go on.", "quiet"),)
    )


def told(answer: Answer) -> Answer:
    """The answer to one more line, said short: how much of the recipe is kept by now."""
    reply = answer.reply
    counted = [
        f"{len(reply[part])} {name}{'s' * (len(reply[part]) != 1)}"
        for part, name in (("lines", "ingredient"), ("steps", "step"))
        if reply[part]
    ]
    said = [Say(f'Kept so far: {listed(counted)}. "Done" closes it.', "quiet")]
    last = answer.reading.said.split("\n")[-1]
    if last in reply["unread"]:
        said.insert(0, Say("I could not read that line; it is kept as written.", "warn"))
    return msgspec.structs.replace(answer, blocks=tuple(said))

"""What to do with leftovers, scraps and failures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import islice

from helper.acts.house import House
from helper.acts.wording import listed
from helper.answers import Answer, Because, Block, Items, Say, asking
from helper.kitchen.rescues import Rescue, Rescues, troubles_told
from helper.kitchen.words import key
from helper.reading.reading import Reading

_MOST, _MOST_OWN = 10, 3


class _Case:
    """What is left over or has gone wrong: foods, or a dish of this household."""

    def __init__(self, reading: Reading, house: House) -> None:
        self.said = reading.said
        self._house = house
        self.dish = next(
            (
                found
                for title in reading.recipes
                if (found := house.books.recipe_titled(title)) is not None
            ),
            None,
        )
        plain = tuple(food for food in reading.foods if house.foods.kinds(food)[:1] != (food,))
        # "leftover tofu": the wide word only says that the other is left over
        self.foods = plain or reading.foods

    @property
    def name(self) -> str:
        """What it is called: the foods as they were read, or the dish's title."""
        return listed(self.foods) or (self.dish.title if self.dish else "that")

    @cached_property
    def subjects(self) -> tuple[str, ...]:
        """The foods asked about; for a dish the foods of its title, and the sort of dish it is."""
        if self.dish is None:
            return self.foods
        title = self._house.foods.find(self.dish.title)
        sort = self._house.keeping.dish(self.dish)
        return tuple(dict.fromkeys((*self.foods, *((title.food,) if title else ()), sort)))

    @cached_property
    def own(self) -> list[str]:
        """Titles of the household's recipes that use it, those that name it first."""
        foods, index = self._house.foods, self._house.index
        wanted = self.foods or self.subjects[:1]
        places = {place for food in wanted for place in index.holding(food)}
        titles = {index.titles[place] for place in places}
        if self.dish is not None:
            titles.discard(self.dish.title)
        names = {word for food in wanted for word in key(foods[food].base or food)}
        return sorted(titles, key=lambda title: (not names & set(key(title)), title))

    def within(self, idea: Rescue | None) -> tuple[int | None, str]:
        """Days it may wait, and the caution: of the row, or else by the book of keeping times."""
        if idea is not None and idea.within_days is not None:
            return idea.within_days, idea.caution
        caution = idea.caution if idea else ""
        food = self.subjects[0] if self.subjects else idea.left_over if idea else ""
        for state in ("leftover", "opened"):
            for place in ("fridge", "shelf"):
                kept = self._house.keeping.time(food, place, state)
                if kept is not None and not kept.never:
                    limit = f"Keeps {kept.days_min} to {kept.days_max} days ({place})."
                    return kept.days_min, caution or limit
        return None, caution or "How long it keeps is not told: go by its label, or freeze it."


def rescue(reading: Reading, house: House) -> Answer:
    """Ideas from the book and from the household's own recipes, always with the keeping limit."""
    case = _Case(reading, house)
    ideas = Rescues(house.foods).ideas(
        case.subjects, reading.said, dish=case.dish is not None or _is_made(case.foods, house)
    )
    ideas = [one for one in ideas if not _unwanted(one.becomes, reading)][:_MOST]
    if not ideas and not case.subjects:
        return asking(reading, "What is left over, or what went wrong?", about="foods")
    rows = [_row(case, idea, _linked(case, idea)) for idea in ideas]
    named = {row["recipe"] for row in rows}
    own = [one for one in case.own if one not in named and not _trouble(ideas, case)]
    own = [one for one in own if not _unwanted(one, reading)]
    rows += [_own_row(case, one) for one in own[:_MOST_OWN]]
    reply: dict[str, object] = {"ideas": rows, "for": case.name}
    if not rows:
        return _nothing(reading, case, reply, house)
    return Answer(
        reading,
        reply,
        tuple(_blocks(case, rows)),
        cautions=house.cautions.about(case.subjects, ["leftover"], ["save"], reading.said, most=1),
        because=tuple(
            Because(f"{one.left_over} ({one.state}): {one.becomes}", "book of rescues", one.source)
            for one in ideas
        ),
        offered=tuple(str(row["recipe"] or row["becomes"]) for row in rows),
        foods=reading.foods,
        recipes=tuple(str(row["recipe"]) for row in rows if row["recipe"])[:1],
    )


def _unwanted(becomes: str, reading: Reading) -> bool:
    """ "Not a pudding": an idea that is called so."""
    called = set(key(becomes))
    return any(set(key(one)) <= called for one in reading.without)


def _is_made(foods: Sequence[str], house: House) -> bool:
    """True for foods that are dishes in themselves: what holds for any dish holds for them."""
    return any(house.keeping.times(food, state="leftover") for food in foods)


def _trouble(ideas: Sequence[Rescue], case: _Case) -> bool:
    """True where something went wrong: other recipes are no help then."""
    told = troubles_told(case.said)
    return bool(ideas) and (case.dish is not None or any(one.state in told for one in ideas))


def _linked(case: _Case, idea: Rescue) -> str | None:
    """A recipe of the household's own that an idea amounts to: "banana bread or pancakes"."""
    parts = [key(part) for half in idea.becomes.split(",") for part in half.split(" or ")]
    return next(
        (
            title
            for title in case.own
            if any(part and set(part) <= set(key(title)) for part in parts)
        ),
        None,
    )


def _row(case: _Case, idea: Rescue, recipe: str | None) -> dict[str, object]:
    days, caution = case.within(idea)
    return {
        "becomes": idea.becomes,
        "how": idea.how,
        "recipe": recipe,
        "within_days": days,
        "caution": caution,
        "source": idea.source,
        "left_over": idea.left_over,
    }


def _own_row(case: _Case, title: str) -> dict[str, object]:
    days, caution = case.within(None)
    return {
        "becomes": title,
        "how": "one of your own recipes",
        "recipe": title,
        "within_days": days,
        "caution": caution,
        "source": "the household's books",
        "left_over": case.name,
    }


def _blocks(case: _Case, rows: Sequence[dict[str, object]]) -> Iterator[Block]:
    count = len(rows)
    yield Say(f"{count} way{'s' if count > 1 else ''} out for {case.name}.")
    yield Items(tuple(_line(row) for row in rows), numbered=True)
    cautions = dict.fromkeys(str(row["caution"]) for row in rows if row["caution"])
    for caution in islice(cautions, 2):
        yield Say(caution, "quiet")


def _limit(days: object) -> str:
    if days is None:
        return ""
    if days == 0:
        return " At once."
    return f" Within {days} day{'' if days == 1 else 's'}."


def _line(row: dict[str, object]) -> str:
    becomes = str(row["becomes"])
    own = f" Your recipe: {row['recipe']}." if row["recipe"] and row["recipe"] != becomes else ""
    end = "" if str(row["how"]).endswith(".") else "."
    return f"{becomes[0].upper()}{becomes[1:]}: {row['how']}{end}{own}{_limit(row['within_days'])}"


def _nothing(reading: Reading, case: _Case, reply: dict[str, object], house: House) -> Answer:
    days, caution = case.within(None)
    limit = f" Use it within {days} days or freeze it." if days is not None else ""
    text = f"I know no special use for {case.name}.{limit} {caution}"
    return Answer(reading, reply, (Say(text),), foods=reading.foods)

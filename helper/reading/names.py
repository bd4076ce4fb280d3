"""All names a reader can meet, and the spotting of everything a request names."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, partial

from msgspec.structs import replace

from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods, Found
from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import Measured, line_words, read_amount, unit_at
from helper.kitchen.units import units
from helper.kitchen.words import Word, key
from helper.reading.headcounts import is_helping_verb, spot_scales, spot_servings
from helper.reading.spans import Span, choose
from helper.reading.spelling import Speller
from helper.reading.sums import is_price, per_at, spot_money
from helper.reading.titles import Titles
from helper.reading.vocabulary import (
    ended_by,
    meanings,
    phrase_from,
    spelt,
    text_at,
    vocabulary_words,
    word_classes,
)
from helper.reading.when import spot_times
from rules.tables import rows

# Of equally long readings of the same words, the kind that stands first here wins.
_ORDER = (
    "money",
    "minutes",
    "days",
    "date",
    "servings",
    "price?",
    "per",
    "limit?",
    "diet",
    "person",
    "recipe",
    "food",
    "place",
    "ordinal",
    "scale",
    "amount",
    "everyone",
    "pronoun",
)


@cache
def avoid_words() -> dict[tuple[str, ...], tuple[str, ...]]:
    """What people say they keep away from → allergen or diet ids."""
    return {key(row["words"]): tuple(row["id"].split(";")) for row in rows("books/avoid_words.csv")}


class Names:
    """Foods, recipe titles, people and shops of one household, ready to be found in sentences."""

    def __init__(
        self,
        foods: Foods,
        titles: Iterable[str] = (),
        people: Iterable[str] = (),
        shops: Iterable[str] = (),
        phrase_words: Iterable[str] = (),
        strange_words: Iterable[str] = (),
    ) -> None:
        self.foods = foods
        self.titles = Titles(titles, foods)
        self.people = {key(name): name for name in people}
        self.shops = {key(name): name for name in shops if key(name)}
        everyday = set(spelt("common"))
        common = {*phrase_words, *(vocabulary_words() - everyday), *word_classes(), *_table_words()}
        named = foods.words()
        named.update(self.titles.words())
        named.update(word for name in [*self.people, *self.shops] for word in name)
        named.update(word for name in avoid_words() for word in name)
        usual = Counter(word for name in foods.names() for word in name.split())
        self.speller = Speller(
            common,
            named,
            everyday.union(strange_words),
            usual,
            lambda name: foods.of_key(name) is not None,
            foods.pairs,
        )

    def spot(self, found: list[Word], today: dt.date, given: Sequence[Span] = ()) -> list[Span]:
        """Everything named in the words, no two things over the same words.

        `given` are spans known beforehand: the slots of an example phrase.
        """
        spans = [
            *given,
            *spot_money(found),
            *spot_servings(found),
            *spot_scales(found),
            *spot_times(found, today),
            *self._diets(found),
            *self._people(found),
            *self._vocabulary(found),
            *self._shops(found),
        ]
        inner = {
            i for sum_ in spans if sum_.kind == "money" for i in range(sum_.start + 1, sum_.end)
        }
        spans += [
            one
            for one in self._amounts(found)
            if one.start not in inner and not _is_sum(found, one)
        ]
        food_spans = [
            Span("food", hit.start, hit.end, hit.food, rivals=self._parts(found, hit))
            for hit in map(partial(self._behind_unit, found), self.foods.spot(found))
            if not _is_no_food(found, hit)
        ]
        recipes = self.titles.spot(found)
        recipes = [recipe for recipe in recipes if not _is_any_dish(found, recipe)]
        food_spans = [food for food in food_spans if not _is_dish_for_diet(food, recipes, spans)]
        spans += food_spans
        recipes += [span for food in food_spans if (span := self.titles.of_dish(food)) is not None]
        spans += [
            span
            for recipe in recipes
            if (span := self._with_rivals(recipe, food_spans, found)) is not None
        ]
        chosen = choose(spans, _ORDER)
        chosen = _without_false_headcounts(found, chosen)
        return _negated(found, chosen)

    def _parts(self, found: list[Word], hit: Found) -> tuple[Span, ...]:
        """The foods that a dish's name lists: "ham and beans" may be just ham, and beans."""
        joins = [i for i in range(hit.start + 1, hit.end - 1) if found[i].text in ("and", "&", "n")]
        if len(joins) != 1:
            return ()
        parts = []
        for start, end in ((hit.start, joins[0]), (joins[0] + 1, hit.end)):
            part = self.foods.at(found[:end], start)
            if part is None or part.end != end:
                return ()
            parts.append(Span("food", start, end, part.food))
        return tuple(parts)

    def _behind_unit(self, found: list[Word], hit: Found) -> Found:
        """ "2 sticks butter": a name that begins with a unit, behind a number, is without it."""
        unit = unit_at(found, hit.start)
        counted = hit.start > 0 and read_number(found, hit.start - 1) is not None
        if not counted or unit is None or unit[1] >= hit.end:
            return hit
        inner = self.foods.at(found, unit[1])
        return inner if inner is not None and inner.end == hit.end else hit

    def _with_rivals(
        self, recipe: Span, food_spans: Sequence[Span], found: list[Word]
    ) -> Span | None:
        """A recipe span whose words are all foods may as well mean the foods.

        It does mean them, None, where they list foods and leave out the dish ("beans and ham").
        """
        inside = [s for s in food_spans if recipe.start <= s.start and s.end <= recipe.end]
        inside = [part for span in inside for part in (span.rivals or (span,))]
        covered = {i for s in inside for i in range(s.start, s.end)}
        small = meanings("small")
        open_words = [
            i
            for i in range(recipe.start, recipe.end)
            if i not in covered and found[i].is_name and (found[i].key,) not in small
        ]
        if not inside or open_words:
            return recipe
        last = found[recipe.end - 1].key
        if len(inside) > 1 and not recipe.whole and not self.titles.ends(recipe.value[0], last):
            said = [word.key for word in found[recipe.start : recipe.end]]
            if not self.titles.begins(recipe.value[0], said):
                return None
        return replace(recipe, rivals=tuple(inside))

    def _diets(self, found: list[Word]) -> list[Span]:
        spans = []
        table = avoid_words()
        for at in range(len(found)):
            hit = _longest(found, at, table, 6)
            if hit is not None and not self._is_food_after_no(found[at : hit[1]]):
                spans.append(Span("diet", at, hit[1], table[hit[0]]))
        return spans

    def _is_food_after_no(self, found: list[Word]) -> bool:
        """ "nuts", "no nuts", "doesn't eat pork": foods kept away from, not the name of a diet."""
        spots = self.foods.spot(found)
        inside = {i for spot in spots for i in range(spot.start, spot.end)}
        if any((word.key,) in meanings("diet_word") for word in found):
            return False
        rest = tuple(word.key for i, word in enumerate(found) if i not in inside)
        return bool(spots) and (not rest or rest in meanings("avoiding"))

    def _people(self, found: list[Word]) -> list[Span]:
        spans = []
        for at in range(len(found)):
            hit = _longest(found, at, self.people, 3)
            if hit is not None:
                spans.append(Span("person", at, hit[1], self.people[hit[0]]))
            elif everyone := phrase_from(found, at, "everyone"):
                spans.append(Span("everyone", at, everyone[1], None))
        return spans

    def _shops(self, found: list[Word]) -> list[Span]:
        hits = ((at, _longest(found, at, self.shops, 4)) for at in range(len(found)))
        return [Span("shop", at, hit[1], self.shops[hit[0]]) for at, hit in hits if hit]

    def _counted(self, found: list[Word], measured: Measured) -> Measured:
        """ "six rolls": a word that may be a unit is the food itself where no food follows it.

        Where the food has another name, the unit stays: "2 loaves" are loaves of bread.
        """
        unit = measured.amount.unit
        if unit is None or measured.size is not None or units()[unit].size is not None:
            return measured
        last = measured.after - 1
        named = self.foods.at(found, last)
        if named is None or text_at(found, measured.after) == "of":
            return measured
        if self.foods.at(found, measured.after) is not None:
            return measured
        kept = None if named.food.split()[-1] == unit else unit
        return Measured(Amount(measured.amount.number, kept, measured.amount.high), last)

    def _vocabulary(self, found: list[Word]) -> list[Span]:
        spans = []
        for at in range(len(found)):
            for kind in ("place", "ordinal", "pronoun"):
                hit = phrase_from(found, at, kind)
                if hit is not None and not any(
                    phrase_from(found, start, f"no_{kind}") for start in (at - 1, at)
                ):
                    value = float(hit[0]) if kind == "ordinal" else hit[0]
                    spans.append(Span(kind, at, hit[1], value))
            if (head := phrase_from(found, at, "head")) and head[1] > at + 1:
                spans.append(Span("per", at, head[1], "head"))
            elif (end := per_at(found, at)) and end > at + 1 and _is_priced(found, at):
                spans.append(Span("per", at, end, "each"))
        return spans

    def _amounts(self, found: list[Word]) -> list[Span]:
        spans = []
        at = 0
        while at < len(found):
            measured = read_amount(found, at)
            if measured is None or _is_no_number(found, at):
                at += 1
                continue
            if is_helping_verb(found, measured.after - 1):
                measured = Measured(Amount(measured.amount.number), measured.after - 1)
            measured = _with_part(found, self._counted(found, measured))
            spans.append(Span("amount", at, measured.after, measured))
            at = max(measured.after, at + 1)
        return spans


def _with_part(found: list[Word], measured: Measured) -> Measured:
    """ "a pound and a half of bacon": the part behind the unit is of that unit."""
    part = phrase_from(found, measured.after, "and_part")
    if part is None or measured.amount.unit is None or measured.size is not None:
        return measured
    amount = Amount(measured.amount.number + float(part[0]), measured.amount.unit)
    return Measured(amount, part[1])


def _is_priced(found: Sequence[Word], at: int) -> bool:
    """True where a number or a coin stands just before: "3.49 a pound", "80p a tin"."""
    before = text_at(found, at - 1)
    return before[-1:].isdigit() or any(
        ended_by(found, at, kind) for kind in ("money", "cent", "note")
    )


def _is_no_food(found: Sequence[Word], hit: Found) -> bool:
    """ "for tea", "in stock", "past its date": a food's word in another meaning."""
    return any(
        (phrase := phrase_from(found, at, "no_food")) is not None and phrase[1] >= hit.end
        for at in range(max(0, hit.start - 2), hit.start + 1)
    )


def _is_any_dish(found: Sequence[Word], recipe: Span) -> bool:
    """ "eggs in a cake": one word of a title behind "a" means any such dish."""
    before = phrase_from(found, recipe.start - 1, "one_more") is not None
    return recipe.length == 1 and not recipe.whole and before


def _is_dish_for_diet(food: Span, recipes: Sequence[Span], spans: Sequence[Span]) -> bool:
    """ "gluten-free cornbread" is the cornbread, free of gluten, where there is a recipe of it."""
    diets = {span.end for span in spans if span.kind == "diet" and span.start == food.start}
    return any(one.whole and one.end == food.end and one.start in diets for one in recipes)


def _is_sum(found: Sequence[Word], amount: Span) -> bool:
    """ "3.50 good": two decimals and no unit are a sum, not an amount."""
    return amount.value.amount.unit is None and is_price(found[amount.start].text)


def _is_no_number(found: Sequence[Word], at: int) -> bool:
    """ "which one", "the other one", "let it drop below": no amount."""
    if phrase_from(found, at, "no_amount"):
        return True
    return found[at].text == "one" and at > 0 and (found[at - 1].key,) in meanings("determiner")


def _longest(
    found: Sequence[Word], at: int, table: Mapping[tuple[str, ...], object], most: int
) -> tuple[tuple[str, ...], int] | None:
    """The longest key of a table at word `at` and the index after it; signs are passed over."""
    keys: list[str] = []
    ends: list[int] = []
    for i in range(at, len(found)):
        if not found[i].text[0].isalnum():
            if found[i].text in ("-", "'") and keys:
                continue
            break
        keys.append(found[i].key)
        ends.append(i + 1)
        if len(keys) == most:
            break
    for length in range(len(keys), 0, -1):
        if tuple(keys[:length]) in table:
            return tuple(keys[:length]), ends[length - 1]
    return None


def _without_false_headcounts(found: list[Word], spans: list[Span]) -> list[Span]:
    """ "for 2 onions" counts onions, not people, and "three heads of garlic" no heads."""
    starts = {span.start: span for span in spans}
    out: list[Span] = []
    for span in spans:
        after = starts.get(span.end)
        part = unit_at(found, span.end - 1) if span.kind == "servings" else None
        if part is not None and part[0].name == "head":
            of = text_at(found, span.end) == "of"
            food = starts.get(span.end + 1) if of else (out[-1] if out else None)
            if food is not None and food.kind == "food" and (of or span.start - food.end <= 1):
                counted = Measured(Amount(float(span.value), part[0].name), span.end)
                out.append(Span("amount", span.start, span.end, counted))
                continue
        if span.kind == "servings" and span.length == 1 and after and after.kind == "food":
            amount = Measured(Amount(float(span.value)), span.end)
            span = Span("amount", span.start, span.end, amount)
        out.append(span)
    return out


def _negated(found: Sequence[Word], spans: list[Span]) -> list[Span]:
    """Turns foods that stand behind "without", "no", "anything but" into `without` spans."""
    out: list[Span] = []
    starts = {span.start: span for span in spans}
    small = meanings("small")
    at = 0
    while at < len(found):
        span = starts.get(at)
        if span is not None:
            out.append(span)
            at = span.end
            continue
        hit = phrase_from(found, at, "without")
        if hit and found[at].text in spelt("no_without"):
            hit = None
        ahead = hit[1] if hit else 0
        while hit and ahead < len(found) and (found[ahead].key,) in small and ahead not in starts:
            if phrase_from(found, ahead, "purpose"):
                break  # "what I don't have for the stew"
            ahead += 1
        if hit and ahead in starts and starts[ahead].kind in ("food", "diet", "recipe"):
            at = _negate_list(found, starts, at, ahead, out)
            continue
        at += 1
    return out


def _negate_list(
    found: Sequence[Word], starts: dict[int, Span], at: int, ahead: int, out: list[Span]
) -> int:
    """A list of foods behind a negation: "no fish or onions" leaves both out."""
    first = at
    while ahead in starts and starts[ahead].kind in ("food", "diet", "recipe"):
        span = starts[ahead]
        parts = span.rivals if span.kind == "recipe" and span.rivals else (span,)
        for part, end in zip(parts, [*(one.end for one in parts[:-1]), span.end], strict=True):
            kind = "without" if part.kind == "food" else part.kind
            if end > first:  # a name inside the name before it has no place of its own
                out.append(Span(kind, first, end, part.value, part.certain))
                first = end
        after = span.end
        while after < len(found) and found[after].text in ("or", ",", "and", "nor"):
            after += 1
        if after == span.end:
            return after
        ahead = after
        if ahead not in starts:
            return span.end
    return ahead


@cache
def _table_words() -> frozenset[str]:
    """Words of the unit, number and line tables: spelt right wherever they appear."""
    found = {part for row in rows("reference/units.csv") for part in key(row["spellings"])}
    found.update(row["word"] for row in rows("reference/number_words.csv"))
    for meaning in ("form", "size", "about", "taste", "more", "joiner", "descriptor"):
        found.update(word for phrase in line_words(meaning) for word in phrase)
    return frozenset(found)

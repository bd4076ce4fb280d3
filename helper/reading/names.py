"""All names a reader can meet, and the spotting of everything a request names."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from copy import copy
from functools import cache, partial

from msgspec.structs import replace

from helper.kitchen.foods import Foods, Found
from helper.kitchen.numbers import read_number
from helper.kitchen.quantities import line_words, unit_at
from helper.kitchen.words import Word, key
from helper.reading.counting import is_sum, spot_amounts, spot_heats, without_false_headcounts
from helper.reading.headcounts import spot_scales, spot_servings
from helper.reading.negation import negated
from helper.reading.spans import Span, choose
from helper.reading.spelling import Speller
from helper.reading.sums import per_at, spot_money
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
    "heat",
    "amount",
    "everyone",
    "pronoun",
)
_NEAR_ORDER = 4  # words that may stand between an order and what is ordered


@cache
def avoid_words() -> dict[tuple[str, ...], tuple[str, ...]]:
    """What people say they keep away from → allergen or diet ids."""
    return {key(row["words"]): tuple(row["id"].split(";")) for row in rows("books/avoid_words.csv")}


@cache
def _avoid_openings() -> frozenset[str]:
    return frozenset(keys[0] for keys in avoid_words())


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
        kin: Mapping[str, str] | None = None,
    ) -> None:
        self.foods = foods
        self.kin = dict(kin or {})  # name → "Husband"
        self.titles = Titles(titles, foods)
        self.people = {**_by_kin(self.kin), **{key(name): name for name in people}}
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
            lambda: (*foods.pairs(), *self.titles.pairs()),
            {word for name in [*self.people, *self.shops] for word in name},
        )

    def with_people(self, people: Mapping[str, str], alone: bool = False) -> Names:
        """The same names and some people more, by the words they are called; or these `alone`."""
        more = copy(self)
        more.people = {
            **({} if alone else self.people),
            **{key(said): name for said, name in people.items()},
        }
        more.speller = self.speller.with_strange(word for said in people for word in key(said))
        return more

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
        heats = spot_heats(found, self.foods)
        inner.update(heat.start for heat in heats)
        spans += heats
        spans += [
            one
            for one in spot_amounts(found, self.foods)
            if one.start not in inner and not is_sum(found, one) and not _is_rate(found, one, spans)
        ]
        food_spans = [
            Span("food", hit.start, hit.end, hit.food, rivals=self._parts(found, hit))
            for hit in map(partial(self._behind_unit, found), self.foods.spot(found))
            if not _is_no_food(found, hit) and not self._is_unit(found, hit)
        ]
        food_spans = [one for one in food_spans if not _is_address(found, one, food_spans)]
        food_spans = [one for one in food_spans if not _is_order(found, one, food_spans)]
        recipes = self.titles.spot(found)
        named = {one.start for one in (*food_spans, *recipes)}
        food_spans = [one for one in food_spans if not _is_left_of(found, one, named)]
        recipes = [recipe for recipe in recipes if not _is_any_dish(found, recipe)]
        begun = {food.start for food in food_spans}
        spans = [one for one in spans if not (one.kind == "limit?" and one.end in begun)]
        food_spans = [food for food in food_spans if not _is_dish_for_diet(food, recipes, spans)]
        spans += food_spans
        recipes += [span for food in food_spans if (span := self.titles.of_dish(food)) is not None]
        spans += [
            span
            for recipe in recipes
            if (span := self._with_rivals(recipe, food_spans, found)) is not None
        ]
        chosen = choose(spans, _ORDER)
        chosen = without_false_headcounts(found, chosen)
        chosen = [s for i, s in enumerate(chosen) if not self._is_of_food(found, chosen, i)]
        return negated(found, chosen)

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
        of = text_at(found, unit[1]) == "of"  # "4 rashers of bacon" are so many of the bacon
        inner = self.foods.at(found, unit[1] + of)
        if inner is None or inner.end != hit.end or (of and inner.food != hit.food):
            return hit
        return inner

    def _is_of_food(self, found: list[Word], spans: Sequence[Span], i: int) -> bool:
        """ "Halve the salt", "double the garlic": so much of one food, and no half of a dish."""
        scale, food = spans[i], spans[i + 1] if i + 1 < len(spans) else None
        if scale.kind != "scale" or food is None or food.kind != "food":
            return False
        own = scale.length == 1 and found[scale.start].text.isalpha()
        between = found[scale.end : food.start]
        if not own or len(between) != 1 or phrase_from(found, scale.end, "this_one") is None:
            return False
        return not any(key(kind) in meanings("dishkind") for kind in self.foods.kinds(food.value))

    def _is_unit(self, found: list[Word], hit: Found) -> bool:
        """ "clove of garlic": the word counts the food behind it and is none itself."""
        unit = unit_at(found, hit.start)
        if unit is None or unit[1] != hit.end or text_at(found, hit.end) != "of":
            return False
        return self.foods.at(found, hit.end + 1) is not None

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
        said = [word.key for word in found[recipe.start : recipe.end]]
        if len(inside) > 1 and not self.titles.reads(recipe.value[0], said):
            return None  # "eggs and rice" are no egg fried rice
        last = found[recipe.end - 1].key
        if len(inside) > 1 and not recipe.whole and not self.titles.ends(recipe.value[0], last):
            if not self.titles.begins(recipe.value[0], said):
                return None
        return replace(recipe, rivals=tuple(inside))

    def _diets(self, found: list[Word]) -> list[Span]:
        spans = []
        table = avoid_words()
        for at in range(1, len(found)):
            # "5 of us, veggie": set off by itself, and no vegetable of a list
            alone = phrase_from(found, at, "diet_alone")
            if alone and _is_set_off(found, at, alone[1]) and self._none_before(found, at - 1):
                spans.append(Span("diet", at, alone[1], (alone[0],)))
        for at, hit in _named(found, table, 6):
            if not self._is_food_after_no(found, at, hit[1]):
                spans.append(Span("diet", at, hit[1], table[hit[0]]))
        return spans

    def _none_before(self, found: list[Word], at: int) -> bool:
        """True where no food ends before word `at`: "carrots, veg" lists foods."""
        return not any(one.end == at for one in self.foods.spot(found[:at]))

    def _is_food_after_no(self, words: list[Word], at: int, end: int) -> bool:
        """ "nuts", "no nuts", "doesn't eat pork": foods kept away from, not the name of a diet."""
        found = words[at:end]
        spots = self.foods.spot(found)
        inside = {i for spot in spots for i in range(spot.start, spot.end)}
        if any((word.key,) in meanings("diet_word") for word in found):
            return False
        if _is_allergy(words, at, end):
            return False
        rest = tuple(word.key for i, word in enumerate(found) if i not in inside)
        return bool(spots) and (not rest or rest in meanings("avoiding"))

    def _people(self, found: list[Word]) -> list[Span]:
        named = dict(_named(found, self.people, 3))
        spans = [Span("person", at, end, self.people[keys]) for at, (keys, end) in named.items()]
        for at in range(len(found)):
            if at not in named and (everyone := phrase_from(found, at, "everyone")):
                spans.append(Span("everyone", at, everyone[1], None))
        return spans

    def _shops(self, found: list[Word]) -> list[Span]:
        hits = _named(found, self.shops, 4)
        spans = [Span("shop", at, end, self.shops[keys]) for at, (keys, end) in hits]
        for at, word in enumerate(found):
            # "at the market" is the one shop that has the word in its name
            called = [name for keys, name in self.shops.items() if word.key in keys]
            if len(called) == 1 and ended_by(found, at, "at_shop"):
                spans.append(Span("shop", at, at + 1, called[0]))
        return spans

    def _is_relative(self, found: list[Word], at: int, end: int) -> bool:
        """ "What can we make that Ada can eat": "that" means nothing spoken of before.

        But "is there anything in that Ada can't have" does.
        """
        if at and phrase_from(found, at - 1, "inside") is not None:
            return False
        relative = end == at + 1 and phrase_from(found, at, "relative") is not None
        return relative and _longest(found, end, self.people, 3) is not None

    def _vocabulary(self, found: list[Word]) -> list[Span]:
        spans = []
        for at in range(len(found)):
            for kind in ("place", "ordinal", "pronoun"):
                hit = phrase_from(found, at, kind)
                if hit is not None and not (
                    any(phrase_from(found, start, f"no_{kind}") for start in (at - 1, at))
                    or (kind == "pronoun" and self._is_relative(found, at, hit[1]))
                ):
                    value = float(hit[0]) if kind == "ordinal" else hit[0]
                    spans.append(Span(kind, at, hit[1], value))
            head = phrase_from(found, at, "head")
            # "a head of lettuce" is no price a head
            if head and head[1] > at + 1 and text_at(found, head[1]) != "of":
                spans.append(Span("per", at, head[1], "head"))
            elif (end := per_at(found, at)) and end > at + 1 and _is_priced(found, at):
                spans.append(Span("per", at, end, "each"))
        return spans


def _by_kin(kin: Mapping[str, str]) -> dict[tuple[str, ...], str]:
    """ "My husband" is whom the household calls so, where that is one person."""
    alone = [own for own, count in Counter(kin.values()).items() if count == 1]
    named = {own: name for name, own in kin.items()}
    return {phrase: named[own] for phrase, own in meanings("kin").items() if own in alone}


def _is_allergy(found: Sequence[Word], at: int, end: int) -> bool:
    """ "Can't have nuts, carries an epipen": of what is kept away from, it says why."""
    if not any(ended_by(found, at, kind) for kind in ("without", "minds")):
        return False
    for behind in range(end, len(found)):
        if found[behind].text == "and":
            return False
        if told := phrase_from(found, behind, "allergy_word"):
            return text_at(found, told[1]) != "to"
    return False


def _is_set_off(found: Sequence[Word], start: int, end: int) -> bool:
    """True behind a comma or the like, with nothing but a sign or "please" behind it."""
    if polite := phrase_from(found, end, "manners"):
        end = polite[1]
    before, after = text_at(found, start - 1), text_at(found, end)
    return not before[0].isalnum() and not after[:1].isalnum()


def _is_rate(found: Sequence[Word], amount: Span, spans: Sequence[Span]) -> bool:
    """ "at three a dozen": the number is a price there, and no three dozen."""
    sums = {span.start for span in spans if span.kind == "money"}
    return amount.start in sums and phrase_from(found, amount.start + 1, "per_word") is not None


def _is_priced(found: list[Word], at: int) -> bool:
    """True where a number or a coin stands just before: "3.49 a pound", "80p a tin"."""
    number = read_number(found, at - 1) if text_at(found, at - 1).isalpha() else None
    if number is not None and number.after == at:
        return True  # "three ninety nine a pound"
    before = text_at(found, at - 1)
    return before[-1:].isdigit() or any(
        ended_by(found, at, kind) for kind in ("money", "cent", "note", "and_part")
    )


def _is_address(found: Sequence[Word], food: Span, foods: Sequence[Span]) -> bool:
    """ "Honey, what's in", "what's for supper, duck": a word of kindness, set off by a comma."""
    called = phrase_from(found, food.start, "address")
    if called is None or called[1] != food.end:
        return False
    if food.start == 0 and text_at(found, food.end) == ",":
        asks = ("questioning", "asks_outright", "ordering")
        return any(phrase_from(found, food.end + 1, kind) for kind in asks)
    last = not any(word.text[0].isalnum() for word in found[food.end :])
    listed = any(one.end == food.start - 1 for one in foods)
    return last and text_at(found, food.start - 1) == "," and not listed


def _is_order(found: Sequence[Word], food: Span, foods: Sequence[Span]) -> bool:
    """ "Pop two tins of peaches on the list": a word that orders something, and no drink."""
    order = phrase_from(found, food.start, "ordering")
    opens = food.start == 0 or phrase_from(found, food.start - 1, "between") is not None
    opens = opens or not text_at(found, food.start - 1)[:1].isalnum()
    listed = any(one.end == food.start - 1 for one in foods)
    follows = any(0 <= one.start - food.end <= _NEAR_ORDER for one in foods)
    whole = order is not None and order[1] == food.end
    return whole and opens and not listed and follows


def _is_left_of(found: Sequence[Word], food: Span, named: Collection[int]) -> bool:
    """ "Leftover cornbread": what is left is the thing named behind, and nothing by itself."""
    left = phrase_from(found, food.start, "left_over")
    return left is not None and left[1] == food.end and food.end in named


def _is_no_food(found: Sequence[Word], hit: Found) -> bool:
    """ "for tea", "in stock", "past its date": a food's word in another meaning."""
    if hit.end == hit.start + 1 and found[hit.start].text in spelt("no_food_spelt"):
        return True
    return any(
        (phrase := phrase_from(found, at, "no_food")) is not None and phrase[1] >= hit.end
        for at in range(max(0, hit.start - 4), hit.start + 1)
    )


def _is_any_dish(found: Sequence[Word], recipe: Span) -> bool:
    """ "eggs in a cake": one word of a title behind "a" means any such dish."""
    before = phrase_from(found, recipe.start - 1, "one_more") is not None
    return recipe.length == 1 and not recipe.whole and before


def _is_dish_for_diet(food: Span, recipes: Sequence[Span], spans: Sequence[Span]) -> bool:
    """ "gluten-free cornbread" is the cornbread, free of gluten, where there is a recipe of it."""
    diets = {span.end for span in spans if span.kind == "diet" and span.start == food.start}
    return any(one.whole and one.end == food.end and one.start in diets for one in recipes)


def _named(
    found: Sequence[Word], table: Mapping[tuple[str, ...], object], most: int
) -> Iterator[tuple[int, tuple[tuple[str, ...], int]]]:
    """Where keys of a table stand in the words, with the longest key and the index after it."""
    opening = _avoid_openings() if table is avoid_words() else {keys[0] for keys in table}
    for at, word in enumerate(found):
        if word.key in opening and (hit := _longest(found, at, table, most)) is not None:
            yield at, hit


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


@cache
def _table_words() -> frozenset[str]:
    """Words of the unit, number and line tables: spelt right wherever they appear."""
    found = {part for row in rows("reference/units.csv") for part in key(row["spellings"])}
    found.update(row["word"] for row in rows("reference/number_words.csv"))
    for meaning in ("form", "size", "about", "taste", "more", "joiner", "descriptor"):
        found.update(word for phrase in line_words(meaning) for word in phrase)
    return frozenset(found)

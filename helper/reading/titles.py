"""Finding this household's recipes by what people call them: whole or shortened titles."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise

from helper.kitchen.foods import Foods
from helper.kitchen.words import Word, key
from helper.kitchen.words import words as spoken
from helper.reading.spans import Span
from helper.reading.vocabulary import meanings, text_at

# Words that so many titles share call up none of them.
MOST_ALIKE = 40
_FEW = 3  # dishes that "the tuna thing" may be one of
_LISTING = ("and", "n")


class Titles:
    """Recipe titles by their words.

    A title is found whole; by some of its telling words in a row ("bean soup" for Ham and bean
    soup) where they include its last one or two words; or by a food name that means the same dish
    ("mac and cheese"). Where several titles fit equally the span lists them all.
    """

    def __init__(self, titles: Iterable[str], foods: Foods) -> None:
        self._whole: dict[tuple[str, ...], list[str]] = defaultdict(list)
        self._by_word: dict[str, set[str]] = defaultdict(set)
        self._telling: dict[str, tuple[str, ...]] = {}
        self._foods = foods
        self._dishes: dict[str, list[str]] = defaultdict(list)
        self._by_food: dict[str, str] = {}
        small = meanings("small")
        for title in titles:
            words = key(title)
            telling = tuple(word for word in words if (word,) not in small)
            self._telling[title] = telling or words
            self._whole[words].append(title)
            self._whole[telling].append(title)
            for word in self._telling[title]:
                if word not in self._by_word and (food := foods.of_key(word)) is not None:
                    self._by_food.setdefault(food, word)
                self._by_word[word].add(title)
            dish = foods.of_key(" ".join(words))
            if dish is not None:
                self._dishes[dish].append(title)

    def __len__(self) -> int:
        return len(self._telling)

    def words(self) -> Iterable[str]:
        """Every word of every title."""
        return self._by_word

    def pairs(self) -> Iterable[tuple[str, str]]:
        """The telling words that stand side by side in titles."""
        return {pair for words in self._telling.values() for pair in pairwise(words)}

    def spot(self, found: Sequence[Word]) -> list[Span]:
        """Recipe spans in the words; value is a tuple of the titles that fit best."""
        return [span for at in range(len(found)) if (span := self._at(found, at)) is not None]

    def of_dish(self, food: Span) -> Span | None:
        """The recipe of the same dish under another name: "mac and cheese"."""
        titles = self._dishes.get(food.value)
        return Span("recipe", food.start, food.end, tuple(titles), whole=True) if titles else None

    def ends(self, title: str, word: str) -> bool:
        """True where a title's last telling word, the sort of dish, is this one."""
        return self._telling[title][-1] == word

    def begins(self, title: str, words: Sequence[str]) -> bool:
        """True where the words are the title's first telling ones, in its order."""
        small = meanings("small")
        said = tuple(self._word(word) for word in words if (word,) not in small)
        return self._telling[title][: len(said)] == said

    def reads(self, title: str, words: Sequence[str]) -> bool:
        """True unless the words list things that the title does not list in that order.

        "Leek and potato soup" is the potato leek soup: all of its words, the sort of dish last.
        """
        if not any(word in _LISTING for word in words):
            return True
        said = [self._word(word) for word in words]
        telling = self._telling[title]
        small = meanings("small")
        if said[-1] == telling[-1] and {w for w in said if (w,) not in small} == set(telling):
            return True
        whole = key(title)
        return any(list(whole[at : at + len(said)]) == said for at in range(len(whole)))

    def _word(self, word: str) -> str:
        """The word that titles have for it: "veg" where a title says vegetable."""
        if word in self._by_word:
            return word
        food = self._foods.of_key(word)
        return self._by_food.get(food, word) if food is not None else word

    def like(self, title: str, words: Collection[str]) -> str | None:
        """Another title of the same sort of dish (its last word) that holds one of the words."""
        sort = self._telling[title][-1]
        fits = [
            other
            for word in words
            for other in self._by_word.get(word, ())
            if sort in self._telling[other]
        ]
        return min(fits) if len(set(fits)) == 1 else None

    def _at(self, found: Sequence[Word], at: int) -> Span | None:
        if not self._is_telling(found, at):
            return None
        keys: list[tuple[str, int]] = []
        for i in range(at, min(len(found), at + 12)):
            if not found[i].text[0].isalnum():
                if found[i].text in ("-", "'", "&"):
                    continue
                break
            keys.append((self._word(found[i].key), i + 1))
        best = self._whole_title(keys, at)
        before = (
            {word.key for word in found[:at]}
            if (text_at(found, at - 1),) in meanings("the_one")
            and any((word.key,) in meanings("asks_which") for word in found[:at])
            else ()
        )
        part = self._part(keys, at, before)
        if best is None or (part is not None and part.length > best.length):
            best = part
        return best

    def _is_telling(self, found: Sequence[Word], at: int) -> bool:
        word = found[at]
        return word.text[0].isalnum() and self._word(word.key) in self._by_word

    def _whole_title(self, keys: list[tuple[str, int]], at: int) -> Span | None:
        for length in range(len(keys), 0, -1):
            titles = self._whole.get(tuple(word for word, _ in keys[:length]))
            if titles:
                return Span("recipe", at, keys[length - 1][1], tuple(titles), whole=True)
        return None

    def _part(self, keys: list[tuple[str, int]], at: int, before: Collection[str]) -> Span | None:
        """The longest run of telling words that some title holds, its end word among them.

        `before` are the words that may have told what sort of dish is spoken of.
        """
        titles: set[str] = set()
        run: list[str] = []
        best: Span | None = None
        joins, dishes = meanings("title_join"), meanings("some_dish")
        own: set[str] = set()
        for word, end in keys:
            least = int(dishes.get((word,), 0) or 1)  # "the tuna thing", "the ham and pea one"
            if (word,) in dishes and len(run) >= least and (fits := self._holding(titles)):
                best = Span("recipe", at, end, fits)
            if (word,) in joins and run:
                own |= {word} if joins[(word,)] == "own" else set()
                continue
            here = self._by_word.get(word)
            if not here or word in run:
                break
            titles = (titles & here) if run else set(here)
            if not titles:
                break
            run.append(word)
            # "tuna in the casserole" goes into one, "toad in the hole" is one
            held = [one for one in titles if own <= set(key(one))]
            fits = self._fitting(held, run) or self._of_sort(held, run, before)
            if fits:
                best = Span("recipe", at, end, fits)
        return best

    def _holding(self, titles: Collection[str]) -> tuple[str, ...]:
        """ "The tuna thing": whatever dish has tuna in its title, where few have."""
        return tuple(sorted(titles)) if len(titles) <= _FEW else ()

    def _of_sort(
        self, titles: Collection[str], run: Sequence[str], before: Collection[str]
    ) -> tuple[str, ...]:
        """ "Which soup, the split pea or the …": all of a title but the sort, which was said."""
        fits = (
            title
            for title in titles
            if self._telling[title] == (*run, self._telling[title][-1])
            and self._telling[title][-1] in before
        )
        return tuple(sorted(fits))

    def _is_own_name(self, words: str) -> bool:
        """True where the tables call a food just so, and not only among other names."""
        return self._foods.of_key(words) == words

    def _is_dish(self, word: str) -> bool:
        return self._foods.named(word) is not None and not self._is_ingredient(word)

    def _is_ingredient(self, words: str) -> bool:
        """A plain food's name does not call up a dish that has it in its title."""
        found = spoken(words)
        hit = self._foods.at(found, 0)
        if hit is None or hit.end < len(found):
            return False  # "oat squares" are no oats
        return not any(key(kind) in meanings("dishkind") for kind in self._foods.kinds(hit.food))

    def _fitting(self, titles: Collection[str], run: Sequence[str]) -> tuple[str, ...]:
        if len(run) == 1 and (len(self._by_word[run[0]]) > 3 or self._is_ingredient(run[0])):
            return ()
        if len(titles) > MOST_ALIKE:
            return ()
        scored: list[tuple[float, str]] = []
        for title in titles:
            telling = self._telling[title]
            covered = len(set(run) & set(telling)) / len(set(telling))
            ends = run[-1] in telling[-2:] or run[0] == telling[0]
            if len(run) == 1:
                # one word names a dish only where it is the dish word, and few dishes share it
                if run[0] != telling[-1] and not (run[0] == telling[0] and self._is_dish(run[0])):
                    continue
            elif not ends or (covered < 1 and self._is_ingredient(" ".join(run))):
                if run[0] != telling[0] or self._is_own_name(" ".join(run)):
                    continue  # "red beans" may be the dish that begins so, "brown rice" is rice
            scored.append((covered, title))
        if not scored:
            return ()
        top = max(score for score, _ in scored)
        return tuple(sorted(title for score, title in scored if score > top - 0.01))[:6]

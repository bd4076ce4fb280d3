"""Things written out for others: a recipe, the menu, the shopping list; as text, Markdown, a page.

A recipe carries how many it feeds, what goes in, the steps, what a serving costs here and what to
be careful of, in every form alike; for programs it is a schema.org Recipe. Pages are written into
the household's folder, to be opened and printed from there.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from helper.acts.dishes import nearest, recipe_meant
from helper.acts.document import NOTE, STEP, Document, Lines, Part, markdown, plain
from helper.acts.gaps import Ask, Refuse, answer_to
from helper.acts.house import House
from helper.acts.menu_changing import dishes_named
from helper.acts.menu_wishes import says
from helper.acts.recipe_page import time_written
from helper.acts.said import meant
from helper.acts.web_page import web_page
from helper.acts.week_pages import list_document, menu_document
from helper.acts.wording import listed
from helper.answers import Answer, Block, Caution, Say, Verbatim
from helper.kitchen.amounts import number_written, written
from helper.kitchen.costing import Costed, cost
from helper.kitchen.matching import match
from helper.kitchen.money import plain as money_plain
from helper.kitchen.money import written as money_written
from helper.kitchen.recipes import Line, Recipe
from helper.kitchen.wished_away import holds, without
from helper.kitchen.words import key, words
from helper.reading.phrases import SLOT, read_phrases
from helper.reading.reading import Reading
from helper.reading.vocabulary import phrase_from

TEXT, MARKDOWN, PAGE, DATA = "text", "markdown", "html", "json-ld"
_WORDS = "cooking_words"
_SUFFIXES = {TEXT: "txt", MARKDOWN: "md", PAGE: "html", DATA: "json"}
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\d+\s*[.):]\s*", re.IGNORECASE)
_LONGEST_NAME = 60


def share(reading: Reading, house: House) -> Answer:
    """A recipe, the week's menu or the shopping list written out, in the form asked for.

    What is asked for as a page or a file is written into the household's folder, and where.
    """
    try:
        made, titles = _document(reading, house)
        stays = _still_in(titles, reading, house)
    except (Ask, Refuse) as gap:
        return answer_to(reading, gap)
    kind = format_asked(reading.said)
    text = in_form(made, kind)
    paper = meant(reading.said, _WORDS, "print") is not None
    file = None
    if kind == PAGE or paper or meant(reading.said, _WORDS, "file") is not None:
        name = f"{_file_name(made.title)}.{_SUFFIXES[kind]}"
        file = house.books.hand_out(name, text)
    reply: dict[str, Any] = {"format": kind, "document": text, "file": file and str(file)}
    if titles:
        reply["recipe"] = titles[0]
    blocks = tuple(_told(made, kind, text, file, paper))
    if stays:
        stay = (
            f"Still in it: {listed(stays)}. The dish is built on that; ask to be shown the recipe"
        )
        told = Say(f"{stay} without it, and something is put in its place.", "warn")
        blocks = (told, *blocks)
    return Answer(reading, reply, blocks, recipes=titles)


def is_sharing(said: str) -> bool:
    """Whether words ask for a menu or a list to be written out, whatever act they were taken for:
    "the menu as html", "print the list"."""
    return any(meant(said, _WORDS, meaning) is not None for meaning in ("print", "as a format"))


def _document(reading: Reading, house: House) -> tuple[Document, tuple[str, ...]]:
    """What is to be written out, and the recipes it is about. Raises Ask or Refuse."""
    if not dishes_named(reading.said, house):
        if says(reading.said, "share_list"):
            return list_document(house), ()
        if says(reading.said, "share_menu"):
            return menu_document(reading, house)
    asked = house.context.asking
    choices = asked.question.choices if asked is not None and asked.question else ()
    picked = bool(set(reading.recipes) & set(choices))
    if not picked and (unheard := _unheard_of(reading.said, house)):
        near = nearest(unheard, house)
        if near:
            raise Ask(f"No recipe is called just {unheard}. Which do you mean?", near, "recipes")
        raise Refuse(f"No recipe in the books is called {unheard}.")
    recipe, gone = without(recipe_meant(reading, house), reading.without, house.measures)
    if gone:
        note = f"Written out without {listed(gone)}, whatever the steps say."
        recipe = replace(recipe, notes=(*recipe.notes, note))
    return recipe_document(recipe, house), (recipe.title,)


def _still_in(titles: tuple[str, ...], reading: Reading, house: House) -> list[str]:
    """What was to be left out of the dish but cannot be."""
    recipe = house.books.recipe_titled(titles[0]) if titles and reading.without else None
    if recipe is None:
        return []
    left, _ = without(recipe, reading.without, house.measures)
    return [food for food in reading.without if holds(left, food, house.foods)]


def _unheard_of(said: str, house: House) -> str:
    """A dish named that no book has, so that what was talked of before is not handed out for it;
    empty where one is named, or meant by "it" or "number 2"."""
    found = words(said)
    if house.names.titles.spot(found) or any(
        phrase_from(found, at, kind) is not None
        for at in range(len(found))
        for kind in ("pronoun", "ordinal")
    ):
        return ""
    known = _sharing_words()
    foods = {at for spot in house.foods.spot(found) for at in range(spot.start, spot.end)}
    strange = [at for at, word in enumerate(found) if word.is_name and word.text not in known]
    people = {part for person in house.people for part in key(person.name)}
    if all(found[at].key in people for at in strange):
        return ""
    return " ".join(found[at].text for at in sorted({*strange, *foods}))


@cache
def _sharing_words() -> frozenset[str]:
    """Every word that requests to share are made of."""
    phrases = (one.text for one in read_phrases() if one.act == "share")
    return frozenset(word.text for text in phrases for word in words(SLOT.sub(" ", text)))


def _told(made: Document, kind: str, text: str, file: Path | None, paper: bool) -> Iterator[Block]:
    """Where it was written, or the thing itself where it is to be read or copied from here."""
    if kind == PAGE and file is not None:
        yield Say(f"{made.title} as a page to print. Open it in a browser; it fits A4 and "
                  "Letter:", "good")  # fmt: skip
        yield Verbatim(str(file))
        return
    if kind == PAGE and paper:
        yield Say(f"{made.title}: in a household of your own this is written as a page to print. "
                  "Here no file is kept, so this is what it says:", "quiet")  # fmt: skip
        yield Verbatim(plain(made))
        return
    yield Say(f"{made.title}, as {kind}:")
    yield Verbatim(text)
    if file is not None:
        yield Say("Also written as a file:")
        yield Verbatim(str(file))


def _file_name(title: str) -> str:
    """A title as a file's name: plain letters and digits, words joined by hyphens."""
    bare = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    found = "-".join(re.findall(r"[a-z0-9]+", bare.casefold()))
    return found[:_LONGEST_NAME].strip("-") or "page"


def format_asked(said: str) -> str:
    """The form that the words ask for: a page where it is to be printed, else plain text."""
    named = meant(said, _WORDS, "format")
    if named:
        return named
    return PAGE if meant(said, _WORDS, "print") is not None else TEXT


def in_form(document: Document, kind: str) -> str:
    """The document in that form."""
    if kind == DATA:
        return document.data
    return {MARKDOWN: markdown, PAGE: web_page}.get(kind, plain)(document)


# -- a recipe --------------------------------------------------------------------------------


def recipe_document(recipe: Recipe, house: House) -> Document:
    """The recipe at the servings it has, with its cost."""
    costed = cost(match(recipe, house.stock), house.prices)
    original = house.books.recipe_titled(recipe.title)
    if original is not None and original.servings != recipe.servings:
        # what the whole recipe was said to make holds no more
        recipe = replace(recipe, yields="")
    steps = tuple(_NUMBERED.sub("", step) for step in recipe.steps)
    recipe = replace(recipe, steps=steps)
    lines = [_line(line, original) for line in recipe.lines]
    parts: list[Part] = []
    for at, (section, texts) in enumerate(_sections(recipe, lines)):
        if at == 0:
            parts.append(Lines(() if section else texts, "Ingredients"))
        if at or section:
            parts.append(Lines(texts, section, under=True))
    if steps:
        parts.append(Lines(steps, "Steps", STEP))
    notes = (*recipe.notes, *map(_caution, house.cautions.recipe(recipe)))
    if notes:
        parts.append(Lines(notes, "Notes", NOTE))
    about = tuple(_about(recipe, costed, house))
    return Document(recipe.title, about, tuple(parts), _json(recipe, lines, costed, house.currency))


def _caution(caution: Caution) -> str:
    return f"{caution.text} Source: {caution.source}." if caution.source else caution.text


def _line(line: Line, original: Recipe | None) -> str:
    """The line as it was written, or with its new amount where the recipe was scaled."""
    if original is not None and any(
        one.text == line.text and one.amount == line.amount for one in original.lines
    ):
        return line.text
    if line.amount is None or line.food is None:
        return line.text
    size = f" ({written(line.size)})" if line.size is not None else ""
    parts = [f"{written(line.amount)}{size} {line.food}"]
    if line.preparation:
        parts.append(line.preparation)
    if line.optional:
        parts.append("optional")
    return ", ".join(parts)


def _sections(recipe: Recipe, lines: list[str]) -> list[tuple[str, tuple[str, ...]]]:
    found: list[tuple[str, list[str]]] = []
    for line, text in zip(recipe.lines, lines, strict=True):
        if not found or found[-1][0] != line.section:
            found.append((line.section, []))
        found[-1][1].append(text)
    return [(section, tuple(texts)) for section, texts in found]


def _serves(recipe: Recipe) -> str:
    if _says_more(recipe.yields):
        return f"Makes {recipe.yields}"
    return f"Serves {number_written(recipe.servings)}" if recipe.servings else ""


def _says_more(yields: str) -> bool:
    """True for a yield that is more than a number: "24 squares"."""
    return any(letter.isalpha() for letter in yields)


def _cost_line(costed: Costed, currency: str, today: dt.date) -> str:
    """ "Costs about $0.56 a serving, $4.48 in all, at our prices of 25 Nov 2026"."""
    if not costed.total:
        return ""
    least = "at least" if costed.at_least else "about"
    when = f"at our prices of {today.day} {today:%b %Y}"
    whole = money_written(costed.total, currency)
    if costed.per_serving is None:
        return f"Costs {least} {whole}, {when}"
    each = money_written(costed.per_serving, currency)
    return f"Costs {least} {each} a serving, {whole} in all, {when}"


def _about(recipe: Recipe, costed: Costed, house: House) -> list[str]:
    time = f"Takes about {time_written(recipe.minutes)}" if recipe.minutes else ""
    paid = _cost_line(costed, house.currency, house.today)
    return [text for text in (_serves(recipe), time, paid) if text]


def _json(recipe: Recipe, lines: list[str], costed: Costed, currency: str) -> str:
    """See https://schema.org/Recipe; the cost is what one batch takes here."""
    value: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": recipe.title,
        "recipeIngredient": lines,
        "recipeInstructions": [{"@type": "HowToStep", "text": step} for step in recipe.steps],
    }
    if recipe.yields or recipe.servings:
        ways = [f"{number_written(recipe.servings)} servings"] if recipe.servings else []
        also = [recipe.yields] if _says_more(recipe.yields) else []
        value["recipeYield"] = [*ways, *also]
    if recipe.minutes:
        value["totalTime"] = f"PT{recipe.minutes}M"
    if recipe.category:
        value["recipeCategory"] = recipe.category
    if costed.total:
        value["estimatedCost"] = _money(costed.total, currency, costed.at_least)
        if costed.per_serving is not None:
            each = _money(costed.per_serving, currency, costed.at_least)
            value["estimatedCost"]["description"] = f"{each['value']} {currency} a serving"
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"


def _money(value: Decimal, currency: str, at_least: bool) -> dict[str, Any]:
    kind = "minValue" if at_least else "value"
    money: dict[str, Any] = {
        "@type": "MonetaryAmount",
        "currency": currency,
        "value": money_plain(value),
    }
    if at_least:
        money[kind] = money_plain(value)
    return money

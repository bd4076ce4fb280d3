"""Recipes written out for others: plain text, Markdown, a web page, JSON-LD (schema.org Recipe).

Every form carries the same: how many it feeds, what goes in, the steps, what a serving costs here.
"""

from __future__ import annotations

import html
import json
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from helper.acts.house import House
from helper.acts.making import WORDS
from helper.acts.said import meant
from helper.kitchen.amounts import number_written, written
from helper.kitchen.costing import Costed, cost
from helper.kitchen.matching import match
from helper.kitchen.money import plain
from helper.kitchen.money import written as money_written
from helper.kitchen.recipes import Line, Recipe

TEXT = "text"


def format_asked(said: str) -> str:
    """The form that the words ask for; plain text where they ask for none."""
    return meant(said, WORDS, "format") or TEXT


def document(recipe: Recipe, kind: str, house: House) -> str:
    """The recipe in that form, at the servings it has, with its cost."""
    costed = cost(match(recipe, house.stock), house.prices)
    original = house.books.recipe_titled(recipe.title)
    if original is not None and original.servings != recipe.servings:
        # what the whole recipe was said to make holds no more
        recipe = replace(recipe, yields="")
    lines = [_line(line, original) for line in recipe.lines]
    make = {"markdown": _markdown, "html": _page, "json-ld": _json}.get(kind, _plain)
    return make(recipe, lines, costed, house.currency)


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


def _sections(recipe: Recipe, lines: list[str]) -> list[tuple[str, list[str]]]:
    found: list[tuple[str, list[str]]] = []
    for line, text in zip(recipe.lines, lines, strict=True):
        if not found or found[-1][0] != line.section:
            found.append((line.section, []))
        found[-1][1].append(text)
    return found


def _serves(recipe: Recipe) -> str:
    if _says_more(recipe.yields):
        return f"Makes {recipe.yields}"
    return f"Serves {number_written(recipe.servings)}" if recipe.servings else ""


def _says_more(yields: str) -> bool:
    """True for a yield that is more than a number: "24 squares"."""
    return any(letter.isalpha() for letter in yields)


def _cost_line(costed: Costed, currency: str) -> str:
    """ "Costs about $0.56 a serving, $4.48 in all"."""
    if not costed.total:
        return ""
    least = "at least" if costed.at_least else "about"
    whole = money_written(costed.total, currency)
    if costed.per_serving is None:
        return f"Costs {least} {whole}"
    return f"Costs {least} {money_written(costed.per_serving, currency)} a serving, {whole} in all"


def _about(recipe: Recipe, costed: Costed, currency: str) -> list[str]:
    time = f"Takes about {recipe.minutes} minutes" if recipe.minutes else ""
    return [text for text in (_serves(recipe), time, _cost_line(costed, currency)) if text]


def _plain(recipe: Recipe, lines: list[str], costed: Costed, currency: str) -> str:
    out = [recipe.title, *_about(recipe, costed, currency), ""]
    for section, texts in _sections(recipe, lines):
        out += [f"{section}:"] if section else []
        out += texts
    if recipe.steps:
        out += ["", *(f"{at}. {step}" for at, step in enumerate(recipe.steps, 1))]
    out += ["", *recipe.notes] if recipe.notes else []
    return "\n".join(out) + "\n"


def _markdown(recipe: Recipe, lines: list[str], costed: Costed, currency: str) -> str:
    out = [f"# {_md(recipe.title)}", "", "  \n".join(_about(recipe, costed, currency)), ""]
    out += ["## Ingredients", ""]
    for section, texts in _sections(recipe, lines):
        out += [f"### {_md(section)}", ""] if section else []
        out += [*(f"- {_md(text)}" for text in texts), ""]
    if recipe.steps:
        out += ["## Steps", ""]
        out += [*(f"{at}. {_md(step)}" for at, step in enumerate(recipe.steps, 1)), ""]
    if recipe.notes:
        out += ["## Notes", "", *(_md(note) for note in recipe.notes), ""]
    return "\n".join(out)


def _md(text: str) -> str:
    for sign in "\\`*_[]<>#":
        text = text.replace(sign, f"\\{sign}")
    return text


def _page(recipe: Recipe, lines: list[str], costed: Costed, currency: str) -> str:
    escape = html.escape
    out = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(recipe.title)}</title>",
        "<style>body{font-family:serif;max-width:40em;margin:2em auto;padding:0 1em;"
        "line-height:1.5}</style>",
        '<script type="application/ld+json">',
        # "</" would end the script early
        _json(recipe, lines, costed, currency).replace("</", "<\\/"),
        "</script>",
        "</head>",
        "<body>",
        f"<h1>{escape(recipe.title)}</h1>",
        *(f"<p>{escape(text)}</p>" for text in _about(recipe, costed, currency)),
        "<h2>Ingredients</h2>",
    ]
    for section, texts in _sections(recipe, lines):
        out += [f"<h3>{escape(section)}</h3>"] if section else []
        out += ["<ul>", *(f"<li>{escape(text)}</li>" for text in texts), "</ul>"]
    if recipe.steps:
        steps = (f"<li>{escape(step)}</li>" for step in recipe.steps)
        out += ["<h2>Steps</h2>", "<ol>", *steps, "</ol>"]
    out += [f"<p>{escape(note)}</p>" for note in recipe.notes]
    return "\n".join([*out, "</body>", "</html>", ""])


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
    money: dict[str, Any] = {"@type": "MonetaryAmount", "currency": currency, "value": plain(value)}
    if at_least:
        money[kind] = plain(value)
    return money

"""One way in for every file: told by its name and, for tables, by its header."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

from msgspec.structs import replace

from helper.household.books import Household
from helper.household.draft import Draft
from helper.household.pages import title_key
from helper.household.taking_in import cells, people_csv, stock_csv
from helper.household.taking_in.files import read_text
from helper.household.taking_in.recipe_json import (
    NoRecipe,
    decoded,
    from_page,
    recipe_entries,
    recipe_from_json,
)
from helper.household.taking_in.recipe_text import ReadLine, recipe_from_text
from helper.household.taking_in.report import CannotTakeIn, Progress, Refused, Report
from helper.kitchen.foods import Foods
from helper.kitchen.lines import made_out, read_line
from helper.kitchen.recipes import Line, Recipe

_TABLES, _DATA, _PAGES, _TEXTS = (
    (".csv",),
    (".json", ".jsonld"),
    (".html", ".htm"),
    (".txt", ".md", ".text", ".markdown"),
)
SUFFIXES = (*_TABLES, *_DATA, *_PAGES, *_TEXTS)


def take_in(
    path: Path,
    books: Household,
    foods: Foods,
    today: dt.date,
    *,
    again: bool = False,
    progress: Progress | None = None,
) -> Report:
    """Takes a file into the books, all that can be read of it in one change.

    Recipes and people of a known name are updated. Stock rows that came in before are left out
    and asked about, unless `again`. `progress(done, total)` is called while a long file is read.
    Raises CannotTakeIn where nothing of the file can be used, and the books' own troubles.
    """
    suffix = path.suffix.casefold()
    if suffix not in SUFFIXES:
        known = ", ".join(SUFFIXES)
        raise CannotTakeIn(
            f"Files ending in {suffix or 'nothing'} are not known", str(path), f"Known are {known}."
        )
    text = read_text(path)
    if suffix in _TABLES:
        return _table(text, path.name, books, foods, today, again, progress)
    refused: list[Refused] = []
    if suffix in _TEXTS:
        recipe = recipe_from_text(text, foods)
        if recipe is None or not recipe.title:
            raise CannotTakeIn(
                "The text is no recipe with a title and ingredients",
                str(path),
                "Nothing was taken in.",
            )
        recipes: Iterable[Recipe] = [recipe]
    else:
        where = str(path)
        value = from_page(text, where) if suffix in _PAGES else decoded(text, where)
        recipes = _recipes(list(recipe_entries(value)), path.name, foods, refused, progress)
    return keep_recipes(list(recipes), path.name, books, refused, foods)


def _table(
    text: str,
    name: str,
    books: Household,
    foods: Foods,
    today: dt.date,
    again: bool,
    progress: Progress | None,
) -> Report:
    columns = cells.header(text)
    twice = next((one for one in columns if one and columns.count(one) > 1), None)
    if twice is not None:
        raise CannotTakeIn(
            f"The column {twice[:40]} stands in the table twice", name, "Nothing was taken in."
        )
    if set(stock_csv.COLUMNS) <= set(columns):
        return stock_csv.take_in_stock(text, name, books, foods, today, again, progress)
    if set(people_csv.COLUMNS) <= set(columns):
        return people_csv.take_in_people(text, name, books, foods)
    found = f"its first line is {', '.join(columns)[:80]!r}" if columns else "it is empty"
    raise CannotTakeIn(
        "The table is neither stock nor people",
        f"{name}: {found}",
        "Stock needs the columns food and amount, people the column name.",
    )


def _recipes(
    entries: list[dict[str, object]],
    name: str,
    foods: Foods,
    refused: list[Refused],
    progress: Progress | None,
) -> Iterator[Recipe]:
    if not entries:
        raise CannotTakeIn("The file holds no recipe", name, "Nothing was taken in.")
    read = line_reader(foods)
    for at, entry in enumerate(entries):
        if progress is not None and at % 50 == 0:
            progress(at, len(entries))
        try:
            yield recipe_from_json(entry, read)
        except NoRecipe as error:
            refused.append(Refused(name, at + 1, f"recipe {at + 1}: {error}"))
    if progress is not None:
        progress(len(entries), len(entries))


def line_reader(foods: Foods) -> ReadLine:
    """Reads ingredient lines, every different one only once: recipes repeat each other."""
    known: dict[str, list[Line]] = {}

    def read(text: str, section: str) -> list[Line]:
        lines = known.get(text)
        if lines is None:
            lines = known[text] = read_line(text, foods)
        if section:
            return [replace(line, section=section) for line in lines]
        return lines

    return read


def keep_recipes(
    recipes: list[Recipe],
    name: str,
    books: Household,
    refused: Iterable[Refused] = (),
    foods: Foods | None = None,
) -> Report:
    """Puts recipes into the books, those of a known title in the place of the old ones.

    With `foods` the lines are told that nothing could be made of.
    """
    newest: dict[str, Recipe] = {title_key(recipe.title): recipe for recipe in recipes}
    known = books.recipe_titles()
    updated = tuple(one.title for key, one in newest.items() if key in known)
    added = tuple(one.title for key, one in newest.items() if key not in known)

    def prepare(draft: Draft) -> None:
        titles = dict(draft.recipe_titles())
        for key, recipe in newest.items():
            if key in titles:
                draft.put("recipes", replace(recipe, id=titles[key]))
            else:
                draft.add("recipes", recipe)

    if newest:
        only = next(iter(newest.values())).title
        what = only if len(newest) == 1 else f"{len(newest):,} recipes"
        books.change(
            prepare,
            act="take-in",
            summary=f"Took in {what} from {name}",
            meta={"file": name, "kind": "recipes"},
        )
    unread = () if foods is None else _unread(newest.values(), foods)
    return Report(name, "recipes", added, updated, tuple(refused), unread)


def _unread(recipes: Iterable[Recipe], foods: Foods) -> tuple[str, ...]:
    """Lines nothing could be made of, told for a few recipes and counted for many."""
    found = [
        (one.title, line.text) for one in recipes for line in one.lines if not made_out(line, foods)
    ]
    if len(found) > 5:
        return (f"{len(found):,} ingredient lines could not be read; they are kept as written.",)
    return tuple(
        f"{title}: could not read {text!r}; it is kept as written." for title, text in found
    )

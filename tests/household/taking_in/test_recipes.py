"""Recipes taken in from text, JSON-LD and web pages."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helper.household.books import Household
from helper.household.taking_in import CannotTakeIn, Report, files, take_in
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.household.taking_in.recipe_words import (
    iso_minutes,
    minutes_in,
    oven_in,
    servings_in,
    time_line,
)
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods

TODAY = dt.date(2026, 11, 25)
FOODS = Foods()


def scratch() -> Household:
    return Household.scratch(today=lambda: TODAY)


def taken(folder: Path, value: Any, name: str, books: Household, **more: Any) -> Report:
    path = folder / name
    path.write_text(value if isinstance(value, str) else json.dumps(value), encoding="utf-8")
    return take_in(path, books, FOODS, TODAY, **more)


# -- text --------------------------------------------------------------------------------------


def test_a_recipe_as_people_copy_it() -> None:
    recipe = recipe_from_text(
        """Everyday loaf
Makes 1 loaf (12 slices)
Prep: 15 minutes  Cook: 1 hour

For the dough:
3 cups bread flour
2 1/4 tsp yeast
For the top:
1 egg, beaten

1. Mix it all.
Let it rise 1 hour.
2. Bake at 375°F for 30 to 35 minutes.

Note: freezes well.
""",
        FOODS,
    )
    assert recipe is not None
    assert recipe.title == "Everyday loaf"
    assert (recipe.servings, recipe.yields) == (12, "1 loaf (12 slices)")
    assert (recipe.minutes, recipe.oven_f) == (75, 375)
    assert [line.food for line in recipe.lines] == ["bread flour", "yeast", "egg"]
    assert [line.section for line in recipe.lines] == [
        "For the dough",
        "For the dough",
        "For the top",
    ]
    assert len(recipe.steps) == 3
    assert recipe.notes == ("Note: freezes well.",)


def test_headings_settle_what_follows() -> None:
    recipe = recipe_from_text(
        "# Slaw\n\n**Serves 4**\n\n## Ingredients\n- cabbage\n- 2 carrots\n\n## Method\n"
        "2 minutes before eating, mix.\nServe.\n\n## Notes\nKeeps a day.\n",
        FOODS,
    )
    assert recipe is not None
    assert recipe.title == "Slaw"
    assert recipe.servings == 4
    assert [line.food for line in recipe.lines] == ["cabbage", "carrot"]
    assert recipe.steps == ("2 minutes before eating, mix.", "Serve.")
    assert recipe.notes == ("Keeps a day.",)


@pytest.mark.parametrize(
    ("title", "first"), [("Three-bean chili", "1 lb beans"), ("Drop dumplings", "2 cups flour")]
)
def test_titles_that_look_like_amounts(title: str, first: str) -> None:
    recipe = recipe_from_text(f"{title}\nServes 6\n\n{first}\n\nCook it all slowly.", FOODS)
    assert recipe is not None
    assert recipe.title == title
    assert len(recipe.lines) == 1


def test_every_recipe_of_the_demo_reads(request: pytest.FixtureRequest) -> None:
    folder = Path(__file__).parents[3] / "demo_household" / "recipes"
    for path in sorted(folder.glob("*.txt")):
        recipe = recipe_from_text(path.read_text(encoding="utf-8"), FOODS)
        assert recipe is not None, path.name
        assert recipe.servings or recipe.yields, path.name
        assert len(recipe.lines) >= 4, path.name
        assert len(recipe.steps) >= 2, path.name
        assert not [line.text for line in recipe.lines if line.unread], path.name


@pytest.mark.parametrize(
    ("text", "servings"),
    [
        ("6", 6),
        ("6 servings", 6),
        ("4 to 6", 4),
        ("4-6 servings", 4),
        ("24 squares", 24),
        ("1 loaf (12 slices)", 12),
        ("2 crusts, 9-inch", None),
        ("2 cups", None),
        ("1 loaf", None),
        ("about 30 cookies", 30),
        ("", None),
    ],
)
def test_how_many_a_yield_feeds(text: str, servings: float | None) -> None:
    assert servings_in(text) == servings


@pytest.mark.parametrize(
    ("steps", "minutes"),
    [
        (("Simmer 20 minutes.", "Bake 1 hour and 10 minutes."), 90),
        (("Simmer 30 to 45 minutes.",), 45),
        (("Stir every 5 minutes.", "Eat within 2 hours."), None),
        (("Boil an hour.",), 60),
        (("Wait half an hour.",), 30),
        (("Stir.",), None),
    ],
)
def test_times_out_of_the_steps(steps: tuple[str, ...], minutes: int | None) -> None:
    assert minutes_in(steps) == minutes


@pytest.mark.parametrize(
    ("step", "heat"),
    [
        ("Bake at 375°F for an hour.", 375),
        ("Heat the oven to 180 C.", 356),
        ("Preheat oven to 350 degrees F (175 C).", 350),
        ("Warm the water to 110°F. Then bake.", None),
        ("Roast to 165 F inside.", None),
    ],
)
def test_oven_temperatures(step: str, heat: int | None) -> None:
    assert oven_in((step,)) == heat


def test_times_as_programs_and_people_write_them() -> None:
    assert iso_minutes("PT1H30M") == 90
    assert iso_minutes("P1DT2H") == 1560
    assert iso_minutes("soon") is None
    assert time_line("Total time: 1 hour 5 min") == {"total": 65}
    assert time_line("Prep: 15 minutes  Cook: 2 hours") == {"part": 135}
    assert time_line("Cook the onions 5 minutes") == {}


# -- JSON-LD -----------------------------------------------------------------------------------

RECIPE = {
    "@type": "Recipe",
    "name": "Bean &amp; ham soup",
    "recipeYield": ["6", "6 servings"],
    "totalTime": "PT1H",
    "recipeIngredient": ["1 lb navy beans", "<b>2</b> carrots"],
    "recipeInstructions": [
        {"@type": "HowToStep", "text": "Soak."},
        {"@type": "HowToSection", "name": "Pot", "itemListElement": [{"text": "Simmer."}]},
    ],
}


@pytest.mark.parametrize(
    "value",
    [
        RECIPE,
        [RECIPE],
        {"@context": "https://schema.org", "@graph": [{"@type": "WebPage"}, RECIPE]},
        {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": RECIPE}]},
        {**RECIPE, "@type": ["Recipe", "NewsArticle"]},
        {**RECIPE, "@type": "http://schema.org/Recipe"},
    ],
)
def test_a_recipe_wherever_it_stands(value: Any, tmp_path: Path) -> None:
    books = scratch()
    assert taken(tmp_path, value, "r.json", books).clean
    (recipe,) = books.recipes()
    assert recipe.title == "Bean & ham soup"
    assert (recipe.servings, recipe.minutes) == (6, 60)
    assert [(line.food, line.amount) for line in recipe.lines] == [
        ("navy bean", Amount(1, "lb")),
        ("carrot", Amount(2, None)),
    ]
    assert recipe.steps == ("Soak.", "Pot:", "Simmer.")


def test_a_recipe_inside_a_web_page(tmp_path: Path) -> None:
    page = (
        "<html><head><script type='application/ld+json'>not json</script>"
        f'<SCRIPT TYPE="application/ld+json">{json.dumps(RECIPE)}</SCRIPT></head>'
        "<body><script>var x = '<p>';</script></body></html>"
    )
    books = scratch()
    assert taken(tmp_path, page, "page.html", books).added == ("Bean & ham soup",)


@pytest.mark.parametrize(
    ("broken", "reason"),
    [({"@type": "Recipe"}, "no name"), ({**RECIPE, "recipeIngredient": []}, "no ingredients")],
)
def test_one_bad_recipe_does_not_keep_out_the_others(
    broken: dict[str, Any], reason: str, tmp_path: Path
) -> None:
    books = scratch()
    report = taken(tmp_path, [broken, {**RECIPE, "name": "Other"}], "r.json", books)
    assert report.added == ("Other",)
    assert (report.refused[0].row, reason in report.refused[0].reason) == (1, True)


def test_the_same_title_is_updated_and_the_number_kept(tmp_path: Path) -> None:
    books = scratch()
    taken(tmp_path, RECIPE, "r.json", books)
    before = next(iter(books.recipes()))
    report = taken(tmp_path, {**RECIPE, "recipeYield": "9"}, "r.json", books)
    (after,) = books.recipes()
    assert report.updated == (after.title,)
    assert (after.id, after.servings) == (before.id, 9)


@pytest.mark.parametrize("text", ["", "{", "[1,", "nothing", "[" * 100_000, "{}", "[]", "3"])
def test_json_that_is_none_or_holds_no_recipe(text: str, tmp_path: Path) -> None:
    books = scratch()
    with pytest.raises(CannotTakeIn):
        taken(tmp_path, text, "r.json", books)
    assert books.version == 0


def test_a_file_too_large_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "LARGEST", 100)
    with pytest.raises(CannotTakeIn, match="larger"):
        taken(tmp_path, [RECIPE], "r.json", scratch())


def test_control_characters_do_not_get_into_the_books(tmp_path: Path) -> None:
    books = scratch()
    value = {**RECIPE, "name": "So\x1b[31mup\u202e\x00", "recipeInstructions": "a\x07b"}
    taken(tmp_path, value, "r.json", books)
    (recipe,) = books.recipes()
    assert recipe.title.isprintable()
    assert recipe.steps == ("ab",)


def test_progress_is_told_to_the_end(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    many = [{**RECIPE, "name": f"Dish {at}"} for at in range(120)]
    taken(tmp_path, many, "r.json", scratch(), progress=lambda done, of: told.append((done, of)))
    assert told[0] == (0, 120)
    assert told[-1] == (120, 120)


_json = st.recursive(
    st.none()
    | st.booleans()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(
                [
                    "@type",
                    "name",
                    "@graph",
                    "recipeYield",
                    "recipeIngredient",
                    "text",
                    "recipeInstructions",
                    "itemListElement",
                    "totalTime",
                    "item",
                ]
            ),
            inner,
            max_size=6,
        )
    ),
    max_leaves=20,
)


@settings(max_examples=80, deadline=None)
@given(_json)
def test_whatever_stands_in_a_recipe_breaks_nothing(
    tmp_path_factory: pytest.TempPathFactory, value: Any
) -> None:
    books = scratch()
    folder = tmp_path_factory.mktemp("any")
    recipe = {"@type": "Recipe", "name": "Dish", "recipeIngredient": ["1 egg"]}
    more = value if isinstance(value, dict) else {"recipeInstructions": value}
    text = json.dumps([recipe, {**recipe, **more, "@type": "Recipe"}])
    report = taken(folder, text, "r.json", books)
    assert report.added
    for one in books.recipes():
        assert one.title.isprintable()


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=300))
def test_any_text_is_a_recipe_or_refused(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    books = scratch()
    folder = tmp_path_factory.mktemp("any")
    try:
        taken(folder, text, "r.txt", books)
    except CannotTakeIn:
        assert books.version == 0
    else:
        assert next(iter(books.recipes())).lines


def test_lines_nothing_could_be_made_of_are_told(tmp_path: Path) -> None:
    text = "# Plain pot\n\n- 1 cup rice\n- qwx vbnt plor\n- 2 tbsp zorgle\n\nBoil it.\n"
    books = scratch()
    report = taken(tmp_path, text, "pot.md", books)
    assert [note for note in report.notes if "qwx" in note]
    assert not [note for note in report.notes if "zorgle" in note]
    (recipe,) = books.recipes()
    assert recipe.lines[0].text == "1 cup rice"

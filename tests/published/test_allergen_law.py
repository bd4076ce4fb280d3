"""Verdicts held against the laws that list allergens and say what a gluten-free label means.

Foods are those the texts themselves name, or the plainest sorts of what they name.
"""

from __future__ import annotations

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.lines import read_line
from helper.kitchen.safety import Minded, Safety
from rules.avoids import avoids
from rules.judge import CHECK, NO, YES

FOODS = Foods()
SAFETY = Safety(FOODS)

FALCPA = "FD&C Act 201(qq)(1)"
FASTER = "FASTER Act of 2021, P.L. 117-11"
FDA_NUTS = "FDA Questions and Answers Regarding Food Allergens, Edition 5, tree nuts"
ANNEX = "Regulation (EU) 1169/2011 Annex II point"
GLUTEN = "21 CFR 101.91"

US_NINE = [
    (FALCPA, "milk", "milk;cream;butter;cheddar cheese;whey;casein;ghee;yogurt;goat milk"),
    (FALCPA, "egg", "egg;egg white;egg yolk;mayonnaise;duck egg;quail egg"),
    (FALCPA, "fish", "bass;flounder;cod;canned tuna;anchovy;fish sauce"),
    (FALCPA, "crustacean", "crab;lobster;shrimp;crayfish"),
    (FALCPA, "tree-nut", "almond;pecan;walnut"),
    (FALCPA, "wheat", "wheat;all-purpose flour;spelt;semolina;bulgur;couscous"),
    (FALCPA, "peanut", "peanut;peanut butter"),
    (FALCPA, "soy", "soybean;tofu;soy milk;soy sauce;edamame;tempeh"),
    (FASTER, "sesame", "sesame seed;tahini;toasted sesame oil"),
    (
        FDA_NUTS,
        "tree-nut",
        "almond;black walnut;brazil nut;cashew;hazelnut;macadamia nut;pecan;pine nut;pistachio",
    ),
]
EU_FOURTEEN = [
    (f"{ANNEX} 1", "gluten", "wheat;rye flour;barley;spelt;khorasan wheat"),
    (f"{ANNEX} 2", "crustacean", "shrimp;prawn;crab;lobster"),
    (f"{ANNEX} 3", "egg", "egg;dried egg"),
    (f"{ANNEX} 4", "fish", "herring;salmon;haddock"),
    (f"{ANNEX} 5", "peanut", "peanut;roasted peanut"),
    (f"{ANNEX} 6", "soy", "soybean;tofu"),
    (f"{ANNEX} 7", "milk", "milk;lactose;lactose-free milk"),
    (
        f"{ANNEX} 8",
        "tree-nut",
        "almond;hazelnut;walnut;cashew;pecan;brazil nut;pistachio;macadamia nut",
    ),
    (f"{ANNEX} 9", "celery", "celery;celeriac;celery seed;celery salt"),
    (f"{ANNEX} 10", "mustard", "mustard;mustard seed;dry mustard"),
    (f"{ANNEX} 11", "sesame", "sesame seed;tahini"),
    (f"{ANNEX} 12", "sulphite", "sulphite"),
    (f"{ANNEX} 13", "lupin", "lupin;lupin flour"),
    (f"{ANNEX} 14", "mollusc", "mussel;oyster;squid;clam;scallop"),
]


def spread(table: list[tuple[str, str, str]]) -> list[object]:
    return [
        pytest.param(food, allergen, id=f"{citation}: {food} is {allergen}")
        for citation, allergen, foods in table
        for food in foods.split(";")
    ]


def verdict(line: str, avoid: str) -> str:
    lines = read_line(line, FOODS)
    return SAFETY.verdict([SAFETY.thing(one) for one in lines], [Minded(avoid)])


@pytest.mark.parametrize(("food", "allergen"), spread(US_NINE))
def test_what_the_us_law_names_is_never_cleared(food: str, allergen: str) -> None:
    assert verdict(food, allergen) == NO


@pytest.mark.parametrize(("food", "allergen"), spread(EU_FOURTEEN))
def test_what_the_eu_law_names_is_never_cleared(food: str, allergen: str) -> None:
    assert verdict(food, allergen) == NO


def test_the_us_nine_and_the_eu_fourteen_are_all_there() -> None:
    groups = avoids().groups
    assert len(groups["US nine"].members) == 9
    assert len(groups["EU fourteen"].members) == 14
    assert set(groups["US nine"].members) | set(groups["EU fourteen"].members) == set(
        avoids().allergens
    )


@pytest.mark.parametrize(
    ("line", "avoid", "expected"),
    [
        pytest.param(line, avoid, expected, id=f"{GLUTEN}{where}: {line} / {avoid}")
        for where, line, avoid, expected in [
            ("(a)(1)", "2 cups bread flour", "gluten-free", NO),
            ("(a)(1)", "1 cup rye flour", "gluten-free", NO),
            ("(a)(1)", "1 cup pearl barley", "gluten-free", NO),
            ("(a)(1)", "1 cup triticale", "gluten-free", NO),
            ("(a)(1)", "1 cup rye flour", "wheat", CHECK),
            ("(a)(3)", "1 cup rice", "gluten-free", YES),
            ("(a)(3)", "1 cup rolled oats", "gluten-free", CHECK),
            ("(a)(3)", "1 cup gluten-free rolled oats", "gluten-free", YES),
            ("(a)(3)(i)(A)(2)", "1 tbsp malt extract", "gluten-free", NO),
            ("(a)(3)", "1 cup gluten-free chicken broth", "gluten-free", YES),
            ("(b)(2)", "1 cup chicken broth, no gluten", "gluten-free", YES),
            ("(b)(2)", "1 cup gluten free chicken broth", "gluten-free", YES),
            ("(b)(3)", "1 cup gluten-free chicken broth", "wheat", CHECK),
            ("(b)(3)", "2 slices gluten-free wheat bread", "wheat", NO),
            ("", "2 cups wheat-free bread", "gluten-free", NO),
            ("", "1 cup wheat-free rolled oats", "gluten-free", CHECK),
            ("", "1 cup rye flour, wheat-free", "gluten-free", NO),
        ]
    ],
)
def test_what_a_gluten_free_label_promises(line: str, avoid: str, expected: str) -> None:
    assert verdict(line, avoid) == expected


@pytest.mark.parametrize(
    ("line", "avoid"),
    [
        pytest.param(line, avoid, id=f"{citation}: {line} does not clear {avoid}")
        for citation, line, avoid in [
            ("21 CFR 101.4(d)", "1 tbsp non-dairy creamer", "milk"),
            ("ISO 23662:2021 clears a diet and no allergy", "1 cup vegan chocolate chips", "milk"),
            ("TTB Ruling 2020-2", "1 bottle gluten-removed beer", "gluten-free"),
            ("27 CFR 7.65", "1 bottle non-alcoholic beer", "gluten-free"),
            ("CFIA: lactose-free is still milk", "1 cup lactose-free milk", "dairy-free"),
            ("FD&C Act 201(qq)", "2 tbsp cold-pressed peanut oil", "peanut"),
        ]
    ],
)
def test_what_other_labels_do_not_promise(line: str, avoid: str) -> None:
    assert verdict(line, avoid) != YES

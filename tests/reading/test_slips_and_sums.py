"""Words of the language and names beside foods; degrees, hours, prices, titles in part."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from helper.kitchen.foods import Foods
from helper.kitchen.words import words
from helper.reading.acts import acts
from helper.reading.fields import fill
from helper.reading.frame import frame
from helper.reading.names import Names
from helper.reading.reading import Reading
from helper.reading.spelling import capitals, respelt

TODAY = dt.date(2026, 11, 25)
TITLES = ["Red lentils and rice", "White bean burritos", "Pear crumble", "Tuna pasta bake"]
NAMES = Names(Foods(), TITLES, ["Orla", "Bram"], ["Ferry Lane"])


def read(act: str, said: str) -> Reading:
    found, _ = respelt(words(said), NAMES.speller, capitals(said))
    return Reading(
        said=said, act=act, **fill(acts()[act], found, NAMES.spot(found, TODAY), NAMES.foods)
    )


def amounts(act: str, said: str) -> list[tuple[float, str | None, str | None]]:
    return [(one["amount"], one["unit"], one["food"]) for one in frame(read(act, said))["amounts"]]


@pytest.mark.parametrize(
    ("said", "foods"),
    [
        ("the whole tribe wants beans", ("bean",)),
        ("supper with the Brandtz girls, there is ham", ("ham",)),
        ("my cousin Mintz brings rice", ("rice",)),
        ("got bred and chese", ("bread", "cheese")),
        ("got Letuce", ("lettuce",)),
        ("the last of the soi suace", ("soy sauce",)),
    ],
)
def test_words_of_the_language_and_names_are_no_foods(said: str, foods: tuple[str, ...]) -> None:
    assert read("find-meals", said).foods == foods


def test_a_person_misspelt_is_still_that_person() -> None:
    assert read("safe-for", "are the beans fit for Orrla").people == ("Orla",)


def test_a_slip_that_is_a_word_is_told_by_the_words_around_it() -> None:
    assert read("cost", "cost of the white been burritos").recipes == ("White bean burritos",)


@pytest.mark.parametrize(
    ("said", "stated"),
    [
        ("there wasn't a drop of milk left", []),
        ("it's ten past six, eggs are in", []),
        ("8 o'clock and the eggs are in", []),
        ("3 of the 2 kg bags of rice came", [(3, "bag", "rice")]),
        ("two of those big tins of tomatoes", [(2, "can", "canned tomato")]),
        ("over three dozen eggs from the farm", [(36, None, "egg")]),
    ],
)
def test_what_is_counted(said: str, stated: list[Any]) -> None:
    assert amounts("add-stock", said) == stated
    assert read("add-stock", said).money is None


@pytest.mark.parametrize(
    ("said", "stated"),
    [
        ("200 c in fahrenheit", [(200, "C", None)]),
        ("what is 425 degrees f", [(425, "F", None)]),
        ("2 c flour in grams", [(2, "cup", "all-purpose flour")]),
    ],
)
def test_degrees_are_no_cups(said: str, stated: list[Any]) -> None:
    assert amounts("convert", said) == stated


@pytest.mark.parametrize(
    ("act", "said", "money"),
    [
        ("menu", "a week of dinners, sixty to spend", "60"),
        ("menu", "suppers for a fortnight, ninety all in", "90"),
        ("add-stock", "two pounds of ham from Ferry Lane six forty nine", "6.49"),
        ("menu", "dinners for when we are home by six thirty", None),
    ],
)
def test_money_without_a_coin(act: str, said: str, money: str | None) -> None:
    assert read(act, said).money == (None if money is None else Decimal(money))


@pytest.mark.parametrize(
    ("said", "prices"),
    [
        ("eggs 3.10 a dozen, butter 4.25 a pound", ["3.10", "4.25"]),
        ("2 lb ham at 3 a pound and a bag of rice for 5", ["3", "5.0"]),
    ],
)
def test_each_thing_keeps_its_price(said: str, prices: list[str]) -> None:
    said_prices = [one.price for one in read("add-stock", f"got {said}").amounts]
    assert said_prices == [Decimal(one) for one in prices]


@pytest.mark.parametrize(
    ("act", "said", "recipes", "foods"),
    [
        ("remark", "the tuna thing wants more pepper", ("Tuna pasta bake",), ("black pepper",)),
        ("swap", "no butter for crumble", ("Pear crumble",), ("butter",)),
        ("stock", "how many red lentils are there", (), ("red lentil",)),
    ],
)
def test_titles_in_part(
    act: str, said: str, recipes: tuple[str, ...], foods: tuple[str, ...]
) -> None:
    reading = read(act, said)
    assert (reading.recipes, reading.foods) == (recipes, foods)


def test_a_rule_takes_minutes() -> None:
    assert read("house-rule", "nothing that takes over 40 minutes").minutes == 40


@pytest.mark.parametrize(
    ("act", "said", "foods"),
    [
        ("add-stock", "got 3 boxes of tea", ("tea",)),
        ("find-meals", "a quick tea with eggs", ("egg",)),
        ("menu", "a week of teas", ()),
        ("find-meals", "Honey, what can we have with rice", ("rice",)),
        ("find-meals", "what's for supper, duck", ()),
        ("add-stock", "got oats, honey", ("rolled oat", "honey")),
        ("rescue", "I haven't the heart to bin this ham", ("ham",)),
        ("shopping", "could you pop rice on the list", ("rice",)),
        ("remark", "it was dry as a bone", ()),
        (
            "cheaper",
            "are dried chickpeas dearer or the tinned ones",
            ("chickpea", "canned chickpea"),
        ),
        ("swap", "does skimmed milk do instead of ordinary", ("skim milk", "milk")),
    ],
)
def test_words_in_another_meaning(act: str, said: str, foods: tuple[str, ...]) -> None:
    assert read(act, said).foods == foods


def test_an_allergy_said_behind_is_one() -> None:
    reading = read("set-person", "Orla cant have nuts, carries an epipen")
    assert (reading.diets, reading.without) == (("nut-free",), ())


def test_what_one_will_not_eat() -> None:
    reading = read("find-meals", "one refuses fish and the other won't touch beans")
    assert reading.without == ("fish", "bean")


def test_froze_it_is_a_place() -> None:
    assert read("add-stock", "3 lb of ham, froze it").place == "freezer"


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("ideas 4 supper with rice", None),
        ("what is good at this time of year", None),
        ("late all week, so 3 dinners please", 3),
        ("dinners for 6 nites", 6),
    ],
)
def test_days_counted(said: str, days: int | None) -> None:
    assert read("menu", said).days == days

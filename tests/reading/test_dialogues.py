"""What pronouns, half-named things and a few words of correction point to in a longer talk."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from helper.conversation import Conversation
from helper.demo import demo_books
from helper.reading.frame import frame

TODAY = dt.date(2026, 11, 25)


def after(*sayings: str) -> dict[str, Any]:
    """The fields that the last of these sayings was read to have."""
    talk = Conversation(demo_books(TODAY), TODAY)
    answers = [talk.say(one) for one in sayings]
    return {
        name: value for name, value in frame(answers[-1].reading).items() if value not in (None, [])
    }


def holds(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    found = after(*sayings)
    assert {name: found.get(name) for name in means} == means


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("Idris can't have eggs", "could she still eat the pancakes"),
         {"act": "safe-for", "recipes": ["Pancakes"], "people": ["Idris"]}),
        (("is the corn bread ok for Tobin", "he's off honey as well"),
         {"act": "set-person", "people": ["Tobin"], "without": ["honey"]}),
        (("can Tobin have the pancakes", "what can I cook for him and Idris"),
         {"act": "find-meals", "people": ["Tobin", "Idris"]}),
        (("what does the bean and ham soup cost", "Blimey. And the corn bread?"),
         {"act": "cost", "recipes": ["Corn bread"]}),
        (("show the corn bread", "Good grief! How much butter is there"),
         {"act": "stock", "foods": ["butter"]}),
        (("show the corn bread", "oh never mind, what's in the freezer"),
         {"act": "stock", "place": "freezer"}),
        (("how many eggs are there", "what else is in that fridge"),
         {"act": "stock", "place": "fridge", "foods": None}),
    ],
)  # fmt: skip
def test_pointing_back(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("what does the corn bread cost", "not the corn bread, the pancakes"),
         {"act": "cost", "recipes": ["Pancakes"], "without": None}),
        (("how many tins of tomatoes are there", "sorry, the chopped ones"),
         {"act": "stock", "foods": ["canned diced tomato"]}),
        (("what can I make with chicken", "thighs I meant"),
         {"act": "find-meals", "foods": ["chicken thigh"]}),
        (("made the corn bread for 6", "oh five, Idris was away"),
         {"act": "cooked", "recipes": ["Corn bread"], "servings": 5}),
        (("I count 6 eggs", "no, 7. One had rolled under the cheese."),
         {"act": "recount", "foods": ["egg"],
          "amounts": [{"amount": 7, "unit": None, "food": "egg"}]}),
        (("always keep 2 lb of rice in the house", "three, on reflection"),
         {"act": "keep-stocked", "amounts": [{"amount": 3, "unit": "lb", "food": "rice"}]}),
    ],
)  # fmt: skip
def test_putting_right(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


def test_nobody_is_meant_by_guessing() -> None:
    """ "She" after two people were spoken of notes nothing of either."""
    talk = Conversation(demo_books(TODAY), TODAY)
    talk.say("can Tobin and Idris have the pancakes")
    assert not talk.say("she can't have walnuts").changed


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("put 2 lb of rice and 3 onions on the list", "make the onions five"),
         {"act": "shopping", "foods": ["onion"],
          "amounts": [{"amount": 5, "unit": None, "food": "onion"}]}),
        (("got 2 lb of butter and 3 leeks", "the butter was 7.98"),
         {"act": "add-stock", "foods": ["butter"],
          "money": {"amount": "7.98", "currency": "USD"}}),
        (("put rice and onions on the list", "scrap the onions"),
         {"act": "shopping", "foods": ["onion"], "amounts": None}),
        (("used 2 eggs", "so how many does that leave us"), {"act": "stock", "foods": ["egg"]}),
        (("put the butter in the freezer",),
         {"act": "add-stock", "foods": ["butter"], "place": "freezer"}),
        (("made the corn bread for 8", "half left over"),
         {"act": "cooked", "recipes": ["Corn bread"], "servings": 8}),
        (("used the last of the lentils", "we should always have some in the cupboard"),
         {"act": "keep-stocked", "foods": ["lentil"]}),
        (("always keep 2 bags of flour in", "and rice likewise"),
         {"act": "keep-stocked", "amounts": [{"amount": 2, "unit": "bag", "food": "rice"}]}),
        (("made the corn bread", "Idris found it bland, less sugar next time"),
         {"act": "remark", "recipes": ["Corn bread"], "people": ["Idris"]}),
        (("how much rice is there", "how long does it keep", "and the cooked in the fridge"),
         {"act": "keeps", "foods": ["cooked rice"], "place": "fridge"}),
        (("binned the ham", "all of it", "put another on the list"),
         {"act": "shopping", "foods": ["ham"]}),
    ],
)  # fmt: skip
def test_changes_in_turn(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("in stock: lentils",), {"act": "stock", "foods": ["lentil"]}),
        (("butter substitute", "in the pancakes"),
         {"act": "swap", "recipes": ["Pancakes"], "foods": ["butter"]}),
        (("how long do leeks keep", "frozen?"),
         {"act": "keeps", "foods": ["leek"], "place": "freezer"}),
        (("what am I missing for the pancakes", "x6"), {"act": "missing", "servings": 6}),
        (("how many times have we had the corn bread", "what does one of them cost"),
         {"act": "cost", "recipes": ["Corn bread"], "amounts": None}),
        (("can Idris have the pancakes", "and Tobin", "is the corn bread fine for both of them"),
         {"act": "safe-for", "recipes": ["Corn bread"], "people": ["Tobin", "Idris"]}),
        (("what can I cook for just me and Idris", "veggie"),
         {"act": "find-meals", "people": ["Idris"], "diets": ["vegetarian"], "servings": None}),
    ],
)  # fmt: skip
def test_few_words(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


def on_list(*sayings: str) -> list[str]:
    """What stands on the shopping list after these sayings."""
    talk = Conversation(demo_books(TODAY), TODAY)
    for one in sayings:
        talk.say(one)
    return [line.food for line in talk.house.books.shopping() if not line.ticked]


def test_what_was_not_put_right_stays_on_the_list() -> None:
    before = on_list()
    said = ("put 2 lb of apples and a bag of sugar on the list", "make the apples three pounds")
    assert len(on_list(*said)) == len(before) + 2
    assert on_list(*said, "drop the apples", "not the sugar after all") == before
    named = on_list("put bananas and leeks on the list", "not the bananas though, pears instead")
    assert "banana" not in named
    assert {"leek", "pear"} <= set(named)


def test_the_change_before_the_last_is_put_right_and_the_last_stays() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    before = {lot.food: lot.left.number for lot in talk.house.books.lots()}
    for one in ("got 3 lb of leeks", "and a cabbage", "oh, 4 lb of the leeks actually"):
        answer = talk.say(one)
    assert answer.changed
    held = [(lot.food, lot.left.number) for lot in talk.house.books.lots()]
    assert ("leek", 4) in held
    assert ("leek", 3) not in held
    assert sum(food == "cabbage" for food, _ in held) == ("cabbage" in before) + 1


def test_two_things_at_once_with_it() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    said = talk.say("used the last of the butter, pop it on the list")
    assert [one.reading.act for one in (said, *said.also)] == ["use-stock", "shopping"]


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("show the corn bread", "would that do for Tobin"),
         {"act": "safe-for", "recipes": ["Corn bread"], "people": ["Tobin"]}),
        (("what does the corn bread cost", "and is that okay for Idris? She's off eggs"),
         {"act": "safe-for", "recipes": ["Corn bread"], "people": ["Idris"]}),
        (("show the corn bread for 8", "all done, they ate the lot"),
         {"act": "cooked", "recipes": ["Corn bread"], "servings": 8}),
        (("put rice and milk on the list", "right, bought those"),
         {"act": "shopping", "foods": ["rice", "milk"]}),
        (("put rice and milk on the list", "read that back to me please"),
         {"act": "shopping", "foods": None}),
        (("show the corn bread", "Pancakes it is. What would that cost for six?"),
         {"act": "cost", "recipes": ["Pancakes"], "servings": 6}),
        (("menu for the week", "limit it to 35"), {"act": "menu", "days": 7}),
        (("what can I do with stale bread", "not a soup"),
         {"act": "rescue", "without": ["soup"]}),
        (("add a tin of salmon and a pound of rice to the list", "no, make that three tins"),
         {"act": "shopping", "foods": ["canned salmon"]}),
        (("what does the corn bread cost", "pancakes x20"), {"servings": 20}),
    ],
)  # fmt: skip
def test_of_the_last_request(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("what can I make with rice", "nothing with egg in it"),
         {"act": "find-meals", "foods": ["rice"], "without": ["egg"]}),
        (("what does the corn bread cost for 6", "and two extra, her cousins"),
         {"act": "cost", "recipes": ["Corn bread"], "servings": 8}),
        (("what goes with the corn bread", "it has to be dairy free, unfortunately"),
         {"act": "goes-with", "recipes": ["Corn bread"], "diets": ["dairy-free"]}),
        (("put rice on the list", "read it back to me"), {"act": "shopping", "foods": None}),
        (("what did we pay for butter", "couldn't resist, bought three"),
         {"act": "add-stock", "foods": ["butter"],
          "amounts": [{"amount": 3, "unit": None, "food": "butter"}]}),
        (("got 4 lb of rice", "3.10 for the sack"),
         {"act": "add-stock", "foods": ["rice"],
          "money": {"amount": "3.10", "currency": "USD"}}),
        (("how long can we eat from what's here", "what if we leave the lentils alone"),
         {"act": "lasts", "without": ["lentil"]}),
        (("plan dinners for 3 days", "could we make it five please"), {"act": "menu", "days": 5}),
        (("is rice or pasta cheaper", "potatoes?"),
         {"act": "cheaper", "foods": ["rice", "pasta", "potato"]}),
        (("how much milk is there", "bought eggs"), {"act": "add-stock", "foods": ["egg"]}),
        (("can I leave butter out",), {"without": None}),
    ],
)  # fmt: skip
def test_going_on_in_more_words(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("what can I make with rice", "Odalys is staying for supper, mind"),
         {"act": "find-meals", "foods": ["rice"], "people": ["Odalys"]}),
        (("a cheap supper", "hang on, Nico's here, no beef then"),
         {"act": "find-meals", "people": ["Nico"], "without": ["beef"]}),
        (("plan dinners for 3 days", "for five of us", "and Wren will be back with us"),
         {"act": "menu", "days": 3, "servings": 5, "people": ["Wren"]}),
        (("what can I make with rice", "Nico is away"), {"act": "set-person", "people": ["Nico"]}),
        (("what can I make with rice", "Nico is staying and he can't have milk"),
         {"act": "set-person", "people": ["Nico"], "without": ["milk"]}),
        (("a quick supper", "Nico's staying and he is coeliac"),
         {"act": "set-person", "people": ["Nico"], "diets": ["gluten-free"]}),
        (("what can I make with rice", "that are dairy free for Odalys"),
         {"act": "find-meals", "people": ["Odalys"], "diets": ["dairy-free"]}),
        (("what am I missing for the pancakes for 4", "make it nine, my cousin's coming"),
         {"act": "missing", "recipes": ["Pancakes"], "servings": 9}),
        (("what does the corn bread cost", "and may our Nico eat it"),
         {"act": "safe-for", "recipes": ["Corn bread"], "people": ["Nico"]}),
    ],
)  # fmt: skip
def test_who_comes_to_table(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


@pytest.mark.parametrize(
    ("sayings", "means"),
    [
        (("what goes with the corn bread", "without rice, we had it on Monday"),
         {"act": "goes-with", "recipes": ["Corn bread"], "without": ["rice"]}),
        (("a quick supper", "no potatoes, I'm sick of them"),
         {"act": "find-meals", "without": ["potato"]}),
        (("plan dinners for 4 days", "can you keep that under fifty dollars"),
         {"act": "menu", "days": 4, "money": {"amount": "50.00", "currency": "USD"}}),
        (("how long can the three of us eat without shopping",
          "and with my aunt and her two, so six"), {"act": "lasts", "servings": 6}),
        (("what should be used up in the next 4 days", "just what's in the fridge"),
         {"act": "use-soon", "days": 4, "place": "fridge"}),
        (("what does the corn bread cost", "vs the pancakes, which is less"),
         {"act": "cheaper", "recipes": ["Corn bread", "Pancakes"]}),
        (("how many chickpeas are there", "and kidney beans, tinned"),
         {"act": "stock", "foods": ["canned kidney bean"]}),
        (("how much rice is there", "and sugar", "put two bags of each on the list"),
         {"act": "shopping", "foods": ["rice", "granulated sugar"],
          "amounts": [{"amount": 2, "unit": "bag", "food": "rice"},
                      {"amount": 2, "unit": "bag", "food": "granulated sugar"}]}),
        (("always keep 1 jar of yeast", "yeast 3"), {"act": "keep-stocked", "foods": ["yeast"]}),
        (("used up the rice", "get another bag"),
         {"act": "shopping", "foods": ["rice"],
          "amounts": [{"amount": 1, "unit": "bag", "food": "rice"}]}),
        (("what does the corn bread cost for 4", "make it 9 please and leave the butter out"),
         {"act": "cost", "recipes": ["Corn bread"], "servings": 9, "without": ["butter"]}),
        (("a quick supper", "no cabbage please the girls push it round the plate"),
         {"act": "find-meals", "without": ["cabbage"]}),
        (("what can I make with rice", "and the first without milk"),
         {"act": "show-recipe", "without": ["milk"]}),
        (("what can I make with rice", "and is the first one safe for Odalys"),
         {"act": "safe-for", "people": ["Odalys"]}),
        (("what can I make with rice", "and done in twenty minutes"),
         {"act": "find-meals", "foods": ["rice"], "minutes": 20}),
    ],
)  # fmt: skip
def test_told_in_passing(sayings: tuple[str, ...], means: dict[str, Any]) -> None:
    holds(sayings, means)


def test_what_somebody_likes_is_nothing_to_keep_away_from() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    before = talk.house.person("Nico")
    answer = talk.say("Nico loves lentils")
    assert not answer.changed
    assert "What should I know about Nico?" in answer.blocks[0].text
    assert talk.house.person("Nico") == before


def test_a_sum_of_money_makes_no_rule_of_the_house() -> None:
    talk = Conversation(demo_books(TODAY), TODAY)
    answer = talk.say("house rule: nothing over twelve dollars for a supper")
    assert not answer.changed
    assert "cannot hold a sum of money" in answer.blocks[0].text

"""One conversation: what is kept from one saying to the next, and what never gets out of it."""

from __future__ import annotations

import datetime as dt

import pytest

from helper import conversation
from helper.acts.house import House
from helper.answers import Answer
from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.troubles import CannotWrite
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Lot
from helper.reading.reading import Question, Reading

TODAY = dt.date(2026, 11, 25)
FLOUR = Lot(1, "all-purpose flour", Amount(5, "lb"), Amount(5, "lb"), best_by=TODAY)
RECIPE = "Oat squares\n2 cups rolled oats\n1 egg\nMix and bake."


@pytest.fixture
def talk() -> Conversation:
    return Conversation(Household.scratch({"stock": [FLOUR]}, today=lambda: TODAY), TODAY)


def act_of(answer: Answer) -> str | None:
    return answer.reading.act


@pytest.fixture
def books() -> Household:
    return Household.scratch(today=lambda: TODAY)


def ask_back(talk: Conversation) -> Answer:
    """The reader could not decide between two acts."""
    question = Question("Which?", ("stock", "use-soon"), "act")
    (answer,) = talk._answers([Reading(said="flour", act="stock", question=question)])
    return answer


@pytest.mark.parametrize("pick", ["2", "the second one", "what should be used first"])
def test_a_choice_between_acts_is_taken_up(talk: Conversation, pick: str) -> None:
    asked = ask_back(talk)
    assert not asked.understood
    assert len(asked.reply["choices"]) == 2
    assert act_of(talk.say(pick)) == "use-soon"


def test_a_question_may_be_left_unanswered(talk: Conversation) -> None:
    ask_back(talk)
    assert act_of(talk.say("how much flour do we have")) == "stock"


def test_what_follows_a_question_is_not_done(talk: Conversation) -> None:
    question = Question("Which?", ("stock", "use-soon"), "act")
    first = Reading(said="flour", act="stock", question=question)
    answers = talk._answers([first, Reading(said="undo that", act="undo")])
    assert len(answers) == 1
    assert "undo that" in str(answers[0].blocks[-1])


def test_several_lines_are_several_requests(talk: Conversation) -> None:
    answer = talk.say("how much flour do we have\n\nhelp")
    assert [act_of(answer), *map(act_of, answer.also)] == ["stock", "help"]


def test_a_request_with_a_recipe_under_it_keeps_the_recipe(talk: Conversation) -> None:
    answer = talk.say(f"keep this recipe\n{RECIPE}")
    assert answer.changed
    assert talk.house.books.recipe_titled("Oat squares") is not None


def test_a_bare_recipe_is_asked_about_first(talk: Conversation) -> None:
    assert not talk.say(RECIPE).changed
    assert talk.house.books.version == 0
    assert talk.say("yes").changed
    assert talk.house.books.recipe_titled("Oat squares") is not None


def test_a_recipe_without_a_name_is_asked_for_it(talk: Conversation) -> None:
    asked = talk.say("keep this recipe\n2 cups rolled oats\n1 egg\n3 tbsp honey")
    assert not asked.understood
    assert talk.say("Honey oats").changed
    assert talk.house.books.recipe_titled("Honey oats") is not None


def test_who_eats_here_in_one_sentence(talk: Conversation) -> None:
    answer = talk.introduce("Ada, Ben who can't have milk, and my daughter Cy hates cilantro")
    assert answer.changed
    avoids = {person.name: person.avoids for person in talk.house.people}
    assert avoids["Ada"] == ()
    assert avoids["Ben"]
    assert avoids["Cy"] == ("cilantro",)


def test_an_introduction_without_names_is_a_request(talk: Conversation) -> None:
    assert act_of(talk.introduce("how much flour do we have")) == "stock"


def test_another_day_changes_what_is_due_and_not_what_was_said(talk: Conversation) -> None:
    talk.say("how much flour do we have")
    talk.wake(TODAY + dt.timedelta(days=3))
    assert talk.house.context.foods == ("all-purpose flour",)
    lots = talk.say("what needs using up").reply["lots"]
    assert [lot["days_left"] for lot in lots] == [-3]


def test_a_fault_is_an_apology_and_told_to_the_log(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(reading: Reading, house: House) -> Answer:
        raise RuntimeError("wires crossed")

    monkeypatch.setattr(conversation, "doing", lambda act: broken)
    told: list[tuple[str, Exception]] = []
    talk = Conversation(
        Household.scratch({}), TODAY, lambda said, fault: told.append((said, fault))
    )
    answer = talk.say("help")
    assert not answer.understood
    assert 'over "help"' in answer.reply["question"]
    assert [said for said, _ in told] == ["help"]


def test_trouble_with_the_books_is_said_as_it_is(
    talk: Conversation, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(reading: Reading, house: House) -> Answer:
        raise CannotWrite("Not written: the disk is full", "journal.jsonl", "Make room.")

    monkeypatch.setattr(conversation, "doing", lambda act: full)
    answer = talk.say("help")
    assert (answer.understood, answer.changed) == (False, False)
    assert "the disk is full" in answer.reply["question"]


@pytest.mark.parametrize("empty", ["", "   ", "\n\n", "?", "..."])
def test_nothing_said_is_nothing_done(talk: Conversation, empty: str) -> None:
    assert not talk.say(empty).understood


def test_too_long_is_said_with_how_long(talk: Conversation) -> None:
    answer = talk.say("flour " * 10_000)
    assert not answer.understood
    assert "60,000" in answer.reply["question"]


def test_undo_of_what_was_done_another_day_is_asked_about_first(books: Household) -> None:
    Conversation(books, TODAY).say("got 2 lb of butter for 7.58")
    later = Conversation(books, TODAY)
    later.say("how much flour do we have")
    asked = later.say("undo")
    assert not asked.understood
    assert "2 lb butter" in str(asked.blocks)
    assert not later.say("no").changed
    assert books.lots()
    later.say("undo")
    assert later.say("yes").changed
    assert not books.lots()


def test_undo_said_first_of_all_is_done(books: Household) -> None:
    Conversation(books, TODAY).say("got 2 lb of butter for 7.58")
    assert Conversation(books, TODAY).say("undo").changed


def test_words_that_ask_nothing_are_answered_and_change_nothing(books: Household) -> None:
    Conversation(books, TODAY).say("got 2 lb of butter for 7.58")
    talk = Conversation(books, TODAY)
    for words in ("we're back", "ok", "thanks!", "ok thanks"):
        answer = talk.say(words)
        assert answer.understood
        assert not answer.changed
    assert books.lots()


def test_a_recipe_told_line_by_line_is_kept_whole_and_taken_back_whole(books: Household) -> None:
    talk = Conversation(books, TODAY)
    for line in ("keep this recipe", "Lentil hash", "1 cup lentils", "", "2 potatoes", "1. Fry."):
        talk.say(line) if line else talk.pause()
    assert not books.lots()
    recipe = books.recipe_titled("Lentil hash")
    assert recipe is not None
    assert len(recipe.lines) == 2
    assert recipe.steps == ("Fry.",)
    talk.pause()
    assert talk.say("got 2 lb of butter for 7.58").reading.act == "add-stock"
    talk.say("undo")
    talk.say("undo")
    assert books.recipe_titled("Lentil hash") is None


@pytest.mark.parametrize("request_", ["used 2 cups of flour", "add milk to the list", "undo"])
def test_a_plain_request_ends_a_recipe_told_line_by_line(talk: Conversation, request_: str) -> None:
    for line in ("keep this recipe", "Lentil hash", "1 cup lentils", "Fry the lentils."):
        talk.say(line)
    assert talk.say(request_).reading.act != "keep-recipe"
    assert talk.say("1 onion").reading.act != "keep-recipe"

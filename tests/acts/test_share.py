"""Recipes, menus and shopping lists written out: every form says the same, pages stand alone."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

import pytest
from msgspec.structs import replace

from helper.acts import sharing
from helper.acts.house import House
from helper.conversation import Conversation
from helper.household.books import Household
from helper.household.records import Meal, Menu, Wanted
from helper.household.taking_in import take_in
from helper.household.taking_in.recipe_text import recipe_from_text
from helper.kitchen.amounts import Amount
from helper.kitchen.foods import Foods
from helper.kitchen.lots import Lot, PriceSeen
from helper.kitchen.people import Person
from helper.reading.reading import Reading
from helper.showing.text import plain_text
from tests.acts.samples import SOUP

TODAY = dt.date(2026, 11, 25)
HOSTILE = 'Bean </script><img src=x onerror=alert(1)> & "soup" | *s* `x`'


def house(*texts: str) -> House:
    return House(books(*texts), TODAY)


def books(*texts: str) -> Household:
    foods = Foods()
    recipes = [recipe_from_text(text, foods) for text in texts or (SOUP,)]
    pound = Amount(1, "lb")
    lots = [Lot(1, "navy bean", pound, pound, 1, "bag", Decimal("1.59"), bought=TODAY)]
    return Household.scratch(
        {
            "recipes": [replace(one, id=at) for at, one in enumerate(recipes, 1) if one],
            "stock": lots,
            "people": [Person(1, "Ada"), Person(2, "Bo")],
            "prices": [PriceSeen(1, "onion", Amount(3, "lb"), Decimal("1.50"), "bag", date=TODAY)],
        },
        today=lambda: TODAY,
    )


def planned(here: House, title: str = "Bean soup") -> House:
    def prepare(draft: object) -> None:
        meals = tuple(Meal(TODAY + dt.timedelta(n), title, 4.0, "dinner") for n in (1, 8))
        draft.add("menus", Menu(0, meals, TODAY))  # type: ignore[attr-defined]
        draft.add("shopping", Wanted(0, "egg"))  # type: ignore[attr-defined]

    here.books.change(prepare, act="menu", said="plan", summary="planned")
    return here


class Page(HTMLParser):
    """What a browser would see: elements in their nesting, what they point to, and the words."""

    ALONE = ("meta", "br", "img", "link")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.targets: list[str] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        if tag not in self.ALONE:
            self.open.append(tag)
        names = ("src", "href", "action", "data", "srcset")
        self.targets += [value or "" for name, value in attrs if name in names]
        assert not [name for name, _ in attrs if name.startswith("on")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not {"style", "script"} & set(self.open):
            self.words += data


def shared(said: str, here: House, **more: object) -> dict[str, object]:
    answer = sharing.share(Reading(said, **more), here)  # type: ignore[arg-type]
    assert answer.understood, answer.blocks
    assert not answer.changed
    return answer.reply


@pytest.mark.parametrize(
    ("said", "kind", "sign"),
    [
        ("share the bean soup", "text", "Serves 4"),
        ("share the bean soup as markdown", "markdown", "# Bean soup"),
        ("share the bean soup as a web page", "html", "<h1>Bean soup</h1>"),
        ("print the bean soup", "html", "<h1>Bean soup</h1>"),
        ("share the bean soup as json", "json-ld", '"@type": "Recipe"'),
    ],
)
def test_a_recipe_is_written_out_with_its_cost(said: str, kind: str, sign: str) -> None:
    reply = shared(said, house(), recipes=("Bean soup",))
    assert reply["format"] == kind
    assert sign in str(reply["document"])
    assert "0.4" in str(reply["document"])  # the beans for four


@pytest.mark.parametrize(
    ("kind", "suffix"), [("json", ".json"), ("html", ".html"), ("text", ".txt")]
)
def test_what_is_shared_can_be_taken_in_again(kind: str, suffix: str, tmp_path: Path) -> None:
    reply = shared(f"share it as {kind}", house(), recipes=("Bean soup",), servings=8.0)
    path = tmp_path / f"soup{suffix}"
    path.write_text(str(reply["document"]), encoding="utf-8")
    taken = Household.scratch(today=lambda: TODAY)
    assert take_in(path, taken, Foods(), TODAY).added == ("Bean soup",)
    (recipe,) = taken.recipes()
    assert recipe.servings == 8
    assert [line.amount for line in recipe.lines][:3] == [
        Amount(2, "lb"),
        Amount(2),
        Amount(16, "cup"),
    ]
    assert len(recipe.steps) == 2


def test_hostile_names_cannot_break_out_of_the_page() -> None:
    here = house(SOUP.replace("Bean soup", HOSTILE))
    (recipe,) = here.books.recipes()
    text = str(shared("as html", here, recipes=(recipe.title,))["document"])
    page = Page(text)
    assert not page.open
    assert "img" not in page.seen
    assert recipe.title in page.words
    script = text.split('ld+json">')[1].split("</script>")[0]
    assert json.loads(script)["name"] == recipe.title
    menu = Page(str(shared("the menu as html", planned(here, recipe.title))["document"]))
    assert "img" not in menu.seen
    assert recipe.title in menu.words


@pytest.mark.parametrize("said", ["print the bean soup", "print the menu", "the list as html"])
def test_pages_stand_alone(said: str) -> None:
    recipes = ("Bean soup",) if "soup" in said else ()
    text = str(shared(said, planned(house()), recipes=recipes)["document"])
    page = Page(text)
    assert not page.open
    assert not page.targets
    assert "url(" not in text
    assert "@import" not in text
    assert "@media print" in text


def test_the_menu_names_days_dishes_costs_and_what_to_soak() -> None:
    here = planned(house())
    text = str(shared("write out the menu as text", here)["document"])
    assert "Thu 26 Nov: Bean soup, 4" in text
    assert "Thu 3 Dec: Bean soup, 4" in text
    assert "Soak 1 lb navy bean" in text
    assert "$" in text
    table = str(shared("the menu as markdown", here)["document"])
    assert "| Thu 26 Nov | Bean soup | 4 |" in table
    assert "Bean soup" not in str(shared("print the list", here)["document"])


def test_the_list_has_a_box_for_everything_to_buy() -> None:
    here = planned(house())
    text = str(shared("the shopping list as markdown", here)["document"])
    lines = [line for line in text.splitlines() if line.startswith("- [ ] ")]
    # a pound of beans is there for the first soup, not for the second; eggs were put on
    assert {line.removeprefix("- [ ] ").split(":")[0] for line in lines} == {
        "navy bean", "onion", "egg",
    }  # fmt: skip
    assert "$1.59" in text
    assert "No price is known for egg" in text


def test_nothing_planned_and_nothing_to_buy_are_told() -> None:
    for said in ("print the menu", "print the shopping list"):
        answer = sharing.share(Reading(said), house())
        assert not answer.understood


def test_a_page_is_written_beside_the_books_and_where_is_said(tmp_path: Path) -> None:
    folder = tmp_path / "home"
    with Household.open(folder, today=lambda: TODAY) as kept:
        talk = Conversation(kept, TODAY)
        talk.say("add eggs to the list")
        before = (folder / "journal.jsonl").read_bytes()
        answer = talk.say("print the shopping list")
        assert answer.reading.act == "share"
        file = Path(str(answer.reply["file"]))
        assert file.parent.parent == folder
        assert file.read_text(encoding="utf-8") == answer.reply["document"]
        assert str(file) in plain_text(answer)
        assert (folder / "journal.jsonl").read_bytes() == before


def test_books_in_memory_write_no_file_and_show_what_would_be_printed() -> None:
    talk = Conversation(books(), TODAY)
    talk.say("add eggs to the list")
    answer = talk.say("print the shopping list")
    assert answer.reply["file"] is None
    assert "[ ] egg" in plain_text(answer)


def test_lines_to_copy_are_never_broken() -> None:
    long = SOUP.replace("overnight.", "overnight " + "and longer " * 20 + "still.")
    answer = sharing.share(Reading("share it", recipes=("Bean soup",)), house(long))
    assert any(len(line) > 200 for line in plain_text(answer).splitlines())


def test_a_dish_no_book_has_is_not_answered_with_the_one_before() -> None:
    talk = Conversation(books(), TODAY)
    assert talk.say("print the bean soup").understood
    answer = talk.say("write out the goulash for my neighbour")
    assert not answer.understood
    assert "goulash" in plain_text(answer)
    assert talk.say("write it out for my neighbour").reply["recipe"] == "Bean soup"


def test_a_dish_picked_from_the_nearest_is_written_out() -> None:
    talk = Conversation(books(SOUP, SOUP.replace("Bean soup", "Oat squares with walnuts")), TODAY)
    talk.say("print the bean soup")
    answer = talk.say("print the walnutty squares")
    assert not answer.understood
    assert talk.say("Oat squares with walnuts").reply["recipe"] == "Oat squares with walnuts"

"""Stories of a household's books, as its people would notice them."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from tinydb import where

from helper.household import upgrades
from helper.household.books import Household
from helper.household.records import HouseRule, Meal, Menu, Setting, Told, Wanted
from helper.household.troubles import (
    BooksDamaged,
    CannotUndo,
    CannotWrite,
    Clash,
    NewerBooks,
    OutsideTheDoor,
    Unwritable,
)
from helper.kitchen.amounts import Amount
from helper.kitchen.lots import Level, Lot, PriceSeen
from helper.kitchen.people import Person
from helper.kitchen.recipes import Choice, Line, Recipe, Remark

Reopened = Callable[[], Household]

BEANS = Lot(
    0,
    "navy bean",
    Amount(2, "lb"),
    Amount(1, "lb"),
    2,
    "bag",
    Decimal("1.59"),
    bought=dt.date(2026, 10, 28),
    best_by=dt.date(2028, 3, 31),
    claims=("gluten-free",),
)


def add(household: Household, table: str, *records: object) -> None:
    draft = household.draft()
    for record in records:
        draft.add(table, record)  # type: ignore[type-var]
    household.write(draft, act="add", summary=f"added to {table}")


def eat(household: Household, left: float) -> None:
    draft = household.draft()
    lot = household.lots()[0]
    draft.put("stock", Lot(lot.id, lot.food, Amount(left, "lb"), lot.size))
    household.write(draft, act="use", summary=f"down to {left:g} lb")


def names(household: Household) -> list[str]:
    return [person.name for person in household.people()]


def test_what_was_written_is_there_next_time(reopened: Reopened) -> None:
    first = reopened()
    add(first, "stock", BEANS)
    found = reopened().lots()
    assert found == [Lot(1, *[getattr(BEANS, field) for field in BEANS.__struct_fields__[1:]])]


@pytest.mark.parametrize(
    ("table", "record"),
    [
        ("prices", PriceSeen(1, "oats", Amount(42, "oz"), Decimal("3.98"), date=dt.date.min)),
        ("recipes", Recipe(1, "Soup", (Line("2 x", "x", choices=(Choice("y", Amount(1)),)),))),
        ("remarks", Remark(1, "Soup", "too thin", "disliked")),
        ("people", Person(1, "Ada", ("gluten",), "allergy", 0.5, home=False)),
        ("levels", Level(1, "egg", Amount(6))),
        ("rules", HouseRule(1, "never cilantro", food="cilantro", more={"why": ["taste"]})),
        ("told", Told(1, "size", "jam", "jar", Amount(5, "oz"))),
        ("shopping", Wanted(1, "egg", Amount(12), ticked=True)),
        ("menus", Menu(1, (Meal(dt.date(2026, 11, 26), "Soup", 4),), till_cost=Decimal("9.10"))),
        ("settings", Setting(1, "currency", "USD")),
    ],
)
def test_every_kind_of_record_comes_back_as_it_was(
    reopened: Reopened, table: str, record: object
) -> None:
    add(reopened(), table, record)
    household = reopened()
    assert household.all(table) == [record]
    household.checkpoint()
    assert reopened().all(table) == [record]


@pytest.mark.parametrize(
    ("table", "record"),
    [
        ("stock", Lot(0, "rice", Amount(float("inf")), Amount(1))),
        ("people", Person(0, "broken \udc80 text")),
        ("people", PriceSeen(0, "rice", Amount(1), Decimal(1))),
    ],
    ids=["endless amount", "half a character", "wrong table"],
)
def test_what_could_not_be_read_again_is_not_written(
    reopened: Reopened, table: str, record: object
) -> None:
    household = reopened()
    with pytest.raises(Unwritable):
        add(household, table, record)
    add(household, "people", Person(0, "Ada"))
    assert names(reopened()) == ["Ada"]


def test_words_of_a_broken_terminal_do_not_stop_a_change(reopened: Reopened) -> None:
    household = reopened()
    household.change(lambda d: d.add("people", Person(0, "Ada")), act="add", said="Ada \udcff!")
    assert [event.said for event in reopened().events(1)] == ["Ada ?!"]


def test_a_draft_sees_itself_and_the_household_does_not(reopened: Reopened) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"), Person(0, "Ben"))
    draft = household.draft()
    draft.remove("people", 1)
    draft.put("people", Person(2, "Benno"))
    assert draft.add("people", Person(0, "Cleo")).id == 3
    assert [person.name for person in draft.people()] == ["Benno", "Cleo"]
    assert names(household) == ["Ada", "Ben"]
    household.write(draft, act="set-person")
    assert names(household) == names(reopened()) == ["Benno", "Cleo"]


def test_a_number_is_never_given_twice(reopened: Reopened) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"), Person(0, "Ben"))
    draft = household.draft()
    draft.remove("people", 2)
    household.write(draft, act="set-person")
    household.checkpoint()
    for again in (household, reopened()):
        assert again.draft().add("people", Person(0, "Cleo")).id == 3


def test_recipes_are_found_by_title_whatever_the_case(reopened: Reopened) -> None:
    household = reopened()
    add(household, "recipes", Recipe(0, "Bean Soup"), Recipe(0, "Cornbread"))
    assert household.recipe_titled("  bean   SOUP ") == Recipe(1, "Bean Soup")
    draft = household.draft()
    draft.put("recipes", Recipe(1, "Bean stew"))
    assert draft.recipe_titled("bean soup") is None
    assert draft.recipe_titled("bean stew") == Recipe(1, "Bean stew")
    household.write(draft, act="keep-recipe")
    assert household.recipe_titled("bean soup") is None
    assert household.recipe_titled("Bean stew") == Recipe(1, "Bean stew")


def test_two_recipes_of_one_title_the_older_one_counts_until_it_goes(reopened: Reopened) -> None:
    household = reopened()
    add(household, "recipes", Recipe(0, "Soup", source="ours"), Recipe(0, "soup", source="theirs"))
    first = household.recipe_titled("Soup")
    assert first is not None
    assert first.source == "ours"
    draft = household.draft()
    draft.remove("recipes", 1)
    household.write(draft, act="keep-recipe")
    second = household.recipe_titled("Soup")
    assert second is not None
    assert second.source == "theirs"


def test_more_recipes_than_are_kept_at_hand(reopened: Reopened) -> None:
    household = reopened()
    add(household, "recipes", *(Recipe(0, f"Dish {number}") for number in range(1200)))
    assert [one.title for one in household.recipes()] == [f"Dish {n}" for n in range(1200)]
    assert household.recipe(1200) == Recipe(1200, "Dish 1199")
    assert household.recipe(1201) is None


def test_settings_are_chosen_and_chosen_again(reopened: Reopened) -> None:
    household = reopened()
    for value in ("USD", "EUR"):
        household.change(lambda draft, v=value: draft.choose("currency", v), act="set")  # type: ignore[misc]
    assert household.settings == reopened().settings == {"currency": "EUR"}
    assert len(household.all("settings")) == 1


def test_tables_answer_queries_and_change_in_a_draft_only(reopened: Reopened) -> None:
    household = reopened()
    add(household, "shopping", Wanted(0, "egg"), Wanted(0, "milk"), Wanted(0, "rice"))
    assert [doc["id"] for doc in household.table("shopping").search(where("food") == "milk")] == [2]
    with pytest.raises(OutsideTheDoor):
        household.table("shopping").update({"ticked": True})
    draft = household.draft()
    draft.table("shopping").update({"ticked": True}, where("food") != "milk")
    draft.table("shopping").remove(where("food") == "rice")
    assert draft.shopping() == [Wanted(1, "egg", ticked=True), Wanted(2, "milk")]
    assert len(household.shopping()) == 3
    household.write(draft, act="shopping")
    assert reopened().shopping() == [Wanted(1, "egg", ticked=True), Wanted(2, "milk")]


def test_prices_by_food(reopened: Reopened) -> None:
    household = reopened()
    oats = PriceSeen(0, "oats", Amount(1, "lb"), Decimal("2.00"))
    add(household, "prices", oats, PriceSeen(0, "rice", Amount(1, "lb"), Decimal("1.00")))
    assert [one.price for one in household.prices("oats")] == [Decimal("2.00")]
    add(household, "prices", oats)
    assert [one.id for one in household.prices("oats")] == [1, 3]
    assert household.prices("salt") == []
    assert len(household.prices()) == 3


# Taking back


def test_undo_goes_back_step_by_step(reopened: Reopened) -> None:
    household = reopened()
    add(household, "stock", BEANS)
    eat(household, 1)
    eat(household, 0.5)
    assert "0.5 lb" in household.undo().summary
    assert household.lots()[0].left == Amount(1, "lb")
    again = reopened()
    assert "1 lb" in again.undo().summary
    again.undo()
    assert again.lots() == reopened().lots() == []
    with pytest.raises(CannotUndo, match="nothing to take back"):
        again.undo()


def test_undo_after_new_changes_takes_the_new_one_first(reopened: Reopened) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"))
    add(household, "people", Person(0, "Ben"))
    household.undo()
    add(household, "people", Person(0, "Cleo"))
    household.undo()
    assert names(household) == ["Ada"]
    household.undo()
    assert names(household) == []


def test_an_older_change_is_not_taken_back_from_under_later_ones(reopened: Reopened) -> None:
    household = reopened()
    add(household, "stock", BEANS)
    eat(household, 1)
    bought = household.version - 1
    with pytest.raises(CannotUndo) as refusal:
        household.undo(bought)
    assert "down to 1 lb" in str(refusal.value)
    assert household.lots()[0].left == Amount(1, "lb")
    household.undo()
    household.undo(bought)
    assert household.lots() == []
    with pytest.raises(CannotUndo, match="already"):
        household.undo(bought)


def test_history_newest_first_by_act_and_day(folder: Path) -> None:
    day = dt.datetime(2026, 11, 1, tzinfo=dt.UTC)
    days = iter(day + dt.timedelta(days=number) for number in range(100))
    household = Household.open(folder, now=lambda: next(days))
    for number in range(6):
        draft = household.draft()
        draft.add("people", Person(0, f"P{number}"))
        act = "cooked" if number % 2 else "bought"
        household.write(draft, act=act, said=f"line {number}", meta={"cost": Decimal("1.10")})
    assert [event.said for event in household.events(2)] == ["line 5", "line 4"]
    assert [event.said for event in household.events(acts={"cooked"})] == [
        "line 5",
        "line 3",
        "line 1",
    ]
    since = list(household.events(since=dt.date(2026, 11, 5)))
    assert [event.day.day for event in since] == [6, 5]
    assert since[0].meta == {"cost": "1.10"}
    assert since[0].changes[0].record_before() is None
    assert since[0].changes[0].record_after().name == "P5"


# Two terminals


def test_a_second_terminal_sees_the_first_ones_changes(reopened: Reopened) -> None:
    here, there = reopened(), reopened()
    add(here, "people", Person(0, "Ada"))
    assert names(there) == []
    assert there.refresh() is True
    assert names(there) == ["Ada"]
    assert there.refresh() is False
    assert there.version == here.version


def test_a_clash_is_told_and_changes_nothing(reopened: Reopened) -> None:
    here, there = reopened(), reopened()
    add(here, "stock", BEANS)
    there.refresh()
    draft = there.draft()
    draft.put("stock", Lot(1, "navy bean", Amount(1.5, "lb"), Amount(1, "lb")))
    draft.add("people", Person(0, "Ada"))
    eat(here, 1)
    with pytest.raises(Clash) as clash:
        there.write(draft, act="use")
    assert (clash.value.table, clash.value.record) == ("stock", 1)
    assert reopened().lots()[0].left == Amount(1, "lb")
    assert reopened().people() == []


def test_a_change_is_prepared_again_when_others_got_in(reopened: Reopened) -> None:
    here, there = reopened(), reopened()
    add(here, "people", Person(0, "Ada"))
    interruptions = iter(["Ben", "Cleo"])

    def prepare(draft: object) -> None:
        late = next(interruptions, None)
        if late is not None:
            add(here, "people", Person(0, late))
        draft.add("people", Person(0, "Dora"))  # type: ignore[attr-defined]

    there.change(prepare, act="set-person")
    assert names(reopened()) == ["Ada", "Ben", "Cleo", "Dora"]


# The files


@pytest.mark.skipif(os.name == "nt", reason="no such modes there")
def test_the_files_are_the_persons_own(reopened: Reopened, folder: Path) -> None:
    old = os.umask(0)
    try:
        household = reopened()
        add(household, "people", Person(0, "Ada"))
        household.checkpoint()
    finally:
        os.umask(old)
    assert folder.stat().st_mode & 0o777 == 0o700
    assert {path.stat().st_mode & 0o777 for path in folder.iterdir()} == {0o600}


def test_opening_alone_writes_nothing(reopened: Reopened, folder: Path) -> None:
    reopened().close()
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("both", [False, True], ids=["newest", "both generations"])
@pytest.mark.parametrize("harm", ["gone", "garbled", "cut", "empty"])
def test_tables_are_made_again_from_the_journal(
    reopened: Reopened, folder: Path, harm: str, both: bool
) -> None:
    household = reopened()
    for name in ("Ada", "Ben", "Cleo"):
        add(household, "people", Person(0, name))
        household.checkpoint()
    for file in ["tables.json", "tables.previous.json"][: 1 + both]:
        path = folder / file
        data = path.read_bytes()
        if harm == "gone":
            path.unlink()
        elif harm == "garbled":
            path.write_bytes(data.replace(b"Ada", b"Eva"))
        else:
            path.write_bytes(data[: len(data) // 2] if harm == "cut" else b"")
    again = reopened()
    assert names(again) == ["Ada", "Ben", "Cleo"]
    assert bool(again.notices) == (harm != "gone")
    assert again.check() == []


def test_tables_older_than_the_journal_are_caught_up(reopened: Reopened, folder: Path) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"))
    household.checkpoint()
    stale = (folder / "tables.json").read_bytes()
    add(household, "people", Person(0, "Ben"))
    household.checkpoint()
    (folder / "tables.json").write_bytes(stale)
    assert names(reopened()) == ["Ada", "Ben"]
    assert reopened().notices == []


def test_tables_of_other_books_are_not_believed(reopened: Reopened, tmp_path: Path) -> None:
    add(reopened(), "people", Person(0, "Ada"))
    other = Household.open(tmp_path / "other")
    for name in ("Xenia", "Yann", "Zoe"):
        add(other, "people", Person(0, name))
    other.checkpoint()
    (tmp_path / "house" / "tables.json").write_bytes(
        (tmp_path / "other" / "tables.json").read_bytes()
    )
    household = reopened()
    assert names(household) == ["Ada"]
    assert "tables.ahead.json" in household.notices[0]
    assert (tmp_path / "house" / "tables.ahead.json").exists()


@pytest.mark.parametrize("while_open", [False, True])
def test_a_lost_journal_loses_only_the_history(
    reopened: Reopened, folder: Path, while_open: bool
) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"), Person(0, "Ben"))
    household.checkpoint()
    (folder / "journal.jsonl").unlink()
    if not while_open:
        household = reopened()
    add(household, "people", Person(0, "Cleo"))
    assert "journal.jsonl is missing" in household.notices[0]
    (folder / "tables.json").unlink()
    (folder / "tables.previous.json").unlink(missing_ok=True)
    assert names(reopened()) == ["Ada", "Ben", "Cleo"]
    assert reopened().check() == []


def test_a_journal_put_back_is_taken_up_again(reopened: Reopened, folder: Path) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"))
    add(household, "people", Person(0, "Ben"))
    (folder / "journal.jsonl").rename(folder / "elsewhere")
    household.refresh()
    assert names(household) == ["Ada", "Ben"]
    (folder / "elsewhere").rename(folder / "journal.jsonl")
    add(household, "people", Person(0, "Cleo"))
    household.undo()
    household.undo()
    assert names(household) == names(reopened()) == ["Ada"]


def damage(folder: Path) -> None:
    journal = folder / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"Ben", b"Bob"))


def test_a_garbled_line_in_the_middle_stops_writing_not_reading(
    reopened: Reopened, folder: Path
) -> None:
    household = reopened()
    for name in ("Ada", "Ben", "Cleo"):
        add(household, "people", Person(0, name))
    damage(folder)
    hurt = reopened()
    assert names(hurt) == ["Ada", "Cleo"]
    assert "line 3" in hurt.notices[0]
    as_it_was = (folder / "journal.jsonl").read_bytes()
    with pytest.raises(BooksDamaged, match="line 3"):
        add(hurt, "people", Person(0, "Dora"))
    assert hurt.checkpoint() is False
    assert (folder / "journal.jsonl").read_bytes() == as_it_was
    # A copy of the file put back makes it good, even for a household already open.
    (folder / "journal.jsonl").write_bytes(as_it_was.replace(b"Bob", b"Ben"))
    add(hurt, "people", Person(0, "Dora"))
    assert names(reopened()) == ["Ada", "Ben", "Cleo", "Dora"]


def test_mending_sets_the_line_aside_and_keeps_everything(reopened: Reopened, folder: Path) -> None:
    household = reopened()
    for name in ("Ada", "Ben", "Cleo"):
        add(household, "people", Person(0, name))
    damage(folder)
    hurt = reopened()
    assert hurt.check() != []
    damaged = (folder / "journal.jsonl").read_bytes()
    assert "1 line." in hurt.mend()
    assert b"Bob" in (folder / "journal.torn").read_bytes()
    assert (folder / "journal.damaged.jsonl").read_bytes() == damaged
    add(hurt, "people", Person(0, "Dora"))
    again = reopened()
    assert names(again) == ["Ada", "Cleo", "Dora"]
    assert again.check() == []
    assert [event.act for event in again.events()] == ["add", "add", "lost", "add", "books"]


def test_a_garbled_last_line_is_set_aside_and_told(reopened: Reopened, folder: Path) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"))
    add(household, "people", Person(0, "Ben"))
    damage(folder)
    hurt = reopened()
    assert names(hurt) == ["Ada"]
    assert "journal.torn" in hurt.notices[0]
    assert b"Bob" in (folder / "journal.torn").read_bytes()
    add(hurt, "people", Person(0, "Cleo"))
    assert names(reopened()) == ["Ada", "Cleo"]


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CannotWrite, match="Name a folder"):
        Household.open(tmp_path / "file")


# Versions of the program


def test_older_books_are_brought_up_to_date_with_a_backup(
    reopened: Reopened, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    household = reopened()
    add(household, "people", Person(0, "Ada"), Person(0, "Ben"))
    add(household, "stock", BEANS)
    household.checkpoint()
    before = (folder / "journal.jsonl").read_bytes()

    def upgrade(table: str, document: dict[str, object]) -> dict[str, object] | None:
        if table == "people":
            return {**document, "name": f"{document['name']} the Elder"}
        return None if table == "stock" else document

    monkeypatch.setattr(upgrades, "SCHEMA", 2)
    monkeypatch.setitem(upgrades.UPGRADES, 1, upgrade)
    newer = reopened()
    assert names(newer) == ["Ada the Elder", "Ben the Elder"]
    assert newer.lots() == []
    assert "backup-schema-1" in newer.notices[0]
    assert (folder / "backup-schema-1" / "journal.jsonl").read_bytes() == before
    with pytest.raises(CannotUndo, match="brought up to date"):
        newer.undo()
    again = reopened()
    assert again.notices == []
    assert names(again) == names(newer)

    monkeypatch.setattr(upgrades, "SCHEMA", 1)
    for checkpointed in (False, True):
        with pytest.raises(NewerBooks, match="newer version"):
            reopened()
        with pytest.raises(NewerBooks):
            household.refresh()
        if not checkpointed:
            monkeypatch.setattr(upgrades, "SCHEMA", 2)
            assert again.checkpoint()
            monkeypatch.setattr(upgrades, "SCHEMA", 1)


# For trying out


def test_a_scratch_household_leaves_nothing_behind(tmp_path: Path) -> None:
    os.chdir(tmp_path)
    household = Household.scratch({"people": [Person(1, "Ada")], "stock": [BEANS]})
    add(household, "people", Person(0, "Ben"))
    copy = Household.scratch(prepared=household.prepare())
    add(copy, "people", Person(0, "Cleo"))
    copy.undo()
    assert names(copy) == ["Ada", "Ben"]
    copy.close()
    assert list(tmp_path.iterdir()) == []

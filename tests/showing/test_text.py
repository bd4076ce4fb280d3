from __future__ import annotations

import io

import pytest

from helper.answers import (
    Answer,
    Bars,
    Because,
    Block,
    Caution,
    Column,
    Items,
    Say,
    Table,
    Tree,
)
from helper.reading.reading import Evidence, Reading
from helper.showing.text import console_on, plain_text, show


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("name", [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_no_colour_where_none_is_wanted(
    name: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv(*name)
    file = Terminal()
    show(answer(Say("word", "bad"), MEALS), console_on(file, 80))
    assert "\x1b" not in file.getvalue()


def answer(*blocks: Block, **more: object) -> Answer:
    return Answer(Reading(said="x"), {}, blocks, **more)  # type: ignore[arg-type]


MEALS = Table(
    (Column("dish"), Column("you lack"), Column("a serving", right=True)),
    (
        ("Bean and ham soup", "nothing", "$0.62"),
        ("Red beans with ham and rice", "celery, a green pepper, " * 6, "$0.71"),
    ),
    title="Three dishes",
)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_a_table_keeps_within_the_width(width: int) -> None:
    lines = plain_text(answer(MEALS), width).splitlines()
    assert max(map(len, lines)) <= width
    assert lines[0] == "Three dishes"
    assert any("$0.71" in line for line in lines)


def test_no_word_of_a_long_cell_is_lost() -> None:
    assert plain_text(answer(MEALS), 60).split().count("celery,") == 6


def test_numbers_stand_to_the_right() -> None:
    table = Table(
        (Column("food"), Column("cost", right=True)), (("ham", "$2.40"), ("pea", "$12.40"))
    )
    ends = {line.index(".") for line in plain_text(answer(table)).splitlines() if "$" in line}
    assert len(ends) == 1


def test_text_has_no_colour_and_no_loose_spaces() -> None:
    text = plain_text(answer(Say("Good.", "good"), MEALS, Say("Bad.", "bad")))
    assert "\x1b" not in text
    assert text == "\n".join(line.rstrip() for line in text.splitlines())


def test_colours_can_be_read_on_light_and_dark(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    file = Terminal()
    coloured = answer(*(Say("word", tone) for tone in ("good", "warn", "bad", "quiet", "title")))
    show(coloured, console_on(file, 80))
    codes = file.getvalue()
    assert "\x1b[32mword" in codes
    for vanishing in ("30", "33", "34", "36", "37", "97", "90"):
        assert f"\x1b[{vanishing}m" not in codes


def test_escapes_in_data_are_never_printed() -> None:
    evil = "\x1b[2J\x9bH\u202eham"
    text = plain_text(
        answer(
            Say(evil),
            Table((Column(evil),), ((evil,),), title=evil),
            Items((evil,)),
            Bars(((evil, 1.0, evil),), title=evil),
            Tree(Because(evil, source=evil, because=(Because(evil),))),
            cautions=(Caution("c", "caution", evil, evil),),
        )
    )
    assert not set(text) & set("\x1b\x9b\u202e")


def test_square_brackets_are_words_not_markup() -> None:
    assert "[bold]ham[/bold] :pig:" in plain_text(answer(Items(("[bold]ham[/bold] :pig:",))))


def test_a_caution_is_shown_once_after_everything() -> None:
    caution = Caution("rice", "caution", "Chill cooked rice within an hour.", "USDA FSIS")
    also = answer(Say("Second."), cautions=(caution,))
    text = plain_text(answer(Say("First."), cautions=(caution,), also=(also,)))
    assert text.count("Chill cooked rice") == 1
    assert text.splitlines()[-1] == "Caution: Chill cooked rice within an hour. (USDA FSIS)"


def test_words_taken_for_others_are_said_in_one_line() -> None:
    reading = Reading(
        said="brocoli and rice",
        evidence=(
            Evidence("brocoli", "food", "broccoli", certain=False),
            Evidence("rice", "food", "rice"),
        ),
    )
    text = plain_text(Answer(reading, {}, (Say("None."),)))
    assert text.splitlines() == ["None.", '(took "brocoli" for broccoli)']


def test_words_without_a_meaning_are_said_too() -> None:
    reading = Reading(said="how much flouer", unsure=("flouer",))
    text = plain_text(Answer(reading, {}, (Say("None."),)))
    assert text.splitlines() == ["None.", '(made nothing of "flouer")']


def test_choices_are_numbered() -> None:
    text = plain_text(answer(Items(("dried beans", "canned beans"), numbered=True)))
    assert text.split("\n") == [" 1. dried beans", " 2. canned beans"]


def test_bars_grow_with_the_value_and_can_be_plain_ascii() -> None:
    bars = Bars((("ham", 4.0, "$4.00"), ("salt", 0.01, "$0.01"), ("water", 0.0, "free")))
    rows = plain_text(answer(bars), encoding="latin-1").splitlines()
    assert [row.count("#") for row in rows] == [30, 1, 0]
    assert "#".join(rows).isascii()


def test_lines_fit_the_encoding() -> None:
    tree = Tree(Because("soup", because=(Because("beans", because=(Because("ham"),)),)))
    shown = answer(MEALS, tree)
    assert plain_text(shown, encoding="latin-1").isascii()
    assert not plain_text(shown).isascii()
    assert "|" not in plain_text(answer(MEALS), encoding="latin-1")


def test_a_derivation_shows_its_sources() -> None:
    root = Because(
        "Tove: no", because=(Because("flour holds wheat", source="21 CFR 101.91"),), rule="r1"
    )
    text = plain_text(answer(Tree(root)))
    assert "flour holds wheat (21 CFR 101.91)" in text
    assert "r1" not in text


def test_reasons_without_end_are_counted_and_not_all_told() -> None:
    told = tuple(Because(f"food {number}") for number in range(1, 31))
    text = plain_text(answer(Tree(Because("all in season", because=told))))
    assert "food 20" in text
    assert "food 21" not in text
    assert "and 10 more like these" in text

"""Books are read whole, and whatever is wrong with them is said by file and line."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import given as drawn
from hypothesis import strategies as st

from rules import BookError, RulebookError, given, load_books

SOUND = """\
[relations]
flies = "{0} flies by {1}"
is = { wording = "{0} is a {1}", input = true, object = "kinds" }

[relations.has]
wording = "{0} has {1}"
input = true

[[rule]]
id = "wings"
when = ["?who is bird"]
unless = "?who has \\"clipped wings\\""
then = "?who flies wing"
because = "birds have wings"
source = "field guide"

[[fact]]
holds = ['"Pip the wren" is bird', "Olga is bird"]
source = "seen"
"""


@pytest.fixture
def book(tmp_path):
    def write(text: str, name: str = "birds.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def errors(path: Path, **vocabularies: set) -> list[tuple[int, str]]:
    found = load_books([path], vocabularies).errors
    assert all(error.file == str(path) for error in found)
    return [(error.line, error.reason) for error in found]


def test_a_sound_book_runs_and_words_its_findings(book):
    path = book(SOUND)
    rulebook = load_books([path], {"kinds": {"bird", "fish"}})
    assert rulebook.errors == ()
    findings = rulebook.engine().run(
        [*rulebook.facts, given("Olga", "has", "clipped wings", "seen")]
    )
    assert [fact.subject for fact in findings.match("? flies wing")] == ["Pip the wren"]
    tree = findings.why('"Pip the wren" flies wing')
    assert tree.statement == "Pip the wren flies by wing: birds have wings"
    assert tree.because[1].statement == "nothing says that Pip the wren has clipped wings"
    (stated,) = findings.givens(findings.match("Olga is bird")[0])
    assert (stated.source, stated.where) == ("seen", f"{path}:18")


def test_books_share_their_relations_whatever_their_order(book):
    first = book('[relations]\nflies = "{0} flies by {1}"\nis = "{0} is a {1}"\n', "z.toml")
    second = book('[[fact]]\nholds = "Pip is bird"\nsource = "seen"\n', "a.toml")
    assert load_books([first, second]) == load_books([second, first])
    assert load_books([first, second]).errors == ()
    assert load_books([second]).errors[0].reason.endswith("is is not declared in [relations]")


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"),
    [
        ('source = "field guide"\n', "", 9, "rule wings: it has no source"),
        ('source = "field guide"', 'source = " "', 15, "source must be text, and not empty"),
        ("because =", "becuase =", 14, "rule wings: unknown key becuase; known are because"),
        ('id = "wings"\n', "", 9, "a rule without an id: it has no id"),
        ('when = ["?who is bird"]', "when = [3]", 11, "when must be text or a list of texts"),
        ('when = ["?who is bird"]', 'when = ["?who is"]', 11, "2 terms where three are needed"),
        ("?who flies wing", "?whom flies wing", 13, "?whom in then is set by no condition"),
        ('unless = "?who', 'unless = "?whom', 12, "?whom in unless is set by no condition"),
        ("birds have wings", "?w", 14, "?w in because is set by no condition"),
        ("?who has", "?who owns", 12, "the relation owns is not declared in [relations]"),
        ('"?who is bird"', '"?who is brid"', 11, "brid is not among the kinds that is speaks of"),
        ('"Olga is bird"', '"Olga is brid"', 18, "brid is not among the kinds that is speaks of"),
        ('"Olga is bird"', '"?x is bird"', 18, "a fact has no variables"),
        ('source = "seen"', 'sauce = "seen"', 17, "a fact: it has no source"),
        ('source = "seen"', 'sauce = "seen"', 19, "unknown key sauce; known are holds, source"),
        ("[[fact]]", "[[facts]]", 17, "unknown table facts"),
        ('"{0} flies by {1}"', '"{0} flies"', 2, "must hold {0} for the subject and {1}"),
        ('wording = "{0} has {1}"', 'words = "{0} has {1}"', 5, "unknown key words"),
        ("input = true\n\n", 'input = "yes"\n\n', 5, "input must be true or false"),
        ("[[rule]]", "[[rule]", 9, "is not TOML"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(book, old, new, line, reason):
    assert SOUND.count(old) >= 1
    found = errors(book(SOUND.replace(old, new, 1)), kinds={"bird"})
    assert any(at == line and reason in text for at, text in found), found


@pytest.mark.parametrize("slip", ["relations = 3", "rule = [3]", "[rule]", 'fact = "a is b"'])
def test_a_table_of_the_wrong_shape_is_told(book, slip):
    ((line, reason),) = errors(book(f"\n{slip}\n"))
    assert line == 2
    assert "must be written as [" in reason


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@drawn(st.integers(0, len(SOUND)), st.integers(0, 40), st.text('"[]{}=?\n ax3', max_size=3))
def test_a_damaged_book_is_reported_never_a_crash(book, start, length, noise):
    path = book(SOUND[:start] + noise + SOUND[start + length :])
    last_line = len(path.read_text().splitlines())
    for error in load_books([path], {"kinds": {"bird"}}).errors:
        assert 1 <= error.line <= max(last_line, 1)
        assert error.reason


def test_a_repeated_id_names_both_places(book):
    rule = SOUND[SOUND.index("[[rule]]") : SOUND.index("[[fact]]")]
    path = book(SOUND + rule)
    assert errors(path) == [(21, f"rule wings: the id is taken already at {path}:9")]


def test_a_rule_that_nothing_can_set_off_is_reported(book):
    path = book(SOUND.replace('wording = "{0} is a {1}", input = true', 'wording = "{0} is a {1}"')
                .replace("?who is bird", "?who is fish"))  # fmt: skip
    assert errors(path) == [
        (9, "rule wings: it can never fire: nothing concludes or states ?who is fish, "
            "and is is not an input"),
    ]  # fmt: skip


def test_an_unless_that_nothing_can_meet_is_reported(book):
    path = book(SOUND.replace("input = true\n\n", "input = false\n\n"))
    ((line, reason),) = errors(path)
    assert line == 9
    assert "its unless is idle: nothing concludes or states ?who has clipped wings" in reason


def test_rules_that_only_feed_each_other_are_dead(book):
    rule = '[[rule]]\nid = "{0}"\nwhen = "?x is {0}"\nthen = "?x is {1}"\n'
    rule += 'because = "so"\nsource = "test"\n'
    path = book('[relations]\nis = "{0} is {1}"\n' + rule.format("a", "b") + rule.format("b", "a"))
    assert [line for line, _ in errors(path)] == [3, 9]


def test_a_circle_of_denials_is_reported_with_its_rules(book):
    rule = '[[rule]]\nid = "{0}"\nwhen = "?x has leaf"\nunless = "?x is {1}"\nthen = "?x is {0}"\n'
    rule += 'because = "so"\nsource = "test"\n'
    relations = '[relations]\nis = "{0} is {1}"\nhas = { wording = "{0} has {1}", input = true }\n'
    ((line, reason),) = errors(book(relations + rule.format("a", "b") + rule.format("b", "a")))
    assert line == 11
    assert "b -> a -> b" in reason


def test_relations_declared_twice_must_agree(book):
    one = book('[relations]\nis = "{0} is {1}"\n', "one.toml")
    two = book('[relations]\nis = "{0} equals {1}"\n', "two.toml")
    assert load_books([one, one]).errors == ()
    expected = BookError(str(two), 2, "relation is is declared differently in another book")
    assert load_books([one, two]).errors == (expected,)


def test_a_missing_file_is_told(tmp_path):
    (error,) = load_books([tmp_path / "none.toml"]).errors
    assert "cannot be read" in error.reason


def test_a_bad_book_gives_no_engine(book):
    rulebook = load_books([book(SOUND.replace('source = "field guide"\n', ""))])
    with pytest.raises(RulebookError, match=r"birds\.toml:9: rule wings: it has no source"):
        rulebook.engine()

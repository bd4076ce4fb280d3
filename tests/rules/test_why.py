"""Reasons rest on given facts; misses name what is lacking."""

from __future__ import annotations

import pytest

from rules import Because, Engine, Findings, Miss, NotFoundError, given, make_rule

WORDINGS = {
    "flies": "{0} flies by {1}",
    "is": "{0} is a {1}",
    "has": "{0} has {1}",
    "weighs": "{0} weighs {1} kg",
}

BIRDS = [
    make_rule(
        "wings",
        ["?who is bird", "?who weighs ?kg", "?kg < 20"],
        ["?who flies wing"],
        "a bird of ?kg kg is light enough",
        "field guide",
        unless=["?who has clipped_wings"],
    ),
    make_rule("wren", ["?who is wren"], ["?who is bird"], "a wren is a bird", "field guide"),
    make_rule("beak", ["?who has beak"], ["?who is bird"], "only birds have beaks", "an old book"),
]


def birds(*more: tuple) -> Findings:
    known = [
        ("Pip", "is", "wren"), ("Pip", "weighs", 0.01), ("Pip", "has", "beak"),
        ("Olga", "is", "bird"), ("Olga", "weighs", 120),
        ("Cora", "is", "bird"), ("Cora", "weighs", 1), ("Cora", "has", "clipped_wings"),
    ]  # fmt: skip
    return Engine(BIRDS, WORDINGS).run([given(*fact, "seen") for fact in [*known, *more]])


# -- why ------------------------------------------------------------------------------------------


def test_a_reason_has_rule_source_premises_comparisons_and_absences_in_written_order():
    tree = birds().why("Pip flies wing")
    assert tree.statement == "Pip flies by wing: a bird of 0.01 kg is light enough"
    assert (tree.rule, tree.source) == ("wings", "field guide")
    assert [reason.statement for reason in tree.because] == [
        "Pip is a bird: only birds have beaks",  # as short as by "wren", and first by name
        "Pip weighs 0.01 kg",
        "0.01 is less than 20",
        "nothing says that Pip has clipped_wings",
    ]
    assert tree.because[0].because == (Because("Pip has beak", "", "seen"),)


def test_all_reasons_are_offered():
    reasons = birds().reasons("Pip is bird")
    assert [reason.rule for reason in reasons] == ["beak", "wren"]
    told_too = birds(("Pip", "is", "bird")).reasons("Pip is bird")
    assert [reason.rule for reason in told_too] == ["", "beak", "wren"]


def test_a_reason_that_goes_round_through_itself_is_not_offered():
    rules = [
        make_rule("there", ["?a like ?b"], ["?b like ?a"], "likeness goes both ways", "test"),
        make_rule("start", ["?a twin ?b"], ["?a like ?b"], "twins are alike", "test"),
    ]
    findings = Engine(rules).run([given("a", "twin", "b", "told")])
    assert [reason.rule for reason in findings.reasons("a like b")] == ["start"]
    assert [reason.rule for reason in findings.reasons("b like a")] == ["there"]


def test_as_dict_has_the_four_fields_all_the_way_down():
    tree = birds().why("Pip is bird").as_dict()
    assert tree == {
        "statement": "Pip is a bird: only birds have beaks",
        "rule": "beak",
        "source": "an old book",
        "because": [{"statement": "Pip has beak", "rule": "", "source": "seen", "because": []}],
    }


def test_depth_cuts_and_counts_what_it_hides():
    tree = birds().why("Pip flies wing", depth=1)
    assert [reason.hidden for reason in tree.because] == [1, 0, 0, 0]
    assert birds().why("Pip flies wing", depth=0).hidden == 4


def test_why_of_what_does_not_hold_is_refused():
    with pytest.raises(NotFoundError, match="nothing says that Olga flies by wing"):
        birds().why("Olga flies wing")


# -- why not --------------------------------------------------------------------------------------


def checks(miss: Miss | None) -> list[tuple[str, bool | None]]:
    assert miss is not None
    return [(check.statement, check.met) for check in miss.checks]


def test_an_unmet_comparison_is_the_miss():
    miss = birds().why_not("Olga flies wing")
    assert (miss.rule, miss.source) == ("wings", "field guide")
    assert dict(miss.bindings) == {"kg": 120, "who": "Olga"}
    assert checks(miss) == [
        ("Olga is a bird", True),
        ("Olga weighs 120 kg", True),
        ("120 is less than 20", False),
        ("nothing says that Olga has clipped_wings", True),
    ]


def test_what_stands_in_the_way_is_shown_with_its_reason():
    miss = birds().why_not("Cora flies wing")
    in_the_way = miss.checks[3]
    assert in_the_way.met is False
    assert in_the_way.statement == "Cora has clipped_wings, which stands against it"
    assert in_the_way.because == Because("Cora has clipped_wings", "", "seen")


def test_what_cannot_be_judged_is_neither_met_nor_unmet_and_misses_are_followed():
    miss = birds(("Rex", "has", "fur")).why_not("Rex flies wing")
    assert checks(miss) == [
        ("Rex is a bird", False),
        ("Rex weighs some kg kg", False),
        ("some kg is less than 20", None),
        ("nothing says that Rex has clipped_wings", True),
    ]
    nearest = miss.checks[0].miss
    assert nearest.rule == "beak"
    assert checks(nearest) == [("Rex has beak", False)]
    assert nearest.checks[0].miss is None


def test_the_rule_with_fewest_unmet_conditions_is_nearest():
    rules = [
        make_rule("far", ["?x has a", "?x has b", "?x has c"], ["?x is whole"], "so", "test"),
        make_rule("near", ["?x has a", "?x has b", "?x has d"], ["?x is whole"], "so", "test"),
        make_rule("other", ["?x has e"], ["?x is whole"], "so", "test"),
    ]
    findings = Engine(rules).run([given("x", "has", "a", "t"), given("x", "has", "d", "t")])
    assert findings.why_not("x is whole").rule == "near"


def test_the_match_with_fewest_unmet_conditions_is_taken():
    rules = [make_rule("r", ["?d uses ?f", "?f is dry", "?f is old"], ["?d is dusty"], "so", "t")]
    used = [("d", "uses", "a"), ("d", "uses", "b"), ("b", "is", "dry"), ("c", "is", "dry")]
    miss = Engine(rules).run([given(*fact, "t") for fact in used]).why_not("d is dusty")
    assert checks(miss) == [("d uses b", True), ("b is dry", True), ("b is old", False)]


def test_no_rule_at_all():
    assert birds().why_not("Pip sings bass") == Miss("Pip sings bass")


def test_a_pattern_with_variables_can_be_missing_too():
    assert birds().why_not("?who flies wing") is None
    miss = birds().why_not("?who flies rocket")
    assert miss == Miss("some who flies by rocket")

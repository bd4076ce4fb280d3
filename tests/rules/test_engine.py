"""The engine against a naive evaluator that tries every value for every variable."""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from rules import (
    Because,
    CycleError,
    Engine,
    Fact,
    Findings,
    Given,
    Rule,
    RuleError,
    given,
    make_rule,
)
from rules.patterns import ANYTHING, Guard, Pattern, Var, filled

# -- the reference --------------------------------------------------------------------------------

NAMES = ("a", "b", 1, 2)
VARIABLES = ("x", "y", "z")
LEVELS = {"given": 0, "low": 1, "mid": 2, "high": 3}  # a rule denies only what is below its head
RELATIONS = tuple(LEVELS)


class Model(NamedTuple):
    """What the reference finds: the facts, and every derivation as (fact, rule id, premises)."""

    facts: set[Fact]
    derivations: set[tuple[Fact, str, tuple[Fact, ...]]]


def naive(rules: list[Rule], facts: list[Fact]) -> Model:
    """Evaluates level by level, over all assignments, until nothing changes."""
    model = Model(set(facts), set())
    for level in range(len(LEVELS)):
        rules_here = [rule for rule in rules if LEVELS[rule.then[0].relation] == level]
        size = -1
        while size != len(model.derivations):
            size = len(model.derivations)
            for rule in rules_here:
                for conclusions, premises in list(firings(rule, model.facts)):
                    model.facts.update(conclusions)
                    model.derivations.update((fact, rule.id, premises) for fact in conclusions)
    return model


def firings(rule: Rule, facts: set[Fact]):
    for values in product(NAMES, repeat=len(VARIABLES)):
        binding = dict(zip(VARIABLES, values, strict=True))
        guards_met = all(
            guard.met(filled(guard.left, binding), filled(guard.right, binding))
            for guard in rule.guards
        )
        denied = any(list(fitting(pattern, binding, facts)) for pattern in rule.unless)
        if guards_met and not denied:
            for premises in product(*(fitting(p, binding, facts) for p in rule.patterns)):
                yield [Fact(*(filled(t, binding) for t in head)) for head in rule.then], premises


def fitting(pattern: Pattern, binding: dict, facts: set[Fact]):
    for fact in facts:
        if all(
            place == ANYTHING or filled(place, binding) == value
            for place, value in zip(pattern, fact, strict=True)
        ):
            yield fact


def heights(model: Model, facts: list[Fact]) -> dict[Fact, int]:
    """Least number of rule steps to each fact, by relaxing until nothing gets lower."""
    height = dict.fromkeys(facts, 0)
    changed = True
    while changed:
        changed = False
        for fact, _, premises in model.derivations:
            if all(premise in height for premise in premises):
                new = 1 + max(height[premise] for premise in premises)
                if new < height.get(fact, new + 1):
                    height[fact], changed = new, True
    return height


# -- random programmes ----------------------------------------------------------------------------

variable = st.sampled_from([Var(name) for name in VARIABLES])
place = variable | st.sampled_from(NAMES) | st.just(ANYTHING)
facts = st.lists(
    st.builds(Fact, st.sampled_from(NAMES), st.sampled_from(RELATIONS[:3]), st.sampled_from(NAMES)),
    max_size=12,
)


def relation_up_to(level: int):
    return st.sampled_from([name for name, its in LEVELS.items() if its <= level])


@st.composite
def rule(draw, id: str) -> Rule:
    head_level = draw(st.integers(1, 3))
    when = draw(
        st.lists(
            st.builds(Pattern, place, relation_up_to(head_level), place), min_size=1, max_size=3
        )
    )
    bound = sorted({p for pattern in when for p in pattern if isinstance(p, Var)} - {ANYTHING})
    known = st.sampled_from([*bound, *NAMES])
    head_relation = RELATIONS[head_level]
    then = draw(
        st.lists(st.builds(Pattern, known, st.just(head_relation), known), min_size=1, max_size=2)
    )
    denied_place = known | st.just(ANYTHING)
    unless = draw(
        st.lists(
            st.builds(Pattern, denied_place, relation_up_to(head_level - 1), denied_place),
            max_size=2,
        )
    )
    operator = st.sampled_from(["=", "!=", "<", "<=", ">", ">="])
    guards = draw(st.lists(st.builds(Guard, known, operator, known), max_size=1))
    return Rule(id, (*when, *guards), tuple(unless), tuple(then), "so", "test")


programmes = st.integers(1, 5).flatmap(lambda n: st.tuples(*(rule(f"r{i}") for i in range(n))))


def told(facts: list[Fact]) -> list[Given]:
    return [Given(fact, "told") for fact in facts]


# -- properties -----------------------------------------------------------------------------------


@settings(max_examples=150, deadline=None)
@drawn(programmes, facts)
def test_finds_what_the_naive_evaluator_finds(programme, stated):
    findings = Engine(programme).run(told(stated))
    assert set(findings) == naive(list(programme), stated).facts


@settings(max_examples=100, deadline=None)
@drawn(programmes, facts)
def test_supports_are_real_distinct_and_start_with_the_lowest(programme, stated):
    findings = Engine(programme).run(told(stated))
    model = naive(list(programme), stated)
    lowest = heights(model, stated)
    for fact in findings:
        supports = [(s.rule.id, s.premises) for s in findings.supports(fact)]
        assert len(set(supports)) == len(supports)
        assert all((fact, *support) in model.derivations for support in supports)
        steps = [1 + max(lowest[premise] for premise in premises) for _, premises in supports]
        assert steps == sorted(steps)
        assert findings.proof(fact).height == lowest[fact]
        if fact not in stated:
            at_lowest = {
                (id, premises)
                for concluded, id, premises in model.derivations
                if concluded == fact and 1 + max(lowest[p] for p in premises) == lowest[fact]
            }
            assert at_lowest <= set(supports)


@settings(max_examples=100, deadline=None)
@drawn(programmes, facts, st.randoms())
def test_order_of_rules_and_facts_never_matters(programme, stated, random):
    shuffled_rules, shuffled_facts = list(programme), list(stated)
    random.shuffle(shuffled_rules)
    random.shuffle(shuffled_facts)
    one = Engine(programme).run(told(stated))
    other = Engine(shuffled_rules).run(told(shuffled_facts))
    assert list(one) == list(other)
    assert [one.reasons(fact) for fact in one] == [other.reasons(fact) for fact in other]
    for subject, relation, object_ in product(NAMES, RELATIONS, NAMES):
        fact = Fact(subject, relation, object_)
        assert one.why_not(fact) == other.why_not(fact)


@settings(max_examples=100, deadline=None)
@drawn(programmes, facts)
def test_every_reason_ends_in_given_facts(programme, stated):
    findings = Engine(programme).run(told(stated))
    said = {findings.say(fact) for fact in stated}
    for fact in findings:
        for reason in findings.reasons(fact):
            assert_grounded(reason, said, findings)


def assert_grounded(reason: Because, said: set[str], findings: Findings) -> None:
    if reason.rule:
        assert reason.because
    elif reason.source:
        assert reason.statement in said
    else:
        words = reason.statement.removeprefix("nothing says that ").split()
        assert words[1] in ("is", *RELATIONS)
        if len(words) == 3 and words[1] in RELATIONS:
            pattern = " ".join("?" if word == "anything" else word for word in words)
            assert findings.match(pattern) == []
    for below in reason.because:
        assert_grounded(below, said, findings)


@settings(max_examples=60, deadline=None)
@drawn(programmes, facts)
def test_why_not_answers_exactly_where_a_fact_is_absent(programme, stated):
    findings = Engine(programme).run(told(stated))
    for subject, relation, object_ in product(NAMES, RELATIONS, NAMES):
        fact = Fact(subject, relation, object_)
        miss = findings.why_not(fact)
        assert (miss is None) == (fact in findings)
        if miss and miss.rule:
            assert any(not check.met for check in miss.checks)


# -- single cases ---------------------------------------------------------------------------------


def run(rules: list[Rule], *facts: tuple) -> list[Fact]:
    stated = [given(*fact, "told") for fact in facts]
    findings = Engine(rules).run(stated)
    return [fact for fact in findings if fact not in {g.fact for g in stated}]


def test_rules_feed_each_other_to_the_end():
    rules = [
        make_rule("step", ["?a before ?b"], ["?a ahead ?b"], "at once", "test"),
        make_rule("far", ["?a ahead ?b", "?b ahead ?c"], ["?a ahead ?c"], "by ?b", "test"),
    ]
    ahead = run(rules, ("a", "before", "b"), ("b", "before", "c"), ("c", "before", "d"))
    assert [f"{s}{o}" for s, _, o in ahead] == ["ab", "ac", "ad", "bc", "bd", "cd"]


def test_tall_proofs_are_no_trouble():
    rules = [make_rule("on", ["?a next ?b", "?a lit yes"], ["?b lit yes"], "from ?a", "test")]
    chain = [given(i, "next", i + 1, "told") for i in range(3000)]
    findings = Engine(rules).run([*chain, given(0, "lit", "yes", "told")])
    assert findings.proof(Fact(3000, "lit", "yes")).height == 3000
    assert findings.why(Fact(3000, "lit", "yes"), depth=1).because[1].statement.startswith("2999")


def test_unless_is_asked_only_when_the_matter_is_finished():
    rules = [
        make_rule("z", ["?x seen yes"], ["?x is strange"], "so", "test", unless=["?x is known"]),
        make_rule("y", ["?x friend_of ?y", "?y is known"], ["?x is known"], "so", "test"),
    ]
    facts = [("a", "is", "known"), ("b", "friend_of", "a"), ("b", "seen", "yes")]
    assert run(rules, *facts, ("c", "seen", "yes")) == [
        ("b", "is", "known"),
        ("c", "is", "strange"),
    ]


def test_a_lone_question_mark_in_unless_means_nothing_at_all():
    rules = [make_rule("u", ["?x seen yes"], ["?x is unknown"], "so", "test", unless=["?x kind ?"])]
    facts = [("a", "seen", "yes"), ("b", "seen", "yes"), ("a", "kind", "bird")]
    assert run(rules, *facts) == [("b", "is", "unknown")]


@pytest.mark.parametrize(
    ("guard", "kept"),
    [
        ("?n >= 2", [2, 2.5]),
        ("?n < 2", [1]),
        ("?n != 2", [1, 2.5, "many"]),
        ("?n = many", ["many"]),
        ("?n <= 2", [1, 2]),
        ("2 < ?n", [2.5]),
    ],
)
def test_guards_compare_numbers_and_never_order_names(guard, kept):
    rules = [make_rule("g", ["?x has ?n", guard], ["?x keeps ?n"], "so", "test")]
    facts = [("x", "has", n) for n in (1, 2, 2.5, "many")]
    assert [fact.object for fact in run(rules, *facts)] == kept


def test_a_variable_named_twice_has_one_value():
    rules = [
        make_rule("copy", ["?a sees ?b"], ["?a knows ?b"], "so", "test"),
        make_rule("told", ["?a sees ?a"], ["?a is vain"], "so", "test"),
        make_rule("found", ["?a knows ?a"], ["?a is wise"], "so", "test"),
    ]
    facts = [("a", "sees", "b"), ("b", "sees", "b"), ("c", "sees", "d")]
    assert run(rules, *facts)[:2] == [("b", "is", "vain"), ("b", "is", "wise")]
    assert len(run(rules, *facts)) == 5


def test_rules_may_deny_what_other_patterns_of_the_same_relation_say():
    rules = [make_rule("safe", ["?x is food"], ["?x is safe"], "so", "test", unless=["?x is raw"])]
    assert run(rules, ("egg", "is", "food")) == [("egg", "is", "safe")]


def test_a_circle_through_unless_is_refused_by_name():
    rules = [
        make_rule("first", ["?x in set"], ["?x is odd"], "so", "test", unless=["?x is even"]),
        make_rule("link", ["?x is odd"], ["?x is half"], "so", "test"),
        make_rule("second", ["?x is half"], ["?x is even"], "so", "test"),
    ]
    with pytest.raises(CycleError, match="second -> link -> first -> second") as caught:
        Engine(rules)
    assert caught.value.cycle == ("second", "link", "first", "second")


def test_a_rule_that_denies_its_own_conclusion_is_refused():
    liar = make_rule("liar", ["?x says ?y"], ["?x is true"], "so", "test", unless=["?x is true"])
    with pytest.raises(CycleError, match="liar -> liar"):
        Engine([liar])


def test_two_rules_of_one_id_are_refused():
    twin = make_rule("twin", ["?x is a"], ["?x is b"], "so", "test")
    with pytest.raises(RuleError, match="twin"):
        Engine([twin, twin])


@pytest.mark.parametrize(
    ("parts", "reason"),
    [
        ({"when": ["?x is"]}, "2 terms where three are needed"),
        ({"when": ['?x is "navy bean']}, "not closed"),
        ({"when": ["?x ?r ?y"]}, "must be a plain word"),
        ({"when": ["?x is a", "?x >= few"]}, "one side is a name"),
        ({"when": ["?x is a", "?n > 2"]}, r"\?n in a comparison is set by no condition"),
        ({"when": ["3 > 2"]}, "no condition that a fact could meet"),
        ({"then": ["?y is b"]}, r"\?y in then is set by no condition"),
        ({"then": ["? is b"]}, "a lone . cannot stand in then"),
        ({"then": []}, "concludes nothing"),
        ({"unless": ["?z is b"]}, r"\?z in unless is set by no condition"),
        ({"unless": ["?x > 2"]}, "a comparison cannot stand here"),
        ({"because": "of ?w"}, r"\?w in because is set by no condition"),
        ({"because": " "}, "must be able to say why"),
        ({"source": ""}, "no source"),
    ],
)
def test_a_flawed_rule_says_what_is_wrong(parts, reason):
    sound = {"when": ["?x is a"], "then": ["?x is b"], "because": "so", "source": "test"}
    with pytest.raises(RuleError, match=reason):
        make_rule("flawed", **(sound | parts))


def test_match_and_bindings_come_sorted():
    findings = Engine([]).run(
        [given(*fact, "told") for fact in [("b", "has", "x"), (2, "has", "x"), ("a", "has", "x")]]
    )
    assert [fact.subject for fact in findings.match("? has x")] == [2, "a", "b"]
    assert findings.bindings("?who has x") == [{"who": 2}, {"who": "a"}, {"who": "b"}]
    assert findings.match("?x has ?x") == []
    assert len(findings.match("? has ?")) == 3
    assert Fact("a", "has", "x") in findings


def test_two_sources_for_one_fact_are_both_kept():
    findings = Engine([]).run([given("a", "is", "b", "second"), given("a", "is", "b", "first")])
    assert [g.source for g in findings.givens(Fact("a", "is", "b"))] == ["first", "second"]
    assert len(findings) == 1

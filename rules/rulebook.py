"""Rulebooks: relations, rules and facts read from TOML files and checked before use.

    [relations]
    contains = "{0} contains {1}"                              # concluded by rules or stated here
    uses = { wording = "{0} uses {1}", input = true }          # handed in when the rules are run
    is = { wording = "{0} is {1}", input = true, object = "kinds" }

    [[rule]]
    id = "gluten-from-wheat"
    when = ["?dish uses ?food", '?food is "soft wheat"', "?dish portions ?n", "?n >= 1"]
    unless = "?food labelled gluten-free"
    then = "?dish contains gluten"
    because = "its ?food is wheat, and wheat holds gluten"
    source = "21 CFR 101.91"

    [[fact]]
    holds = ["oat is grain", "barley is grain"]
    source = "common practice, no source"

`when`, `unless`, `then` and `holds` are one string or a list. `subject` and `object` of a relation
name a vocabulary that the caller may hand in; constants outside it are then refused. Relations
are shared between all books loaded together.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from rules.engine import Engine
from rules.facts import Fact, Given, Term
from rules.lines import Lines
from rules.patterns import Pattern, PatternError, Place, Var, read_fact
from rules.rule import Rule, RuleError, read_rule
from rules.strata import CycleError, stratify, unmeetable

if TYPE_CHECKING:
    from pathlib import Path

Vocabularies = Mapping[str, Collection[Term]]


class BookError(NamedTuple):
    """One thing wrong in a book: where, and what. `str()` gives `file:line: reason`."""

    file: str
    line: int
    reason: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.reason}"


class RulebookError(RuleError):
    """Books that cannot be used; `errors` says everything that is wrong with them."""

    def __init__(self, errors: tuple[BookError, ...]) -> None:
        self.errors = errors
        super().__init__("\n".join(map(str, errors)))


class Relation(NamedTuple):
    """A declared relation: its wording, whether it is handed in, its vocabularies if any."""

    wording: str
    input: bool = False
    subject: str = ""
    object: str = ""


class Rulebook(NamedTuple):
    """Everything read from some books. Use it only if `errors` is empty; `engine` sees to that."""

    relations: dict[str, Relation]
    rules: tuple[Rule, ...]
    facts: tuple[Given, ...]
    errors: tuple[BookError, ...]

    @property
    def wordings(self) -> dict[str, str]:
        """Sentence template of each relation."""
        return {name: relation.wording for name, relation in self.relations.items()}

    def engine(self) -> Engine:
        """These rules made ready to run. Raises RulebookError if anything is wrong with a book."""
        if self.errors:
            raise RulebookError(self.errors)
        return Engine(self.rules, self.wordings)


def load_books(paths: Iterable[str | Path], vocabularies: Vocabularies | None = None) -> Rulebook:
    """Reads books that belong together; what is wrong with them is in `errors`, by file and line.

    `vocabularies` gives, by name, the constants that relations may speak of. Where a relation
    names a vocabulary that is not handed in, its constants are taken on trust.
    """
    reading = _Reading(vocabularies or {})
    books = [book for path in sorted(map(str, paths)) if (book := reading.open(path))]
    for book in books:  # first all relations, as a book may use those of another
        reading.take_relations(book)
    for book in books:
        reading.take_rules(book)
        reading.take_facts(book)
    if not reading.errors:  # a rule left out for an error would make others look unreachable
        reading.check_together()
    return Rulebook(
        reading.relations,
        tuple(rule for rule, _ in reading.rules.values()),
        tuple(reading.facts),
        tuple(sorted(reading.errors)),
    )


class _Book(NamedTuple):
    tables: dict[str, Any]
    lines: Lines
    file: str


_TABLES = {"relations": "[relations]", "rule": "[[rule]]", "fact": "[[fact]]"}
_RULE_KEYS = {"id", "when", "unless", "then", "because", "source"}
_FACT_KEYS = {"holds", "source"}


class _Reading:
    """What has been read so far, and everything found wrong on the way."""

    def __init__(self, vocabularies: Vocabularies) -> None:
        self.relations: dict[str, Relation] = {}
        self.rules: dict[str, tuple[Rule, tuple[str, int]]] = {}
        self.facts: list[Given] = []
        self.errors: list[BookError] = []
        self._vocabularies = vocabularies
        self._misdeclared: set[str] = set()

    # -- one book -------------------------------------------------------------------------------

    def open(self, path: str) -> _Book | None:
        import tomllib  # here, as most runs of a program read no book by way of this module

        try:
            with open(path, encoding="utf-8") as file:
                text = file.read()
            tables = tomllib.loads(text)
        except (OSError, UnicodeDecodeError) as error:
            self._wrong(path, 1, f"cannot be read: {error}")
            return None
        except tomllib.TOMLDecodeError as error:
            self._wrong(path, Lines.named_in(str(error)), f"is not TOML: {error}")
            return None
        book = _Book({}, Lines(text), path)
        for key, table in tables.items():
            line = book.lines.of_table(key)
            if key not in _TABLES:
                reason = f"unknown table {key}; a book has {', '.join(_TABLES.values())}"
                self._wrong(path, line, reason)
            elif not _shaped(key, table):
                self._wrong(path, line, f"{key} must be written as {_TABLES[key]}")
            else:
                book.tables[key] = table
        return book

    def take_relations(self, book: _Book) -> None:
        for name, entry in book.tables.get("relations", {}).items():
            line = book.lines.of_relation(name)
            fields = {"wording": entry} if isinstance(entry, str) else entry
            reason = _flaw_in_relation(name, fields)
            if reason:
                self._wrong(book.file, line, f"relation {name}: {reason}")
                self._misdeclared.add(name)
                continue
            relation = Relation(**fields)
            if self.relations.setdefault(name, relation) != relation:
                reason = f"relation {name} is declared differently in another book"
                self._wrong(book.file, line, reason)

    def take_rules(self, book: _Book) -> None:
        for number, entry in enumerate(book.tables.get("rule", [])):
            id = str(entry.get("id", ""))
            name = f"rule {id}" if id else "a rule without an id"
            if not self._well_formed(book, number, "rule", name, entry, _RULE_KEYS, {"unless"}):
                continue
            line = book.lines.of_entry("rule", number)
            rule, flaws = read_rule(
                id,
                _listed(entry["when"]),
                _listed(entry["then"]),
                entry["because"],
                entry["source"],
                _listed(entry.get("unless", [])),
                f"{book.file}:{line}",
            )
            problems = [(flaw.words, flaw.reason) for flaw in flaws]
            if not flaws:
                for pattern in (*rule.patterns, *rule.unless, *rule.then):
                    problems += self._unknown_words(pattern)
            if not id.strip():
                problems.append(("id", "its id is empty"))
            if id in self.rules:
                _, (file, first) = self.rules[id]
                problems.append(("id", f"the id is taken already at {file}:{first}"))
            else:
                self.rules[id] = rule, (book.file, line)
            for words, reason in dict.fromkeys(problems):
                find = book.lines.of_key if words in _RULE_KEYS else book.lines.of_words
                at = find("rule", number, words)
                self._wrong(book.file, at, f"{name}: {reason}")

    def take_facts(self, book: _Book) -> None:
        for number, entry in enumerate(book.tables.get("fact", [])):
            if not self._well_formed(book, number, "fact", "a fact", entry, _FACT_KEYS, set()):
                continue
            for text in _listed(entry["holds"]):
                line = book.lines.of_words("fact", number, text)
                try:
                    fact = read_fact(text)
                except PatternError as error:
                    self._wrong(book.file, line, str(error))
                    continue
                self.facts.append(Given(fact, entry["source"], f"{book.file}:{line}"))
                for _, reason in self._unknown_words(Pattern(*fact)):
                    self._wrong(book.file, line, f"{text}: {reason}")

    def _well_formed(
        self,
        book: _Book,
        number: int,
        table: str,
        name: str,
        entry: Mapping[str, Any],
        keys: set[str],
        optional: set[str],
    ) -> bool:
        """Checks the keys of an entry and that they hold text; reports what does not."""
        lists = {"when", "unless", "then", "holds"}
        problems = [
            (key, f"unknown key {key}; known are {', '.join(sorted(keys))}")
            for key in sorted(entry.keys() - keys)
        ]
        for key in sorted(keys):
            value = entry.get(key)
            if value is None:
                if key not in optional:
                    problems.append((key, f"it has no {key}"))
            elif key in lists and not all(isinstance(text, str) for text in _listed(value)):
                problems.append((key, f"{key} must be text or a list of texts"))
            elif key not in lists and not (isinstance(value, str) and value.strip()):
                problems.append((key, f"{key} must be text, and not empty"))
        for key, reason in problems:
            self._wrong(book.file, book.lines.of_key(table, number, key), f"{name}: {reason}")
        return not problems

    def _unknown_words(self, pattern: Pattern) -> Iterator[tuple[str, str]]:
        """Relations that are not declared and constants outside their vocabulary."""
        name = pattern.relation
        relation = self.relations.get(name)
        if relation is None:
            if name not in self._misdeclared:  # that has been told where it was declared
                yield name, f"the relation {name} is not declared in [relations]"
            return
        ends: tuple[tuple[Place, str], ...] = (
            (pattern.subject, relation.subject),
            (pattern.object, relation.object),
        )
        for place, vocabulary in ends:
            known = self._vocabularies.get(vocabulary)
            if known is not None and not isinstance(place, Var) and place not in known:
                yield str(place), f"{place} is not among the {vocabulary} that {name} speaks of"

    def _wrong(self, file: str, line: int, reason: str) -> None:
        self.errors.append(BookError(file, line, reason))

    # -- all books together ---------------------------------------------------------------------

    def check_together(self) -> None:
        """Checks what only shows once every rule is known: dead rules and circles of denial."""
        rules = [rule for rule, _ in self.rules.values()]
        stated: list[Fact] = [given.fact for given in self.facts]
        inputs = frozenset(name for name, relation in self.relations.items() if relation.input)
        for rule, pattern in unmeetable(rules, stated, inputs):
            file, line = self.rules[rule.id][1]
            missing = " ".join(f"?{p.name}" if isinstance(p, Var) else str(p) for p in pattern)
            effect = "its unless is idle" if pattern in rule.unless else "it can never fire"
            reason = f"rule {rule.id}: {effect}: nothing concludes or states {missing}"
            self._wrong(file, line, f"{reason}, and {pattern.relation} is not an input")
        try:
            stratify(rules)
        except CycleError as error:
            file, line = self.rules[error.cycle[0]][1]
            self._wrong(file, line, str(error))


def _shaped(key: str, table: Any) -> bool:
    if key == "relations":
        return isinstance(table, dict)
    return isinstance(table, list) and all(isinstance(entry, dict) for entry in table)


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _flaw_in_relation(name: str, fields: Any) -> str | None:
    if not isinstance(fields, dict):
        return 'write a wording, as in "{0} contains {1}", or a table with one'
    unknown = sorted(fields.keys() - set(Relation._fields))
    if unknown:
        return f"unknown key {unknown[0]}; known are {', '.join(Relation._fields)}"
    if not isinstance(fields.get("input", False), bool):
        return "input must be true or false"
    if not all(isinstance(fields.get(key, ""), str) for key in ("wording", "subject", "object")):
        return "wording, subject and object must be text"
    try:
        said = str(fields.get("wording", "")).format("\0", "\1")
    except (IndexError, KeyError, ValueError):
        said = ""
    if "\0" not in said or "\1" not in said:
        return "its wording must hold {0} for the subject and {1} for the object"
    return None

"""Reasons as lines of text: trees drawn with ├ └ and ✓ ✗, or plainly where only ASCII will do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rules.why import Because, Check, Miss

DEFAULT_DEPTH = 4
_MARKS = {True: "✓", False: "✗", None: "?"}
_PLAIN_MARKS = {True: "met:", False: "not met:", None: "open:"}


class _Node(NamedTuple):
    text: str
    below: Sequence[_Node]


def why_lines(because: Because, depth: int = DEFAULT_DEPTH, ascii: bool = False) -> list[str]:
    """A reason as indented lines, `depth` levels below the statement itself.

    What is left out is counted: "… 3 more".
    """
    return list(_draw(_reason(because, depth, ascii), ascii))


def why_not_lines(miss: Miss, depth: int = DEFAULT_DEPTH, ascii: bool = False) -> list[str]:
    """The nearest miss as indented lines, each condition marked as met, unmet or not judged."""
    absent = f"nothing says that {miss.statement}"
    if not miss.rule:
        return [f"{absent}, and no rule could conclude it"]
    return list(_draw(_nearest(miss, f"{absent}; ", depth, ascii), ascii))


def _reason(because: Because, depth: int, ascii: bool) -> _Node:
    text = because.statement + _origin(because.rule, because.source)
    if depth <= 0 or because.hidden:
        return _Node(text, _more(len(because.because) + because.hidden, ascii))
    return _Node(text, [_reason(reason, depth - 1, ascii) for reason in because.because])


def _nearest(miss: Miss, lead: str, depth: int, ascii: bool) -> _Node:
    text = f"{lead}nearest to it came{_origin(miss.rule, miss.source)}"
    if depth <= 0:
        return _Node(text, _more(len(miss.checks), ascii))
    return _Node(text, [_check(check, depth - 1, ascii) for check in miss.checks])


def _check(check: Check, depth: int, ascii: bool) -> _Node:
    mark = (_PLAIN_MARKS if ascii else _MARKS)[check.met]
    below: list[_Node] = []
    if check.miss:
        below = [_nearest(check.miss, "", depth, ascii)]
    elif check.because:
        below = [_reason(check.because, depth, ascii)]
    return _Node(f"{mark} {check.statement}", below)


def _origin(rule: str, source: str) -> str:
    inside = "; ".join(part for part in (f"rule {rule}" if rule else "", source) if part)
    return f" [{inside}]" if inside else ""


def _more(count: int, ascii: bool) -> list[_Node]:
    return [_Node(f"{'...' if ascii else '…'} {count} more", ())] if count else []


def _draw(node: _Node, ascii: bool) -> Iterator[str]:
    yield node.text
    for number, child in enumerate(node.below, 1):
        if ascii:
            first, further = "  - ", "    "
        elif number == len(node.below):
            first, further = "└ ", "  "
        else:
            first, further = "├ ", "│ "
        lines = _draw(child, ascii)
        yield first + next(lines)
        yield from (further + line for line in lines)

"""Lines: where in a TOML text an entry stands, since the TOML reader does not tell.

Entries are found by counting their headers, then words by looking within the entry. Where a file
is written in some other style (inline tables, say), the nearest line known is given instead.
"""

from __future__ import annotations

import re
from collections import defaultdict

_HEADER = re.compile(r"\s*\[\[?\s*([^\]]+?)\s*\]\]?\s*(#.*)?")
_KEY = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([^\s="']+))\s*=""")


class Lines:
    """Line numbers, from 1, of the parts of one book; 1 where a part cannot be found."""

    def __init__(self, text: str) -> None:
        self._lines = text.splitlines()
        self._headers = [
            (number, match[1])
            for number, line in enumerate(self._lines, 1)
            if (match := _HEADER.fullmatch(line))
        ]
        self._keys: defaultdict[str, list[int]] = defaultdict(list)
        for number, line in enumerate(self._lines, 1):
            if match := _KEY.match(line):
                self._keys[match[1] or match[2] or match[3] or ""].append(number)

    @staticmethod
    def named_in(message: str) -> int:
        """The line that a TOML syntax error speaks of."""
        match = re.search(r"at line (\d+)", message)
        return int(match[1]) if match else 1

    def of_table(self, name: str) -> int:
        """The header of a table, or its key if it is written as one."""
        return self._block(name, 0)[0] or self._key(name, 1, len(self._lines)) or 1

    def of_entry(self, table: str, number: int) -> int:
        """The header of the numbered `[[table]]`, counted from 0."""
        return self._block(table, number)[0] or 1

    def of_relation(self, name: str) -> int:
        """The line that declares a relation."""
        as_table = self._block(f"relations.{name}", 0)[0]
        first, last = self._block("relations", 0)
        return as_table or self._key(name, first, last) or first or 1

    def of_key(self, table: str, number: int, key: str) -> int:
        """The line of a key within an entry, or the entry's header if it has no such key."""
        first, last = self._block(table, number)
        return self._key(key, first, last) or first or 1

    def of_words(self, table: str, number: int, words: str) -> int:
        """The first line of an entry that has these words in it, or else the entry's header."""
        first, last = self._block(table, number)
        either = (words, words.replace('"', '\\"'))
        for number in range(first, last + 1 if first else 0):
            if any(_stands_alone(one, self._lines[number - 1]) for one in either):
                return number
        return first or 1

    def _block(self, header: str, number: int) -> tuple[int, int]:
        """First and last line under the numbered header of that name; zeros if there is none."""
        starts = [i for i, (_, name) in enumerate(self._headers) if name == header]
        if number >= len(starts):
            return 0, 0
        here = starts[number]
        after = self._headers[here + 1 :]
        return self._headers[here][0], after[0][0] - 1 if after else len(self._lines)

    def _key(self, name: str, first: int, last: int) -> int:
        """The first line between these two, both counted, that gives this key a value."""
        return next((number for number in self._keys[name] if first <= number <= last), 0)


def _stands_alone(words: str, line: str) -> bool:
    """True where the line has these words with no letter or digit right beside them."""
    at = line.find(words)
    while at >= 0:
        before, after = line[:at][-1:], line[at + len(words) :][:1]
        if not (_is_letter(before) or _is_letter(after)):
            return True
        at = line.find(words, at + 1)
    return False


def _is_letter(sign: str) -> bool:
    return sign.isalnum() or sign == "_"

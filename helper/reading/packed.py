"""Many short rows of numbers in one block of bytes: read from a file at once, without unpacking.

A phrasebook holds hundreds of thousands of numbers, of which one request looks at a few hundred.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator

import msgspec


class Packed(msgspec.Struct, array_like=True):
    """Rows of numbers of one kind ("I": counts, "f": fractions, "B": counts below 256)."""

    kind: str
    starts: bytes  # where each row starts, and where the last ends, as "I"
    block: bytes

    @classmethod
    def of(cls, kind: str, rows: Iterable[Iterable[float]]) -> Packed:
        """The rows as one block."""
        block, starts = array(kind), array("I", [0])
        for row in rows:
            block.extend(row)  # type: ignore[arg-type]
            starts.append(len(block))
        return cls(kind, starts.tobytes(), block.tobytes())


class Rows:
    """The rows of a block, each seen where it lies."""

    def __init__(self, packed: Packed) -> None:
        self._starts = memoryview(packed.starts).cast("I")
        self._block = memoryview(packed.block).cast(packed.kind)  # type: ignore[call-overload]

    def __len__(self) -> int:
        return len(self._starts) - 1

    def __getitem__(self, row: int) -> memoryview:
        return self._block[self._starts[row] : self._starts[row + 1]]  # type: ignore[no-any-return]

    def __iter__(self) -> Iterator[memoryview]:
        return (self[row] for row in range(len(self)))

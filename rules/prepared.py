"""What takes a moment to work out from the tables, kept for the next start.

An installed package brings it along (`rules/made`, put there when the wheel is built). Elsewhere
it lies beside the package, as compiled modules do, or in the user's cache folder where the package
cannot be written to. It is named by a fingerprint of every file it was made from, so a changed
table is noticed at the next start; a result that cannot be read is made again.
"""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import TypeVar

import msgspec

from rules.tables import HERE

T = TypeVar("T")

SHIPPED = HERE / "made"
_shipping_to: list[Path] = []


def prepared(name: str, kind: type[T], sources: Iterable[Path], make: Callable[[], T]) -> T:
    """The value `make` gives, of the msgspec-readable type `kind`, kept until a source changes."""
    file = f"{name}-{_fingerprint(sources)}.mpk"
    for folder in (SHIPPED, *_folders()):
        with contextlib.suppress(OSError, msgspec.DecodeError):
            value = msgspec.msgpack.decode((folder / file).read_bytes(), type=kind)
            break
    else:
        value = make()
        for folder in _folders():
            with contextlib.suppress(OSError):
                _keep(folder, name, file, msgspec.msgpack.encode(value))
                break
    if _shipping_to:
        _keep(_shipping_to[-1], name, file, msgspec.msgpack.encode(value))
    return value


@contextlib.contextmanager
def shipping(folder: Path) -> Iterator[None]:
    """Within, everything that is asked for is also written to a folder, to be shipped as `made`."""
    _shipping_to.append(folder)
    try:
        yield
    finally:
        _shipping_to.pop()


def _folders() -> Iterable[Path]:
    yield HERE / "__pycache__"
    from platformdirs import user_cache_path

    yield user_cache_path("household-meal-helper")


def _fingerprint(sources: Iterable[Path]) -> str:
    """Changes with what stands in any source, wherever and whenever it was written."""
    told = zlib.crc32(sys.byteorder.encode())
    for path in sources:
        state = path.stat()
        told = zlib.crc32(path.name.encode(), told)
        told = zlib.crc32(_sum(path, state.st_mtime_ns, state.st_size), told)
    return f"{told:08x}"


@cache
def _sum(path: Path, changed: int, size: int) -> bytes:
    """What a file holds, in short; several results are made from the same files."""
    return zlib.crc32(path.read_bytes()).to_bytes(4, "big")


def _keep(folder: Path, name: str, file: str, data: bytes) -> None:
    """Writes whole or not at all, and clears away what older tables gave."""
    folder.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=folder)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
        os.replace(temporary, folder / file)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    for old in folder.glob(f"{name}-*.mpk"):
        if old.name != file:
            old.unlink(missing_ok=True)

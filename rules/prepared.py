"""What takes a moment to work out from the tables, kept for the next start.

The result lies beside the package, as compiled modules do (or in the user's cache folder where
the package cannot be written to). It is named by a fingerprint of every file it was made from, so
a changed table is noticed at the next start; a result that cannot be read is made again.
"""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
import zlib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

import msgspec

from rules.tables import HERE

T = TypeVar("T")


def prepared(name: str, kind: type[T], sources: Iterable[Path], make: Callable[[], T]) -> T:
    """The value `make` gives, of the msgspec-readable type `kind`, kept until a source changes."""
    file = f"{name}-{_fingerprint(sources)}.mpk"
    for folder in _folders():
        with contextlib.suppress(OSError, msgspec.DecodeError):
            return msgspec.msgpack.decode((folder / file).read_bytes(), type=kind)
    value = make()
    data = msgspec.msgpack.encode(value)
    for folder in _folders():
        with contextlib.suppress(OSError):
            _keep(folder, name, file, data)
            break
    return value


def _folders() -> Iterable[Path]:
    yield HERE / "__pycache__"
    from platformdirs import user_cache_path

    yield user_cache_path("household-meal-helper")


def _fingerprint(sources: Iterable[Path]) -> str:
    """Changes whenever a source is written anew; Python's version counts too."""
    told = [sys.version]
    for path in sources:
        stat = path.stat()
        told.append(f"{path.name} {stat.st_size} {stat.st_mtime_ns}")
    return f"{zlib.crc32(chr(10).join(told).encode()):08x}"


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

"""Reading a file off the disk as clean text, and telling whether it was read before."""

from __future__ import annotations

import hashlib
import unicodedata
from pathlib import Path

from helper.household.taking_in.report import CannotTakeIn

# Control and direction characters, half characters, private and unassigned ones.
_UNPRINTABLE = ("Cc", "Cf", "Cs", "Co", "Cn")
LARGEST = 50_000_000  # bytes


def read_text(path: Path) -> str:
    """The text of a file, control characters taken out. Raises CannotTakeIn."""
    try:
        with path.open("rb") as file:
            # No more than is wanted: what is no plain file may be longer than it says, or endless.
            too_large = path.stat().st_size > LARGEST
            data = b"" if too_large else file.read(LARGEST + 1)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise CannotTakeIn(f"The file cannot be read: {reason}", str(path), "") from error
    if too_large or len(data) > LARGEST:
        raise CannotTakeIn(
            f"The file is larger than {LARGEST // 1_000_000} MB",
            str(path),
            "Nothing was taken in. Split it into smaller files.",
        )
    return clean(_decoded(data, path))


def _decoded(data: bytes, path: Path) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings = ["utf-16"]
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise CannotTakeIn("The file is no text", str(path), "Nothing was taken in.")


def clean(text: str) -> str:
    """Text as it may be printed: no control or direction characters, one kind of line end."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.isascii() and text.replace("\n", "").replace("\t", "").isprintable():
        return text
    return "".join(
        letter
        for letter in text
        if letter in "\n\t" or unicodedata.category(letter) not in _UNPRINTABLE
    )


def digest(text: str) -> str:
    """A short fingerprint of a text."""
    return hashlib.blake2b(text.encode(errors="replace"), digest_size=12).hexdigest()

"""Bytes to text, whatever program wrote them."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from lapwright.errors import FileUnreadable

MOST_BYTES = 4_000_000  # our choice: some 10 times the longest file that is read to its end

# Control characters but tab and line ends; halves of characters, which cannot be written out.
_NOT_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")


def load(path: Path, *, file: str, limit: int | None = MOST_BYTES) -> bytes:
    """Content of a file, never more than it takes to see that it is too long; None takes all."""
    try:
        with path.open("rb") as stream:
            return stream.read(-1 if limit is None else limit + 1)
    except IsADirectoryError:
        raise FileUnreadable("file_is_folder", file=file) from None
    except PermissionError:
        raise FileUnreadable("file_no_permission", file=file) from None
    except (FileNotFoundError, NotADirectoryError, ValueError):  # ValueError: NUL in the name
        raise FileUnreadable("file_missing", file=file) from None
    except OSError as error:
        raise FileUnreadable("file_not_read", file=file, reason=str(error.strerror)) from None


def decode(content: bytes | str, *, file: str) -> str:
    """Text of a file: UTF-8, UTF-16 with its mark, else the old Western code page."""
    if len(content) > MOST_BYTES:
        raise FileUnreadable("file_too_big", file=file, limit=f"{MOST_BYTES // 1_000_000} MB")
    try:
        text = content if isinstance(content, str) else _decoded(content)
    except UnicodeDecodeError:
        raise FileUnreadable("not_text", file=file) from None
    if not is_text(text):
        raise FileUnreadable("not_text", file=file)
    return text.removeprefix("\ufeff")


def is_text(content: str) -> bool:
    """Could a person have typed every sign of this."""
    return not _NOT_TEXT.search(content)


def _decoded(content: bytes) -> str:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content.decode("utf-16")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("cp1252")

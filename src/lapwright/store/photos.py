"""Photos and traces as files named by their content: the name proves what is in them.

A file appears under its name only when all of it is on disk. The same photo sent twice is
one file. Nothing here is ever replaced.
"""

from __future__ import annotations

import codecs
import hashlib
import os
import re
import secrets
from collections.abc import Iterator
from pathlib import Path

from lapwright.errors import LapwrightError

LARGEST = 16 * 2**20  # bytes
_NAME = re.compile(r"[0-9a-f]{64}")
_NO_TEXT = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]")
_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def image_type(content: bytes) -> str | None:
    """Media type of a picture by its first bytes; None for anything else.

    Examples
    --------
    >>> image_type(bytes.fromhex("89504e470d0a1a0a"))
    'image/png'
    """
    if content[:3] == b"\xff\xd8\xff":
        return "image/jpeg"
    if content[:8] == b"\x89PNG\r\n\x1a\n":
        return "image/png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "image/webp"
    return None


def file_type(content: bytes) -> str | None:
    """Media type of a picture, or of the table that a force gauge wrote; None for anything else.

    Examples
    --------
    >>> file_type(b"1; 0,02; 0,9")
    'text/csv'
    """
    if (picture := image_type(content)) is not None:
        return picture
    is_table = bool(content) and (content.startswith(_WIDE) or not _NO_TEXT.search(content))
    return "text/csv" if is_table else None


def check_file(sha256: str, content: bytes) -> None:
    """Refuse what is neither picture nor table, is too large, or is not what its name says.

    Raises
    ------
    LapwrightError
        ``photo_too_large``, ``photo_differs``, ``photo_type``.
    """
    if len(content) > LARGEST:
        raise LapwrightError("photo_too_large", limit=LARGEST // 2**20)
    if hashlib.sha256(content).hexdigest() != sha256:
        raise LapwrightError("photo_differs", file=sha256[:12])
    if file_type(content) is None:
        raise LapwrightError("photo_type")


class Photos:
    """A folder of files named by their SHA-256.

    Parameters
    ----------
    folder : Path
        Made when the first file comes.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def put(self, sha256: str, content: bytes) -> bool:
        """Keep a picture or a trace; False if it was here already.

        Raises
        ------
        LapwrightError
            As :func:`check_file`, and ``photo_not_kept``: the disk is full or gone.
        """
        check_file(sha256, content)
        path = self._path(sha256)
        if path.exists():
            return False
        try:
            _write(path, content)
        except OSError as error:
            raise LapwrightError("photo_not_kept", reason=str(error.strerror)) from error
        return True

    def get(self, sha256: str) -> bytes | None:
        """The content; None when it has not come yet.

        Raises
        ------
        LapwrightError
            ``photo_damaged``: the file is no longer what its name says.
        """
        if not _NAME.fullmatch(sha256) or not (path := self._path(sha256)).is_file():
            return None
        content = path.read_bytes()
        if hashlib.sha256(content).hexdigest() != sha256:
            raise LapwrightError("photo_damaged", file=sha256)
        return content

    def has(self, sha256: str) -> bool:
        """Whether it has come."""
        return _NAME.fullmatch(sha256) is not None and self._path(sha256).is_file()

    def __iter__(self) -> Iterator[str]:
        """Names of all that are here, sorted."""
        return iter(sorted(
            path.name for path in self.folder.glob("??/*") if _NAME.fullmatch(path.name)
        ))  # fmt: skip

    def _path(self, sha256: str) -> Path:
        return self.folder / sha256[:2] / sha256


def _write(path: Path, content: bytes) -> None:
    """All of the file under its name, or nothing: also when the power goes."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
        for folder in (path.parent, path.parent.parent):
            _sync(folder)
    finally:
        part.unlink(missing_ok=True)


def _sync(folder: Path) -> None:
    """The folder's list of names is on disk too, where the system can do that."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

"""Zip files that depend on their content only: no clock, no user, no order of chance."""

from __future__ import annotations

import json
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, BinaryIO

from lapwright.errors import FileUnreadable

_LONGEST = 4 * 2**20  # bytes of a small JSON file


def zipped(file: BinaryIO) -> zipfile.ZipFile:
    """A zip to write."""
    return zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED)


@contextmanager
def unzipped(file: BinaryIO, *, name: str) -> Iterator[zipfile.ZipFile]:
    """A zip to read.

    Raises
    ------
    FileUnreadable
        ``archive_unreadable``: no zip, or a damaged one.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            yield archive
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError):
        raise FileUnreadable("archive_unreadable", file=name) from None


def part(name: str, *, stored: bool = False) -> zipfile.ZipInfo:
    """Head of one file in the zip: no clock, no user, so that equal content is equal bytes."""
    head = zipfile.ZipInfo(name)
    head.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    head.external_attr = 0o644 << 16
    return head


def put(archive: zipfile.ZipFile, name: str, content: bytes, *, stored: bool = False) -> None:
    """One file into the zip."""
    archive.writestr(part(name, stored=stored), content)


def read_json(archive: zipfile.ZipFile, member: str, *, name: str) -> dict[str, Any]:
    """A small JSON object in the zip."""
    try:
        with archive.open(member) as file:
            found = json.loads(file.read(_LONGEST))
    except (KeyError, ValueError):
        found = None
    if not isinstance(found, dict):
        raise FileUnreadable("archive_unreadable", file=name)
    return found

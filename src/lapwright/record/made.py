"""What a paper was made with, beside the record: enough to make the same pages again."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

from lapwright.errors import FileUnreadable
from lapwright.record.canonical import canonical_json

PAPER = "paper.json"  # name of the attachment
FORMAT = "lapwright paper"
VERSION = 1
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Made:
    """How the pages of a record came about.

    Parameters
    ----------
    kind : {"job", "day"}
        Of the whole job, or of one day.
    day : str
        Day of a day's paper, as ``2026-05-04``; empty for a job's.
    language, units : str
        Of the reader.
    at : str
        Moment the paper bears. ISO 8601.
    rules : tuple of (str, str)
        Rule files laid on top of what the record says: name and whole text of each.
    photos : mapping of str to str
        SHA-256 of each kept photo, and of the smaller picture of it on the page.
    versions : mapping of str to str
        Of the programs that set figures and pages.

    Examples
    --------
    >>> made = Made("day", "2026-05-04", "en", "us", "2026-05-04T17:00:00-06:00")
    >>> read_made(made.json(), name="day.pdf") == made
    True
    """

    kind: Literal["job", "day"]
    day: str
    language: str
    units: str
    at: str
    rules: tuple[tuple[str, str], ...] = ()
    photos: Mapping[str, str] = field(default_factory=dict)
    versions: Mapping[str, str] = field(default_factory=dict)

    def json(self) -> bytes:
        """The attachment, in the canonical form of RFC 8785."""
        said = {one.name: getattr(self, one.name) for one in fields(self)}
        said |= {
            "format": FORMAT,
            "version": VERSION,
            "rules": [{"file": name, "text": text} for name, text in self.rules],
            "photos": dict(self.photos),
            "versions": dict(self.versions),
        }
        return canonical_json(said) + b"\n"


def read_made(content: bytes, *, name: str) -> Made:
    """What :meth:`Made.json` wrote; nothing else is taken.

    Raises
    ------
    FileUnreadable
        ``paper_made``; ``archive_version`` when a later lapwright wrote it.
    """
    try:
        said = json.loads(content)
        version = said["version"]
        if said["format"] == FORMAT and type(version) is int and version > VERSION:
            found = str(version)
            raise FileUnreadable("archive_version", file=name, value=found, known=VERSION)
        made = _made(said)
        if made.json() == content:
            return made
    except (KeyError, TypeError, ValueError, RecursionError):
        pass
    raise FileUnreadable("paper_made", file=name)


def _made(said: Mapping[str, Any]) -> Made:
    texts = {name: said[name] for name in ("kind", "day", "language", "units", "at")}
    rules = tuple((rule["file"], rule["text"]) for rule in said["rules"])
    photos, versions = dict(said["photos"]), dict(said["versions"])
    known = said["kind"] in ("job", "day")
    plain = (*texts.values(), *sum(rules, ()), *versions.values())
    if not known or not all(isinstance(text, str) for text in plain):
        raise ValueError
    if not all(_SHA256.fullmatch(sha256) for sha256 in (*photos, *photos.values())):
        raise ValueError
    return Made(**texts, rules=rules, photos=photos, versions=versions)

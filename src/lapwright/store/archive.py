"""A whole job as one open file: a zip of JSON Lines, CSV tables and photos.

The same chain gives the same bytes, whoever writes it and when; read into an empty store
it gives the same chain, hash by hash. What a reader needs in 20 years stands in its
``README.txt``.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from typing import IO, Any, BinaryIO

from sqlalchemy import Connection

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.record.canonical import canonical_json
from lapwright.record.chain import Entry
from lapwright.record.fact import read_fact
from lapwright.store.check import Chain, Checked
from lapwright.store.csvtables import write_tables
from lapwright.store.ledger import entry_of, rows_of
from lapwright.store.opening import Store
from lapwright.store.photos import LARGEST, Photos, check_file, file_type
from lapwright.store.zipped import part, put, read_json, unzipped, zipped

FORMAT = "lapwright archive"
VERSION = 1
ENTRIES = "entries.jsonl"
_LONGEST_LINE = 4 * 2**20  # bytes of one entry
_ENDINGS = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp",
             "text/csv": ".csv"}  # fmt: skip


def write_archive(store: Store, *, job: str, file: BinaryIO) -> Checked:
    """Write a job, checking its chain on the way.

    Raises
    ------
    LapwrightError
        ``job_unknown``, ``chain_broken``, ``photo_damaged``.
    """
    with zipped(file) as archive, store.database.reading(snapshot=True) as connection:
        put(archive, "README.txt", files("lapwright.store").joinpath("readme.txt").read_bytes())
        chain = write_entries(archive, connection, job=job)
        if chain.head.seq == 0:
            raise LapwrightError("job_unknown", job=job)
        write_tables(archive, connection, job=job)
        done = chain.checked(write_photos(archive, store.photos, chain.files))
        label = {"format": FORMAT, "version": VERSION, **chain_label(done)}
        put(archive, "archive.json", canonical_json(label))
    return done


def read_archive(
    file: BinaryIO, *, name: str, store: Store | None = None, noted: str = ""
) -> Checked:
    """Check an archive whole and, given a store, keep what it does not have yet.

    Parameters
    ----------
    file : binary file
        As :func:`write_archive` wrote it.
    name : str
        What the person calls it, for the errors.
    store : Store, optional
        Where to keep it. Photos first: a fact never names a photo that was lost here.
    noted : str
        A hash to look for in its chain.

    Raises
    ------
    FileUnreadable
        ``archive_unreadable``, ``archive_version``, ``archive_entry`` (with its line).
    LapwrightError
        ``chain_broken``, ``chain_short``, ``chain_forks``, ``photo_differs`` and what
        :func:`~lapwright.record.fact.read_fact` refuses. No fact is kept then.
    """
    with unzipped(file, name=name) as archive:
        label = read_json(archive, "archive.json", name=name)
        check_label(label, wanted=FORMAT, needs=("job", "entries", "hash"), name=name)
        here = read_photos(archive, None if store is None else store.photos)
        chain = Chain(str(label["job"]), noted=noted)
        entries = read_entries(archive, ENTRIES, chain=chain, name=name)
        keep(whole(entries, chain=chain, label=label), job=chain.head.job, store=store)
    return chain.checked(here)


# --- parts, shared with the backup ------------------------------------------------------------


def write_entries(
    archive: zipfile.ZipFile, connection: Connection, *, job: str, name: str = ENTRIES
) -> Chain:
    """The chain of a job as JSON Lines, checked on the way."""
    chain = Chain(job)
    with (
        archive.open(part(name), "w", force_zip64=True) as lines,
        rows_of(connection, job) as rows,
    ):
        for entry in chain.follow(map(entry_of, rows)):
            lines.write(canonical_json(entry.plain()) + b"\n")
    return chain


def read_entries(
    archive: zipfile.ZipFile, member: str, *, chain: Chain, name: str
) -> Iterator[Entry]:
    """Entries of a JSON Lines file, each checked as a fact and as a link of the chain."""
    try:
        lines = archive.open(member)
    except KeyError:
        raise FileUnreadable("archive_unreadable", file=name) from None
    with lines:
        yield from chain.follow(_entries(lines, name=name))


def write_photos(archive: zipfile.ZipFile, photos: Photos, names: set[str]) -> set[str]:
    """Those of the photos that have come; their names."""
    here = set()
    for sha256 in sorted(names):
        if (content := photos.get(sha256)) is not None:
            ending = _ENDINGS.get(file_type(content) or "", "")
            put(archive, f"photos/{sha256}{ending}", content, stored=True)
            here.add(sha256)
    return here


def read_photos(archive: zipfile.ZipFile, photos: Photos | None) -> set[str]:
    """Photos of the zip, each checked against its name and kept, if there is where."""
    here = set()
    for head in archive.infolist():
        folder, _, name = head.filename.partition("/")
        if folder == "photos" and name:
            sha256 = name.partition(".")[0]
            with archive.open(head) as file:
                content = file.read(LARGEST + 1)
            check_file(sha256, content)
            if photos is not None:
                photos.put(sha256, content)
            here.add(sha256)
    return here


def check_label(label: Mapping[str, Any], *, wanted: str, needs: Sequence[str], name: str) -> None:
    """Refuse what is something else, or written by a later program.

    Raises
    ------
    FileUnreadable
        ``archive_unreadable``, ``archive_version``.
    """
    if label.get("format") != wanted or not label.keys() >= {*needs}:
        raise FileUnreadable("archive_unreadable", file=name)
    if label.get("version") != VERSION:
        found = str(label.get("version"))
        raise FileUnreadable("archive_version", file=name, value=found, known=VERSION)


def chain_label(done: Checked) -> dict[str, Any]:
    """What is said of a chain beside it."""
    head = done.head
    return {"job": head.job, "entries": head.seq, "hash": head.hash, "missing": [*done.missing]}


def whole(entries: Iterator[Entry], *, chain: Chain, label: Mapping[str, Any]) -> Iterator[Entry]:
    """The entries, and at their end whether they are all that the label says.

    Raises
    ------
    LapwrightError
        ``chain_short``.
    """
    yield from entries
    if (chain.head.seq, chain.head.hash) != (label["entries"], label["hash"]):
        raise LapwrightError("chain_short", at=chain.head.seq, job=chain.head.job)


def keep(entries: Iterator[Entry], *, job: str, store: Store | None) -> int:
    """Read the entries to their end, into a store if there is one; how many were new."""
    if store is not None:
        return store.ledger.adopt(job, entries)
    return sum(0 for _ in entries)


def _entries(lines: IO[bytes], *, name: str) -> Iterator[Entry]:
    row = 0
    while line := lines.readline(_LONGEST_LINE):
        row += 1
        try:
            raw = json.loads(line)
            entry = Entry(**{**raw, "fact": read_fact(raw["fact"])})
        except (TypeError, KeyError, ValueError):
            raise FileUnreadable("archive_entry", file=name, row=row) from None
        yield entry

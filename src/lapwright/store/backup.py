"""A whole store as one file, and back, into either database; or straight across.

Every chain is checked on the way, so a backup that was written can be read. It holds
password hashes and open sessions: it is for the safe, an archive is for the owner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, BinaryIO

from sqlalchemy import Connection, Table, select

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.record.canonical import canonical_json
from lapwright.store.archive import (
    chain_label,
    check_label,
    keep,
    read_entries,
    read_photos,
    whole,
    write_entries,
    write_photos,
)
from lapwright.store.check import Chain
from lapwright.store.ledger import entry_of, rows_of
from lapwright.store.opening import Store
from lapwright.store.tables import accounts, devices, heads, invites, sessions
from lapwright.store.zipped import put, read_json, unzipped, zipped

FORMAT = "lapwright backup"
VERSION = 1
PEOPLE = (accounts, devices, sessions, invites)  # each after those it names


@dataclass(frozen=True)
class Copied:
    """How much was copied, or was there already."""

    jobs: int
    entries: int
    photos: int
    accounts: int


def write_backup(store: Store, *, file: BinaryIO) -> Copied:
    """Write everything, as of one moment.

    Raises
    ------
    LapwrightError
        ``chain_broken``, ``photo_damaged``.
    """
    with zipped(file) as archive, store.database.reading(snapshot=True) as connection:
        labels: list[dict[str, Any]] = []
        names = set(store.photos)
        for job in _jobs(connection):
            chain = write_entries(archive, connection, job=job, name=_member(job))
            labels.append(chain_label(chain.checked(names)))
        people = {table.name: _rows(connection, table) for table in PEOPLE}
        put(archive, "people.json", canonical_json(people))
        photos = write_photos(archive, store.photos, names)
        label: dict[str, Any] = {"format": FORMAT, "version": VERSION, "jobs": labels}
        put(archive, "backup.json", canonical_json(label))
    entries = sum(each["entries"] for each in labels)
    return Copied(len(labels), entries, len(photos), len(people["accounts"]))


def read_backup(store: Store, *, file: BinaryIO, name: str) -> Copied:
    """Put a backup into a store; what it has already stays.

    Raises
    ------
    FileUnreadable
        ``archive_unreadable``, ``archive_version``, ``archive_entry``.
    LapwrightError
        ``chain_broken``, ``chain_short``, ``chain_forks``, ``store_has_others``.
        Jobs before the one refused are kept.
    """
    with unzipped(file, name=name) as archive:
        label = read_json(archive, "backup.json", name=name)
        check_label(label, wanted=FORMAT, needs=("jobs",), name=name)
        people = read_json(archive, "people.json", name=name)
        if {table.name for table in PEOPLE} - people.keys():
            raise FileUnreadable("archive_unreadable", file=name)
        _add_people(store, people)
        photos = read_photos(archive, store.photos)
        for each in label["jobs"]:
            job = each["job"]
            chain = Chain(job)
            entries = read_entries(archive, _member(job), chain=chain, name=name)
            keep(whole(entries, chain=chain, label=each), job=job, store=store)
    entries_in_all = sum(each["entries"] for each in label["jobs"])
    return Copied(len(label["jobs"]), entries_in_all, len(photos), len(people["accounts"]))


def move(source: Store, *, target: Store) -> Copied:
    """Copy everything into another store; may be repeated until both are alike.

    Raises
    ------
    LapwrightError
        As :func:`read_backup`.
    """
    with source.database.reading(snapshot=True) as connection:
        people = {table.name: _rows(connection, table) for table in PEOPLE}
        _add_people(target, people)
        photos = [name for name in source.photos if _copied(name, source, target)]
        jobs, count = _jobs(connection), 0
        for job in jobs:
            chain = Chain(job)
            with rows_of(connection, job) as rows:
                target.ledger.adopt(job, chain.follow(map(entry_of, rows)))
            count += chain.head.seq
    return Copied(len(jobs), count, len(photos), len(people["accounts"]))


def _copied(name: str, source: Store, target: Store) -> bool:
    content = source.photos.get(name)
    if content is not None:
        target.photos.put(name, content)
    return content is not None


def _jobs(connection: Connection) -> list[str]:
    return list(connection.scalars(select(heads.c.job).order_by(heads.c.job)))


def _member(job: str) -> str:
    return f"jobs/{job}.jsonl"


def _rows(connection: Connection, table: Table) -> list[dict[str, Any]]:
    rows = connection.execute(select(table).order_by(*table.primary_key))
    return [dict(row._mapping) for row in rows]


def _add_people(store: Store, people: dict[str, list[dict[str, Any]]]) -> None:
    """Rows that are not there yet; a store with other people is left alone."""
    with store.database.writing() as connection:
        ours = {row["id"] for row in people["accounts"]}
        if set(connection.scalars(select(accounts.c.id))) - ours:
            raise LapwrightError("store_has_others")
        for table in PEOPLE:
            (key,) = table.primary_key
            known = set(connection.scalars(select(key)))
            new = [row for row in people[table.name] if row[key.name] not in known]
            if new:
                connection.execute(table.insert(), new)

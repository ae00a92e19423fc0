"""Keeping the record: list and verify it, export and import a job, back up, restore, move."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

import click
from rich.console import Console
from rich.table import Table

from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.cli.paperproof import is_paper, say_paper
from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.record.ids import CREW_CHAIN
from lapwright.report.figures import Reader
from lapwright.store import Store, open_store
from lapwright.store.archive import read_archive, write_archive
from lapwright.store.backup import Copied, move, read_backup, write_backup
from lapwright.store.check import Checked, check_job


@contextmanager
def opened_store(place: str, reader: Reader, *, is_new: bool = False) -> Iterator[Store]:
    """The store, closed at the end; what is refused is said in the reader's words."""
    try:
        if not is_new and "://" not in place and not Path(place).exists():
            raise LapwrightError("store_not_there", place=place)
        store = open_store(place)
        try:
            yield store
        finally:
            store.close()
    except LapwrightError as error:
        raise Refused(error, reader) from None


@contextmanager
def _to_read(file: str) -> Iterator[BinaryIO]:
    try:
        with Path(file).open("rb") as opened:
            yield opened
    except FileNotFoundError:
        raise FileUnreadable("file_missing", file=file) from None
    except OSError as error:
        raise FileUnreadable("file_not_read", file=file, reason=str(error.strerror)) from None


@contextmanager
def to_write(file: str, *, replace: bool | None = None) -> Iterator[BinaryIO]:
    """A new file, readable by its owner; it has its name only when all of it is on disk.

    None where the command has no ``--replace`` to offer.
    """
    path = Path(file)
    if path.exists() and not replace:
        raise FileUnreadable("already_kept" if replace is None else "already_there", file=file)
    part = path.with_name(f"{path.name}.part")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as opened:
            yield opened
            opened.flush()
            os.fsync(opened.fileno())
        part.replace(path)
    except OSError as error:
        raise FileUnreadable("cannot_write", file=file, reason=str(error.strerror)) from None
    finally:
        part.unlink(missing_ok=True)


def _name(store: Store, job: str, reader: Reader) -> str:
    if job == CREW_CHAIN:
        return reader.say("label", "crew_chain")
    return store.ledger.name(job) or "?"


def chosen_job(store: Store, job: str | None) -> str:
    """The job asked for, by its id or the beginning of it; else the only one."""
    jobs = [one for one in store.ledger.jobs() if one != CREW_CHAIN or job == CREW_CHAIN]
    found = [one for one in jobs if one.startswith(job or "")]
    if len(found) != 1:
        raise LapwrightError("job_which", job=job or "-", known=", ".join(jobs) or "-")
    return found[0]


def _say_checked(done: Checked, name: str, reader: Reader) -> None:
    head = done.head
    said = {"name": name, "entries": head.seq, "hash": head.hash, "photos": done.photos}
    click.echo(reader.say("label", "chain_whole", said))
    if done.missing:
        click.echo(reader.say("label", "photos_missing", {"missing": len(done.missing)}))
    if done.unmatched:
        raise LapwrightError("chain_signed", fact=done.unmatched[0], name=name)


def _say_copied(code: str, done: Copied, place: str, reader: Reader) -> None:
    click.echo(reader.say("label", code, {"place": place, **vars(done)}))


@click.command("jobs")
@store_option
@reader_options
def jobs_command(store: str, units: Any, lang: Any) -> None:
    """List the jobs of a store: id, name, entries."""
    reader = Reader(lang, units)
    table = Table(*(reader.say("label", word) for word in ("job_id", "job_name", "entries")))
    with opened_store(store, reader) as opened:
        for job in opened.ledger.jobs():
            name = _name(opened, job, reader)
            table.add_row(job, name, str(opened.ledger.head(job).seq))
    Console().print(table)


@click.command("verify")
@click.argument("files", nargs=-1, type=click.Path())
@click.option("--hash", "noted", default="", help="A hash noted earlier: it must be in a chain.")
@click.option("--trust", type=click.Path(), help="Certificate of who signed a PDF, .pem.")
@store_option
@reader_options
def verify_command(
    files: Sequence[str], noted: str, trust: str | None, store: str, units: Any, lang: Any
) -> None:
    """Read every entry again: was anything changed, added or taken out?

    FILES are archives, or PDFs that closeout wrote; without any, the store is read.
    """
    reader = Reader(lang, units)
    try:
        found = list(_verified(files, noted.strip().lower(), trust, store, reader))
        if noted and not any(found):
            raise LapwrightError("hash_not_there", hash=noted)
    except LapwrightError as error:
        raise Refused(error, reader) from None


def _verified(
    files: Sequence[str], noted: str, trust: str | None, store: str, reader: Reader
) -> Iterator[bool]:
    """Say each chain; whether the noted hash is in it."""
    for file in files:
        if is_paper(file):
            yield say_paper(file, reader, noted=noted, trust=trust).checked.noted_at is not None
            continue
        with _to_read(file) as opened_file:
            done = read_archive(opened_file, name=file, noted=noted)
        _say_checked(done, file, reader)
        yield done.noted_at is not None
    if not files:
        with opened_store(store, reader) as opened:
            for job in opened.ledger.jobs():
                done = check_job(opened, job, noted=noted)
                _say_checked(done, _name(opened, job, reader), reader)
                yield done.noted_at is not None


@click.command("export")
@click.argument("file", type=click.Path())
@click.option("--job", help="Id of the job or the beginning of it; the only one unless said.")
@store_option
@reader_options
def export_command(file: str, job: str | None, store: str, units: Any, lang: Any) -> None:
    """Write a whole job as one open archive: JSON Lines, CSV tables, photos."""
    reader = Reader(lang, units)
    with opened_store(store, reader) as opened:
        chosen = chosen_job(opened, job)
        with to_write(file) as new:
            done = write_archive(opened, job=chosen, file=new)
        _say_checked(done, file, reader)


@click.command("import")
@click.argument("file", type=click.Path())
@store_option
@reader_options
def import_command(file: str, store: str, units: Any, lang: Any) -> None:
    """Read an archive into a store; what it has already stays, a broken chain is refused."""
    reader = Reader(lang, units)
    with opened_store(store, reader, is_new=True) as opened, _to_read(file) as archive:
        done = read_archive(archive, name=file, store=opened)
        _say_checked(done, _name(opened, done.head.job, reader), reader)


@click.command("backup")
@click.argument("file", type=click.Path())
@store_option
@reader_options
def backup_command(file: str, store: str, units: Any, lang: Any) -> None:
    """Write the whole store as one file: every job, photos, accounts. Safe while serving."""
    reader = Reader(lang, units)
    with opened_store(store, reader) as opened:
        with to_write(file) as new:
            done = write_backup(opened, file=new)
        _say_copied("backed_up", done, file, reader)


@click.command("restore")
@click.argument("file", type=click.Path())
@store_option
@reader_options
def restore_command(file: str, store: str, units: Any, lang: Any) -> None:
    """Put a backup into a store, new or of the same chains; may be repeated."""
    reader = Reader(lang, units)
    with opened_store(store, reader, is_new=True) as opened, _to_read(file) as backup:
        done = read_backup(opened, file=backup, name=file)
        _say_copied("restored", done, file, reader)


@click.command("move")
@click.argument("target")
@store_option
@reader_options
def move_command(target: str, store: str, units: Any, lang: Any) -> None:
    """Copy the whole store to TARGET, as from SQLite to postgresql://...; may be repeated."""
    reader = Reader(lang, units)
    with opened_store(store, reader) as source, opened_store(target, reader, is_new=True) as new:
        done = move(source, target=new)
        _say_copied("moved", done, new.database.url.render_as_string(), reader)

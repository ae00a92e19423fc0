"""The facts of a job as tables, one file per kind: to read and to compute with.

They are copies for people. The chain is in the JSON Lines; nothing is read back from here.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Any

from sqlalchemy import Connection

from lapwright.record.canonical import canonical_json
from lapwright.record.cells import as_cell
from lapwright.record.chain import Entry
from lapwright.record.fact import KINDS, WITHDRAWN, Fact, si
from lapwright.record.kinds import Field, Kind
from lapwright.record.replay import Held, Record
from lapwright.store.ledger import entries_of, entry_of, rows_of
from lapwright.store.zipped import part

COMMON = ("id", "at", "entered_at", "by", "entered_by", "device", "note")
_SHOWN = ("seq", "received_at", *COMMON, "corrected", "withdrawn")


def columns(kind: Kind) -> tuple[str, ...]:
    """Names of the columns of a kind's table."""
    names = [*_SHOWN]
    for field in kind.fields:
        if field.type == "measure":
            names += [field.name, f"{field.name}_unit", f"{field.name}_how", f"{field.name}_si"]
        else:
            names.append(field.name)
    return tuple(names)


def write_tables(archive: zipfile.ZipFile, connection: Connection, *, job: str) -> None:
    """Every kind that the job has facts of."""
    held = _corrected(connection, job)
    for kind in KINDS.values():
        with rows_of(connection, job, kind=kind.name) as rows:
            if (first := next(rows, None)) is not None:
                _write_table(archive, kind, map(entry_of, chain([first], rows)), held)


def _write_table(
    archive: zipfile.ZipFile, kind: Kind, entries: Iterable[Entry], held: dict[str, Held]
) -> None:
    with (
        archive.open(part(f"facts/{kind.name}.csv"), "w", force_zip64=True) as raw,
        io.TextIOWrapper(raw, "utf-8", newline="") as text,
    ):
        table = csv.writer(text, lineterminator="\n")
        table.writerow(columns(kind))
        table.writerows(_row(kind, entry, held) for entry in entries)


def _corrected(connection: Connection, job: str) -> dict[str, Held]:
    """Facts that were corrected, as they hold now."""
    with rows_of(connection, job, kind="correction") as rows:
        corrections = [entry_of(row).fact for row in rows]
    touched = sorted({fact["of"] for fact in corrections})
    facts = [entry.fact for entry in entries_of(connection, job, touched).values()]
    return Record([*facts, *corrections]).held


def _row(kind: Kind, entry: Entry, held: dict[str, Held]) -> list[str]:
    fact = entry.fact
    now = held.get(fact.id) or Held(fact, fact)
    fields = {one["field"]: None for one in now.corrections if one["field"] != WITHDRAWN}
    cells = [str(entry.seq), entry.received_at]
    cells += [as_cell(getattr(fact, name)) for name in COMMON]
    cells += [as_cell(" ".join(fields)), "true" if now.is_withdrawn else ""]
    for field in kind.fields:
        cells += _cells(field, fact)
    return cells


def _cells(field: Field, fact: Fact) -> Iterator[str]:
    value: Any = fact[field.name]
    if field.type == "measure":
        exact = si(value)
        yield from ("", "", "") if value is None else (value["typed"], value["unit"], value["how"])
        yield "" if exact is None else repr(exact)
    elif value is None:
        yield ""
    elif field.type in ("refs", "words"):
        yield " ".join(value)
    elif field.type in ("json", "flag", "count"):
        yield canonical_json(value).decode()
    else:
        yield as_cell(value)

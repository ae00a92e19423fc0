"""Rows of facts into a throwaway store by the million, past the ledger.

The ledger is bypassed: every hash is a row of zeros, and the indexes are made after the rows.
What reads facts never looks at the hashes; `check` would refuse such a chain.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from typing import Any

from sqlalchemy import Connection, text

from lapwright.record.chain import NOTHING, Entry
from lapwright.record.fact import read_fact
from lapwright.store import Store
from lapwright.store.ledger import columns_of
from lapwright.store.tables import facts, heads

Line = tuple[Any, ...]  # the columns of the table of facts, in order
COLUMNS = tuple(column.name for column in facts.columns)
_AT_ONCE = 10_000


def line(fact: str, *, job: str, seq: int, id: str, kind: str, at: str, utc: str) -> Line:
    """The row of a fact that is canonical JSON already; account and device are nobody's."""
    return (job, seq, id, kind, utc, at[:10], "bench", "bench", utc, fact, NOTHING, NOTHING)


def check(one: Line) -> None:
    """Refuse a row that the ledger would have written otherwise, but for hash and receipt."""
    row = dict(zip(COLUMNS, one, strict=True))
    fact = read_fact(json.loads(row["fact"]))
    entry = Entry(row["seq"], fact, row["received_at"], NOTHING, NOTHING)
    assert columns_of(entry) == row, one


def pour(store: Store, lines: Iterable[Line], ends: Mapping[str, int]) -> None:
    """Keep rows, then the ends of their chains, then make the indexes anew."""
    with store.database.writing() as connection:
        for index in facts.indexes:
            index.drop(connection)
        _rows(connection, iter(lines), is_sqlite=store.database.is_sqlite)
        for index in facts.indexes:
            index.create(connection)
        connection.execute(
            heads.insert(), [{"job": job, "seq": seq, "hash": NOTHING} for job, seq in ends.items()]
        )
    with store.database.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as now:
        now.execute(text("ANALYZE" if store.database.is_sqlite else "VACUUM ANALYZE facts"))


def _rows(connection: Connection, lines: Iterator[Line], *, is_sqlite: bool) -> None:
    names = ", ".join(f'"{name}"' for name in COLUMNS)
    cursor = connection.connection.cursor()
    if is_sqlite:
        marks = ", ".join("?" * len(COLUMNS))
        cursor.executemany(f"INSERT INTO facts ({names}) VALUES ({marks})", lines)
        return
    with cursor.copy(f"COPY facts ({names}) FROM STDIN") as copy:
        while batch := list(islice(lines, _AT_ONCE)):  # no field here holds a tab or a backslash
            copy.write("".join("\t".join(map(str, one)) + "\n" for one in batch))


def size(store: Store) -> int:
    """Bytes of the table of facts with its indexes."""
    with store.database.reading() as connection:
        if store.database.is_sqlite:
            return int(connection.scalar(text("PRAGMA page_count")) or 0) * int(
                connection.scalar(text("PRAGMA page_size")) or 0
            )
        return int(connection.scalar(text("SELECT pg_total_relation_size('facts')")) or 0)

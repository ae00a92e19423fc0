"""The ledger in tables: one chain per job, one commit per call, receipts after the commit."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Row, Select, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite

from lapwright.errors import LapwrightError
from lapwright.record.chain import NOTHING, Entry, canonical, verify
from lapwright.record.fact import Fact
from lapwright.record.ledger import Head, Receipt, extend
from lapwright.record.replay import Record
from lapwright.store.database import Database
from lapwright.store.tables import facts, heads, utc

_ASKED = 1000  # ids in one query
_PAGE = 5000  # entries held in memory while a chain is read
_ENTRY = (facts.c.seq, facts.c.id, facts.c.received_at, facts.c.fact, facts.c.before, facts.c.hash)


def columns_of(entry: Entry) -> dict[str, Any]:
    """The row of an entry."""
    fact = entry.fact
    return {
        "job": fact.job,
        "seq": entry.seq,
        "id": fact.id,
        "kind": fact.kind,
        "at": utc(fact.moment),
        "day": fact.day,
        "account": fact.entered_by,
        "device": fact.device,
        "received_at": entry.received_at,
        "fact": canonical(fact).decode(),
        "before": entry.before,
        "hash": entry.hash,
    }


def entry_of(row: Row[Any]) -> Entry:
    """The entry of a row.

    Raises
    ------
    LapwrightError
        ``chain_broken``: somebody wrote into the table, this is no fact any more.
    """
    return Entry(row.seq, fact_of(row), row.received_at, row.before, row.hash)


def fact_of(row: Row[Any]) -> Fact:
    """The fact of a row.

    Raises
    ------
    LapwrightError
        ``chain_broken``, as :func:`entry_of`.
    """
    try:
        return Fact(**json.loads(row.fact))
    except (TypeError, ValueError):
        raise LapwrightError("chain_broken", at=row.seq, fact=row.id) from None


class TableLedger:
    """A ledger that several processes and machines may write to at once.

    Parameters
    ----------
    database : Database
        Opened and migrated.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self._insert = sqlite.insert if database.is_sqlite else postgresql.insert

    def append(self, job: str, facts: Sequence[Fact], *, received_at: str) -> list[Receipt]:
        """Keep facts of one job, all or none of the new ones, and say what became of each.

        The row of the job's head is locked from the first read to the commit. When this
        returns, the facts are on disk.
        """
        with self._database.writing() as connection:
            head = self._hold(connection, job)
            had = entries_of(connection, job, [fact.id for fact in facts])
            entries, receipts = extend(head, facts, had, received_at=received_at)
            if entries:
                _write(connection, job, entries)
            elif head.seq == 0:
                connection.rollback()  # a job nobody has facts of leaves no trace
        return receipts

    def since(self, job: str, seq: int = 0, *, limit: int | None = None) -> list[Entry]:
        """Entries of a job after a place in its chain, in order."""
        query = _entries(job).where(facts.c.seq > seq).limit(limit)
        with self._database.reading() as connection:
            return [entry_of(row) for row in connection.execute(query)]

    def adopt(self, job: str, entries: Iterable[Entry]) -> int:
        """Keep entries that another ledger sealed, as they are; how many were new.

        The chain may begin before what is here, as long as it is the same chain.

        Raises
        ------
        LapwrightError
            ``chain_broken``, ``chain_forks``: the chain here went on in another way.
            Nothing is kept then.
        """
        with self._database.writing() as connection:
            first = head = self._hold(connection, job)
            coming = iter(entries)
            while batch := list(islice(coming, _ASKED)):
                new = _unknown(connection, head, batch)
                verify(new, before=head.hash, seq=head.seq)
                if new:
                    _write(connection, job, new)
                    head = Head(job, new[-1].seq, new[-1].hash)
            if head.seq == 0:
                connection.rollback()
        return head.seq - first.seq

    def head(self, job: str) -> Head:
        """End of a job's chain; place 0 when the job is not known."""
        with self._database.reading() as connection:
            return _head(connection, job)

    def jobs(self) -> list[str]:
        """Ids of the jobs that have facts."""
        with self._database.reading() as connection:
            return list(connection.scalars(select(heads.c.job).order_by(heads.c.job)))

    def facts_of_day(self, job: str, day: str) -> list[Fact]:
        """Facts that happened on a day, where it happened, in the order they came.

        As first recorded: a correction stands under the day it was made.
        """
        return self._facts(_entries(job).where(facts.c.day == day))

    def facts_of_kinds(self, job: str, kinds: Sequence[str]) -> list[Fact]:
        """All facts of some kinds, in the order they came."""
        return self._facts(_entries(job).where(facts.c.kind.in_(kinds)))

    def name(self, job: str) -> str | None:
        """What the job is called now; None when no fact says so."""
        named = Record(self.facts_of_kinds(job, ["job", "correction"])).latest("job")
        return None if named is None else str(named["name"])

    def facts_with_ids(self, job: str, ids: Sequence[str]) -> list[Fact]:
        """Those of some facts that are here, in the order they came."""
        with self._database.reading() as connection:
            found = entries_of(connection, job, ids).values()
        return [entry.fact for entry in sorted(found, key=lambda entry: entry.seq)]

    def _facts(self, query: Select[Any]) -> list[Fact]:
        with self._database.reading() as connection:
            return [fact_of(row) for row in connection.execute(query)]

    def _hold(self, connection: Connection, job: str) -> Head:
        """The head, which nobody else can move until the commit."""
        first = self._insert(heads).values(job=job, seq=0, hash=NOTHING).on_conflict_do_nothing()
        connection.execute(first)
        return _head(connection, job, hold=True)


def _head(connection: Connection, job: str, *, hold: bool = False) -> Head:
    query = select(heads).where(heads.c.job == job)
    row = connection.execute(query.with_for_update() if hold else query).one_or_none()
    return Head(job) if row is None else Head(row.job, row.seq, row.hash)


def _entries(job: str) -> Select[Any]:
    return select(*_ENTRY).where(facts.c.job == job).order_by(facts.c.seq)


def entries_of(connection: Connection, job: str, ids: Sequence[str]) -> dict[str, Entry]:
    """Those of the entries with these ids that are here."""
    had: dict[str, Entry] = {}
    for start in range(0, len(ids), _ASKED):
        query = _entries(job).where(facts.c.id.in_(ids[start : start + _ASKED]))
        had |= {row.id: entry_of(row) for row in connection.execute(query)}
    return had


def _unknown(connection: Connection, head: Head, batch: Sequence[Entry]) -> list[Entry]:
    """The entries after the head; those before must be the same that are here."""
    known = [entry for entry in batch if entry.seq <= head.seq]
    if known:
        span = facts.c.seq.between(known[0].seq, known[-1].seq)
        here = {
            row.seq: entry_of(row) for row in connection.execute(_entries(head.job).where(span))
        }
        for entry in known:
            if here.get(entry.seq) != entry:
                raise LapwrightError("chain_forks", at=entry.seq, job=head.job)
    return list(batch[len(known) :])


@contextmanager
def rows_of(
    connection: Connection, job: str, *, kind: str | None = None
) -> Iterator[Iterator[Row[Any]]]:
    """All columns of a job's entries in order, a few thousand in memory at a time."""
    query = select(facts).where(facts.c.job == job).order_by(facts.c.seq)
    if kind is not None:
        query = query.where(facts.c.kind == kind)
    with connection.execute(query, execution_options={"yield_per": _PAGE}) as rows:
        yield iter(rows)


def _write(connection: Connection, job: str, entries: Sequence[Entry]) -> None:
    connection.execute(insert(facts), [columns_of(entry) for entry in entries])
    end = entries[-1]
    connection.execute(update(heads).where(heads.c.job == job).values(seq=end.seq, hash=end.hash))

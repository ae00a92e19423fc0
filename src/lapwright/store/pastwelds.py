"""Every test weld of every job with what was read around it, joined in the database.

The database finds strips, looks, conditions and nozzle of each weld and hands out one row a weld,
some dozens of jobs at a time. A weld that any correction may touch is folded here instead, by
``record``: the database cannot tell whether a field can hold what a correction says. Both ways
give the same rows.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    FromClause,
    Select,
    Subquery,
    Text,
    and_,
    cast,
    column,
    func,
    literal,
    or_,
    select,
    text,
)
from sqlalchemy.dialects.postgresql import JSON

from lapwright.record.fact import KINDS, Fact
from lapwright.record.replay import Record
from lapwright.record.tested import (
    BETWEEN_FACTS,
    BETWEEN_FIELDS,
    LOOKED_FOR,
    PULLED,
    SAID,
    SET_UP,
    Tested,
    TestedJobs,
    each_tested,
)
from lapwright.store.database import Database
from lapwright.store.ledger import fact_of
from lapwright.store.tables import facts, heads

BATCH = 100_000  # facts joined at once, some tens of MB
_MEMORY = "64MB"  # that PostgreSQL may take for a step of the join before it goes to disk
_NAMES = {"strip": "of", "hot_look": "test_weld"}  # field by which each names its weld
_AROUND = ("conditions", "nozzle_setup")  # kinds, and the fields by which a weld names them


def past_welds(database: Database, *, batch: int = BATCH) -> Iterator[TestedJobs]:
    """All test welds of a store as they hold at one moment, job by job.

    Parameters
    ----------
    database : Database
        Opened and migrated.
    batch : int
        Facts to be joined at once; a job is never split.

    Raises
    ------
    LapwrightError
        ``store_unreachable``; ``chain_broken``: a row holds no fact.
    """
    with database.reading(snapshot=True) as connection:
        if not database.is_sqlite:
            connection.execute(text(f"SET LOCAL work_mem = '{_MEMORY}'"))
        for first, last in _spans(connection, batch):
            span = _Span(connection, facts.c.job.between(first, last), database.is_sqlite)
            yield span.tested()


def _spans(connection: Connection, batch: int) -> list[tuple[str, str]]:
    """First and last job of each batch."""
    spans: list[tuple[str, str]] = []
    first, count = "", 0
    for job, seq in connection.execute(select(heads.c.job, heads.c.seq).order_by(heads.c.job)):
        first, count = first or job, count + seq
        if count >= batch:
            spans.append((first, job))
            first, count = "", 0
    return [*spans, (first, job)] if first else spans


@dataclass(frozen=True)
class _Span:
    """Some jobs, and how to ask for their facts."""

    connection: Connection
    jobs: ColumnElement[bool]
    is_sqlite: bool

    def tested(self) -> TestedJobs:
        """Their set-up and their test welds."""
        few = self._facts(facts.c.kind.in_((*SET_UP, "correction")))
        corrections = [fact for fact in few if fact.kind == "correction"]
        touched = self._touched(corrections)
        rows = [Tested._make(row) for row in self.connection.execute(self._joined())]
        kept = [row for row in rows if row.id not in touched] if touched else rows
        if touched:
            for record in _records([*self._around(touched), *corrections]).values():
                kept.extend(each_tested(record))
        return TestedJobs(_records(few), kept)

    def _touched(self, corrections: Sequence[Fact]) -> set[str]:
        """Ids among which are all test welds that read otherwise, perhaps, once corrected.

        What is corrected, what a correction names, and the welds that either belongs to.
        """
        ids = {fact["of"] for fact in corrections}
        news = (fact["new"] for fact in corrections)
        ids |= {new for new in news if isinstance(new, str) and new.isprintable()}
        if ids:
            for fact in self._facts(and_(facts.c.kind.in_(_NAMES), self._among(facts.c.id, ids))):
                ids.add(fact[_NAMES[fact.kind]])
            ids |= self._welds_around(ids)
        return ids

    def _welds_around(self, ids: Collection[str]) -> set[str]:
        """Ids of the welds that name conditions or a nozzle set-up among these ids."""
        if not self._ids(and_(facts.c.kind.in_(_AROUND), self._among(facts.c.id, ids))):
            return set()
        weld = self._fields("test_weld", _AROUND)
        named = or_(*(self._among(weld.c[name], ids) for name in _AROUND))
        return set(self.connection.scalars(select(weld.c.id).where(named)))

    def _around(self, ids: set[str]) -> list[Fact]:
        """The facts among these ids, those that name them, and what these stand on."""
        found = self._facts(self._among(facts.c.id, ids))
        for kind, name in _NAMES.items():
            naming = self._fields(kind, (name,))
            asked = select(naming.c.id).where(self._among(naming.c[name], ids))
            found += self._facts(and_(facts.c.kind == kind, facts.c.id.in_(asked)))
        welds = [fact for fact in found if fact.kind == "test_weld"]
        beside = {fact[name] for fact in welds for name in _AROUND if fact[name]}
        return found + self._facts(self._among(facts.c.id, beside - ids))

    def _facts(self, which: ColumnElement[bool]) -> list[Fact]:
        query: Select[Any] = select(facts.c.seq, facts.c.id, facts.c.fact).where(self.jobs, which)
        return [fact_of(row) for row in self.connection.execute(query)]

    def _ids(self, which: ColumnElement[bool]) -> list[str]:
        return list(self.connection.scalars(select(facts.c.id).where(self.jobs, which)))

    def _among(self, what: ColumnElement[str], ids: Iterable[str]) -> ColumnElement[bool]:
        """Whether a column holds one of some ids, however many: they travel as one text."""
        listed = literal(json.dumps(sorted(ids)), Text)
        if self.is_sqlite:
            return what.in_(select(func.json_each(listed).table_valued("value").c.value))
        return what.in_(select(func.json_array_elements_text(cast(listed, JSON)).column_valued()))

    def _joined(self) -> Select[Any]:
        """One row per test weld, as :class:`Tested`."""
        weld = self._fields("test_weld", ("machine", "pairing", *SAID, *_AROUND))
        sky = self._fields("conditions", ("ambient", "sheet"))
        nozzle = self._fields("nozzle_setup", ("nozzle_width",))
        strips, looks = self._said("strip", PULLED), self._said("hot_look", LOOKED_FOR)
        joined: FromClause = weld
        for other, own, named in (
            (sky, weld.c.conditions, "id"),
            (nozzle, weld.c.nozzle_setup, "id"),
            (strips, weld.c.id, "of"),
            (looks, weld.c.id, "test_weld"),
        ):
            same = and_(other.c.job == weld.c.job, other.c[named] == own)
            joined = joined.outerjoin(other, same)
        return select(
            *(weld.c[name] for name in ("job", "id", "day", "machine", "pairing", *SAID)),
            sky.c.ambient,
            sky.c.sheet,
            nozzle.c.nozzle_width,
            strips.c.said.label("strips"),
            looks.c.said.label("looks"),
        ).select_from(joined)

    def _said(self, kind: str, names: tuple[str, ...]) -> Subquery:
        """What all facts say that name the same weld, as one text."""
        each = self._fields(kind, (_NAMES[kind], *names))
        first, *others = (func.coalesce(each.c[name], "") for name in names)
        said: ColumnElement[str] = first
        for other in others:
            said = said.concat(BETWEEN_FIELDS).concat(other)
        weld = each.c[_NAMES[kind]]
        whole = func.aggregate_strings(said, BETWEEN_FACTS).label("said")
        return select(each.c.job, weld, whole).group_by(each.c.job, weld).subquery()

    def _fields(self, kind: str, names: tuple[str, ...]) -> Subquery:
        """Job, id, day and some fields of all facts of a kind; each text is read once."""
        own = (facts.c.job, facts.c.id, facts.c.day)
        if self.is_sqlite:
            query = select(*own, *(_field(kind, name) for name in names))
        else:
            body = func.json_to_record(cast(facts.c.fact, JSON)["body"])
            read = body.table_valued(*(column(name, Text) for name in names))
            read = read.render_derived(with_types=True)
            query = select(*own, *read.c).select_from(facts.join(read, text("true")))
        return query.where(self.jobs, facts.c.kind == kind).subquery()


def _field(kind: str, name: str) -> ColumnElement[str]:
    """A field in SQLite: text and words bare, all else as JSON, null as nothing."""
    path = f"$.body.{name}"
    if KINDS[kind][name].type in ("text", "word", "ref"):
        return facts.c.fact.op("->>")(path).label(name)
    return func.nullif(facts.c.fact.op("->")(path), "null").label(name)


def _records(facts: Iterable[Fact]) -> dict[str, Record]:
    """A record of each job."""
    by_job: dict[str, list[Fact]] = {}
    for fact in facts:
        by_job.setdefault(fact.job, []).append(fact)
    return {job: Record(own) for job, own in by_job.items()}

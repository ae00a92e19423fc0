"""The tables, the same in both databases.

A fact is kept as its canonical JSON; the columns beside it are copies to find it by, and
``check`` compares them with it. Every key of a fact leads with its job, so that the tables
can be spread over several machines by job.
"""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import BigInteger, Column, ForeignKey, Index, MetaData, String, Table, Text

VERSION = "0001"  # newest migration

metadata = MetaData()

facts = Table(
    "facts",
    metadata,
    Column("job", String(36), primary_key=True),
    Column("seq", BigInteger, primary_key=True, autoincrement=False),
    Column("id", String(36), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("at", String(27), nullable=False),  # when it happened, UTC
    Column("day", String(10), nullable=False),  # where it happened
    Column("account", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("received_at", Text, nullable=False),
    Column("fact", Text, nullable=False),
    Column("before", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
    Index("facts_by_id", "job", "id", unique=True),
    Index("facts_by_day", "job", "day", "seq"),
    Index("facts_by_kind", "job", "kind", "seq"),
)

heads = Table(  # end of each chain; its row is the lock of the job
    "heads",
    metadata,
    Column("job", String(36), primary_key=True),
    Column("seq", BigInteger, nullable=False),
    Column("hash", String(64), nullable=False),
)

accounts = Table(
    "accounts",
    metadata,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False, unique=True),
    Column("role", String(20), nullable=False),
    Column("hash", Text, nullable=False),  # of the password; empty: joins by invite only
    Column("made", String(27), nullable=False),
)

devices = Table(
    "devices",
    metadata,
    Column("id", Text, primary_key=True),
    Column("account", Text, ForeignKey("accounts.id"), nullable=False, index=True),
    Column("name", Text, nullable=False),
    Column("joined", String(27), nullable=False),
    Column("revoked", String(27)),
)

sessions = Table(
    "sessions",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("device", Text, ForeignKey("devices.id"), nullable=False, index=True),
    Column("expires", String(27), nullable=False, index=True),
    Column("csrf", Text, nullable=False),
)

invites = Table(
    "invites",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("role", String(20), nullable=False),
    Column("account", Text, ForeignKey("accounts.id"), nullable=False),
    Column("expires", String(27), nullable=False),
    Column("used", String(27)),
)


def utc(moment: datetime) -> str:
    """A moment as the tables keep it: UTC, to the microsecond, in the order of time.

    Examples
    --------
    >>> utc(datetime.fromisoformat("2026-05-04T07:05:00-06:00"))
    '2026-05-04T13:05:00.000000Z'
    """
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")

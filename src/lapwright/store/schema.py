"""Bringing the tables of a store to the version that this program knows."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, inspect, text

from lapwright.errors import LapwrightError
from lapwright.store.database import Database
from lapwright.store.tables import VERSION

MIGRATIONS = Path(__file__).parent / "migrations"
_LOCK = 0x1A9_0001  # our number among the advisory locks of a PostgreSQL database


def version(connection: Connection) -> str:
    """Newest migration the database has seen; empty for a new one."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return str(connection.scalar(text("SELECT version_num FROM alembic_version")) or "")


def bring_up(database: Database, *, migrate: bool) -> None:
    """Migrate the tables, or refuse those of another version.

    Raises
    ------
    LapwrightError
        ``store_newer``: made by a newer program. ``store_older``: must be migrated, and
        ``migrate`` was not asked.
    """
    with database.reading() as connection:
        found = version(connection)
    if found > VERSION:
        raise LapwrightError("store_newer", found=found, known=VERSION)
    if found < VERSION:
        if not migrate:
            raise LapwrightError("store_older", found=found or "0", known=VERSION)
        with database.writing() as connection:
            if not database.is_sqlite:  # workers that start together migrate one by one
                connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
            _upgrade(connection)


def _upgrade(connection: Connection) -> None:
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext, MigrationStep
    from alembic.script import ScriptDirectory

    script = ScriptDirectory(str(MIGRATIONS))

    def steps(found: Any, _context: object) -> list[MigrationStep]:
        ahead = script.iterate_revisions("head", found or "base")
        return [
            MigrationStep.upgrade_from_script(script.revision_map, each)
            for each in reversed(list(ahead))
        ]

    context = MigrationContext.configure(connection, opts={"fn": steps})
    with Operations.context(context):
        context.run_migrations()

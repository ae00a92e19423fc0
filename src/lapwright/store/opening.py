"""One store: its ledger, its people, its photos."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from lapwright.errors import LapwrightError
from lapwright.store.database import Database, store_url
from lapwright.store.ledger import TableLedger
from lapwright.store.people import People
from lapwright.store.photos import Photos
from lapwright.store.schema import bring_up

PHOTOS = "lapwright-photos"  # folder of a PostgreSQL store, unless said


@dataclass(frozen=True)
class Store:
    """Where facts are kept.

    Parameters
    ----------
    database : Database
        Connections; for this room only.
    ledger : TableLedger
        Facts, in chains.
    people : People
        Accounts, devices, sessions, invites.
    photos : Photos
        Files named by their content.
    """

    database: Database
    ledger: TableLedger
    people: People
    photos: Photos

    def close(self) -> None:
        """Give all connections back."""
        self.database.close()


def open_store(place: str, *, photos: Path | None = None, migrate: bool = True) -> Store:
    """The store at a place, made if there is none.

    Parameters
    ----------
    place : str
        Name of an SQLite file, ``sqlite:///FILE`` or ``postgresql://...``.
    photos : Path, optional
        Folder of the photos. Unless said, ``FILE-photos`` beside an SQLite file, and for
        PostgreSQL what ``LAPWRIGHT_PHOTOS`` says or ``lapwright-photos`` in the current
        folder. Workers of one store must share it.
    migrate : bool
        Bring tables of an older version up to this one.

    Raises
    ------
    LapwrightError
        ``store_address``, ``store_unreachable``, ``store_newer``, ``store_older``.
    """
    database = Database(store_url(place))
    try:
        bring_up(database, migrate=migrate)
    except LapwrightError:
        database.close()
        raise
    if photos is None:
        file = database.file
        if file is None:
            photos = Path(os.environ.get("LAPWRIGHT_PHOTOS") or PHOTOS)
        else:
            photos = file.with_name(f"{file.stem}-photos")
    return Store(database, TableLedger(database), People(database), Photos(photos))

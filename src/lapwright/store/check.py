"""Reading everything again: does each entry still seal the one before, is any photo damaged?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, select

from lapwright.errors import LapwrightError
from lapwright.record.chain import NOTHING, Entry, seal
from lapwright.record.fact import KINDS, Fact
from lapwright.record.ledger import Head
from lapwright.store.ledger import columns_of, entry_of, rows_of
from lapwright.store.opening import Store
from lapwright.store.tables import heads

WITH_FILE = tuple(name for name, kind in KINDS.items() if "file" in kind.names)


@dataclass(frozen=True)
class Checked:
    """A chain that fits, and what stands beside it.

    Parameters
    ----------
    head : Head
        Its end: whoever noted this hash earlier can compare.
    sign_offs : int
        How many people signed.
    unmatched : tuple of str
        Sign-offs that name a hash which is not in the chain before them: it was rewritten
        after somebody signed, or the signer's device saw another chain.
    photos : int
        Files that are here and undamaged.
    missing : tuple of str
        Files that facts name and that have not come.
    noted_at : int, optional
        Place of the hash that somebody noted earlier; None when it is not in the chain.
    """

    head: Head
    sign_offs: int = 0
    unmatched: tuple[str, ...] = ()
    photos: int = 0
    missing: tuple[str, ...] = ()
    noted_at: int | None = None


class Chain:
    """Entries checked one by one, without keeping them.

    Parameters
    ----------
    job : str
        Whose chain it is.
    noted : str
        A hash that somebody noted earlier, to be looked for.
    """

    def __init__(self, job: str, *, noted: str = "") -> None:
        self.head = Head(job)
        self.noted = noted
        self.noted_at: int | None = None
        self.files: set[str] = set()
        self.sign_offs = 0
        self.unmatched: list[str] = []
        self._hashes = {bytes.fromhex(NOTHING)}

    def follow(self, entries: Iterable[Entry]) -> Iterator[Entry]:
        """The entries, each after it was checked.

        Raises
        ------
        LapwrightError
            ``chain_broken``.
        """
        for entry in entries:
            fact, seq = entry.fact, self.head.seq + 1
            whole = seal(fact, seq=seq, received_at=entry.received_at, before=self.head.hash)
            if whole != entry or fact.job != self.head.job:
                raise LapwrightError("chain_broken", at=seq, fact=fact.id)
            if fact.kind == "sign_off":
                self.sign_offs += 1
                if bytes.fromhex(fact["head"]) not in self._hashes:
                    self.unmatched.append(fact.id)
            elif (file := file_of(fact)) is not None:
                self.files.add(file)
            if entry.hash == self.noted:
                self.noted_at = seq
            self._hashes.add(bytes.fromhex(entry.hash))
            self.head = Head(fact.job, seq, entry.hash)
            yield entry

    def checked(self, here: set[str]) -> Checked:
        """What was found, when these files are there and undamaged."""
        return Checked(
            head=self.head,
            sign_offs=self.sign_offs,
            unmatched=tuple(self.unmatched),
            photos=len(here & self.files),
            missing=tuple(sorted(self.files - here)),
            noted_at=self.noted_at,
        )


def file_of(fact: Fact) -> str | None:
    """Name of the file that a fact goes with."""
    return fact["file"] if fact.kind in WITH_FILE else None


def check_job(store: Store, job: str, *, noted: str = "") -> Checked:
    """One chain of a store with its photos, read whole.

    Raises
    ------
    LapwrightError
        ``chain_broken``; ``chain_short``: the entries do not reach the end that
        the ledger noted; ``row_differs``: what a fact is found by is not what it says;
        ``photo_damaged``.
    """
    chain = Chain(job, noted=noted)
    with store.database.reading(snapshot=True) as connection:
        end = connection.execute(select(heads).where(heads.c.job == job)).one_or_none()
        with rows_of(connection, job) as rows:
            for _ in chain.follow(map(_sound, rows)):
                pass
    if end is None or Head(*end) != chain.head:
        raise LapwrightError("chain_short", at=chain.head.seq, job=job)
    here = {name for name in chain.files if store.photos.get(name) is not None}
    return chain.checked(here)


def _sound(row: Row[Any]) -> Entry:
    """The entry of a row whose columns all say the same."""
    entry = entry_of(row)
    try:
        same = columns_of(entry) == dict(row._mapping)
    except (TypeError, ValueError):  # no fact that this program could have written
        same = False
    if not same:
        raise LapwrightError("row_differs", at=row.seq, fact=row.id)
    return entry

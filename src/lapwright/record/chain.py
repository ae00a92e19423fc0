"""One fact behind the other: each entry seals the one before, so a later change shows.

An entry is the fact, where it stands, when the ledger took it, and the hash of the entry
before. Its own hash is SHA-256 over the canonical JSON (RFC 8785) of all that. Whoever holds
the last hash of a job can tell whether anything before it was changed, added or taken out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from lapwright.errors import LapwrightError
from lapwright.record.canonical import canonical_json
from lapwright.record.fact import Fact

NOTHING = "0" * 64  # hash before the first entry


@dataclass(frozen=True)
class Entry:
    """A fact as it stands in the ledger of its job.

    Parameters
    ----------
    seq : int
        Place in the job's chain, from 1.
    fact : Fact
        As it came in.
    received_at : str
        When the ledger took it, by the server's clock. Aware, ISO 8601.
    before : str
        Hash of the entry before; :data:`NOTHING` for the first.
    hash : str
        Hash of this entry.
    """

    seq: int
    fact: Fact
    received_at: str
    before: str
    hash: str

    def plain(self) -> dict[str, Any]:
        """The entry as it travels."""
        return {
            "seq": self.seq,
            "fact": self.fact.plain(),
            "received_at": self.received_at,
            "before": self.before,
            "hash": self.hash,
        }


def canonical(fact: Fact) -> bytes:
    """The bytes of a fact, the same from every writer.

    References
    ----------
    RFC 8785, JSON Canonicalization Scheme, 2020.
    """
    return canonical_json(fact.plain())


def seal(fact: Fact, *, seq: int, received_at: str, before: str) -> Entry:
    """The entry of a fact behind the one whose hash is ``before``."""
    sealed = canonical_json(
        {"seq": seq, "received_at": received_at, "before": before, "fact": fact.plain()}
    )
    return Entry(seq, fact, received_at, before, hashlib.sha256(sealed).hexdigest())


def verify(entries: Iterable[Entry], *, before: str = NOTHING, seq: int = 0) -> str:
    """Hash of the last entry, after checking every one.

    Parameters
    ----------
    entries : iterable of Entry
        In the order of the chain, without gaps.
    before : str
        Hash of the entry before the first of them.
    seq : int
        Its place.

    Returns
    -------
    str
        ``before`` when there are none.

    Raises
    ------
    LapwrightError
        ``chain_broken``: the first place where fact, order or hash do not fit.
    """
    for entry in entries:
        seq += 1
        whole = seal(entry.fact, seq=seq, received_at=entry.received_at, before=before)
        if whole != entry:
            raise LapwrightError("chain_broken", at=seq, fact=entry.fact.id)
        before = entry.hash
    return before

"""What keeps facts must be able to do this; a repeat is a no-op, nothing is ever replaced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from lapwright.record.chain import NOTHING, Entry, canonical, seal
from lapwright.record.fact import Fact


@dataclass(frozen=True)
class Receipt:
    """What became of a fact that was sent.

    Parameters
    ----------
    id : str
        Of the fact, as far as it could be read.
    status : {"kept", "had", "refused"}
        Kept now; had already, the same to the byte; refused.
    seq : int, optional
        Its place in the chain, unless refused.
    code : str
        Error code of a refusal.
    field : str
        Field that was refused, if one was.
    """

    id: str
    status: Literal["kept", "had", "refused"]
    seq: int | None = None
    code: str = ""
    field: str = ""


@dataclass(frozen=True)
class Head:
    """End of a job's chain."""

    job: str
    seq: int = 0
    hash: str = NOTHING


class Ledger(Protocol):
    """Facts by job, in chains."""

    def append(self, job: str, facts: Sequence[Fact], *, received_at: str) -> list[Receipt]:
        """Keep facts of one job, all or none of the new ones, and say what became of each."""
        ...

    def since(self, job: str, seq: int = 0, *, limit: int | None = None) -> list[Entry]:
        """Entries of a job after a place in its chain, in order."""
        ...

    def head(self, job: str) -> Head:
        """End of a job's chain; place 0 when the job is not known."""
        ...

    def jobs(self) -> list[str]:
        """Ids of the jobs that have facts."""
        ...


def extend(
    head: Head, facts: Sequence[Fact], had: dict[str, Entry], *, received_at: str
) -> tuple[list[Entry], list[Receipt]]:
    """New entries behind ``head`` and the receipt of every fact.

    Parameters
    ----------
    head : Head
        End of the chain, held fast by the caller.
    facts : sequence of Fact
        Of the head's job, in the order they came.
    had : dict
        Entries with the ids of ``facts`` that the chain already holds.
    received_at : str
        Clock of the ledger.

    Notes
    -----
    The same fact again is "had". Another fact under a known id is refused
    (``fact_differs``): the first stays, a change is a correction.
    """
    entries: list[Entry] = []
    receipts: list[Receipt] = []
    known = dict(had)
    seq, before = head.seq, head.hash
    for fact in facts:
        entry = known.get(fact.id)
        if fact.job != head.job:
            receipts.append(Receipt(fact.id, "refused", code="fact_other_job", field="job"))
        elif entry is None:
            seq += 1
            entry = seal(fact, seq=seq, received_at=received_at, before=before)
            before, known[fact.id] = entry.hash, entry
            entries.append(entry)
            receipts.append(Receipt(fact.id, "kept", seq))
        elif canonical(entry.fact) == canonical(fact):
            receipts.append(Receipt(fact.id, "had", entry.seq))
        else:
            receipts.append(Receipt(fact.id, "refused", code="fact_differs", field="id"))
    return entries, receipts


class ListLedger:
    """A ledger in memory: for tests, and for a record read from a file."""

    def __init__(self) -> None:
        self.chains: dict[str, list[Entry]] = {}

    def append(self, job: str, facts: Sequence[Fact], *, received_at: str) -> list[Receipt]:
        """Keep facts of one job."""
        chain = self.chains.get(job, [])
        had = {entry.fact.id: entry for entry in chain}
        entries, receipts = extend(self.head(job), facts, had, received_at=received_at)
        if entries:
            self.chains[job] = [*chain, *entries]
        return receipts

    def since(self, job: str, seq: int = 0, *, limit: int | None = None) -> list[Entry]:
        """Entries after a place in the chain."""
        return self.chains.get(job, [])[seq:][:limit]

    def head(self, job: str) -> Head:
        """End of the chain."""
        chain = self.chains.get(job)
        return Head(job, chain[-1].seq, chain[-1].hash) if chain else Head(job)

    def jobs(self) -> list[str]:
        """Jobs that have facts."""
        return sorted(self.chains)

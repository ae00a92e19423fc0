"""The record of a job as it holds now, kept in memory as long as nothing new has come."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from threading import Lock

from lapwright.errors import LapwrightError
from lapwright.record.fact import Fact
from lapwright.record.ledger import Head, Ledger
from lapwright.record.replay import Record

_JOBS = 4  # kept in each worker; a crew works on one


@dataclass(frozen=True)
class _Known:
    head: Head
    facts: tuple[Fact, ...]
    record: Record


@dataclass
class Records:
    """Records by job, read from the ledger and followed from there.

    Parameters
    ----------
    ledger : Ledger
        Other workers write to it too, so its head is asked every time.
    """

    ledger: Ledger
    _known: OrderedDict[str, _Known] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def of(self, job: str) -> Record:
        """All facts of a job as they hold.

        Raises
        ------
        LapwrightError
            ``not_found``: no such job.
        """
        with self._lock:
            known = self._known.pop(job, None) or _Known(Head(job), (), Record(()))
            entries = self.ledger.since(job, known.head.seq)
            if entries and entries[0].before != known.head.hash:  # another store lies here now
                known, entries = _Known(Head(job), (), Record(())), self.ledger.since(job)
            if entries:
                facts = (*known.facts, *(entry.fact for entry in entries))
                end = entries[-1]
                known = _Known(Head(job, end.seq, end.hash), facts, Record(facts))
            if known.head.seq == 0:
                raise LapwrightError("not_found")
            self._known[job] = known
            while len(self._known) > _JOBS:
                self._known.popitem(last=False)
            return known.record

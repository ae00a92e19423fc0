"""Closing a day or a job: is every planned foot covered, tested, probed, repaired, and who signed?

It joins what other files work out and computes no weld: each part is there once, as it stands at
one moment, so that the paper, the figures and the phone cannot say different things.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from lapwright.job.chances import Chances
from lapwright.job.changed import Change, changes
from lapwright.job.closingcounts import Counted, counted
from lapwright.job.closingday import ClosedDay, Tested, Tester, closed_days
from lapwright.job.crewday import CrewDay, as_of, crew_days
from lapwright.job.planned import planned_seams
from lapwright.job.rules import RuleBook
from lapwright.job.testing import limits_of
from lapwright.proof.suspect import Suspicion, suspicions
from lapwright.proof.trace import STATES, State, Stretch, Trace
from lapwright.record.chain import NOTHING, Entry
from lapwright.record.fact import Fact
from lapwright.record.ledger import Head
from lapwright.record.replay import Record, by_field
from lapwright.roof.station import Span, cover, total, union


@dataclass(frozen=True)
class Sums:
    """Seam in metres, by what is proved about it.

    Parameters
    ----------
    length : float
        All of it, planned or welded. [m]
    states : dict
        By what is lacking; a foot may lack several things. [m]
    proved : float
        Nothing is lacking; whether a doubt lies over it is not asked here. [m]
    """

    length: float
    states: dict[State, float]
    proved: float

    @property
    def welded(self) -> float:
        """Seam that a run lies on. [m]"""
        return self.length - self.states["bare"]

    @property
    def backed(self) -> float:
        """Welded, and a valid test weld stands behind it. [m]"""
        return self.welded - self.states["orphan"]

    @property
    def probed(self) -> float:
        """Welded, and probed once cool. [m]"""
        return self.welded - self.states["unprobed"]


def sums(stretches: Iterable[Stretch]) -> Sums:
    """What some stretches come to."""
    length = proved = 0.0
    states: dict[State, float] = dict.fromkeys(STATES, 0.0)
    for stretch in stretches:
        length += stretch.span.length
        if not stretch.states:
            proved += stretch.span.length
        for state in stretch.states:
            states[state] += stretch.span.length
    return Sums(length, states, proved)


@dataclass(frozen=True)
class Signed:
    """A sign-off, and whether the chain still holds what the signer saw.

    Parameters
    ----------
    fact : Fact
        The sign-off.
    seq : int or None
        Place of the signed head in the chain, 0 for an empty one; None when it is not before the
        sign-off, or when there was no chain to compare with.
    is_compared : bool
        There was one.
    """

    fact: Fact
    seq: int | None
    is_compared: bool


@dataclass(frozen=True)
class Closeout:
    """A job, or one day of it, with everything that a close-out has to say.

    Parameters
    ----------
    record : Record
        As it stood at ``at``.
    rules : RuleBook
        By which it was judged.
    at : datetime
        The moment.
    head : Head or None
        End of the chain; None when only facts were given.
    day : str or None
        The one day asked for; None for the whole job.
    planned : float or None
        Seam of the plan; None without one. [m]
    sums : Sums
        Of the whole job, or of what the day welded. [m]
    days : tuple of ClosedDay
        Those asked for, in order.
    work : CrewDay
        What is open in the whole job.
    cuts : tuple of Tested
        Of the whole job, by time.
    doubts : tuple of Suspicion
        What failures put in doubt, bounded or not.
    changes : tuple of Change
        Corrections and what was taken back.
    signed : tuple of Signed
        Sign-offs by time.
    photos : mapping
        Photos by the fact they show.
    """

    record: Record
    rules: RuleBook
    at: datetime
    head: Head | None
    day: str | None
    planned: float | None
    sums: Sums
    days: tuple[ClosedDay, ...]
    work: CrewDay
    cuts: tuple[Tested, ...]
    doubts: tuple[Suspicion, ...]
    changes: tuple[Change, ...]
    signed: tuple[Signed, ...]
    photos: Mapping[str, tuple[Fact, ...]]

    @cached_property
    def counted(self) -> Counted:
        """What counting proves; a day's sheet does not ask."""
        tester = Tester(self.record, limits_of(self.rules))
        return counted(self.record, self.work, tester, cuts=self.cuts)

    @property
    def trace(self) -> Trace:
        """Every foot of the job."""
        return self.work.trace

    @property
    def open_doubts(self) -> tuple[Suspicion, ...]:
        """Failures that passing evidence does not bound yet, or whose feet are not covered."""
        return tuple(each for each in self.doubts if not each.is_closed)

    @property
    def doubtful(self) -> dict[str, tuple[Span, ...]]:
        """Where an open doubt lies over the days asked for, by seam. [m]"""
        spans: dict[str, list[Span]] = {}
        for each in (one for doubt in self.open_doubts for one in doubt.spans):
            if self.day in (None, each.run.run.day):
                spans.setdefault(each.seam, []).append(each.span)
        return {seam: union(found) for seam, found in spans.items()}

    @property
    def suspect(self) -> float:
        """Seam of the days asked for that an open doubt lies over. [m]"""
        return sum((total(spans) for spans in self.doubtful.values()), 0.0)

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """Those asked for, by seam and station."""
        return tuple(self.trace) if self.day is None else self.work.stretches

    @property
    def proved(self) -> float:
        """Seam that lacks nothing and that no open doubt lies over. [m]"""
        doubtful = self.doubtful
        over = sum(
            total(cover(doubtful[each.seam], within=[each.span]))
            for each in self.stretches
            if each.seam in doubtful and not each.states
        )
        return self.sums.proved - over

    @property
    def open(self) -> dict[str, float]:
        """What is left: lengths [m] by what lacks, ``suspect``, then counts; zeros are left out."""
        left: dict[str, float] = {
            **{str(state): length for state, length in self.sums.states.items()},
            "suspect": self.suspect,
            "doubts": len(self.open_doubts),
            "running": len(self.trace.running),
            "open_defects": len(self.work.open_defects),
            "open_joints": len(self.work.open_joints),
            "unfinished_test_welds": sum(len(day.work.unfinished) for day in self.days),
            "missing_fields": sum(len(day.work.missing) for day in self.days),
        }
        return {name: value for name, value in left.items() if value > 0}


def close_out(
    record: Record,
    *,
    at: datetime,
    rules: RuleBook,
    day: str | None = None,
    chances: Chances | None = None,
    entries: Sequence[Entry] = (),
) -> Closeout:
    """A job or a day as it stands, for the paper that hands it over.

    Parameters
    ----------
    record : Record
        All facts of the job.
    at : datetime
        The moment; later facts do not count. Aware.
    rules : RuleBook
        The job's, merged with the defaults.
    day : str, optional
        Only this day; the whole job unless said.
    chances : Chances, optional
        As for :func:`~lapwright.job.crewday.crew_day`.
    entries : sequence of Entry
        The chain, to compare what was signed; without it nothing is compared.
    """
    works = crew_days(record, at=at, rules=rules, chances=chances)
    now = as_of(record, at)
    limits = limits_of(rules)
    tester = Tester(now, limits)
    asked = [work for work in works if day in (None, work.day)]
    if not asked:
        asked = list(crew_days(record, at=at, rules=rules, days=[day or ""], chances=chances))
    plan = planned_seams(now)
    cuts = tuple(tester.of(cut) for cut in now.all("cut"))
    return Closeout(
        record=now,
        rules=rules,
        at=at,
        head=Head(entries[-1].fact.job, entries[-1].seq, entries[-1].hash) if entries else None,
        day=day,
        planned=sum(total(spans) for spans in plan.values()) if plan else None,
        sums=sums(asked[0].trace if day is None else asked[0].stretches),
        days=closed_days(now, asked, tester),
        work=asked[-1],
        cuts=cuts,
        doubts=suspicions(now, limits),
        changes=changes(now),
        signed=_signed(now, entries),
        photos={of: tuple(own) for of, own in by_field(now.all("photo"), "of").items()},
    )


def _signed(record: Record, entries: Sequence[Entry]) -> tuple[Signed, ...]:
    """A head counts only where it stands before the sign-off itself."""
    places = {NOTHING: 0} | {entry.hash: entry.seq for entry in entries}
    own = {entry.fact.id: entry.seq for entry in entries if entry.fact.kind == "sign_off"}
    found = []
    for fact in record.all("sign_off"):
        seq, mine = places.get(fact["head"]), own.get(fact.id)
        is_before = seq is not None and mine is not None and seq < mine
        found.append(Signed(fact, seq if is_before else None, mine is not None))
    return tuple(found)

"""When something fails: which feet are in doubt, until passing evidence bounds them.

Suspect are the feet of the same chain between the last passing and the next passing evidence,
in the order they were welded. A failed cut contradicts the test weld before it: that test then
clears nothing beyond its own strips, and only a passing cut bounds the doubt more closely.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from lapwright.errors import LapwrightError
from lapwright.proof.chains import Chain, Chains
from lapwright.proof.probing import mended, span_of
from lapwright.proof.runs import Welded, by_seam, welded_runs
from lapwright.proof.strand import Evidence, EvidenceOf, Strand, strands
from lapwright.proof.verdicts import Limits, Results
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.roof.station import FOOT, Span, cover, subtract, total, union

POSITION_ERROR = FOOT  # m; added to both ends of what is suspect; our choice

WhySister = Literal["generator", "weather"]


@dataclass(frozen=True)
class SuspectSpan:
    """Feet of one run in doubt."""

    run: Welded
    span: Span

    @property
    def seam(self) -> str:
        """Id of the seam."""
        return self.run.seam


@dataclass(frozen=True)
class Sister:
    """Another chain at work at the same time: look at it, it is not suspect."""

    chain: Chain
    why: WhySister
    length: float


@dataclass(frozen=True)
class Suspicion:
    """The feet that one failure puts in doubt.

    Parameters
    ----------
    failure : Fact
        The failed test weld, cut or bond defect.
    chain : Chain
        Who welded.
    failed : tuple of Evidence
        All that failed between the two passes, in the order of welding.
    since, until : Evidence or None
        The last passing evidence before, the first after; None where there is none yet.
    start, end : float
        The doubt in the order of welding. [m]
    spans : tuple of SuspectSpan
        On the roof, a foot longer at each end; without feet that another run covers or that a
        closed repair lies over.
    sisters : tuple of Sister
        Other chains to look at.
    """

    failure: Fact
    chain: Chain
    failed: tuple[Evidence, ...]
    since: Evidence | None
    until: Evidence | None
    start: float
    end: float
    spans: tuple[SuspectSpan, ...]
    sisters: tuple[Sister, ...]

    @property
    def is_bounded(self) -> bool:
        """Passing evidence on both sides."""
        return self.since is not None and self.until is not None

    @property
    def is_closed(self) -> bool:
        """Bounded, and nothing left between that is not covered."""
        return self.is_bounded and not self.spans

    @property
    def length(self) -> float:
        """Suspect seam, the error of its ends included. [m]"""
        return sum((each.span.length for each in self.spans), 0.0)

    @property
    def proven_bad(self) -> float:
        """Seam that failed cuts and bond defects lie in, as far as it is not covered. [m]"""
        bad: dict[str, list[Span]] = {}
        for each in self.failed:
            if each.is_cut:
                bad.setdefault(each.fact["seam"], []).append(span_of(each.fact))
        doubtful = {
            seam: cover(spans, within=[each.span for each in self.spans if each.seam == seam])
            for seam, spans in bad.items()
        }
        return sum((total(spans) for spans in doubtful.values()), 0.0)


def suspicions(record: Record, limits: Limits) -> tuple[Suspicion, ...]:
    """Every doubt that the record holds, closed ones last, the most feet first.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    limits : Limits
        What the rules ask of strips.

    Returns
    -------
    tuple of Suspicion
        Failures between the same two passes are one doubt.
    """
    work = _Work(record, limits)
    found: list[Suspicion] = []
    for strand in work.strands.values():
        told, seen = work.evidence.of(strand), set[str]()
        for failure in (each for each in told if each.said == "failed"):
            if failure.fact.id not in seen:
                suspicion = work.suspect(failure, told, strand)
                seen.update(each.fact.id for each in suspicion.failed)
                found.append(suspicion)
    found = [each for each in found if each.start < each.end]
    return tuple(sorted(found, key=lambda each: (each.is_closed, -each.length, each.failure.id)))


def suspect(record: Record, failure: str, limits: Limits) -> Suspicion:
    """The doubt that one failed test weld, cut or bond defect raises.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    failure : str
        Id of the fact.
    limits : Limits
        What the rules ask of strips.

    Raises
    ------
    LapwrightError
        ``not_a_failure``: it did not fail, was a trial, or lies on no weld.
    """
    work = _Work(record, limits)
    for strand in work.strands.values():
        told = work.evidence.of(strand)
        for each in told:
            if each.fact.id == failure and each.said == "failed":
                return work.suspect(each, told, strand)
    raise LapwrightError("not_a_failure", fact=failure)


class _Work:
    """One pass over the record for all doubts."""

    def __init__(self, record: Record, limits: Limits) -> None:
        self.record, self.chains = record, Chains(record)
        self.runs = welded_runs(record)
        self.seams = by_seam(self.runs)
        self.strands = strands(self.runs, self.chains)
        results = Results(record, limits)
        self.evidence = EvidenceOf(record, results, self.chains, self.runs)
        self.closed: dict[str, list[Span]] = {}
        for each in mended(record, limits).values():
            if not each.is_open:
                self.closed.setdefault(each.defect["seam"], []).append(span_of(each.defect))

    def suspect(self, failure: Evidence, told: Sequence[Evidence], strand: Strand) -> Suspicion:
        since, until = _bounds(failure, told)
        start = 0.0 if since is None else since.past  # its own feet are proved
        end = strand.length if until is None else until.along
        spans = tuple(self._on_the_roof(strand, start, end))
        return Suspicion(
            failure=failure.fact,
            chain=strand.chain,
            failed=tuple(each for each in told if _is_within(each, since, until)),
            since=since,
            until=until,
            start=start,
            end=end,
            spans=spans,
            sisters=tuple(self._sisters(strand.chain, [each.run for each in spans])),
        )

    def _on_the_roof(self, strand: Strand, start: float, end: float) -> Iterator[SuspectSpan]:
        """Feet of each run, a little longer where the doubt ends, less what lies over them."""
        doubtful = strand.spans(start, end)
        seams: dict[str, list[Span]] = {}
        for run, span in doubtful:
            seams.setdefault(run.seam, []).append(span)
        ends = {
            (name, station)
            for name, spans in seams.items()
            for whole in union(spans)
            for station in (whole.start, whole.end)
        }
        for run, span in doubtful:
            before, past = (
                POSITION_ERROR if (run.seam, station) in ends else 0.0
                for station in (span.start, span.end)
            )
            wider = Span(span.start - before, span.end + past)
            lain = [(each, each.span) for each in self.seams[run.seam] if each.span is not None]
            over = [own for each, own in lain if each.began > run.began]
            closed = self.closed.get(run.seam, [])
            welded = cover([wider], within=[own for _, own in lain])
            for left in subtract(welded, [*over, *closed]):
                yield SuspectSpan(run, left)

    def _sisters(self, chain: Chain, runs: Sequence[Welded]) -> Iterator[Sister]:
        """Other chains that welded while the doubtful feet were welded."""
        if not runs:
            return
        began, ended = min(run.began for run in runs), max(run.ended for run in runs)
        for other, strand in self.strands.items():
            length = strand.along_at(ended) - strand.along_at(began)
            if other != chain and length > 0:
                same = self._source(other) is not None and self._source(other) == self._source(
                    chain
                )
                yield Sister(other, "generator" if same else "weather", length)

    def _source(self, chain: Chain) -> str | None:
        power = self.record.get(chain.power_setup)
        return None if power is None else str(power["source"])


def _bounds(failure: Evidence, told: Sequence[Evidence]) -> tuple[Evidence | None, Evidence | None]:
    """The passing evidence before and after, in the order of welding."""
    passed = [each for each in told if each.said == "passed"]
    before = [each for each in passed if each.welded < failure.welded]
    after = [each for each in passed if each.welded > failure.welded]
    return before[-1] if before else None, after[0] if after else None


def _is_within(each: Evidence, since: Evidence | None, until: Evidence | None) -> bool:
    is_after = since is None or each.welded > since.welded
    return each.said == "failed" and is_after and (until is None or each.welded < until.welded)

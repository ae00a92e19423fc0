"""The feet of one chain in the order they were welded, as if they were one seam.

What goes wrong goes wrong in time: a cord, a cloud, a restart. So evidence is ordered by when a
foot was welded and not by where it lies.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from lapwright.proof.chains import Chain, Chains
from lapwright.proof.probing import span_of
from lapwright.proof.runs import Welded, by_seam, run_over
from lapwright.proof.verdicts import Results, is_trial
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.roof.station import Span

Said = Literal["passed", "failed"]
BOND_DEFECTS = ("cold_weld", "false_weld")


@dataclass(frozen=True)
class Evidence:
    """A test weld or cut that says something of a bond.

    Parameters
    ----------
    fact : Fact
        The test weld or cut.
    said : {"passed", "failed"}
        What it says.
    welded : datetime
        When the feet it was taken from were welded.
    along, past : float
        Where that begins and ends in the order of welding; one place for a test weld. [m]
    """

    fact: Fact
    said: Said
    welded: datetime
    along: float
    past: float

    @property
    def is_cut(self) -> bool:
        """Taken from the seam itself, not beside it."""
        return self.fact.kind != "test_weld"


@dataclass(frozen=True)
class Place:
    """A place on the roof."""

    seam: str
    station: float


class Strand:
    """The runs of one chain, laid end to end in the order they were welded.

    Parameters
    ----------
    chain : Chain
        Who welded with what.
    runs : iterable of Welded
        Of that chain; those that have not ended are left out.
    """

    def __init__(self, chain: Chain, runs: Iterable[Welded]) -> None:
        self.chain = chain
        self.runs = sorted((r for r in runs if r.span is not None), key=lambda r: r.began)
        self._starts: list[float] = []
        self.length = 0.0
        for run in self.runs:
            self._starts.append(self.length)
            self.length += run.length

    def along_at(self, moment: datetime) -> float:
        """How much the chain had welded by a moment. [m]"""
        place = bisect_right(self.runs, moment, key=lambda run: run.began) - 1
        if place < 0:
            return 0.0
        run = self.runs[place]
        return self._starts[place] + abs(run.station_at(moment) - run.first)

    def along_of(self, run: Welded, station: float) -> float:
        """Where a station of one of its runs lies in the order of welding. [m]"""
        place = next(n for n, own in enumerate(self.runs) if own.run.id == run.run.id)
        return self._starts[place] + min(abs(station - run.first), run.length)

    def place(self, along: float) -> Place | None:
        """The place on the roof; None where nothing was welded."""
        if not self.runs or not 0.0 <= along <= self.length:
            return None
        number = max(bisect_right(self._starts, along) - 1, 0)
        run, rest = self.runs[number], along - self._starts[number]
        ahead = 1.0 if run.last > run.first else -1.0
        return Place(run.seam, run.first + ahead * rest)

    def spans(self, start: float, end: float) -> list[tuple[Welded, Span]]:
        """Feet of the roof between two places in the order of welding. [m]"""
        found: list[tuple[Welded, Span]] = []
        for run, at in zip(self.runs, self._starts, strict=True):
            low, high = max(start, at), min(end, at + run.length)
            if low < high:
                ahead = 1.0 if run.last > run.first else -1.0
                ends = sorted(run.first + ahead * (place - at) for place in (low, high))
                found.append((run, Span(*ends)))
        return found


def strands(runs: Sequence[Welded], chains: Chains) -> dict[Chain, Strand]:
    """The strand of every chain that has runs."""
    own: dict[Chain, list[Welded]] = {}
    for run in runs:
        own.setdefault(chains.of(run.run), []).append(run)
    return {chain: Strand(chain, found) for chain, found in own.items()}


class EvidenceOf:
    """What the test welds and cuts of a record say of each strand.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    results : Results
        Verdicts of the same record.
    chains : Chains
        Of the same record.
    runs : sequence of Welded
        Of the same record.

    Notes
    -----
    A trial that only sought the window says nothing against the seam when it fails. A bond
    defect that somebody found (cold or false weld) counts as a failed cut. Probing is no
    evidence of a bond.
    """

    def __init__(
        self, record: Record, results: Results, chains: Chains, runs: Sequence[Welded]
    ) -> None:
        self._chains, self._seams = chains, by_seam(runs)
        self._welds = [
            (weld, said)
            for weld in record.all("test_weld")
            if (said := _said(results.of(weld).verdict)) == "passed"
            or (said == "failed" and not is_trial(weld))
        ]
        self._cuts = [
            (cut, said) for cut in record.all("cut") if (said := _said(results.of(cut).verdict))
        ]
        self._cuts += [
            (defect, "failed") for defect in record.all("defect") if defect["type"] in BOND_DEFECTS
        ]

    def of(self, strand: Strand) -> list[Evidence]:
        """Evidence of one strand, in the order of welding."""
        found = [
            Evidence(weld, said, weld.moment, at, at)
            for weld, said in self._welds
            if self._chains.of(weld) == strand.chain
            for at in [strand.along_at(weld.moment)]
        ]
        for cut, said in self._cuts:
            run, station = self.under(cut)
            if run is not None and self._chains.of(run.run) == strand.chain:
                ends = sorted(strand.along_of(run, at) for at in (station, span_of(cut).end))
                found.append(Evidence(cut, said, run.welded_at(station), *ends))
        return sorted(found, key=lambda each: (each.welded, each.fact.id))

    def under(self, fact: Fact) -> tuple[Welded | None, float]:
        """The run that a cut or defect lies in, and its station. [m]"""
        station = si(fact["station"]) or 0.0
        runs = self._seams.get(fact["seam"], ())
        return run_over(runs, station=station, at=fact.moment), station


def _said(verdict: str) -> Said | None:
    return "passed" if verdict == "passed" else "failed" if verdict == "failed" else None

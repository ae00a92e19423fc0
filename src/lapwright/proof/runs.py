"""Runs as they lie on the seams: from where to where, from when to when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record
from lapwright.roof.station import Span


@dataclass(frozen=True)
class Welded:
    """One pass of a machine along a seam.

    Parameters
    ----------
    run : Fact
        As it began.
    end : Fact or None
        As it ended; None while it runs, or when nobody said.
    first, last : float
        Stations where it began and ended, in the direction it ran; equal while it runs. [m]
    began, ended : datetime
        Moments; equal while it runs.
    """

    run: Fact
    end: Fact | None
    first: float
    last: float
    began: datetime
    ended: datetime

    @property
    def seam(self) -> str:
        """Id of the seam."""
        return str(self.run["seam"])

    @cached_property
    def span(self) -> Span | None:
        """The feet welded; None while nobody knows how far it went."""
        if self.first == self.last:
            return None
        return Span(min(self.first, self.last), max(self.first, self.last))

    @property
    def length(self) -> float:
        """Seam welded. [m]"""
        return abs(self.last - self.first)

    def station_at(self, moment: datetime) -> float:
        """Where the machine was at a moment of the run, at even speed. [m]"""
        whole = (self.ended - self.began).total_seconds()
        if whole <= 0:
            return self.last if moment >= self.ended else self.first
        share = (moment - self.began).total_seconds() / whole
        return self.first + min(max(share, 0.0), 1.0) * (self.last - self.first)

    def welded_at(self, station: float) -> datetime:
        """When a station of the run was welded, at even speed."""
        if self.first == self.last:
            return self.ended
        share = (station - self.first) / (self.last - self.first)
        whole = (self.ended - self.began).total_seconds()
        return self.began + timedelta(seconds=min(max(share, 0.0), 1.0) * whole)


def welded_runs(record: Record) -> list[Welded]:
    """Every run with its end, in the order they began.

    Notes
    -----
    Of two ends of one run the later counts. An end before the beginning is a clock that is
    off: the run then takes no time.
    """
    ends = {end["run"]: end for end in record.all("run_end")}
    return [_welded(run, ends.get(run.id)) for run in record.all("run")]


def _welded(run: Fact, end: Fact | None) -> Welded:
    first = si(run["station"]) or 0.0
    last = first if end is None else si(end["station"]) or 0.0
    began = run.moment
    ended = began if end is None else max(began, end.moment)
    return Welded(run, end, first, last, began, ended)


def by_seam(runs: Iterable[Welded]) -> dict[str, list[Welded]]:
    """Runs of each seam, in the order they began: the last lies on top."""
    seams: dict[str, list[Welded]] = {}
    for run in runs:
        seams.setdefault(run.seam, []).append(run)
    return seams


def run_over(runs: Iterable[Welded], *, station: float, at: datetime) -> Welded | None:
    """The run that lay on top at a station of its seam at a moment; None for bare lap."""
    return max(
        (run for run in runs if run.span is not None and run.span.has(station) and run.began <= at),
        key=lambda run: run.began,
        default=None,
    )

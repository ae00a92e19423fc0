"""Probe, defect, repair, T-joint: what is still to be looked at, and what is still open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from lapwright.job.rules import RuleBook
from lapwright.job.testing import limits_of
from lapwright.proof.probing import Mended, mended
from lapwright.proof.runs import Welded
from lapwright.proof.trace import Stretch, Trace
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.roof.station import Span, union

WhyJointOpen = Literal["not_made", "not_creased", "not_patched", "not_probed", "defects"]


@dataclass(frozen=True)
class ToProbe:
    """Seam to walk with the probe.

    Parameters
    ----------
    seam : str
        Its id.
    span : Span
        From station to station. [m]
    welded : datetime
        When its oldest foot was welded.
    cool_at : datetime
        When its last foot may be probed.
    """

    seam: str
    span: Span
    welded: datetime
    cool_at: datetime


@dataclass(frozen=True)
class Backlog:
    """What nobody has probed yet.

    Parameters
    ----------
    cool, warm : tuple of ToProbe
        What may be probed now, the oldest first; what must still cool.
    """

    cool: tuple[ToProbe, ...]
    warm: tuple[ToProbe, ...]

    @property
    def length(self) -> float:
        """Seam that could be probed now. [m]"""
        return sum(each.span.length for each in self.cool)

    @property
    def oldest(self) -> datetime | None:
        """When the oldest foot in it was welded."""
        return min((each.welded for each in self.cool), default=None)


def backlog(trace: Trace, *, at: datetime, rules: RuleBook) -> Backlog:
    """Welded and unprobed seam at a moment, what has cooled apart from what has not.

    Parameters
    ----------
    trace : Trace
        Of the facts up to ``at``.
    at : datetime
        Aware.
    rules : RuleBook
        For the time from weld to probe.
    """
    cooling = timedelta(seconds=rules["probe_cooling"].value)
    cool: list[ToProbe] = []
    warm: list[ToProbe] = []
    for name, stretches in trace.seams.items():
        for run, span in _unprobed(stretches):
            for part, is_cool in _parted(run, span, at=at - cooling):
                moments = [run.welded_at(part.start), run.welded_at(part.end)]
                walk = ToProbe(name, part, min(moments), max(moments) + cooling)
                (cool if is_cool else warm).append(walk)
    return Backlog(tuple(sorted(cool, key=_oldest)), tuple(sorted(warm, key=_oldest)))


def _oldest(walk: ToProbe) -> tuple[datetime, str, float]:
    return walk.welded, walk.seam, walk.span.start


def _unprobed(stretches: Iterable[Stretch]) -> list[tuple[Welded, Span]]:
    """Unprobed spans of each run, joined where only something else ends between them."""
    spans: dict[str, list[Span]] = {}
    runs: dict[str, Welded] = {}
    for stretch in stretches:
        if stretch.run is not None and stretch.probed is None:
            runs[stretch.run.run.id] = stretch.run
            spans.setdefault(stretch.run.run.id, []).append(stretch.span)
    return [(runs[key], span) for key, found in spans.items() for span in union(found)]


def _parted(run: Welded, span: Span, *, at: datetime) -> list[tuple[Span, bool]]:
    """The part of a span that a run had welded by a moment, and the part it had not."""
    if at >= max(run.welded_at(span.start), run.welded_at(span.end)):
        return [(span, True)]
    if at < min(run.welded_at(span.start), run.welded_at(span.end)):
        return [(span, False)]
    middle = run.station_at(at)
    is_forward = run.last > run.first
    parts = [(span.start, middle, is_forward), (middle, span.end, not is_forward)]
    return [(Span(start, end), is_cool) for start, end, is_cool in parts if start < end]


def defects(record: Record, *, rules: RuleBook) -> tuple[Mended, ...]:
    """Every defect with its repairs and re-probes; by seam and station, open ones first."""
    states = mended(record, limits_of(rules)).values()
    return tuple(sorted(states, key=lambda each: (not each.is_open, *_place(each.defect))))


def punch_list(record: Record, *, rules: RuleBook) -> tuple[Mended, ...]:
    """What an inspector listed, with the evidence that closed it, open ones first."""
    found = defects(record, rules=rules)
    return tuple(each for each in found if each.defect["found_by"] == "inspector")


def _place(defect: Fact) -> tuple[str, str]:
    return str(defect["seam"]), str(defect["number"])


@dataclass(frozen=True)
class Joint:
    """One T-joint of the register.

    Parameters
    ----------
    number : str
        As painted on the sheet.
    fact : Fact or None
        The newest word on it; None when nobody said anything yet.
    why_open : tuple of str
        ``not_made``, ``not_creased``, ``not_patched``, ``not_probed``, ``defects``; empty when
        nothing is open.
    """

    number: str
    fact: Fact | None
    why_open: tuple[WhyJointOpen, ...]


def joints(
    record: Record, *, planned: Sequence[str] = (), patched: bool = False
) -> tuple[Joint, ...]:
    """The T-joints of a roof, planned ones first.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    planned : sequence of str
        Numbers by the plan.
    patched : bool
        Whether this sheet asks for a patch on each.

    Notes
    -----
    What was not looked at is open: None is no crease, no patch and no probe.
    """
    latest = {fact["number"]: fact for fact in record.all("t_joint")}
    names = dict.fromkeys((*planned, *latest))
    return tuple(_joint(name, latest.get(name), patched=patched) for name in names)


def _joint(number: str, fact: Fact | None, *, patched: bool) -> Joint:
    if fact is None:
        return Joint(number, None, ("not_made",))
    why: list[WhyJointOpen] = []
    if not fact["creased"]:
        why.append("not_creased")
    if patched and not fact["patched"]:
        why.append("not_patched")
    if fact["result"] != "none":
        why.append("not_probed" if fact["result"] is None else "defects")
    return Joint(number, fact, tuple(why))

"""What was probed and counts, and which defects are open: nothing closes unprobed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from lapwright.proof.runs import Welded
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact, si
from lapwright.record.replay import Record, by_field
from lapwright.roof.station import FOOT, Span

WhyOpen = Literal["not_repaired", "not_reprobed", "found_open", "same_person", "too_warm"]
UNKNOWN_LENGTH = FOOT  # m; what nobody measured takes a foot, the error of a station; our choice


@dataclass(frozen=True)
class Mended:
    """A defect and what was done about it.

    Parameters
    ----------
    defect : Fact
        As found.
    repairs, reprobes : tuple of Fact
        In the order they were done.
    closed_by : Fact or None
        The re-probe that closed it.
    why_open : str or None
        ``not_repaired``; ``not_reprobed``; ``found_open``; ``same_person``: the repairer probed;
        ``too_warm``: probed before the repair had cooled. None when closed.
    """

    defect: Fact
    repairs: tuple[Fact, ...]
    reprobes: tuple[Fact, ...]
    closed_by: Fact | None
    why_open: WhyOpen | None

    @property
    def is_open(self) -> bool:
        """Whether somebody still has to do something."""
        return self.why_open is not None


def span_of(fact: Fact) -> Span:
    """Feet of a probe, or of a defect or cut from its station on; a foot where nobody measured.

    Notes
    -----
    A probe that ends where it starts is one spot of a foot.
    """
    if fact.kind == "probe":
        start, end = sorted((si(fact["start"]) or 0.0, si(fact["end"]) or 0.0))
    else:
        start = si(fact["station"]) or 0.0
        end = start + max(si(fact["length"]) or 0.0, 0.0)
    return Span(start, end if end > start else start + UNKNOWN_LENGTH)


def mended(record: Record, limits: Limits) -> dict[str, Mended]:
    """Every defect with its state, by its id.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    limits : Limits
        For the time a repair cools before it is probed.

    Notes
    -----
    The newest repair counts, and the newest word on it. "Still open" is believed of anybody at
    any time; "closed" only of another person than the repairer, after cooling.
    """
    repairs = by_field(record.all("repair"), "defect")
    reprobes = by_field(record.all("reprobe"), "repair")
    return {
        defect.id: _mended(record, defect, repairs.get(defect.id, []), reprobes, limits)
        for defect in record.all("defect")
    }


def _mended(
    record: Record,
    defect: Fact,
    repairs: Sequence[Fact],
    reprobes: dict[str, list[Fact]],
    limits: Limits,
) -> Mended:
    all_probes = tuple(p for repair in repairs for p in reprobes.get(repair.id, ()))
    closed_by: Fact | None = None
    why: WhyOpen | None = "not_reprobed" if repairs else "not_repaired"
    for probe in reprobes.get(repairs[-1].id, ()) if repairs else ():
        refused = _refused(record, repairs[-1], probe, limits)
        if refused is None:
            closed_by, why = probe, None
        elif refused == "found_open" or closed_by is None:
            closed_by, why = None, refused
    return Mended(defect, tuple(repairs), all_probes, closed_by, why)


def _refused(record: Record, repair: Fact, probe: Fact, limits: Limits) -> WhyOpen | None:
    """Why a re-probe does not close; None when it does."""
    if probe["result"] == "open":
        return "found_open"
    if is_same_person(record, probe["prober"], repair["operator"]):
        return "same_person"
    cooled = (probe.moment - repair.moment).total_seconds()
    return "too_warm" if cooled < limits.probe_cooling else None


def is_same_person(record: Record, one: str, other: str) -> bool:
    """Whether two ids may be one person: the same fact, or the same name."""
    first, second = record.get(one), record.get(other)
    if one == other:
        return True
    return first is not None and second is not None and first["name"] == second["name"]


def cooled_span(record: Record, probe: Fact, run: Welded, limits: Limits) -> Span | None:
    """Feet of a run that a probe speaks of; None when it speaks of none.

    Notes
    -----
    A probe says nothing of feet welded after it or still warm. The person who welded a lap by
    hand does not prove it.
    """
    machine = record.get(run.run["machine"])
    by_hand = machine is not None and machine["type"] == "hand"
    if by_hand and is_same_person(record, probe["prober"], run.run["operator"]):
        return None
    cool = probe.moment - timedelta(seconds=limits.probe_cooling)
    if run.span is None or cool < run.began:
        return None
    reached = run.station_at(cool)
    over, run_start, run_end = span_of(probe), min(run.first, reached), max(run.first, reached)
    start, end = max(over.start, run_start), min(over.end, run_end)
    return Span(start, end) if start < end else None

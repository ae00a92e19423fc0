"""Each foot of seam: who welded it with what, which test weld stands behind it, what is open.

A seam is cut wherever anything begins or ends, so that what is true of one end of a stretch is
true of all of it. A run that lies over an earlier one counts; the earlier one stays visible.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from lapwright.proof.chains import Chain, Chains
from lapwright.proof.probing import Mended, cooled_span, mended, span_of
from lapwright.proof.runs import Welded, by_seam, welded_runs
from lapwright.proof.timeline import Timeline
from lapwright.proof.verdicts import Limits, Results
from lapwright.record.fact import Fact
from lapwright.record.replay import Record, by_field
from lapwright.roof.station import Span, partition

State = Literal["bare", "orphan", "stale", "set_aside", "unprobed", "open_defect"]
STATES: tuple[State, ...] = (
    "bare",  # not welded
    "orphan",  # no valid test weld behind it
    "stale",  # welded after a test weld was due
    "set_aside",  # the same, but the foreman put the test off or overruled it
    "open_defect",
    "unprobed",
)
_ROUNDED = 0.001  # m; a plan keeps tenths of a millimetre, and feet do not come out even in them
WhyOrphan = Literal[
    "no_decision",  # nobody named a set point
    "decision_missing",  # it is named, and not in the record
    "decided_later",
    "other_chain",  # decided for another machine, operator, power or pairing
    "no_pass",  # none of its test welds passed on this chain before the run
]


@dataclass(frozen=True)
class Late:
    """Feet of a run welded after a test weld was due.

    Parameters
    ----------
    since : datetime
        From when on.
    triggers : tuple of str
        Why, most urgent first.
    is_set_aside : bool
        The foreman had put each of them off or overruled it.
    """

    since: datetime
    triggers: tuple[str, ...]
    is_set_aside: bool


@dataclass(frozen=True)
class Backing:
    """What stands behind a run.

    Parameters
    ----------
    chain : Chain
        Who welded with what.
    decision : Fact or None
        The set point that was decided for it.
    test_welds : tuple of Fact
        Passing test welds of the chain that the decision names.
    why_orphan : str or None
        Why nothing valid stands behind it; None when something does.
    conditions : Fact or None
        The last read before the run.
    """

    chain: Chain
    decision: Fact | None
    test_welds: tuple[Fact, ...]
    why_orphan: WhyOrphan | None
    conditions: Fact | None


@dataclass(frozen=True)
class Stretch:
    """A stretch of seam that is one in everything.

    Parameters
    ----------
    seam : str
        Id of the seam.
    span : Span
        From station to station. [m]
    run : Welded or None
        The run on top; None where the lap is bare.
    backing : Backing or None
        What stands behind that run.
    late : Late or None
        When these feet were welded after a test was due.
    probed : Fact or None
        The newest probe that speaks of these feet.
    under, probes, cuts : tuple of Fact
        Earlier runs beneath; every probe over it, counted or not; cuts in it.
    defects : tuple of Mended
        In it, open and closed.
    """

    seam: str
    span: Span
    run: Welded | None = None
    backing: Backing | None = None
    late: Late | None = None
    probed: Fact | None = None
    under: tuple[Fact, ...] = ()
    probes: tuple[Fact, ...] = ()
    cuts: tuple[Fact, ...] = ()
    defects: tuple[Mended, ...] = ()

    @property
    def states(self) -> tuple[State, ...]:
        """What is not proved about it, most serious first; empty when nothing is."""
        if self.run is None or self.backing is None:
            return ("bare",)
        found: list[State] = []
        if self.backing.why_orphan is not None:
            found.append("orphan")
        if self.late is not None:
            found.append("set_aside" if self.late.is_set_aside else "stale")
        if any(defect.is_open for defect in self.defects):
            found.append("open_defect")
        if self.probed is None:
            found.append("unprobed")
        return tuple(found)


@dataclass(frozen=True)
class Trace:
    """All seams, foot by foot.

    Parameters
    ----------
    seams : dict of tuple of Stretch
        By seam; the stretches of one lie side by side from its first station to its last.
    running : tuple of Welded
        Runs of which nobody said where they ended.
    beyond : tuple of str
        Seams on which something is recorded before their start or past their end, or that the
        plan does not know.
    """

    seams: dict[str, tuple[Stretch, ...]]
    running: tuple[Welded, ...]
    beyond: tuple[str, ...]

    def __iter__(self) -> Iterator[Stretch]:
        return (stretch for seam in self.seams.values() for stretch in seam)

    def at(self, seam: str, station: float) -> Stretch | None:
        """The stretch at a station; None when there is no such seam or station. [m]"""
        return next((one for one in self.seams.get(seam, ()) if one.span.has(station)), None)

    def lengths(self) -> dict[State, float]:
        """Seam in each state; a foot may be in several. [m]"""
        found = dict.fromkeys(STATES, 0.0)
        for stretch in self:
            for state in stretch.states:
                found[state] += stretch.span.length
        return found


def trace(
    record: Record,
    *,
    seams: Mapping[str, Sequence[Span]],
    limits: Limits,
    late: Mapping[str, Sequence[Late]],
) -> Trace:
    """Every foot of every seam with all that is known of it.

    Parameters
    ----------
    record : Record
        Facts as they hold.
    seams : mapping
        Where each planned seam is; a curb leaves a gap in it. [m]
    limits : Limits
        What the rules ask of strips and probing.
    late : mapping
        By a run's id, when a test was due; see :meth:`lapwright.job.welding.Welding.late`.

    Returns
    -------
    Trace
        A seam reaches as far as planned, and further where facts lie further; one that was
        not planned, from 0 to its last fact.
    """
    tracer = _Tracer(record, limits, late)
    names = dict.fromkeys((*seams, *tracer.reported))
    traced = {name: tracer.seam(name, planned=seams.get(name, ())) for name in names}
    return Trace(
        seams=traced,
        running=tuple(run for run in tracer.runs if run.end is None),
        beyond=tuple(name for name in names if _is_beyond(traced[name], seams.get(name, ()))),
    )


def _is_beyond(stretches: Sequence[Stretch], planned: Sequence[Span]) -> bool:
    if not planned or not stretches:
        return not planned
    first, last = min(planned), max(planned, key=lambda span: span.end)
    start, end = first.start - _ROUNDED, last.end + _ROUNDED
    return stretches[0].span.start < start or stretches[-1].span.end > end


def _reach(planned: Sequence[Span], told: Sequence[Span]) -> Iterator[Span]:
    """The planned seam, and what was told of before and past it."""
    first = min((span.start for span in planned), default=0.0)
    last = max((span.end for span in planned), default=first)
    before = min((span.start for span in told), default=first)
    past = max((span.end for span in told), default=last)
    yield from planned
    if before < first - _ROUNDED:
        yield Span(before, first)
    if past > last + _ROUNDED:
        yield Span(last, past)


class _Tracer:
    """One pass over the record, then one over each seam."""

    def __init__(self, record: Record, limits: Limits, late: Mapping[str, Sequence[Late]]) -> None:
        self.record, self.limits, self.late = record, limits, late
        self.runs = welded_runs(record)
        self.chains = Chains(record)
        self.results = Results(record, limits)
        self.conditions = Timeline(record.all("conditions"), moment=lambda fact: fact.moment)
        self.mended = mended(record, limits)
        self.by_seam = by_seam(self.runs)
        self.found = {
            kind: by_field(record.all(kind), "seam") for kind in ("probe", "defect", "cut")
        }
        self.reported = dict.fromkeys((*self.by_seam, *(s for k in self.found.values() for s in k)))

    def seam(self, name: str, *, planned: Sequence[Span]) -> tuple[Stretch, ...]:
        layers = list(self._layers(name))
        within = tuple(_reach(planned, [span for span, _ in layers]))
        return tuple(_stretch(name, span, over) for span, over in partition(layers, within=within))

    def _layers(self, name: str) -> Iterator[tuple[Span, _Layer]]:
        """Runs first, the last on top; then what speaks of them, the oldest first."""
        runs = [run for run in self.by_seam.get(name, ()) if run.span is not None]
        for run in runs:
            assert run.span is not None
            yield run.span, ("run", (run, self._backing(run)), run.run.id)
            for late in self.late.get(run.run.id, ()):
                first, last = sorted((run.station_at(late.since), run.last))
                if first < last:
                    yield Span(first, last), ("late", late, run.run.id)
        for probe in self.found["probe"].get(name, ()):
            walked = span_of(probe)
            yield walked, ("probe", probe, "")
            for run in runs:
                if run.span is None or not walked.meets(run.span):
                    continue
                span = cooled_span(self.record, probe, run, self.limits)
                if span is not None:
                    yield span, ("probed", probe, run.run.id)
        for cut in self.found["cut"].get(name, ()):
            yield span_of(cut), ("cut", cut, "")
        for defect in self.found["defect"].get(name, ()):
            yield span_of(defect), ("defect", self.mended[defect.id], "")

    def _backing(self, run: Welded) -> Backing:
        chain = self.chains.of(run.run)
        decision = self.record.get(run.run["decision"])
        conditions = self.conditions.last(run.began)
        passed: tuple[Fact, ...] = ()
        why: WhyOrphan | None = None
        if decision is None:
            why = "no_decision" if run.run["decision"] is None else "decision_missing"
        elif self.chains.of(decision) != chain:
            why = "other_chain"
        elif decision.moment > run.began:
            why = "decided_later"
        else:
            passed = tuple(self._passed(decision, chain, before=run.began))
            why = None if passed else "no_pass"
        return Backing(chain, decision, passed, why, conditions)

    def _passed(self, decision: Fact, chain: Chain, *, before: datetime) -> Iterator[Fact]:
        for ref in decision["test_welds"]:
            weld = self.record.get(ref)
            if weld is None or weld.kind != "test_weld" or weld.moment > before:
                continue
            if self.chains.of(weld) == chain and self.results.of(weld).verdict == "passed":
                yield weld


_Layer = tuple[str, Any, str]  # what kind of layer, the thing, the run it speaks of


def _stretch(name: str, span: Span, over: Sequence[_Layer]) -> Stretch:
    things: dict[str, list[Any]] = {}
    runs = [(thing, run_id) for kind, thing, run_id in over if kind == "run"]
    (run, backing), top = runs[-1] if runs else ((None, None), "")
    for kind, thing, run_id in over:
        if run_id in ("", top):  # what was said of a run beneath says nothing of the one on top
            things.setdefault(kind, []).append(thing)
    return Stretch(
        seam=name,
        span=span,
        run=run,
        backing=backing,
        late=things.get("late", [None])[-1],
        probed=things.get("probed", [None])[-1],
        under=tuple(below.run for (below, _), _ in runs[:-1]),
        probes=tuple(things.get("probe", ())),
        cuts=tuple(things.get("cut", ())),
        defects=tuple(things.get("defect", ())),
    )

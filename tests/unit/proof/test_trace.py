"""Each foot told apart, by hand-worked stations: what stands behind it, and what is open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import pytest
from tests import cast

from lapwright.proof.trace import Late, Stretch, Trace, trace
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact
from lapwright.roof.station import Span

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
MORNING = cast.morning()
DECISION = MORNING[-1]


def traced(
    *facts: Fact | Sequence[Fact], late: dict[str, tuple[Late, ...]] | None = None, **feet: float
) -> Trace:
    """Trace of the cast's morning and more facts; planned seams as ``S001=100`` feet."""
    seams = {f"A-{name}": (Span(0.0, length * FOOT),) for name, length in feet.items()}
    return trace(cast.record(MORNING, *facts), seams=seams, limits=LIMITS, late=late or {})


def feet(stretches: Sequence[Stretch]) -> list[tuple[float, float, tuple[str, ...]]]:
    """Stretches in whole feet with their states."""
    return [
        (round(one.span.start / FOOT, 3), round(one.span.end / FOOT, 3), one.states)
        for one in stretches
    ]


def test_a_seam_is_cut_where_runs_begin_and_end() -> None:
    """Bare, one run, two runs, bare: the second lies over the first, which stays visible."""
    first = cast.ran("A-S001", "10 ft", "40 ft", at="08:00", decision=DECISION)
    second = cast.ran("A-S001", "30 ft", "60 ft", at="09:00", decision=DECISION)
    seam = traced(first, second, S001=100).seams["A-S001"]
    assert feet(seam) == [
        (0, 10, ("bare",)),
        (10, 30, ("unprobed",)),
        (30, 40, ("unprobed",)),
        (40, 60, ("unprobed",)),
        (60, 100, ("bare",)),
    ]
    assert seam[2].run is not None
    assert (seam[2].run.run, seam[2].under) == (second[0], (first[0],))


def test_a_run_leans_on_passing_test_welds_of_its_own_chain() -> None:
    """Behind the run stand the passing welds of the decision, with the conditions then."""
    run = cast.ran("A-S001", "0 ft", "40 ft", decision=DECISION)
    (stretch,) = traced(run, S001=40).seams["A-S001"]
    assert stretch.backing is not None
    assert [weld["number"] for weld in stretch.backing.test_welds] == ["3", "4", "5", "7"]
    assert stretch.backing.conditions == cast.CONDITIONS
    assert stretch.backing.why_orphan is None


def orphan(*facts: Fact | Sequence[Fact], **body: object) -> str | None:
    """Why the run is an orphan."""
    run = cast.ran("A-S001", "0 ft", "40 ft", at="08:00", **body)  # type: ignore[arg-type]
    (stretch,) = traced(*facts, run, S001=40).seams["A-S001"]
    assert stretch.backing is not None
    assert ("orphan" in stretch.states) == (stretch.backing.why_orphan is not None)
    return stretch.backing.why_orphan


def test_every_way_to_stand_on_nothing_has_its_name() -> None:
    """No set point, one that is not there, another chain's, a later one, one that never passed."""
    cold = cast.welded("9", "600 f", "cc", at="07:30")
    failed = cast.decided(cold, at="07:50")
    later = cast.decided(MORNING, at="08:01")
    after = cast.welded("10", "860 f", "ff", at="08:30")  # named beforehand, welded afterwards
    early = cast.decided(after, at="07:51")
    others = cast.decided(MORNING, at="07:52", machine=cast.OTHER_MACHINE)
    assert orphan(decision=DECISION) is None
    assert orphan() == "no_decision"
    assert orphan(decision=later) == "decision_missing"
    assert orphan(later, decision=later) == "decided_later"
    assert orphan(others, decision=others) == "other_chain"
    assert orphan(decision=DECISION, operator=cast.INES) == "other_chain"
    assert orphan(cold, failed, decision=failed) == "no_pass"
    assert orphan(after, early, decision=early) == "no_pass"


def test_a_set_point_taken_back_leaves_orphans() -> None:
    """Withdrawing the decision shows on every foot that leaned on it."""
    undo = cast.fact("correction", at="16:00", of=DECISION, field="withdrawn", new=True)
    assert orphan(undo, decision=DECISION) == "decision_missing"


def test_feet_after_a_due_test_are_stale() -> None:
    """Due at 8:06 of a run from 8:00 to 8:10 over 100 ft: the last 40 ft are stale."""
    run = cast.ran("A-S001", "100 ft", "0 ft", at="08:00", decision=DECISION)
    since = datetime.fromisoformat(cast.time("08:06"))
    for is_set_aside, state in ((False, "stale"), (True, "set_aside")):
        late = {run[0].id: (Late(since, ("sheet_moved",), is_set_aside),)}
        assert feet(traced(run, late=late, S001=100).seams["A-S001"]) == [
            (0, 40, (state, "unprobed")),
            (40, 100, ("unprobed",)),
        ]


def test_a_run_beneath_hands_nothing_up() -> None:
    """Late, orphan and probed are said of the run on top: a weld over them starts anew."""
    below = cast.ran("A-S001", "0 ft", "50 ft", at="08:00")
    probe = cast.fact(
        "probe", at="09:00", seam="A-S001", start="0 ft", end="50 ft", prober=cast.LUZ
    )
    above = cast.ran("A-S001", "0 ft", "50 ft", at="09:30", decision=DECISION)
    late = {below[0].id: (Late(datetime.fromisoformat(cast.time("08:00")), ("wet",), False),)}
    before = traced(below, probe, late=late, S001=50)
    assert feet(before.seams["A-S001"]) == [(0, 50, ("orphan", "stale"))]
    after = traced(below, probe, above, late=late, S001=50)
    assert feet(after.seams["A-S001"]) == [(0, 50, ("unprobed",))]
    assert after.seams["A-S001"][0].probes == (probe,)


def test_probed_and_open_feet_are_told_apart() -> None:
    """A probe of 0 to 30 ft with a void at 12 ft: one foot open, the rest of it proved."""
    run = cast.ran("A-S001", "0 ft", "40 ft", at="08:00", decision=DECISION)
    probe = cast.fact(
        "probe", at="09:00", seam="A-S001", start="0 ft", end="30 ft", prober=cast.LUZ,
        result="defects",
    )  # fmt: skip
    void = cast.fact("defect", at="09:00", number="V1", seam="A-S001", station="12 ft")
    cut = cast.fact("cut", at="10:00", number="C1", seam="A-S001", station="35 ft", length="2 ft")
    trace = traced(run, probe, void, cut, S001=40)
    assert feet(trace.seams["A-S001"]) == [
        (0, 12, ()),
        (12, 13, ("open_defect",)),
        (13, 30, ()),
        (30, 35, ("unprobed",)),
        (35, 37, ("unprobed",)),
        (37, 40, ("unprobed",)),
    ]
    stretch = trace.at("A-S001", 36 * FOOT)
    assert stretch is not None
    assert stretch.cuts == (cut,)
    assert trace.at("A-S001", 41 * FOOT) is None
    assert trace.lengths()["unprobed"] == pytest.approx(10 * FOOT)
    assert trace.lengths()["open_defect"] == pytest.approx(1 * FOOT)


def test_a_plan_with_a_gap_has_no_seam_in_it() -> None:
    """A run past a curb welds nothing there; what lies past the plan is told and counted."""
    run = cast.ran("A-S001", "0 ft", "100 ft", decision=DECISION)
    seams = {"A-S001": (Span(0.0, 40 * FOOT), Span(50 * FOOT, 90 * FOOT))}
    found = trace(cast.record(MORNING, run), seams=seams, limits=LIMITS, late={})
    assert [each[:2] for each in feet(found.seams["A-S001"])] == [(0, 40), (50, 100)]
    assert found.beyond == ("A-S001",)


def test_a_seam_without_facts_is_bare_and_one_without_a_plan_is_told() -> None:
    """Planned and untouched: one bare stretch. Unplanned: as long as its facts."""
    run = cast.ran("A-S009", "5 ft", "20 ft", decision=DECISION)
    found = traced(run, S001=30)
    assert feet(found.seams["A-S001"]) == [(0, 30, ("bare",))]
    assert [each[:2] for each in feet(found.seams["A-S009"])] == [(0, 5), (5, 20)]
    assert found.beyond == ("A-S009",)


def test_a_run_still_going_is_named_and_covers_nothing() -> None:
    """Nobody knows how far it went: its feet stay bare, and it is listed."""
    run = cast.ran("A-S001", "0 ft", "20 ft", decision=DECISION)
    found = traced(run[:1], S001=20)
    assert feet(found.seams["A-S001"]) == [(0, 20, ("bare",))]
    assert [each.run for each in found.running] == [run[0]]

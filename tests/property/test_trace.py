"""Whatever was welded, probed and put right: every foot is told once, in any order of arrival."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests import cast

from lapwright.proof.probing import mended
from lapwright.proof.trace import STATES, Late, Trace, trace
from lapwright.proof.verdicts import Limits
from lapwright.record.fact import Fact
from lapwright.record.replay import Record
from lapwright.roof.station import Span

FOOT = 0.3048
LIMITS = Limits(
    strips=2, fused_width=0.0381, fused_width_hand=0.0508, grade_only=True, probe_cooling=1200.0
)
MORNING = cast.morning()
PLANNED = {name: (Span(0.0, 100 * FOOT),) for name in cast.SEAMS[:2]}
SEAMS = st.sampled_from(cast.SEAMS[:3])  # the third is not planned
STATIONS = st.integers(-5, 120).map(lambda feet: f"{feet} ft")
MINUTES = st.integers(0, 600)


@st.composite
def runs(draw: st.DrawFn) -> list[Fact]:
    """A run with its end, or still going."""
    facts = cast.ran(
        draw(SEAMS), draw(STATIONS), draw(STATIONS), at=cast.later("08:00", draw(MINUTES)),
        decision=draw(st.sampled_from([MORNING[-1], None])),
        operator=draw(st.sampled_from([cast.TOM, cast.INES])),
    )  # fmt: skip
    return facts if draw(st.booleans()) else facts[:1]


@st.composite
def findings(draw: st.DrawFn) -> list[Fact]:
    """A probe, a cut, or a defect with or without repair and re-probe."""
    seam, station, at = draw(SEAMS), draw(STATIONS), cast.later("08:30", draw(MINUTES))
    kind = draw(st.sampled_from(["probe", "cut", "defect", "closed"]))
    if kind == "probe":
        end = draw(STATIONS)
        return [cast.fact(kind, at=at, seam=seam, start=station, end=end, prober=cast.LUZ)]
    if kind == "cut":
        return [cast.fact(kind, at=at, number="C", seam=seam, station=station)]
    length = draw(st.sampled_from([None, "0 ft", "3 ft"]))
    defect = cast.fact("defect", at=at, number="V", seam=seam, station=station, length=length)
    if kind == "defect":
        return [defect]
    repair = cast.fact("repair", at=cast.later(at, 10), defect=defect, operator=cast.INES)
    probe = cast.fact("reprobe", at=cast.later(at, 40), repair=repair, prober=cast.LUZ)
    return [defect, repair, probe]


DAYS = st.lists(st.one_of(runs(), findings()), max_size=12).map(
    lambda parts: [fact for part in parts for fact in part]
)


def traced(record: Record, late: dict[str, tuple[Late, ...]] | None = None) -> Trace:
    """The trace of a record on the planned seams."""
    return trace(record, seams=PLANNED, limits=LIMITS, late=late or {})


def every_run_late(facts: Sequence[Fact]) -> dict[str, tuple[Late, ...]]:
    """Late from three minutes into each run on."""
    return {
        fact.id: (Late(fact.moment + timedelta(minutes=3), ("wet",), is_set_aside=False),)
        for fact in facts
        if fact.kind == "run"
    }


@given(DAYS)
def test_stretches_partition_every_seam(facts: list[Fact]) -> None:
    """No foot is told twice and none left out, from the first to the last that anything touches."""
    found = traced(cast.record(MORNING, facts), every_run_late(facts))
    for name, stretches in found.seams.items():
        assert all(one.span.end == other.span.start for one, other in pairwise(stretches))
        if name in PLANNED:
            assert stretches[0].span.start <= 0.0
            assert stretches[-1].span.end >= 100 * FOOT
    reported = {fact["seam"] for fact in facts if fact["seam"]}
    assert set(found.seams) == reported | set(PLANNED)


@given(DAYS)
def test_every_foot_agrees_with_a_look_at_each_fact(facts: list[Fact]) -> None:
    """At the middle of every stretch the states are what the facts there say, one by one."""
    record = cast.record(MORNING, facts)
    states = mended(record, LIMITS)
    ends = {end["run"]: end for end in record.all("run_end")}
    for stretch in traced(record):
        at = (stretch.span.start + stretch.span.end) / 2
        over = [
            run
            for run in record.all("run")
            if run["seam"] == stretch.seam
            and run.id in ends
            and _between(at, run["station"], ends[run.id]["station"])
        ]
        assert (stretch.run is None) == (not over)
        if stretch.run is not None:
            assert stretch.run.run == over[-1]
            assert len(stretch.under) == len(over) - 1
            is_open = any(
                each.is_open
                for each in states.values()
                if each.defect["seam"] == stretch.seam and _lies_over(each.defect, at)
            )
            assert ("open_defect" in stretch.states) == is_open
            # Tom's chain has the passing welds; Ines has none, and no decision means none.
            leans = over[-1]["decision"] and over[-1]["operator"] == cast.TOM.id
            assert ("orphan" in stretch.states) == (not leans)


def _between(at: float, one: dict[str, str], other: dict[str, str]) -> bool:
    low, high = sorted((float(one["typed"]) * FOOT, float(other["typed"]) * FOOT))
    return low <= at < high


def _lies_over(defect: Fact, at: float) -> bool:
    start = float(defect["station"]["typed"]) * FOOT
    length = 0.0 if defect["length"] is None else float(defect["length"]["typed"])
    return start <= at < start + (length or 1.0) * FOOT


@given(DAYS, st.randoms(use_true_random=False))
def test_the_order_of_arrival_changes_nothing(facts: list[Fact], random: object) -> None:
    """Facts shuffled and sent twice give the same trace to the last stretch."""
    shuffled = [*facts, *facts]
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = traced(cast.record(MORNING, facts)), traced(cast.record(shuffled, MORNING))
    assert {name: one.seams[name] for name in sorted(one.seams)} == {
        name: other.seams[name] for name in sorted(other.seams)
    }
    assert one.running == other.running


@given(DAYS, st.integers(0, 100), st.integers(1, 100))
def test_a_correction_moves_the_trace(facts: list[Fact], start: int, length: int) -> None:
    """A corrected station gives the trace that the right station would have given at once."""
    wrong = cast.ran("A-S002", "3 ft", "120 ft", at="18:30", decision=MORNING[-1])
    right = cast.fact(
        "run", id=wrong[0].id, at="18:30", **{**wrong[0].body, "station": f"{start} ft"},
        by=cast.TOM,
    )  # fmt: skip
    fix = [
        cast.fact("correction", at="19:00", of=fact, field="station", new=cast.measure(new))
        for fact, new in zip(wrong, (f"{start} ft", f"{start + length} ft"), strict=True)
    ]
    end = cast.fact(
        "run_end", id=wrong[1].id, at=wrong[1].at, run=right, station=f"{start + length} ft",
        by=cast.TOM,
    )  # fmt: skip
    corrected = traced(cast.record(MORNING, facts, wrong, fix)).seams["A-S002"]
    at_once = traced(cast.record(MORNING, facts, right, end)).seams["A-S002"]
    assert corrected == at_once


@given(DAYS)
def test_lengths_add_up(facts: list[Fact]) -> None:
    """No state is longer than all seam, and bare and welded make the whole."""
    found = traced(cast.record(MORNING, facts))
    whole = sum(one.span.length for one in found)
    welded = sum(one.span.length for one in found if one.run is not None)
    lengths = found.lengths()
    assert set(lengths) == set(STATES)
    assert lengths["bare"] + welded == pytest.approx(whole)
    assert all(0.0 <= length <= whole + 1e-9 for length in lengths.values())


@given(DAYS)
def test_a_withdrawn_run_is_as_if_never_welded(facts: list[Fact]) -> None:
    """Taking every run back leaves bare seam, whatever else was found on it."""
    undone = [
        cast.fact("correction", at="20:00", of=fact, field="withdrawn", new=True)
        for fact in facts
        if fact.kind == "run"
    ]
    found = traced(cast.record(MORNING, facts, undone))
    assert {stretch.states for stretch in found} <= {("bare",)}
    assert found.running == ()


def test_the_cast_speaks_of_one_day() -> None:
    """The builder's times lie on the cast's day, so that the rules of a day apply."""
    assert datetime.fromisoformat(cast.later("08:00", 600)).date().isoformat() == cast.DAY

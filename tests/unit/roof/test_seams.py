"""Seams and T-joints: numbers, stations, gaps, and what a lap runs out at."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from shapely.geometry import box

from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, outline
from lapwright.roof.plan import AreaPlan, plan_area

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, run=0.0, stagger=1.0)


def _plan(*openings: Opening, run: float = 0.0) -> AreaPlan:
    return plan_area(outline("A", box(0, 0, 50, 8), openings=openings), replace(LAYOUT, run=run))


def test_seams_are_numbered_by_rows() -> None:
    """Side laps by the lower row, end laps by their row and place."""
    plan = _plan()
    assert [seam.id for seam in plan.seams] == [
        "A-S001", "A-S002", "A-E001-1", "A-E002-1", "A-E003-1",
    ]  # fmt: skip
    assert [sheet.id for sheet in plan.sheets[:2]] == ["A-001-1", "A-001-2"]


def test_station_counts_from_the_origin_end() -> None:
    """Station 0 lies in the middle of the lap where the run begins; ten metres on is x = 10."""
    seam = _plan().seams[0]
    assert seam.at(0.0) == pytest.approx((0.0, 2.85 + 0.075))
    assert seam.at(10.0) == pytest.approx((10.0, 2.925))
    assert seam.station_of((10.0, 3.0)) == pytest.approx(10.0)


def test_run_turned_about_counts_from_the_other_end() -> None:
    """Laid the other way, the first row lies at the other edge and station 0 at the other end."""
    seam = _plan(run=math.pi).seams[0]
    assert seam.at(0.0) == pytest.approx((50.0, 8 - 2.925))
    assert seam.at(10.0) == pytest.approx((40.0, 8 - 2.925))


def test_every_end_lap_makes_two_t_joints_or_runs_out() -> None:
    """Three end laps: four ends on side laps, two at the edge; two side laps end there too."""
    joints = _plan().t_joints
    on_laps = [joint for joint in joints if not joint.is_at_detail]
    assert [joint.seams for joint in on_laps] == [
        ("A-S001", "A-E002-1"), ("A-S001", "A-E001-1"),
        ("A-S002", "A-E002-1"), ("A-S002", "A-E003-1"),
    ]  # fmt: skip
    at_edge = sorted(joint.seams[1] for joint in joints if joint.is_at_detail)
    assert at_edge == ["A-E001-1", "A-E003-1", *["A-S001"] * 2, *["A-S002"] * 2]
    assert {joint.seams[0] for joint in joints if joint.is_at_detail} == {"A-D001"}


def test_t_joint_is_called_by_its_feet() -> None:
    """29.925 m from the origin is 98 ft: A-T-S001-098; all ids differ."""
    joints = _plan().t_joints
    assert joints[1].id == "A-T-S001-098"
    assert joints[1].station == pytest.approx(29.85 + 0.075)
    assert len({joint.id for joint in joints}) == len(joints)


def test_curb_leaves_a_gap_that_stations_count_over() -> None:
    """The lap stops at 20 m and goes on at 24; both ends are T-joints at the curb."""
    plan = _plan(Opening("curb", box(20, 2, 24, 4), "unit"))
    seam = plan.seams[0]
    spans = [(round(span.start, 9), round(span.end, 9)) for span in seam.spans]
    assert spans == [(0.0, 20.0), (24.0, 50.0)]
    assert seam.length == pytest.approx(46.0)
    ends = [joint for joint in plan.t_joints if joint.seams == ("A-D002", "A-S001")]
    assert sorted(joint.place[0] for joint in ends) == pytest.approx([20.0, 24.0])


def test_second_joint_within_a_foot_has_a_letter() -> None:
    """Without stagger two end laps meet the side lap at one place: the second is called b."""
    plan = plan_area(outline("A", box(0, 0, 50, 5)), replace(LAYOUT, stagger=0.0))
    ids = [joint.id for joint in plan.t_joints if not joint.is_at_detail]
    assert ids == ["A-T-S001-098", "A-T-S001-098b"]


def test_lap_area_is_length_times_lap() -> None:
    """50 m of side lap 0.15 m wide lie 7.5 m2 double."""
    seam = _plan().seams[0]
    assert seam.lap_area == pytest.approx(7.5)
    assert (seam.line.length, seam.lap) == (pytest.approx(50.0), 0.15)

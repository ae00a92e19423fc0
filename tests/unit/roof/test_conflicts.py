"""Conflicts: each rule broken once, and its distance measured."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely.geometry import box

from lapwright.roof.conflicts import Conflict, close_t_joints
from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, disc, outline
from lapwright.roof.plan import plan_area
from lapwright.roof.seams import TJoint

PLAIN: dict[str, Any] = {"width": 3.0, "roll": 30.0, "lap": 0.15, "end_lap": 0.15, "run": 0.0}


def _conflicts(*openings: Opening, high: float = 8.0, **said: Any) -> list[Conflict]:
    roof = outline("A", box(0, 0, 20, high), openings=openings)
    return list(plan_area(roof, Layout(**{**PLAIN, **said})).conflicts)


def test_sound_plan_has_none() -> None:
    """A pipe in the middle of a sheet is nobody's conflict."""
    assert _conflicts(Opening("pipe", disc((5, 1.2), diameter=0.1, name=""))) == []


@pytest.mark.parametrize("kind", ["drain", "pipe"])
def test_lap_over_a_drain_or_pipe(kind: Any) -> None:
    """The first lap lies at y = 2.85 to 3.0 m; a drain there has a seam over it."""
    (found,) = _conflicts(Opening(kind, disc((5, 2.9), diameter=0.2, name=""), "the one"))
    assert (found.code, found.seam, found.opening) == ("seam_over", "A-S001", "the one")
    assert found.place == pytest.approx((5.0, 2.925), abs=0.01)


@pytest.mark.parametrize(("gap", "is_near"), [(0.29, True), (0.31, False)])
def test_distance_counts_from_the_lap_s_edge(gap: float, is_near: bool) -> None:
    """Clear is 0.3048 m from the edge of the lap at 3.0 m to the curb above it."""
    found = _conflicts(Opening("curb", box(5, 3.0 + gap, 7, 3.9)))
    assert [each.code for each in found] == (["seam_near"] if is_near else [])


def test_wall_is_met_without_a_conflict() -> None:
    """Every row ends at a wall that stands across it."""
    assert _conflicts(Opening("wall", box(9, 0, 9.3, 8))) == []


def test_row_that_is_all_lap() -> None:
    """Three rows cover 8.7 m; a fourth from 8.55 m shows 0.25 m, less than two laps."""
    (found,) = _conflicts(high=8.8)
    assert (found.code, found.seam) == ("row_narrow", "A-004")
    assert found.length == pytest.approx(0.25)


def test_ends_of_rows_in_the_zone_are_told() -> None:
    """Half sheets run along two edges only; the other two, 16 m, need another answer."""
    (found,) = _conflicts(half_rows=1)
    assert (found.code, found.length) == ("ends_in_zone", pytest.approx(16.0))


@pytest.mark.parametrize(("degrees", "codes"), [(90, ["against_flow"]), (-90, []), (0, [])])
def test_laps_against_the_water(degrees: float, codes: list[str]) -> None:
    """Rows are laid upwards; water that runs the same way meets the open lip."""
    assert [each.code for each in _conflicts(flow=math.radians(degrees))] == codes


def test_close_t_joints_are_measured() -> None:
    """On one lap 0.5 m apart with a rule of 1 m; at details and on other laps nobody asks."""

    def joint(seam: str, station: float, at_detail: bool = False) -> TJoint:
        return TJoint(f"T{station}", (seam, "E"), station, (station, 0.0), at_detail)

    joints = [joint("S1", 10.0), joint("S1", 12.0), joint("S1", 10.5), joint("S2", 12.2),
              joint("S1", 12.3, at_detail=True)]  # fmt: skip
    (found,) = close_t_joints(joints, 1.0)
    assert (found.seam, found.length, found.limit) == ("S1", pytest.approx(0.5), 1.0)

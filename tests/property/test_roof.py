"""A plan covers any roof, laps exactly, staggers, and turns with the roof."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, translate
from shapely.geometry import Point, Polygon, box

from lapwright.errors import LapwrightError
from lapwright.roof.layout import Frame, Layout, turned
from lapwright.roof.outline import Opening, Outline, outline, ring
from lapwright.roof.plan import AreaPlan, plan_area
from lapwright.roof.quantities import add_up
from lapwright.roof.sheets import areal

A_HAIR = 1e-5  # m and m2; rounding of a rotated drawing
GRID = 1e-7  # m; shapes are joined on it, so that rounding makes no crossings

# Steps of a roof's upper edge: any number of wings, each so wide and so high.
wings = st.lists(st.tuples(st.integers(4, 50), st.integers(4, 30)), min_size=1, max_size=5)


def _layout(first_cut: float, **said: Any) -> Layout:
    layout = Layout(**said)
    return replace(layout, shift=first_cut * layout.most_shift)


layouts = st.builds(
    _layout,
    first_cut=st.floats(0, 0.999),
    width=st.sampled_from([1.83, 3.05, 3.66]),
    roll=st.sampled_from([15.0, 30.48]),
    lap=st.sampled_from([0.0762, 0.1524]),
    end_lap=st.sampled_from([0.0762, 0.1524]),
    half_rows=st.integers(0, 3),
    stagger=st.sampled_from([0.0, 0.9144, 1.5]),
    run=st.floats(-3, 3),
)


@st.composite
def roofs(draw: st.DrawFn) -> Outline:
    """A stepped roof, turned and moved, with a few curbs and pipes."""
    corners, x = [(0.0, 0.0)], 0.0
    steps = draw(wings)
    for wide, high in steps:
        corners += [(x, float(high)), (x + wide, float(high))]
        x += wide
    corners.append((x, 0.0))
    curbs = [
        box(at, 1.0, at + 1.2, 2.5)
        for at in draw(st.lists(st.integers(0, int(x / 3) - 1), max_size=3, unique=True))
        for at in (at * 3 + 0.9,)
    ]
    angle, dx, dy = draw(st.floats(0, 360)), draw(st.floats(-500, 500)), draw(st.floats(-500, 500))

    def moved(shape: Polygon) -> Polygon:
        return translate(rotate(shape, angle, origin=(0, 0)), dx, dy)

    edge = ring(moved(Polygon(corners)).exterior.coords, name="A")
    return outline("A", edge, openings=[Opening("curb", moved(curb)) for curb in curbs])


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts)
def test_every_point_of_the_roof_is_covered(roof: Outline, layout: Layout) -> None:
    """No part of a roof is left without sheet, and no sheet lies beyond it."""
    shapes = [sheet.shape for sheet in plan_area(roof, layout).sheets]
    laid = shapely.union_all(shapes, grid_size=GRID)
    assert roof.roof.difference(laid.buffer(A_HAIR)).is_empty
    assert laid.difference(roof.roof.buffer(A_HAIR)).is_empty


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts)
def test_sheets_and_laps_add_up_to_the_roof(roof: Outline, layout: Layout) -> None:
    """What lies double is exactly the laps: 0.1 % is asked, rounding is left."""
    assert abs(add_up(plan_area(roof, layout)).closure) < 1e-7


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts)
def test_every_side_lap_is_exactly_the_lap_wide(roof: Outline, layout: Layout) -> None:
    """Two neighbouring rows share a strip as wide as the lap, never more or less."""
    plan = plan_area(roof, layout)
    to_run, _ = turned(plan.run)
    rows, whole = _rows(plan, to_run), roof.roof_in(to_run)
    for seam in plan.seams:
        if seam.kind == "side":
            shared = shapely.intersection(rows[seam.row], rows[seam.row + 1], grid_size=GRID)
            y = to_run(Point(seam.origin)).y
            strip = box(-2e3, y - layout.lap / 2, 2e3, y + layout.lap / 2).intersection(whole)
            assert (
                areal(shared).symmetric_difference(strip, grid_size=GRID).buffer(-A_HAIR).is_empty
            )
            assert strip.area == pytest.approx(seam.lap_area, abs=1e-4)


def _rows(plan: AreaPlan, to_run: Frame) -> dict[int, Any]:
    rows: dict[int, list[Any]] = {}
    for sheet in plan.sheets:
        rows.setdefault(sheet.row, []).append(to_run(sheet.shape))
    return {row: shapely.union_all(shapes, grid_size=GRID) for row, shapes in rows.items()}


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts)
def test_t_joints_keep_the_stagger_or_are_listed(roof: Outline, layout: Layout) -> None:
    """On one side lap no two T-joints are nearer than the stagger, unless a conflict says so."""
    plan = plan_area(roof, layout)
    listed = sum(each.code == "stagger_small" for each in plan.conflicts)
    on: dict[str, list[float]] = {}
    for joint in plan.t_joints:
        if not joint.is_at_detail:
            on.setdefault(joint.seams[0], []).append(joint.station)
    near = [
        second - first
        for stations in on.values()
        for first, second in pairwise(sorted(stations))
        if second - first < layout.stagger - 0.001
    ]
    assert len(near) <= listed
    if not roof.openings and layout.roll > 20:  # nothing stands in the way, and there is room
        assert not near


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts)
def test_no_sheet_is_longer_than_the_roll(roof: Outline, layout: Layout) -> None:
    """Every piece can be cut from a roll, and every roll is at most used up."""
    plan = plan_area(roof, layout)
    assert max(sheet.length for sheet in plan.sheets) <= layout.roll + A_HAIR
    found = add_up(plan)
    assert found.waste_area > -A_HAIR
    assert found.rolls + found.half_rolls <= len(plan.sheets)


@settings(max_examples=40, deadline=None)
@given(roofs(), layouts, st.floats(0, 360))
def test_rotating_the_roof_rotates_the_plan(roof: Outline, layout: Layout, angle: float) -> None:
    """The same roof on a turned drawing has the same seams, turned, at the same stations."""
    assert layout.run is not None
    spun = outline(
        "A",
        rotate(roof.edge, angle, origin=(0, 0)),
        openings=[
            Opening(each.kind, rotate(each.shape, angle, origin=(0, 0))) for each in roof.openings
        ],
    )
    plan = plan_area(roof, layout)
    other = plan_area(spun, replace(layout, run=layout.run + math.radians(angle)))
    assert [seam.id for seam in other.seams] == [seam.id for seam in plan.seams]
    for first, second in zip(plan.seams, other.seams, strict=True):
        assert second.length == pytest.approx(first.length, abs=1e-3)
        turned_origin = rotate(Point(first.origin), angle, origin=(0, 0))
        assert Point(second.origin).distance(turned_origin) < 1e-3
    assert sorted(joint.id for joint in other.t_joints) == sorted(j.id for j in plan.t_joints) or (
        add_up(other).t_joints == add_up(plan).t_joints  # a station of 99.5 ft may round either way
    )


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from([0.0, 1e-4, 5.0, 5.0001, 40.0, 1e9, math.nan]),
            st.sampled_from([0.0, 3.0, 20.0, 20.0002, -7.0, math.inf]),
        ),
        max_size=8,
    )
)
def test_any_corners_are_planned_or_refused_by_name(corners: list[tuple[float, float]]) -> None:
    """Crossing, doubled, thin, huge or broken outlines end in a plan that adds up or an error."""
    try:
        roof = outline("A", ring(corners, name="A"))
    except LapwrightError as error:
        refused = error
    else:
        layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
        assert abs(add_up(plan_area(roof, layout)).closure) < 1e-6
        return
    assert refused.data["ring"] == "A"

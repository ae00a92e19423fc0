"""Details: numbers in laying order, hand feet, corners."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Point, Polygon, box

from lapwright.roof.details import corner_count, number_details
from lapwright.roof.outline import Opening, disc, outline

OPENINGS = (
    Opening("drain", disc((5, 6), diameter=0.3, name=""), "late drain"),
    Opening("curb", box(10, 2, 12, 3), "unit", height=0.5),
    Opening("pipe", disc((4, 1), diameter=0.1, name=""), "pipe"),
)


def test_edge_first_then_as_rows_reach_them() -> None:
    """D001 is the edge; then pipe at y = 1, curb at 2, drain at 6, whatever their order drawn."""
    roof = outline("A", box(0, 0, 20, 10), openings=OPENINGS)
    details = number_details(
        roof, to_run=lambda shapes: shapes, drains_with_patch=[False, False, False]
    )
    assert [(each.id, each.kind) for each in details] == [
        ("A-D001", "edge"), ("A-D002", "pipe"), ("A-D003", "curb"), ("A-D004", "drain"),
    ]  # fmt: skip
    assert [each.is_cut for each in details] == [True, False, True, False]


@pytest.mark.parametrize(("patch", "drain"), [(False, 0.0), (True, 4 * 0.9144)])
def test_hand_feet_of_each_kind(patch: bool, drain: float) -> None:
    """Curb 2 x 1 m: 6 m and 4 corners of 0.5 m; boot of a 0.1 m pipe: a ring 0.3 m wide.

    A drain takes hand welding only where a lap is so near that it gets its target patch.
    """
    roof = outline("A", box(0, 0, 20, 10), openings=OPENINGS)
    details = number_details(
        roof, to_run=lambda shapes: shapes, drains_with_patch=[patch, False, False]
    )
    lengths = {each.kind: each.length for each in details}
    assert lengths["curb"] == pytest.approx(6.0 + 4 * 0.5)
    assert lengths["pipe"] == pytest.approx(math.pi * 0.3, rel=0.005)  # a polygon for a circle
    assert lengths["drain"] == pytest.approx(drain)
    assert lengths["edge"] == 0.0


def test_corners_are_counted_where_the_edge_turns() -> None:
    """An L has 6 corners; a point on a straight side and a round curb have none."""
    assert corner_count(Polygon([(0, 0), (6, 0), (6, 2), (4, 2), (4, 4), (0, 4)])) == 6
    assert corner_count(Polygon([(0, 0), (3, 0), (6, 0), (6, 2), (0, 2)])) == 4
    assert corner_count(Point(0, 0).buffer(1.0)) == 0

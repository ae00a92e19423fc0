"""Quantities: rolls by first fit, rates with their spread, places within reach of a cord."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.geometry import Point, Polygon, box

from lapwright.errors import OutOfRange
from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, disc, outline
from lapwright.roof.plan import AreaPlan, plan_area
from lapwright.roof.quantities import Quantities, Rate, add_up, power_places

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, run=0.0)


def _plan(shape: Polygon, *openings: Opening) -> AreaPlan:
    return plan_area(outline("A", shape, openings=openings), LAYOUT)


def test_short_pieces_share_a_roll() -> None:
    """Three rows of 14 m: two pieces from one roll, the third from another."""
    found = add_up(_plan(box(0, 0, 14, 8.7)))
    assert (found.sheets, found.rolls) == (3, 2)
    assert found.roll_area == pytest.approx(2 * 90.0)
    assert found.waste_area == pytest.approx(180.0 - (14 * 8.7 + 2 * 0.15 * 14))
    assert found.waste_share == pytest.approx(found.waste_area / 180.0)


def test_details_are_counted_by_kind() -> None:
    """One of each; the corners of edge and curb."""
    found = add_up(
        _plan(
            box(0, 0, 20, 8),
            Opening("curb", box(2, 1, 3, 2)),
            Opening("pipe", disc((6, 1.2), diameter=0.1, name="")),
            Opening("drain", disc((9, 1.2), diameter=0.3, name="")),
        )
    )
    assert (found.curbs, found.walls, found.pipes, found.drains) == (1, 0, 1, 1)
    assert found.corners == 8
    assert found.edge_length == pytest.approx(56.0)


def test_areas_add_up_field_by_field() -> None:
    """The sum of two roofs is bought and welded once each; closure stays that of the sum."""
    first, second = add_up(_plan(box(0, 0, 14, 8.7))), add_up(_plan(box(0, 0, 40, 10)))
    both = first + second
    assert both.rolls == first.rolls + second.rolls
    assert both.seam_length == pytest.approx(first.seam_length + second.seam_length)
    assert both.roof_area == pytest.approx(14 * 8.7 + 400)
    assert first + Quantities() == first


def test_rate_gives_the_spread_of_time() -> None:
    """300 m at 75 to 100 m/h take 3 to 4 h."""
    rate = Rate(75 / 3600, 100 / 3600)
    assert rate.seconds(300.0) == pytest.approx((3 * 3600, 4 * 3600))


@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (-1.0, 1.0), (2.0, 1.0), (1.0, math.inf),
                                           (math.nan, 1.0), (1.0, math.nan)])  # fmt: skip
def test_rate_that_nobody_has_is_refused(low: float, high: float) -> None:
    """A rate is above zero and rises from low to high."""
    with pytest.raises(OutOfRange):
        Rate(low, high)


@pytest.mark.parametrize("reach", [8.0, 15.0, 100.0])
def test_every_corner_of_a_roof_is_within_reach(reach: float) -> None:
    """From some place the cord reaches each part of an L, and no place serves an empty corner."""
    corners = [(0, 0), (60, 0), (60, 20), (30, 20), (30, 50), (0, 50)]
    plan = _plan(Polygon(corners))
    places = power_places(plan, reach)
    reached = shapely.union_all([Point(place).buffer(reach * 1.0005, 64) for place in places])
    assert reached.covers(plan.outline.roof)
    assert all(Point(place).buffer(reach).intersects(plan.outline.roof) for place in places)
    assert len(places) <= math.ceil(60 / reach) * math.ceil(50 / reach)


def test_cord_without_length_is_refused() -> None:
    """A reach of nothing has no places."""
    with pytest.raises(OutOfRange):
        power_places(_plan(box(0, 0, 14, 8)), 0.0)

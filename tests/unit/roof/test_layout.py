"""Rules of a layout, the direction rows run, and the frame they are laid in."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.roof.layout import Layout, longest_direction, run_of, turned

PLAIN: dict[str, Any] = {"width": 3.05, "roll": 30.0, "lap": 0.15, "end_lap": 0.15}
LONG = Polygon([(0, 0), (20, 0), (20, 10), (0, 10)])


@pytest.mark.parametrize(
    ("wrong", "name"),
    [
        ({"width": 0.2}, "roll_width"),
        ({"width": 30.5}, "roll_width"),
        ({"roll": 1.0}, "roll_length"),
        ({"lap": 0.0}, "lap"),
        ({"lap": 0.9}, "lap"),
        ({"lap": math.nan}, "lap"),
        ({"end_lap": 10.0}, "end_lap"),
        ({"half": 0.1}, "half_width"),
        ({"half": 3.2}, "half_width"),
        ({"half_rows": -1}, "half_rows"),
        ({"zone": -1.0}, "zone"),
        ({"stagger": 9.0}, "stagger"),
        ({"clear": -0.1}, "clear"),
        ({"shortest": 20.0}, "shortest"),
        ({"shift": 2.76}, "shift"),
        ({"shift": 1.23, "half_rows": 1}, "shift"),
        ({"shift": -0.1}, "shift"),
    ],
)
def test_layout_refuses_what_no_roll_allows(wrong: dict[str, float], name: str) -> None:
    """Each size is refused by its own name."""
    with pytest.raises(OutOfRange) as refused:
        Layout(**{**PLAIN, **wrong})
    assert refused.value.data["name"] == name


def test_half_sheets_are_a_count_or_a_zone() -> None:
    """Two answers to one question are refused."""
    with pytest.raises(LapwrightError, match="half_rows_and_zone"):
        Layout(**PLAIN, half_rows=2, zone=3.0)


def test_half_sheet_is_half_a_roll_unless_said() -> None:
    """A 10 ft roll gives 5 ft half sheets; another half is taken as said."""
    assert Layout(**PLAIN).half_width == pytest.approx(1.525)
    assert Layout(**PLAIN, half=1.0).half_width == 1.0


@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, 200.0, 359.0])
def test_rows_follow_the_longest_edge(angle: float) -> None:
    """The direction turns with the roof, and the roof lies to its left."""
    edge = rotate(LONG, angle, origin=(0, 0))
    run = longest_direction(edge)
    assert math.degrees(run) % 360 == pytest.approx(angle, abs=1e-6)


def test_many_short_edges_outweigh_one_long() -> None:
    """Feet of one direction count together: three steps of 8 m against one side of 20 m."""
    stepped = Polygon([(0, 0), (8, 0), (8, 2), (16, 2), (16, 4), (24, 4), (24, 20), (0, 20)])
    assert math.sin(longest_direction(stepped)) == pytest.approx(0.0, abs=1e-9)


def test_first_row_lies_on_the_low_side() -> None:
    """Rows lie over the one before, so they begin where water ends; a stated run stands."""
    for flow, expected in ((-math.pi / 2, 0.0), (math.pi / 2, math.pi)):
        run = run_of(LONG, Layout(**PLAIN, flow=flow))
        assert math.cos(run - expected) == pytest.approx(1.0)
    assert run_of(LONG, Layout(**PLAIN, flow=math.pi / 2, run=0.5)) == 0.5


def test_frame_turns_there_and_back() -> None:
    """In the frame a point one metre along the run lies one metre along x."""
    to_run, to_drawing = turned(math.radians(30))
    place = Point(math.cos(math.radians(30)), math.sin(math.radians(30)))
    assert to_run(place).distance(Point(1, 0)) < 1e-12
    assert to_drawing(to_run(place)).distance(place) < 1e-12
    assert shapely.area(to_run(LONG)) == pytest.approx(200.0)

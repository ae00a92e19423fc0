"""Outlines: what is straightened in silence, and what is refused by name."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import box

from lapwright.errors import LapwrightError
from lapwright.roof.outline import Opening, disc, outline, refuse_overlap, ring

SQUARE = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)]


def test_clockwise_closed_and_doubled_corners_make_the_same_shape() -> None:
    """Direction, closing corner and a corner drawn twice are the drawing program's habit."""
    plain = ring(SQUARE, name="A")
    other = ring([*reversed(SQUARE), SQUARE[-1], (0.0, 10.0004)], name="A")
    assert plain.equals(other)
    assert plain.exterior.is_ccw
    assert other.exterior.is_ccw


@pytest.mark.parametrize(
    ("corners", "code"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "ring_crosses"),
        ([(0, 0), (10, 0), (5, 5), (10, 10), (0, 10), (5, 5)], "ring_crosses"),
        ([(0, 0), (10, 0)], "ring_few_corners"),
        ([(0, 0), (0, 0), (0, 0.0002)], "ring_few_corners"),
        ([(0, 0), (10, 0), (10, 0.0011), (0, 0.0001)], "ring_sliver"),
        ([(0, 0), (10, math.nan), (10, 10)], "corner_not_finite"),
        ([(0, 0), (10, math.inf), (10, 10)], "corner_not_finite"),
    ],
)
def test_odd_rings_are_refused_by_name(corners: list[tuple[float, float]], code: str) -> None:
    """A ring that crosses itself, has no width or too few corners says which ring it is."""
    with pytest.raises(LapwrightError, match=code) as refused:
        ring(corners, name="curb 3")
    assert refused.value.data["ring"] == "curb 3"


def test_crossing_names_its_place() -> None:
    """The place of a crossing is told, so that it is found on the drawing."""
    with pytest.raises(LapwrightError) as refused:
        ring([(0, 0), (10, 10), (10, 0), (0, 10)], name="A")
    assert refused.value.data["place"] == "5, 5"


@pytest.mark.parametrize("side", [0.9, 1001.0])
def test_impossible_size_points_at_the_unit(side: float) -> None:
    """Below 1 m2 and above 1 km2 the unit of the drawing is wrong."""
    with pytest.raises(LapwrightError, match="outline_size"):
        outline("A", box(0, 0, side, side))


def test_narrow_roof_is_refused() -> None:
    """Where no lap fits there is no roof to plan."""
    with pytest.raises(LapwrightError, match="outline_sliver"):
        outline("A", box(0, 0, 100, 0.2))
    assert outline("A", box(0, 0, 100, 0.4)).roof.area == pytest.approx(40.0)


def test_curbs_and_walls_are_cut_out_and_pipes_are_not() -> None:
    """20 x 10 m less a curb of 2 m2 and a wall of 3 m2; sheet goes around a pipe and drain."""
    roof = outline(
        "A",
        ring(SQUARE, name="A"),
        openings=[
            Opening("curb", box(2, 2, 4, 3)),
            Opening("wall", box(10, 2, 11, 5)),
            Opening("pipe", disc((15, 5), diameter=0.1, name="")),
            Opening("drain", disc((17, 5), diameter=0.3, name="")),
        ],
    ).roof
    assert roof.area == pytest.approx(195.0)


@pytest.mark.parametrize("shape", [box(19, 2, 21, 3), box(30, 2, 31, 3)])
def test_opening_beyond_the_edge_is_refused(shape: object) -> None:
    """An opening lies wholly within its area."""
    with pytest.raises(LapwrightError, match="opening_outside"):
        outline("A", ring(SQUARE, name="A"), openings=[Opening("curb", shape)])


def test_openings_over_each_other_are_refused() -> None:
    """Two openings in one place are one drawn twice; side by side is allowed."""
    edge = ring(SQUARE, name="A")
    both = [Opening("curb", box(2, 2, 4, 4), "unit"), Opening("drain", box(3, 3, 5, 5))]
    with pytest.raises(LapwrightError, match="openings_cross") as refused:
        outline("A", edge, openings=both)
    assert refused.value.data["opening"] == "unit"
    beside = [Opening("curb", box(2, 2, 4, 4)), Opening("curb", box(4, 2, 6, 4))]
    assert len(outline("A", edge, openings=beside).openings) == 2


def test_roof_that_is_all_curb_is_refused() -> None:
    """Between its curbs an area keeps some roof."""
    with pytest.raises(LapwrightError, match="outline_all_cut"):
        outline("A", box(0, 0, 5, 5), openings=[Opening("curb", box(0, 0, 5, 4.9))])


def test_areas_overlap_only_on_different_levels() -> None:
    """A canopy may lie under a roof, two areas of one level may not share it; letters differ."""
    low, high = (outline(n, box(0, 0, 5, 5), level=n) for n in ("A", "B"))
    refuse_overlap([low, high])
    with pytest.raises(LapwrightError, match="areas_overlap"):
        refuse_overlap([low, outline("C", box(4, 0, 9, 5), level="A")])
    with pytest.raises(LapwrightError, match="area_twice"):
        refuse_overlap([low, outline("A", box(40, 0, 45, 5))])


@pytest.mark.parametrize("diameter", [0.0, -1.0, math.nan])
def test_round_thing_has_a_diameter(diameter: float) -> None:
    """A pipe without size is refused."""
    with pytest.raises(LapwrightError, match=r"ring_sliver|corner_not_finite"):
        disc((0, 0), diameter=diameter, name="pipe")

"""End laps: as few as rolls allow, off the last row's and off drains."""

from __future__ import annotations

import pytest
from shapely.geometry import GeometryCollection, LineString, box

from lapwright.roof.layout import Layout
from lapwright.roof.rows import lay_rows
from lapwright.roof.sheets import areal, cut_rows, end_joints
from lapwright.roof.station import Span

LAYOUT = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.5, stagger=1.0, clear=0.3, shortest=2.0)


def test_a_row_within_a_roll_has_no_end_lap() -> None:
    """30 m of roll cover 30 m of row, and not a millimetre more."""
    assert end_joints(Span(5.0, 35.0), LAYOUT) == []
    assert len(end_joints(Span(5.0, 35.01), LAYOUT)) == 1


def test_last_sheet_is_not_a_scrap() -> None:
    """31 m of row: the end lap moves back so that the last sheet is 2 m long."""
    assert end_joints(Span(0.0, 31.0), LAYOUT) == pytest.approx([29.0])


def test_end_lap_moves_back_to_keep_its_distances() -> None:
    """From 29.5 m back before a drain at 28 to 30, then before the joint of the last row."""
    clear, staggered = [Span(28.0, 30.0)], [Span(27.0, 29.0)]
    assert end_joints(Span(0.0, 50.0), LAYOUT, clear=clear) == pytest.approx([28.0])
    assert end_joints(Span(0.0, 50.0), LAYOUT, clear=clear, staggered=staggered) == pytest.approx(
        [27.0]
    )


def test_stagger_comes_before_the_drain_and_the_roll_before_both() -> None:
    """Where not all can be kept, the distance to a drain goes first, then the stagger."""
    everywhere, some = [Span(-1.0, 60.0)], [Span(28.0, 30.0)]
    assert end_joints(Span(0.0, 50.0), LAYOUT, clear=everywhere, staggered=some) == pytest.approx(
        [28.0]
    )
    assert end_joints(Span(0.0, 50.0), LAYOUT, staggered=everywhere) == pytest.approx([29.5])


def test_curb_as_wide_as_a_row_parts_it() -> None:
    """Two stretches, so two sheets, and no sheet across the curb."""
    roof = box(0, 0, 40, 3).difference(box(10, -1, 14, 4))
    (cut,) = cut_rows(roof, [], lay_rows(box(0, 0, 40, 3), LAYOUT), LAYOUT)
    assert cut.stretches == (Span(0.0, 10.0), Span(14.0, 40.0))
    assert cut.pieces(LAYOUT.end_lap) == [Span(0.0, 10.0), Span(14.0, 40.0)]


def test_pieces_overlap_by_the_end_lap() -> None:
    """The next sheet begins half a metre before the last one ends."""
    (cut,) = cut_rows(box(0, 0, 50, 3), [], lay_rows(box(0, 0, 50, 3), LAYOUT), LAYOUT)
    assert cut.pieces(LAYOUT.end_lap) == [Span(0.0, 30.0), Span(29.5, 50.0)]


def test_end_laps_keep_clear_of_a_drain_in_their_row_only() -> None:
    """The drain lies in the first row at 29.2 to 29.6 m; the second does not care."""
    roof, drain = box(0, 0, 50, 8), box(29.2, 1.0, 29.6, 1.4)
    cuts = cut_rows(roof, [drain], lay_rows(roof, LAYOUT), LAYOUT)
    first, second, _ = (cut.joints[0] for cut in cuts)
    assert first == pytest.approx(29.2 - 0.3 - 0.5)
    assert second == pytest.approx(29.5)


def test_only_faces_of_a_shape_are_kept() -> None:
    """Where a row only touches an edge there is no sheet."""
    mixed = GeometryCollection([box(0, 0, 1, 1), LineString([(0, 0), (5, 0)])])
    assert areal(mixed).bounds == (0, 0, 1, 1)

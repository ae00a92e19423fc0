"""Rows: pitch, half sheets by count and by zone, edges across."""

from __future__ import annotations

from itertools import pairwise

import pytest
from shapely.geometry import Polygon, box

from lapwright.roof.layout import Layout
from lapwright.roof.rows import across_length, lay_rows, perimeter_bands
from lapwright.roof.station import Span


def _layout(**said: float) -> Layout:
    return Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, **said)  # type: ignore[arg-type]


@pytest.mark.parametrize("said", [{}, {"half_rows": 2}, {"zone": 4.0}, {"shift": 1.3}])
def test_rows_overlap_by_the_lap_and_cover(said: dict[str, float]) -> None:
    """Each row begins one lap below the end of the last; the edge is covered, no row is idle."""
    rows = lay_rows(box(0, 0, 20, 31.4), _layout(**said))
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    assert all(a.high - b.low == pytest.approx(0.15) for a, b in pairwise(rows))
    assert rows[0].low == pytest.approx(-said.get("shift", 0.0))
    assert rows[-1].high >= 31.4 > rows[-2].high
    assert {round(row.width, 9) for row in rows} <= {3.0, 1.5}


def test_counted_half_sheets_stand_at_both_edges() -> None:
    """Two half sheets at the first edge, at least two at the last, full ones between."""
    halves = [row.is_half for row in lay_rows(box(0, 0, 20, 31.4), _layout(half_rows=2))]
    first = halves.index(False)
    last = halves[::-1].index(False)
    assert first == 2
    assert last >= 2
    assert not any(halves[first : len(halves) - last])


def test_half_sheets_replace_a_full_one_that_leaves_them_nothing() -> None:
    """40 ft of 10 ft sheets with 2 + 2 half sheets: two full and three half at the end.

    5 + 5 + 10 + 10 + 10 less laps of 6 in cover 37.5 ft, so a third full sheet would leave
    2.5 ft for one half sheet and none for the second.
    """
    foot = 0.3048
    layout = Layout(width=10 * foot, roll=100 * foot, lap=foot / 2, end_lap=foot / 2, half_rows=2)
    rows = lay_rows(box(0, 0, 12, 40 * foot), layout)
    assert [row.is_half for row in rows] == [True, True, False, False, True, True, True]


def test_no_full_sheet_lies_in_the_zone() -> None:
    """By zone, a full sheet reaches into it by no more than the lap, at both edges."""
    edge = box(0, 0, 20, 40)
    for row in lay_rows(edge, _layout(zone=4.0)):
        if not row.is_half:
            assert row.low >= 4.0 - 0.15 - 1e-6
            assert row.high <= 36.0 + 0.15 + 1e-6


def test_zone_follows_the_step_of_an_l() -> None:
    """An edge inside the height of the roof has its zone too; a short one has none."""
    stepped = Polygon([(0, 0), (20, 0), (20, 15), (10, 15), (10, 40), (0, 40)])
    bands = perimeter_bands(stepped, 3.0)
    assert bands == (Span(0.0, 3.0), Span(12.0, 15.0), Span(37.0, 40.0))
    assert perimeter_bands(stepped, 11.0) == (Span(0.0, 11.0),)


def test_edges_across_the_rows_are_measured() -> None:
    """Of a 20 x 40 m roof the two sides of 40 m run across."""
    assert across_length(box(0, 0, 20, 40)) == pytest.approx(80.0)

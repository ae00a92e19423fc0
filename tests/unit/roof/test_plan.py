"""A planned area: its sheets as cut, and how they hang together."""

from __future__ import annotations

import pytest
from shapely.geometry import box

from lapwright.roof.layout import Layout
from lapwright.roof.outline import outline
from lapwright.roof.plan import plan_area


def test_sheets_know_their_size_as_cut_and_as_laid() -> None:
    """The last row is cut from a full roll although a metre of it is seen."""
    layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, run=0.0)
    plan = plan_area(outline("B", box(0, 0, 20, 6.7)), layout)
    last = plan.sheets[-1]
    assert [sheet.id for sheet in plan.sheets] == ["B-001", "B-002", "B-003"]
    assert (last.width, last.length) == (pytest.approx(3.0), pytest.approx(20.0))
    assert last.shape.area == pytest.approx(20 * (6.7 - 5.7))


def test_narrow_roof_is_one_sheet_without_a_seam() -> None:
    """A canopy narrower than a roll needs no lap at all."""
    layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
    plan = plan_area(outline("B", box(0, 0, 20, 2.5)), layout)
    assert len(plan.sheets) == 1
    assert plan.seams == ()
    assert plan.t_joints == ()

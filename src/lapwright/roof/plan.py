"""The plan of one roof area: outline and rules in, numbered sheets, seams and details out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import shapely

from lapwright.roof.conflicts import (
    Conflict,
    area_conflicts,
    close_t_joints,
    near_openings,
    row_conflicts,
)
from lapwright.roof.details import Detail, number_details
from lapwright.roof.layout import Frame, Layout, run_of, turned
from lapwright.roof.outline import Outline
from lapwright.roof.rows import HAIR, lay_rows
from lapwright.roof.seams import Seam, TJoint, end_laps, side_laps, t_joints
from lapwright.roof.sheets import Cut, areal, cut_rows
from lapwright.roof.station import sheet_id


@dataclass(frozen=True)
class Sheet:
    """One piece of a roll as it lies.

    Parameters
    ----------
    id : str
        ``A-017``, or ``A-017-2`` where a row needs several.
    row : int
        Its row, from 1 in laying order.
    width, length : float
        As cut from the roll, before it is trimmed to the roof. [m]
    is_half : bool
        Cut from a half sheet.
    shape : geometry
        What of it lies on the roof, on the drawing. [m]
    """

    id: str
    row: int
    width: float
    length: float
    is_half: bool
    shape: Any


@dataclass(frozen=True)
class AreaPlan:
    """A roof area with everything numbered.

    Parameters
    ----------
    outline : Outline
        What was given.
    layout : Layout
        The rules it was laid by.
    run : float
        Direction of the rows and of the stations. [rad]
    sheets, seams, details : tuple
        In laying order; side laps before end laps.
    t_joints : tuple of TJoint
        On seams, then at details.
    conflicts : tuple of Conflict
        Rules that the plan breaks.
    lap_area : float
        All that lies double: of the seams, and tips of corners that reach into a lap. [m2]
    """

    outline: Outline
    layout: Layout
    run: float
    sheets: tuple[Sheet, ...]
    seams: tuple[Seam, ...]
    details: tuple[Detail, ...]
    t_joints: tuple[TJoint, ...]
    conflicts: tuple[Conflict, ...]
    lap_area: float


def plan_area(outline: Outline, layout: Layout) -> AreaPlan:
    """Sheets, seams, T-joints, details and conflicts of one roof area.

    Raises
    ------
    OutOfRange, LapwrightError
        Those of ``Layout``.

    Examples
    --------
    >>> from lapwright.roof.outline import outline, ring
    >>> roof = outline("A", ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A"))
    >>> plan = plan_area(roof, Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15))
    >>> [seam.id for seam in plan.seams[:4]], plan.seams[0].length
    (['A-S001', 'A-S002', 'A-S003', 'A-E001-1'], 40.0)
    """
    run = run_of(outline.edge, layout)
    to_run, to_drawing = turned(run)
    edge, roof = to_run(outline.edge), outline.roof_in(to_run)
    rows = lay_rows(edge, layout)
    clear_of = [to_run(each.shape) for each in outline.openings if each.kind != "wall"]
    cuts = cut_rows(roof, clear_of, rows, layout)
    sides, along = side_laps(outline.area, roof, cuts, layout, to_drawing)
    ends, at_ends = end_laps(outline.area, cuts, layout, to_drawing)
    seams = (*sides, *ends)
    near = near_openings(seams, outline.openings, layout.clear)
    touched = {each.opening_place for each in near}
    details = number_details(
        outline,
        to_run=to_run,
        drains_with_patch=[place in touched for place in range(len(outline.openings))],
    )
    joints = t_joints(sides, ends, details)
    conflicts = (
        *near,
        *close_t_joints(joints, layout.stagger),
        *row_conflicts(((cut.row, cut.shape) for cut in cuts), outline.area, layout),
        *area_conflicts(edge, run, layout),
    )
    return AreaPlan(
        outline,
        layout,
        run,
        tuple(sheet for cut in cuts for sheet in _sheets(outline.area, cut, layout, to_drawing)),
        seams,
        tuple(details),
        tuple(joints),
        conflicts,
        along + at_ends,
    )


def _sheets(area: str, cut: Cut, layout: Layout, to_drawing: Frame) -> list[Sheet]:
    pieces = cut.pieces(layout.end_lap)
    boxes = shapely.box(
        [piece.start for piece in pieces],
        cut.row.low - HAIR,
        [piece.end for piece in pieces],
        cut.row.high + HAIR,
    )
    shapes = [to_drawing(areal(shape)) for shape in shapely.intersection(cut.shape, boxes)]
    row, alone = cut.row, len(pieces) == 1
    return [
        Sheet(
            sheet_id(area, row.number, number=None if alone else number),
            row.number,
            row.width,
            piece.length,
            row.is_half,
            shape,
        )
        for number, (piece, shape) in enumerate(zip(pieces, shapes, strict=True), start=1)
    ]

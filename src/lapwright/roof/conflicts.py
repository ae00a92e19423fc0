"""Where a plan breaks a rule of its own job, each with its place.

Nothing here is taken from how the sheets were laid: the finished seams are measured again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import shapely

from lapwright.roof.layout import Layout
from lapwright.roof.outline import Corner, Opening
from lapwright.roof.rows import HAIR, Row, across_length
from lapwright.roof.seams import Seam, TJoint

ConflictCode = Literal[
    "seam_over", "seam_near", "stagger_small", "row_narrow", "ends_in_zone", "against_flow"
]
_SLACK = 1e-4  # m; a tenth of a millimetre is rounding
_THIN = 2.0  # laps; a row that shows less is all lap; our choice


@dataclass(frozen=True)
class Conflict:
    """One broken rule.

    Parameters
    ----------
    code : str
        Which rule.
    length : float
        Seam or edge concerned, or the distance found. [m]
    limit : float
        What the rule asks. [m]
    seam : str
        The seam, or the row's sheet, concerned; empty for the whole area.
    opening : str
        Name or kind of what it is too near to; else empty.
    place : (x, y), optional
        On the drawing. [m]
    opening_place : int, optional
        Place of the opening in its outline.
    """

    code: ConflictCode
    length: float
    limit: float
    seam: str = ""
    opening: str = ""
    place: Corner | None = None
    opening_place: int | None = None


def near_openings(
    seams: Sequence[Seam], openings: Sequence[Opening], clear: float
) -> list[Conflict]:
    """Laps over or too near to a drain, curb or pipe; walls are met by every row.

    Parameters
    ----------
    seams : sequence of Seam
        On the drawing.
    openings : sequence of Opening
        Of the same area.
    clear : float
        Least distance from the lap's edge. [m]
    """
    places = [n for n, each in enumerate(openings) if each.kind != "wall"]
    if not places or not seams:
        return []
    lines = [seam.line for seam in seams]
    shapes = [openings[n].shape for n in places]
    reaches = [clear + seam.lap / 2 - _SLACK for seam in seams]
    tree = shapely.STRtree(shapes)
    found = []
    pairs = tree.query(lines, predicate="dwithin", distance=reaches).T
    for at, which in sorted(map(tuple, pairs.tolist())):
        opening, line, seam = openings[places[which]], lines[at], seams[at]
        within = line.intersection(opening.shape.buffer(reaches[at]))
        if within.length <= _SLACK:
            continue
        over = opening.shape.distance(line) < seam.lap / 2 and opening.kind in ("drain", "pipe")
        middle = within.interpolate(0.5, normalized=True)
        found.append(
            Conflict(
                "seam_over" if over else "seam_near",
                within.length,
                clear,
                seam.id,
                opening.name or opening.kind,
                (middle.x, middle.y),
                places[which],
            )
        )
    return found


def close_t_joints(joints: Iterable[TJoint], stagger: float) -> Iterator[Conflict]:
    """Two T-joints on one side lap nearer than the stagger."""
    on: dict[str, list[TJoint]] = {}
    for joint in joints:
        if not joint.is_at_detail:
            on.setdefault(joint.seams[0], []).append(joint)
    for seam, line in on.items():
        for first, second in pairwise(sorted(line, key=lambda joint: joint.station)):
            apart = second.station - first.station
            if apart < stagger - _SLACK:
                yield Conflict("stagger_small", apart, stagger, seam, place=second.place)


def row_conflicts(
    shapes: Iterable[tuple[Row, shapely.Geometry]], area: str, layout: Layout
) -> Iterator[Conflict]:
    """Rows of which hardly more than the lap is seen."""
    limit = _THIN * layout.lap
    for row, shape in shapes:
        _, low, _, high = shape.bounds
        if not shape.is_empty and high - low < limit - HAIR:
            yield Conflict("row_narrow", high - low, limit, f"{area}-{row.number:03d}")


def area_conflicts(edge_in_run: shapely.Polygon, run: float, layout: Layout) -> Iterator[Conflict]:
    """What concerns a whole area: zones at the ends of rows, laps against the water."""
    if layout.half_rows or layout.zone:
        across = across_length(edge_in_run)
        if across > 0:
            yield Conflict("ends_in_zone", across, layout.zone)
    if layout.flow is not None and math.sin(layout.flow - run) > 1e-6:
        yield Conflict("against_flow", 0.0, 0.0)

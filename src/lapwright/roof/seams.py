"""Numbered seams that the sheets make: side laps, end laps, and the T-joints where they meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import shapely
from shapely.geometry import LineString, MultiLineString

from lapwright.roof.details import Detail
from lapwright.roof.layout import Frame, Layout
from lapwright.roof.outline import Corner
from lapwright.roof.rows import HAIR, Row
from lapwright.roof.sheets import Cut
from lapwright.roof.station import (
    Span,
    end_lap_id,
    side_lap_id,
    t_joint_id,
    total,
    union,
)

SeamKind = Literal["side", "end"]
_SHORTEST = 0.001  # m; less than a millimetre of lap is rounding
_JOINED = 0.005  # m; parts of a lap this near are one


@dataclass(frozen=True)
class Seam:
    """A side lap or an end lap.

    Parameters
    ----------
    id : str
        ``A-S017`` lies between rows 17 and 18, ``A-E017-2`` is the second end lap of row 17.
    kind : {"side", "end"}
        Along a long edge, or at the end of a roll.
    row : int
        The row, of a side lap the lower of both.
    origin : (x, y)
        Station 0, in the middle of the lap, as the drawing has it. [m]
    heading : (x, y)
        Direction in which stations grow; of length 1.
    spans : tuple of Span
        Where there is seam; a curb or a step of the roof leaves a gap. [m]
    lap : float
        How far the sheets overlap. [m]
    lap_area : float
        Where they do. [m2]
    """

    id: str
    kind: SeamKind
    row: int
    origin: Corner
    heading: Corner
    spans: tuple[Span, ...]
    lap: float
    lap_area: float

    @property
    def length(self) -> float:
        """Of the seam, without its gaps. [m]"""
        return total(self.spans)

    def at(self, station: float) -> Corner:
        """Where a station lies on the drawing. [m]"""
        (x, y), (along_x, along_y) = self.origin, self.heading
        return x + station * along_x, y + station * along_y

    def station_of(self, place: Corner) -> float:
        """Station nearest to a place on the drawing. [m]"""
        (x, y), (along_x, along_y) = self.origin, self.heading
        return (place[0] - x) * along_x + (place[1] - y) * along_y

    @property
    def line(self) -> MultiLineString:
        """The seam on the drawing. [m]"""
        return MultiLineString([[self.at(span.start), self.at(span.end)] for span in self.spans])


@dataclass(frozen=True)
class TJoint:
    """A place where three sheets meet, or where a lap runs out at an edge or curb.

    Parameters
    ----------
    id : str
        From the seam below and the whole feet of the station; a second one within the same foot
        has a ``b``.
    seams : tuple of str
        The seam or detail it is stationed on, and the lap that ends there.
    station : float
        On the first of them. [m]
    place : (x, y)
        On the drawing. [m]
    is_at_detail : bool
        At an edge, curb or wall: the third sheet is the flashing.
    """

    id: str
    seams: tuple[str, str]
    station: float
    place: Corner
    is_at_detail: bool


def side_laps(
    area: str, roof: Any, cuts: Sequence[Cut], layout: Layout, to_drawing: Frame
) -> tuple[list[Seam], float]:
    """Side laps between rows, and all that lies double along them. [m2]

    Where only the tip of a corner reaches into a lap there is overlap, but no seam to weld.

    Parameters
    ----------
    area : str
        Letter of the area.
    roof : geometry
        In the frame of the run. [m]
    cuts : sequence of Cut
        Rows in order.
    layout : Layout
        The lap.
    to_drawing : callable
        From the frame to the drawing.
    """
    pairs = list(pairwise(cuts))
    if not pairs:
        return [], 0.0
    left, _, right, _ = roof.bounds
    starts = np.array([upper.row.low for _, upper in pairs])
    strips = shapely.box(left - 1, starts, right + 1, starts + layout.lap)
    middles = starts + layout.lap / 2
    ends = np.array([[[left - 1, y], [right + 1, y]] for y in middles])
    lines = shapely.intersection(roof, shapely.linestrings(ends))
    areas = shapely.area(shapely.intersection(roof, strips))
    seams = [
        _seam(
            side_lap_id(area, lower.row.number),
            "side",
            lower.row,
            spans,
            layout.lap,
            lap_area=lap_area,
            frame=(to_drawing, (0.0, float(y)), (1.0, 0.0)),
        )
        for (lower, _), y, line, lap_area in zip(pairs, middles, lines, areas, strict=True)
        if (spans := _spans(line, axis=0))
    ]
    return seams, float(areas.sum())


def end_laps(
    area: str, cuts: Iterable[Cut], layout: Layout, to_drawing: Frame
) -> tuple[list[Seam], float]:
    """End laps of every row, numbered along the run, and all that lies double in them. [m2]"""
    seams, doubled, lap = [], 0.0, layout.end_lap
    for cut in cuts:
        row = cut.row
        shapely.prepare(cut.shape)
        for number, joint in enumerate(cut.joints, start=1):
            middle = joint + lap / 2
            overlap = cut.shape.intersection(shapely.box(joint, row.low, joint + lap, row.high))
            doubled += overlap.area
            line = LineString([(middle, row.low), (middle, row.high)])
            spans = _spans(cut.shape.intersection(line), axis=1)
            if spans:
                name = end_lap_id(area, row.number, number=number)
                frame = (to_drawing, (middle, 0.0), (0.0, 1.0))
                seams.append(
                    _seam(name, "end", row, spans, lap, lap_area=overlap.area, frame=frame)
                )
    return seams, doubled


def t_joints(
    sides: Sequence[Seam], ends: Sequence[Seam], details: Sequence[Detail]
) -> list[TJoint]:
    """T-joints on side laps, then those where a lap runs out at a detail; in order of station."""
    by_row = {seam.row: seam for seam in sides}
    found: list[tuple[str, str, float, Corner, bool]] = []
    loose: list[tuple[str, Corner]] = []
    for end in ends:
        for span in end.spans:
            for station, row in ((span.start, end.row - 1), (span.end, end.row)):
                place = end.at(station)
                side = by_row.get(row)
                on = _meets(side, place)
                if side is None or on is None:
                    loose.append((end.id, place))
                else:
                    found.append((side.id, end.id, on, side.at(on), False))
    loose += [
        (side.id, side.at(station))
        for side in sides
        for span in side.spans
        for station in (span.start, span.end)
    ]
    found += _at_details(loose, details)
    return _numbered(sorted(found, key=lambda each: (each[4], each[0], each[2])))


def _meets(side: Seam | None, place: Corner) -> float | None:
    """Station at which an end lap that ends here meets the side lap; none if it ends elsewhere.

    An end lap reaches through the whole side lap: its end lies half a lap from the middle.
    """
    if side is None:
        return None
    station = side.station_of(place)
    near = math.dist(side.at(station), place) <= side.lap / 2 + 10 * HAIR
    return station if near and any(span.has(station) for span in side.spans) else None


def _at_details(
    loose: Sequence[tuple[str, Corner]], details: Sequence[Detail]
) -> list[tuple[str, str, float, Corner, bool]]:
    """Each loose end of a lap with its station on the nearest edge, curb or wall."""
    standing = [detail for detail in details if detail.is_cut]
    if not standing or not loose:
        return []
    rings = [detail.shape.exterior for detail in standing]
    points = shapely.points([place for _, place in loose])
    nearest = shapely.STRtree(rings).nearest(points)
    return [
        (standing[at].id, seam, float(rings[at].project(point)), place, True)
        for (seam, place), point, at in zip(loose, points, nearest, strict=True)
    ]


def _numbered(found: Iterable[tuple[str, str, float, Corner, bool]]) -> list[TJoint]:
    taken: dict[str, int] = {}
    joints = []
    for on, seam, station, place, is_at_detail in found:
        plain = t_joint_id(on, station=station)
        again = taken[plain] = taken.get(plain, 0) + 1
        letter = "" if again == 1 else chr(ord("a") + again - 1)
        joints.append(TJoint(plain + letter, (on, seam), station, place, is_at_detail))
    return joints


def _spans(line: Any, *, axis: int) -> tuple[Span, ...]:
    """Stretches of a straight line that lie on the roof."""
    bounds = shapely.bounds(shapely.get_parts(line)).reshape(-1, 4)
    found = union(
        Span(low - _JOINED / 2, high + _JOINED / 2)
        for low, high in bounds[:, (axis, axis + 2)].tolist()
        if high - low > _SHORTEST
    )
    return tuple(Span(span.start + _JOINED / 2, span.end - _JOINED / 2) for span in found)


def _seam(
    name: str,
    kind: SeamKind,
    row: Row,
    spans: Sequence[Span],
    lap: float,
    *,
    lap_area: float,
    frame: tuple[Frame, Corner, Corner],
) -> Seam:
    """A seam on the drawing, stations counted from its first foot."""
    to_drawing, (x, y), (along_x, along_y) = frame
    first = spans[0].start
    ends = [(x + s * along_x, y + s * along_y) for s in (first, first + 1.0)]
    (x0, y0), (x1, y1) = shapely.get_coordinates(to_drawing(LineString(ends))).tolist()
    moved = tuple(Span(span.start - first, span.end - first) for span in spans)
    return Seam(name, kind, row.number, (x0, y0), (x1 - x0, y1 - y0), moved, lap, float(lap_area))

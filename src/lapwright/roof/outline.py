"""A roof area as drawn: its edge, what stands in it, and whether it can be one at all.

Rings come as corners in metres, in either direction, closed or open, with corners doubled by
the drawing program. Anything else that is odd is refused by name: a plan of a wrong outline
looks just as good as one of the right outline.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal, get_args

import shapely
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.validation import explain_validity

from lapwright.errors import LapwrightError

Corner = tuple[float, float]
OpeningKind = Literal["curb", "wall", "pipe", "drain"]
KINDS: tuple[OpeningKind, ...] = get_args(OpeningKind)
CUT_OUT = ("curb", "wall")  # no sheet lies there; a pipe or drain comes through the sheet

_SAME = 0.001  # m; corners nearer than this are one; no tape measures finer
_SMALLEST = 1.0  # m2; below it the unit of the drawing is wrong
_LARGEST = 1_000_000.0  # m2; ten times the largest roofs we heard of; above it the unit is wrong
_NARROWEST = 0.3  # m; a part of a roof that holds no lap is a slip of the drawing
_THINNEST = 0.005  # m; nothing that stands in a roof is thinner; our choice
_ROUND = 16  # segments in a quarter of a pipe


@dataclass(frozen=True)
class Opening:
    """Something in the roof that the sheet goes around, or that goes through the sheet.

    Parameters
    ----------
    kind : {"curb", "wall", "pipe", "drain"}
        Curbs and walls are cut out of the sheet; a pipe or drain comes through it.
    shape : Polygon
        Where it stands. [m]
    name : str
        As the drawing calls it; may be empty.
    height : float
        Of its corners, which are welded by hand; 0 when not said. [m]
    """

    kind: OpeningKind
    shape: Polygon
    name: str = ""
    height: float = 0.0


@dataclass(frozen=True)
class Outline:
    """One area of a roof, checked.

    Parameters
    ----------
    area : str
        Letter or short name that begins all its ids.
    edge : Polygon
        Its edge, without holes. [m]
    openings : tuple of Opening
        All within the edge, none across another.
    level : str
        Part of the building; may be empty.
    """

    area: str
    edge: Polygon
    openings: tuple[Opening, ...] = ()
    level: str = ""

    @property
    def roof(self) -> Polygon | MultiPolygon:
        """Where sheet must lie: the edge without curbs and walls."""
        return self.roof_in(lambda shapes: shapes)

    def roof_in(self, frame: Callable[[Any], Any]) -> Polygon | MultiPolygon:
        """The same in another frame; cut there, since a cut shape may not survive a turn.

        A curb that touches the edge leaves a shape that meets itself in one corner, and
        rounding would make it cross itself.
        """
        cut = [frame(each.shape) for each in self.openings if each.kind in CUT_OUT]
        left: Polygon | MultiPolygon = frame(self.edge).difference(shapely.union_all(cut))
        return left


def ring(corners: Iterable[Sequence[float]], *, name: str) -> Polygon:
    """A closed shape from corners, counter-clockwise.

    Parameters
    ----------
    corners : iterable of (x, y)
        Either direction; a repeated corner counts once. [m]
    name : str
        What to call it when it is refused.

    Raises
    ------
    LapwrightError
        ``corner_not_finite``, ``ring_few_corners``, ``ring_crosses`` (with the place) or
        ``ring_sliver``.

    Examples
    --------
    >>> ring([(0, 0), (0, 10), (20, 10), (20, 10), (20, 0), (0, 0)], name="A").area
    200.0
    """
    points: list[Corner] = []
    for x, y in ((float(corner[0]), float(corner[1])) for corner in corners):
        if not (math.isfinite(x) and math.isfinite(y)):
            raise LapwrightError("corner_not_finite", ring=name)
        if not points or math.dist(points[-1], (x, y)) > _SAME:
            points.append((x, y))
    while len(points) > 1 and math.dist(points[0], points[-1]) <= _SAME:
        points.pop()
    if len(points) < 3:
        raise LapwrightError("ring_few_corners", ring=name, have=str(len(points)))
    shape = Polygon(points)
    if not shape.is_valid:
        place = explain_validity(shape).partition("[")[2].rstrip("]").replace(" ", ", ")
        raise LapwrightError("ring_crosses", ring=name, place=place)
    if _mean_width(shape) < _THINNEST:
        raise LapwrightError("ring_sliver", ring=name)
    oriented: Polygon = shapely.orient_polygons(shape)
    return oriented


def _mean_width(shape: Polygon) -> float:
    """About how wide a shape is, however long: its area over half its edge. [m]"""
    return 2 * shape.area / shape.length if shape.length else 0.0


def disc(centre: Corner, *, diameter: float, name: str) -> Polygon:
    """A round opening; drawn with 64 corners.

    Raises
    ------
    LapwrightError
        ``ring_sliver``: no diameter; ``corner_not_finite``.

    Examples
    --------
    >>> round(disc((1.0, 2.0), diameter=0.2, name="pipe").area, 4)
    0.0314
    """
    if not all(map(math.isfinite, (*centre, diameter))):
        raise LapwrightError("corner_not_finite", ring=name)
    if diameter <= _SAME:
        raise LapwrightError("ring_sliver", ring=name)
    shape: Polygon = shapely.orient_polygons(Point(centre).buffer(diameter / 2, quad_segs=_ROUND))
    return shape


def outline(
    area: str, edge: Polygon, *, openings: Iterable[Opening] = (), level: str = ""
) -> Outline:
    """A checked roof area.

    Raises
    ------
    LapwrightError
        ``outline_size``: so small or large that the unit must be wrong; ``outline_sliver``:
        too narrow for a lap; ``opening_outside``; ``openings_cross``; ``outline_all_cut``.

    Examples
    --------
    >>> outline("A", ring([(0, 0), (20, 0), (20, 10), (0, 10)], name="A")).roof.area
    200.0
    """
    if not _SMALLEST <= edge.area <= _LARGEST:
        raise LapwrightError("outline_size", ring=area, area_m2=edge.area)
    if edge.buffer(-_NARROWEST / 2).is_empty:
        raise LapwrightError("outline_sliver", ring=area)
    found = tuple(openings)
    reach = edge.buffer(_SAME)
    shapely.prepare(reach)
    for each in found:
        if not reach.covers(each.shape):
            raise LapwrightError("opening_outside", ring=area, opening=each.name or each.kind)
    _refuse_crossing(area, found)
    checked = Outline(area, edge, found, level)
    if checked.roof.buffer(-_NARROWEST / 2).is_empty:
        raise LapwrightError("outline_all_cut", ring=area)
    return checked


def _refuse_crossing(area: str, openings: Sequence[Opening]) -> None:
    """Two openings in one place mean that one was drawn twice or in the wrong unit."""
    if len(openings) < 2:
        return
    tree = shapely.STRtree([each.shape for each in openings])
    for place, other in tree.query([each.shape for each in openings], predicate="intersects").T:
        first, second = openings[place], openings[other]
        if place < other and first.shape.intersection(second.shape).area > _SAME**2:
            raise LapwrightError(
                "openings_cross",
                ring=area,
                opening=first.name or first.kind,
                other=second.name or second.kind,
            )


def refuse_overlap(areas: Iterable[Outline]) -> None:
    """Two areas of one level share no roof.

    Raises
    ------
    LapwrightError
        ``areas_overlap``: two areas of one level lie over each other; ``area_twice``.
    """
    for first, second in combinations(tuple(areas), 2):
        if first.area == second.area:
            raise LapwrightError("area_twice", ring=first.area)
        shared = first.edge.intersection(second.edge).area
        if first.level == second.level and shared > _SMALLEST * _SAME:
            raise LapwrightError("areas_overlap", ring=first.area, other=second.area)

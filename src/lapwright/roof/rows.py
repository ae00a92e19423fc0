"""Rows of sheet across the run: where each begins, how wide it is, which are half sheets."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon

from lapwright.roof.layout import Layout
from lapwright.roof.station import Span, union

HAIR = 1e-6  # m; rounding of a rotated drawing
_PARALLEL = math.radians(10.0)  # an edge this near to the run is laid along; our choice


@dataclass(frozen=True)
class Row:
    """One row, as a strip across the roof in the frame of the run.

    Parameters
    ----------
    number : int
        In laying order, from 1.
    low, high : float
        Its two long edges; the next row begins one lap below ``high``. [m]
    is_half : bool
        Laid in half sheets.
    """

    number: int
    low: float
    high: float
    is_half: bool

    @property
    def width(self) -> float:
        """Of the roll it is cut from. [m]"""
        return self.high - self.low


def lay_rows(edge: Polygon, layout: Layout) -> tuple[Row, ...]:
    """Rows that cover an edge, each over the one before by exactly the lap.

    Parameters
    ----------
    edge : Polygon
        In the frame of the run. [m]
    layout : Layout
        Widths, lap, half sheets, how much of the first row is cut off.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15, half_rows=1)
    >>> [(round(row.low, 2), row.is_half) for row in lay_rows(box(0, 0, 20, 8), layout)]
    [(0.0, True), (1.35, False), (4.2, False), (7.05, True)]
    """
    _, low, _, high = edge.bounds
    if layout.zone:
        is_half = _in_zones(perimeter_bands(edge, layout.zone), layout)
    else:
        is_half = _counted(high - low + layout.shift, layout)
    rows: list[Row] = []
    start = low - layout.shift
    while not rows or rows[-1].high < high - HAIR:
        half = is_half(len(rows), start)
        width = layout.half_width if half else layout.width
        rows.append(Row(len(rows) + 1, start, start + width, half))
        start += width - layout.lap
    return tuple(rows)


def perimeter_bands(edge: Polygon, zone: float) -> tuple[Span, ...]:
    """Stretches across the run in which an edge along the run has its perimeter zone.

    Every such edge counts, also the step of an L; one shorter than the zone is wide does not.
    """
    corners = shapely.get_coordinates(edge.exterior)
    bands = []
    for (x0, y0), (x1, y1) in pairwise(corners):
        along = abs(x1 - x0)
        if along < zone or abs(y1 - y0) > along * math.tan(_PARALLEL):
            continue
        if x1 > x0:  # the roof lies to the left of its edge
            bands.append(Span(min(y0, y1), max(y0, y1) + zone))
        else:
            bands.append(Span(min(y0, y1) - zone, max(y0, y1)))
    return union(bands)


def across_length(edge: Polygon) -> float:
    """Length of edge that the rows do not run along. [m]"""
    sides = np.abs(np.diff(shapely.get_coordinates(edge.exterior), axis=0))
    across = sides[:, 1] > sides[:, 0] * math.tan(_PARALLEL)
    return float(np.hypot(*sides[across].T).sum())


def _in_zones(bands: Iterable[Span], layout: Layout) -> Callable[[int, float], bool]:
    """A full sheet may reach into a zone by no more than its lap."""
    kept = [
        Span(band.start + layout.lap, band.end - layout.lap)
        for band in bands
        if band.length > 2 * layout.lap + HAIR
    ]

    def is_half(_: int, start: float) -> bool:
        sheet = Span(start + HAIR, start + layout.width - HAIR)
        return any(sheet.meets(band) for band in kept)

    return is_half


def _counted(height: float, layout: Layout) -> Callable[[int, float], bool]:
    """So many half sheets at the first and at the last edge, full sheets between.

    Where the last full sheet would leave the last half sheet nothing to cover, half sheets take
    its place.
    """
    halves, half_pitch = layout.half_rows, layout.half_width - layout.lap
    between = height - layout.lap - 2 * halves * half_pitch
    pitch = layout.width - layout.lap
    full = max(0, math.ceil(between / pitch - HAIR))
    if full and full * pitch - between >= half_pitch - HAIR:
        full -= 1

    def is_half(place: int, _: float) -> bool:
        return bool(halves) and not halves <= place < halves + full

    return is_half

"""Sheets: rows cut to the roof, and to the length of a roll with the end laps staggered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from lapwright.roof.layout import Layout
from lapwright.roof.rows import HAIR, Row
from lapwright.roof.station import Span, union


@dataclass(frozen=True)
class Cut:
    """One row cut into sheets, in the frame of the run.

    Parameters
    ----------
    row : Row
        Where it lies.
    shape : geometry
        What of the row lies on the roof. [m]
    stretches : tuple of Span
        Where the row has roof, along the run; a curb as wide as the row parts it. [m]
    joints : tuple of float
        Where an end lap begins; the next sheet begins there. [m]
    """

    row: Row
    shape: Any
    stretches: tuple[Span, ...]
    joints: tuple[float, ...]

    def pieces(self, end_lap: float) -> list[Span]:
        """Sheets from end to end, each reaching under the next by the end lap. [m]"""
        pieces = []
        for stretch in self.stretches:
            within = [joint for joint in self.joints if stretch.has(joint)]
            starts = [stretch.start, *within]
            ends = [*(joint + end_lap for joint in within), stretch.end]
            pieces += [Span(*ends_of) for ends_of in zip(starts, ends, strict=True)]
        return pieces


def cut_rows(roof: Any, openings: Sequence[Any], rows: Sequence[Row], layout: Layout) -> list[Cut]:
    """Every row cut to the roof and to roll length.

    Parameters
    ----------
    roof : geometry
        Where sheet must lie, in the frame of the run. [m]
    openings : sequence of geometry
        What end laps keep clear of, same frame.
    rows : sequence of Row
        In laying order.
    layout : Layout
        Roll, end lap, stagger, clearance.
    """
    left, _, right, _ = roof.bounds
    lows, highs = (np.array([getattr(row, end) for row in rows]) for end in ("low", "high"))
    shapely.prepare(roof)
    strips = shapely.box(left - 1, lows, right + 1, highs)
    shapes = [areal(shape) for shape in shapely.intersection(roof, strips)]
    kept_clear = _kept_clear(openings, rows, layout)
    cuts: list[Cut] = []
    before: tuple[float, ...] = ()
    for row, shape in zip(rows, shapes, strict=True):
        parts = shapely.get_parts(shape)
        bounds = shapely.bounds(parts[shapely.area(parts) > HAIR**2])
        stretches = union(Span(x0, x1) for x0, _, x1, _ in bounds if x0 < x1)
        staggered = [Span(joint - layout.stagger, joint + layout.stagger) for joint in before
                     if layout.stagger > 0]  # fmt: skip
        before = tuple(
            joint
            for stretch in stretches
            for joint in end_joints(
                stretch, layout, staggered=staggered, clear=kept_clear[row.number]
            )
        )
        cuts.append(Cut(row, shape, stretches, before))
    return cuts


def end_joints(
    stretch: Span, layout: Layout, *, staggered: Sequence[Span] = (), clear: Sequence[Span] = ()
) -> list[float]:
    """Where sheets of one stretch end and the next begin.

    Each sheet is as long as the roll and the rules let it. Where no place keeps all rules the
    stagger is kept before the distance to a drain, and neither before the length of the roll;
    what was broken is found again by ``conflicts``.

    Parameters
    ----------
    stretch : Span
        Of one row. [m]
    layout : Layout
        Roll, end lap, shortest sheet.
    staggered, clear : sequence of Span
        Where no joint may begin: too near to one of the row before; at a drain or curb. [m]

    Examples
    --------
    >>> layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.5)
    >>> end_joints(Span(0.0, 70.0), layout)
    [29.5, 59.0]
    >>> joints = end_joints(Span(0.0, 70.0), layout, staggered=[Span(28.5, 30.5)])
    >>> [round(joint, 6) for joint in joints]
    [28.5, 58.0]
    """
    first = _inner(staggered)
    both = _inner([*staggered, *clear])
    joints: list[float] = []
    start = stretch.start
    while stretch.end - start > layout.roll + HAIR:
        latest = min(start + layout.roll - layout.end_lap, stretch.end - layout.shortest)
        earliest = start + max(layout.shortest, layout.end_lap)
        found = (_latest_free(latest, earliest, taken) for taken in (both, first))
        start = next((joint for joint in found if joint is not None), latest)
        joints.append(start)
    return joints


def areal(shape: Any) -> Any:
    """The faces of a shape, without lines where it only touched."""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape
    return MultiPolygon([part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"])


def _latest_free(latest: float, earliest: float, taken: Sequence[Span]) -> float | None:
    for span in reversed(taken):
        if span.start < latest < span.end:
            latest = span.start - HAIR
    return latest if latest >= earliest - HAIR else None


def _inner(taken: Iterable[Span]) -> tuple[Span, ...]:
    """Without their very ends, where a joint may begin, also between two that just touch.

    Else rounding would decide, and a turned drawing be laid out differently.
    """
    return union(
        Span(span.start + HAIR, span.end - HAIR) for span in taken if span.length > 3 * HAIR
    )


def _kept_clear(
    openings: Sequence[Any], rows: Sequence[Row], layout: Layout
) -> dict[int, list[Span]]:
    """By row, where an end lap would lie too near to an opening."""
    near: dict[int, list[Span]] = {row.number: [] for row in rows}
    if not openings or not rows:
        return near
    shapes = np.array(openings, dtype=object)
    bounds = shapely.bounds(shapes)
    starts = np.array([row.low for row in rows])
    for shape, (x0, y0, x1, y1) in zip(shapes, bounds, strict=True):
        for row in rows[max(0, int(np.searchsorted(starts, y0 - layout.clear)) - 2) :]:
            low, high = row.low - layout.clear, row.high + layout.clear
            if low >= y1:
                break
            if high > y0:
                part = shapely.bounds(shape.intersection(shapely.box(x0, low, x1, high)))
                if not np.isnan(part).any():
                    before, after = part[0] - layout.clear - layout.end_lap, part[2] + layout.clear
                    near[row.number].append(Span(before, after))
    return near

"""What a plan adds up to: rolls, waste, feet of seam, T-joints, details, hours, power places."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np
import shapely

from lapwright.errors import OutOfRange
from lapwright.roof.conflicts import Conflict
from lapwright.roof.layout import turned
from lapwright.roof.outline import Corner
from lapwright.roof.plan import AreaPlan, Sheet
from lapwright.roof.rows import HAIR
from lapwright.roof.seams import Seam

_NEAR = ("seam_over", "seam_near")


@dataclass(frozen=True)
class Quantities:
    """Sums of one roof area, or of several added together.

    Parameters
    ----------
    roof_area : float
        Without curbs and walls. [m2]
    sheet_area, lap_area : float
        What lies on the roof, and how much of it lies double: their difference is the roof. [m2]
    sheets, half_sheets : int
        Pieces from full and from half rolls.
    rolls, half_rolls : int
        Rolls they are cut from, longest piece first into the first roll that has room.
    roll_area : float
        Of those rolls; what is not on the roof is waste. [m2]
    side_laps, end_laps : int
        Seams with a number.
    side_length, end_length : float
        Feet of seam. [m]
    t_joints, detail_t_joints : int
        Three sheets on a side lap; a lap that runs out at an edge, curb or wall.
    curbs, walls, pipes, drains : int
        Openings.
    corners : int
        Of edges, curbs and walls.
    edge_length : float
        Where flashing or edge strip begins. [m]
    hand_length : float
        At curbs, walls, pipes and target patches. [m]
    near_length : float
        Seam nearer to a drain, curb or pipe than the rule. [m]
    """

    roof_area: float = 0.0
    sheet_area: float = 0.0
    lap_area: float = 0.0
    sheets: int = 0
    half_sheets: int = 0
    rolls: int = 0
    half_rolls: int = 0
    roll_area: float = 0.0
    side_laps: int = 0
    end_laps: int = 0
    side_length: float = 0.0
    end_length: float = 0.0
    t_joints: int = 0
    detail_t_joints: int = 0
    curbs: int = 0
    walls: int = 0
    pipes: int = 0
    drains: int = 0
    corners: int = 0
    edge_length: float = 0.0
    hand_length: float = 0.0
    near_length: float = 0.0

    def __add__(self, other: Quantities) -> Quantities:
        names = [each.name for each in fields(self)]
        return Quantities(**{name: getattr(self, name) + getattr(other, name) for name in names})

    @property
    def seam_length(self) -> float:
        """Side and end laps. [m]"""
        return self.side_length + self.end_length

    @property
    def waste_area(self) -> float:
        """Bought and not on the roof. [m2]"""
        return self.roll_area - self.sheet_area

    @property
    def waste_share(self) -> float:
        """Waste of what is bought."""
        return self.waste_area / self.roll_area if self.roll_area else 0.0

    @property
    def closure(self) -> float:
        """Sheets less laps less roof, as a share of the roof: how far the plan is from exact."""
        return (self.sheet_area - self.lap_area) / self.roof_area - 1.0


def add_up(plan: AreaPlan) -> Quantities:
    """The quantities of one area.

    Examples
    --------
    >>> from lapwright.roof.layout import Layout
    >>> from lapwright.roof.outline import outline, ring
    >>> from lapwright.roof.plan import plan_area
    >>> roof = outline("A", ring([(0, 0), (40, 0), (40, 10), (0, 10)], name="A"))
    >>> layout = Layout(width=3.0, roll=30.0, lap=0.15, end_lap=0.15)
    >>> found = add_up(plan_area(roof, layout))
    >>> found.side_laps, found.side_length, found.end_laps, found.rolls, found.t_joints
    (3, 120.0, 4, 6, 6)
    """
    layout, joints = plan.layout, plan.t_joints
    sides = [seam for seam in plan.seams if seam.kind == "side"]
    ends = [seam for seam in plan.seams if seam.kind == "end"]
    full = [sheet for sheet in plan.sheets if not sheet.is_half]
    half = [sheet for sheet in plan.sheets if sheet.is_half]
    rolls, half_rolls = (_rolls(each, layout.roll) for each in (full, half))
    kinds = [detail.kind for detail in plan.details]
    return Quantities(
        roof_area=plan.outline.roof.area,
        sheet_area=float(sum(shapely.area([sheet.shape for sheet in plan.sheets]))),
        lap_area=plan.lap_area,
        sheets=len(full),
        half_sheets=len(half),
        rolls=rolls,
        half_rolls=half_rolls,
        roll_area=layout.roll * (rolls * layout.width + half_rolls * layout.half_width),
        side_laps=len(sides),
        end_laps=len(ends),
        side_length=_length(sides),
        end_length=_length(ends),
        t_joints=sum(not joint.is_at_detail for joint in joints),
        detail_t_joints=sum(joint.is_at_detail for joint in joints),
        curbs=kinds.count("curb"),
        walls=kinds.count("wall"),
        pipes=kinds.count("pipe"),
        drains=kinds.count("drain"),
        corners=sum(detail.corners for detail in plan.details),
        edge_length=plan.outline.edge.length,
        hand_length=sum((detail.length for detail in plan.details), 0.0),
        near_length=near_length(plan.conflicts),
    )


def near_length(conflicts: Iterable[Conflict]) -> float:
    """Feet of seam over or too near to a drain, curb or pipe. [m]"""
    return sum((each.length for each in conflicts if each.code in _NEAR), 0.0)


def _length(seams: Iterable[Seam]) -> float:
    return sum((seam.length for seam in seams), 0.0)


def _rolls(sheets: Iterable[Sheet], roll: float) -> int:
    """Rolls from which the pieces can be cut: longest first, into the first that has room."""
    left = np.empty(0)
    for length in sorted((sheet.length for sheet in sheets), reverse=True):
        room = np.flatnonzero(left >= length - HAIR)
        if room.size:
            left[room[0]] -= length
        else:
            left = np.append(left, roll - length)
    return len(left)


@dataclass(frozen=True)
class Rate:
    """What this crew has logged, from its slow to its good days.

    Parameters
    ----------
    low, high : float
        [m/s], stops included.

    Raises
    ------
    OutOfRange
        Not above zero, or the low above the high.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low > 0:
            raise OutOfRange("crew_rate", self.low, above=0.0)
        if not self.low <= self.high < math.inf:
            raise OutOfRange("crew_rate", self.high, above=self.low)

    def seconds(self, length: float) -> tuple[float, float]:
        """Least and most time that a length takes. [s]

        Examples
        --------
        >>> Rate(0.02, 0.03).seconds(60.0)
        (2000.0, 3000.0)
        """
        return length / self.high, length / self.low


def power_places(plan: AreaPlan, reach: float) -> tuple[Corner, ...]:
    """Places for a generator from which a cord reaches every foot of the roof.

    The roof is laid out in squares whose corners are in reach of their middle, along the run: a
    number that suffices, not the least possible, and straight lines, so keep slack for corners.

    Parameters
    ----------
    plan : AreaPlan
        One area.
    reach : float
        Length of the cord. [m]

    Raises
    ------
    OutOfRange
        No length.
    """
    if not reach > 0:
        raise OutOfRange("reach", reach, above=0.0)
    to_run, to_drawing = turned(plan.run)
    roof = plan.outline.roof_in(to_run)
    x0, y0, x1, y1 = roof.bounds
    across, up = (
        max(1, math.ceil(side / (reach * math.sqrt(2)) - HAIR)) for side in (x1 - x0, y1 - y0)
    )
    wide, high = (x1 - x0) / across, (y1 - y0) / up
    column, row = (axis.ravel() for axis in np.meshgrid(np.arange(across), np.arange(up)))
    cells = shapely.box(
        x0 + column * wide, y0 + row * high, x0 + (column + 1) * wide, y0 + (row + 1) * high
    )
    used = cells[shapely.area(shapely.intersection(cells, roof)) > HAIR]
    centres: Sequence[list[float]] = shapely.get_coordinates(
        to_drawing(shapely.centroid(used))
    ).tolist()
    return tuple((x, y) for x, y in centres)

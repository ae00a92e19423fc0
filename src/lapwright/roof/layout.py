"""The rules a roof is laid by, and the direction its rows run.

All of them are the job's. Where nothing is said a default stands in, marked as ours.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Polygon

from lapwright.errors import LapwrightError, OutOfRange

STAGGER = 0.9144  # m; 3 ft, our choice: the trade only says that end laps are offset
CLEAR = 0.3048  # m; 12 in between a seam and a drain, curb or pipe, a contractor's standard
SHORTEST = 0.9144  # m; 3 ft, our choice: a shorter sheet at the end of a row is two end laps in one
_ALONG = math.radians(1.0)  # edges this alike count as one direction; our choice

Frame = Callable[[Any], Any]


@dataclass(frozen=True)
class Layout:
    """Rolls, laps and rules of one roof area.

    Parameters
    ----------
    width, roll : float
        Of a roll: across and along. [m]
    lap, end_lap : float
        Overlap along the long edge and at a roll's end; the attachment decides. [m]
    half : float, optional
        Width of a half sheet; half of ``width`` unless said. [m]
    half_rows : int
        Half sheets along the first and the last edge, as a count.
    zone : float
        Instead of a count: width of the perimeter zone, in which no full sheet lies. [m]
    stagger : float
        Least distance between two T-joints on one side lap. [m]
    clear : float
        Least distance from a lap to a drain, curb or pipe. [m]
    shortest : float
        Least length of a sheet between two end laps. [m]
    run : float, optional
        Direction of rows and stations, counter-clockwise from the drawing's x; rows are laid from
        right to left of it. Along the longest edge unless said. [rad]
    shift : float
        How much of the first row hangs over the edge and is cut off. [m]
    flow : float, optional
        Direction in which water runs down, as ``run``. [rad]

    Raises
    ------
    OutOfRange
        A size that no roll has, or a lap that leaves no sheet.
    LapwrightError
        ``half_rows_and_zone``: both are given.
    """

    width: float
    roll: float
    lap: float
    end_lap: float
    half: float | None = None
    half_rows: int = 0
    zone: float = 0.0
    stagger: float = STAGGER
    clear: float = CLEAR
    shortest: float = SHORTEST
    run: float | None = None
    shift: float = 0.0
    flow: float | None = None

    def __post_init__(self) -> None:
        for name, value, above, below in (
            ("roll_width", self.width, 0.3, 10.0),
            ("roll_length", self.roll, 2.0, 300.0),
            ("half_width", self.half_width, 0.15, self.width * 1.0001),
            ("lap", self.lap, 0.01, self.half_width / 2),
            ("end_lap", self.end_lap, 0.01, self.roll / 4),
            ("half_rows", self.half_rows, -1, 1000),
            ("zone", self.zone, -0.001, 1000.0),
            ("stagger", self.stagger, -0.001, self.roll / 4),
            ("clear", self.clear, -0.001, 10.0),
            ("shortest", self.shortest, 0.0, self.roll / 2),
            ("shift", self.shift, -1e-9, self.most_shift),
        ):
            if not above < value < below:  # not-a-number fails too
                raise OutOfRange(name, value, above=above, below=below)
        if self.half_rows and self.zone:
            raise LapwrightError("half_rows_and_zone")

    @property
    def half_width(self) -> float:
        """Width of a half sheet. [m]"""
        return self.width / 2 if self.half is None else self.half

    @property
    def most_shift(self) -> float:
        """So much cut off the first row leaves it two laps wide: no less holds a weld. [m]"""
        first = self.half_width if self.half_rows or self.zone else self.width
        return first - 2 * self.lap + 1e-6


def longest_direction(edge: Polygon) -> float:
    """Direction that most feet of an edge have, with the roof on its left. [rad]

    Edges within a degree of each other, or opposite, count together; of these the longest gives
    its own direction, so that turning the roof turns the answer.

    Examples
    --------
    >>> longest_direction(Polygon([(0, 0), (20, 0), (20, 10), (0, 10)]))
    0.0
    """
    corners = shapely.get_coordinates(edge.exterior)
    sides = np.diff(corners, axis=0)
    lengths = np.hypot(*sides.T)
    angles = np.arctan2(sides[:, 1], sides[:, 0])
    apart = np.abs(np.angle(np.exp(2j * (angles[:, None] - angles[None, :])))) / 2
    feet = np.where(apart <= _ALONG, lengths[None, :], 0.0).sum(axis=1)
    best = np.flatnonzero(feet >= feet.max() * (1 - 1e-9))
    longest = best[np.argmax(np.round(lengths[best], 6))]
    return float(angles[longest])


def run_of(edge: Polygon, layout: Layout) -> float:
    """The direction the rows run: as said, else along the longest edge from the low side. [rad]

    Rows are laid to the left of it, each over the one before. Where the slope is known and
    nobody set the run, it is turned about so that the first row lies on the low side.
    """
    if layout.run is not None:
        return layout.run
    run = longest_direction(edge)
    if layout.flow is not None and math.sin(layout.flow - run) > 1e-6:
        return run + math.pi if run <= 0 else run - math.pi
    return run


def turned(run: float) -> tuple[Frame, Frame]:
    """Into the frame where rows run along x, and back; for any shapes of shapely."""
    cosine, sine = math.cos(run), math.sin(run)
    into = np.array([[cosine, -sine], [sine, cosine]])

    def to_run(shapes: Any) -> Any:
        return shapely.transform(shapes, lambda points: points @ into)

    def to_drawing(shapes: Any) -> Any:
        return shapely.transform(shapes, lambda points: points @ into.T)

    return to_run, to_drawing

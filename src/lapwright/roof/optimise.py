"""The layout that costs a job least: directions and first rows tried one by one.

A candidate is planned whole and measured, so that what wins is what is welded. Nothing is
promised beyond the candidates: they are listed by number, the same every time.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from lapwright.errors import OutOfRange
from lapwright.roof.layout import Layout, longest_direction
from lapwright.roof.outline import Outline
from lapwright.roof.plan import AreaPlan, plan_area
from lapwright.roof.quantities import Quantities, add_up

SHIFTS = 24  # first rows tried per direction; our choice
_DIRECTIONS = 3  # of edge directions, each also turned by a quarter; our choice
_ALIKE = math.radians(1.0)  # our choice

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Weights:
    """What counts, in metres of seam; the job's own. The defaults are our choice.

    Parameters
    ----------
    seam : float
        A metre of side or end lap.
    t_joint : float
        A T-joint on a side lap. [m]
    waste : float
        A square metre of sheet bought and not on the roof. [1/m]
    cut : float
        A sheet cut to length. [m]
    near : float
        A metre of seam over or too near to a drain, curb or pipe.

    Raises
    ------
    OutOfRange
        A weight below zero.
    """

    seam: float = 1.0
    t_joint: float = 1.0
    waste: float = 0.5
    cut: float = 0.5
    near: float = 100.0

    def __post_init__(self) -> None:
        for value in (self.seam, self.t_joint, self.waste, self.cut, self.near):
            if not 0 <= value < math.inf:
                raise OutOfRange("objective_weight", value, above=-1e-9)

    def cost(self, found: Quantities) -> float:
        """What a plan costs. [m of seam]

        Examples
        --------
        >>> Weights(waste=0.0, cut=0.0).cost(Quantities(side_length=100.0, t_joints=7))
        107.0
        """
        return (
            self.seam * found.seam_length
            + self.t_joint * found.t_joints
            + self.waste * found.waste_area
            + self.cut * (found.sheets + found.half_sheets)
            + self.near * found.near_length
        )


def optimise(
    outline: Outline,
    layout: Layout,
    *,
    weights: Weights | None = None,
    progress: Progress | None = None,
) -> AreaPlan:
    """The cheapest of the candidates; of equals the first, which is the plan not optimised.

    Parameters
    ----------
    outline : Outline
        One area.
    layout : Layout
        Its rules. A run that is said is kept; only the first row is then moved.
    weights : Weights, optional
        What counts.
    progress : callable, optional
        Told how many candidates are done, of how many.

    Raises
    ------
    OutOfRange, LapwrightError
        Those of ``Layout``.
    """
    weights = weights or Weights()
    tried = list(candidates(outline, layout))
    best: AreaPlan | None = None
    least = math.inf
    for done, candidate in enumerate(tried, start=1):
        plan = plan_area(outline, candidate)
        cost = weights.cost(add_up(plan))
        if best is None or cost < least - 1e-9 * abs(least):
            best, least = plan, cost
        if progress is not None:
            progress(done, len(tried))
    assert best is not None  # the layout as it stands is always tried
    return best


def candidates(outline: Outline, layout: Layout) -> Iterator[Layout]:
    """Layouts to try: as it stands, then each direction with each first row."""
    yield layout
    shifts = np.arange(SHIFTS) * layout.most_shift / SHIFTS
    runs = [layout.run] if layout.run is not None else _runs(outline, layout.flow)
    for run in runs:
        for shift in shifts:
            if run != layout.run or shift != layout.shift:
                yield replace(layout, run=run, shift=float(shift))


def _runs(outline: Outline, flow: float | None) -> list[float]:
    """Directions that edges have, and square to them; rows begin on the low side if known."""
    corners = shapely.get_coordinates(outline.edge.exterior)
    sides = np.diff(corners, axis=0)
    longest_first = sides[np.argsort(-np.hypot(*sides.T), kind="stable")]
    found = [longest_direction(outline.edge)]
    for x, y in longest_first.tolist():
        angle = math.atan2(y, x)
        if all(_apart(angle, other) > _ALIKE for other in found):
            found.append(angle)
        if len(found) == _DIRECTIONS:
            break
    runs: list[float] = []
    for angle in (turn + quarter for turn in found for quarter in (0.0, math.pi / 2)):
        if all(_apart(angle, other) > _ALIKE for other in runs):
            is_high = flow is not None and math.sin(flow - angle) > 1e-6
            runs.append(math.remainder(angle + math.pi if is_high else angle, 2 * math.pi))
    return runs


def _apart(first: float, second: float) -> float:
    """Angle between two directions, either way along. [rad]"""
    return abs(math.remainder(first - second, math.pi))

"""Bottom and top with their intervals, as air temperature at stated conditions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lapwright.physics.heat import air_at
from lapwright.window.belief import Belief
from lapwright.window.prior import BOTTOM, STEP, TOP, Values
from lapwright.window.strips import TestWeld

INTERVAL = (0.05, 0.50, 0.95)  # lower end, median and upper end of a 90 % interval


@dataclass(frozen=True)
class Conditions:
    """What the lap meets besides the air from the nozzle.

    Parameters
    ----------
    speed : float
        Travel speed. [m/s]
    sheet, ambient : float
        Sheet before the nozzle; air temperature on the roof. [K]
    """

    speed: float
    sheet: float
    ambient: float


@dataclass(frozen=True)
class Edge:
    """One edge of the window with its 90 % interval; None is an open or unknown end.

    Parameters
    ----------
    low, mid, high : float or None
        5 %, 50 % and 95 % of the belief, as air temperature. [K]
    """

    low: float | None
    mid: float | None
    high: float | None


def bottom_edge(belief: Belief, conditions: Conditions, welds: Sequence[TestWeld]) -> Edge:
    """Bottom of the window: half of the strips are full there.

    Parameters
    ----------
    belief : Belief
        After ``welds``.
    conditions : Conditions
        Where the edge is wanted.
    welds : sequence of TestWeld
        Decide which ends are open: no strip short of full leaves the low end open, no
        full strip the high end, no strip at all everything.

    Returns
    -------
    Edge

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> here = Conditions(speed=0.0508, sheet=302.6, ambient=300.0)
    >>> bottom_edge(Belief.before(Prior()), here, [])
    Edge(low=None, mid=None, high=None)
    """
    cold, partial, full = np.sum([weld.bond_counts for weld in welds] or [(0, 0, 0)], axis=0)
    return _edge(
        belief,
        conditions,
        BOTTOM,
        belief.joint.sum(axis=2),
        below=cold + partial > 0,
        above=full > 0,
    )


def top_edge(belief: Belief, conditions: Conditions, welds: Sequence[TestWeld]) -> Edge:
    """Top of the window: half of the strips show overheat signs there.

    Parameters
    ----------
    belief, conditions, welds
        As :func:`bottom_edge`. No sign seen leaves the high end open, no strip without
        signs the low end; if nobody looked, nothing is known and nothing is said.

    Returns
    -------
    Edge

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> here = Conditions(speed=0.0508, sheet=302.6, ambient=300.0)
    >>> top_edge(Belief.before(Prior()), here, [])
    Edge(low=None, mid=None, high=None)
    """
    none, signs = np.sum([weld.heat_counts for weld in welds] or [(0, 0)], axis=0)
    return _edge(belief, conditions, TOP, belief.joint.sum(axis=1), below=none > 0, above=signs > 0)


def _edge(
    belief: Belief,
    conditions: Conditions,
    lattice: Values,
    mass: Values,
    *,
    below: bool,
    above: bool,
) -> Edge:
    if not (below or above):
        return Edge(None, None, None)
    low, mid, high = _quantiles(belief, conditions, lattice, mass)
    return Edge(low if below else None, mid, high if above else None)


def _quantiles(
    belief: Belief, conditions: Conditions, lattice: Values, mass: Values
) -> tuple[float, float, float]:
    """Quantiles of an edge at the conditions, kappa mixed; ``mass`` is (kappa, lattice)."""
    bounds = np.append(lattice - STEP / 2, lattice[-1] + STEP / 2)
    moved = air_at(
        bounds[None, :],
        sheet=conditions.sheet,
        speed=conditions.speed,
        kappa=belief.prior.kappa[:, None],
    )
    points = np.unique(moved)
    share = sum(
        np.interp(points, at, np.concatenate([[0.0], np.cumsum(row)]))
        for at, row in zip(moved, mass, strict=True)
    )
    low, mid, high = np.interp(INTERVAL, share, points)
    return float(low), float(mid), float(high)

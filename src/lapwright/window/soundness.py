"""P(sound) at any air temperature, speed and sheet: the map behind every choice.

A setting is sound when it lies above the 95 % bond limit (bottom plus 1.645 sigma) and
below the 5 % overheat limit (top minus 1.645 sigma). The belief is condensed once into
a table of P(bond limit <= x and overheat limit >= y) per kappa; every question after
that is a look-up. Away from the tested speeds and sheets both edges give way by the
margins of :func:`lapwright.physics.heat.transfer_margins`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from lapwright.physics.heat import (
    MOST_SHEET_CHANGE,
    MOST_SPEED_RATIO,
    REFERENCE_SPEED,
    equivalent_air,
    rise_fraction,
    transfer_margins,
)
from lapwright.window.belief import Belief
from lapwright.window.prior import BOTTOM, STEP, TOP, WIDE, Values
from lapwright.window.strips import TestWeld

LIMIT = 1.645  # -; 95 % point of the normal law: at most 1 strip in 20 beyond a limit
AXIS: Values = BOTTOM[0] + STEP * np.arange(141.0)  # K; 300 to 1700 F of equivalent air
STRUCTURAL_SD = STEP  # K; 10 F on each edge carried to other conditions; our choice
FULL_MOVE_LOG_SPEED = 0.10  # -; a tenth faster or slower counts as fully moved; our choice
FULL_MOVE_SHEET = 10 / 1.8  # K; so does a sheet 10 F off; our choice


@dataclass(frozen=True)
class Tested:
    """Range of conditions that the test welds covered.

    Parameters
    ----------
    slowest, fastest : float
        Travel speeds. [m/s]
    coldest, warmest : float
        Sheet temperatures. [K]
    """

    slowest: float
    fastest: float
    coldest: float
    warmest: float

    @classmethod
    def of(cls, welds: Sequence[TestWeld]) -> Tested | None:
        """Range of the welds; None when there are none."""
        if not welds:
            return None
        speeds = [weld.speed for weld in welds]
        sheets = [weld.sheet for weld in welds]
        return cls(min(speeds), max(speeds), min(sheets), max(sheets))

    def outside(self, *, speed: ArrayLike, sheet: ArrayLike) -> tuple[Values, Values]:
        """Distance outside the range: ln of the speed ratio, and K of sheet; signed, 0 inside.

        Faster and warmer count as positive.
        """
        speed, sheet = np.asarray(speed, dtype=float), np.asarray(sheet, dtype=float)
        log_speed = np.log(speed / np.clip(speed, self.slowest, self.fastest))
        return log_speed, sheet - np.clip(sheet, self.coldest, self.warmest)

    def reaches(self, *, speed: ArrayLike, sheet: ArrayLike) -> Values:
        """Whether conditions are near enough to carry the window there."""
        log_speed, warmer = self.outside(speed=speed, sheet=sheet)
        near = 1 + 1e-9  # a speed of just 1.4 times is within
        return np.asarray(
            (np.abs(log_speed) <= np.log(MOST_SPEED_RATIO) * near)
            & (np.abs(warmer) <= MOST_SHEET_CHANGE * near)
        )


@lru_cache(maxsize=1)
def _shares() -> tuple[Values, Values]:
    """Share of a lattice cell whose limit lies below (bottom) or above (top) each axis point."""
    raised = BOTTOM[None, None, :] + LIMIT * WIDE.sigma[:, None, None]
    lowered = TOP[None, None, :] - LIMIT * WIDE.sigma[:, None, None]
    below = np.clip((AXIS[None, :, None] - raised) / STEP + 0.5, 0.0, 1.0)
    above = np.clip((lowered - AXIS[None, :, None]) / STEP + 0.5, 0.0, 1.0)
    return below, above


@lru_cache(maxsize=1)
def _smoother() -> Values:
    weight = np.exp(-0.5 * ((AXIS[:, None] - AXIS[None, :]) / STRUCTURAL_SD) ** 2)
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))


class Soundness:
    """P(sound) as a function of setting and conditions, from one belief.

    Parameters
    ----------
    belief : Belief
        After the test welds.
    tested : Tested or None
        Range the welds covered; None (no weld yet) carries the prior without margins.

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> map_ = Soundness(Belief.before(Prior()), None)
    >>> cold, middle = map_.at([500.0, 730.0], speed=0.0508, sheet=302.6)
    >>> bool(cold < 0.05 < 0.5 < middle)
    True
    """

    def __init__(self, belief: Belief, tested: Tested | None) -> None:
        below, above = _shares()
        bond = np.einsum("sib,ksb->kib", below, belief.bond.sum(axis=(2, 3)))
        heat = np.einsum("sjt,kst->ktj", above, belief.heat.sum(axis=2))
        self.kappa = belief.prior.kappa
        self.tested = tested
        self.between = (
            bond @ belief.coupling @ heat
        )  # (kappa, bond limit <= x, overheat limit >= y)

    @cached_property
    def _carried(self) -> Values:
        """The same table with the structural doubt of conditions that were not tested."""
        return np.asarray(_smoother() @ self.between @ _smoother().T)

    def at(self, air: ArrayLike, *, speed: ArrayLike, sheet: ArrayLike) -> Values:
        """P(sound) at settings and conditions, broadcast together.

        Parameters
        ----------
        air : array_like
            Air temperature at the nozzle. [K]
        speed, sheet : array_like
            Travel speed; sheet before the nozzle. [m/s, K]

        Returns
        -------
        ndarray
            Between 0 and 1. [-]
        """
        air, speed, sheet = np.broadcast_arrays(
            *(np.asarray(value, dtype=float) for value in (air, speed, sheet))
        )
        kappa = self.kappa.reshape(-1, *([1] * air.ndim))
        x = equivalent_air(air, sheet=sheet, speed=speed, kappa=kappa)
        if self.tested is None:
            return self._look_up(self.between, x, x)
        log_speed, warmer = self.tested.outside(speed=speed, sheet=sheet)
        moved = np.minimum(1.0, np.hypot(log_speed / FULL_MOVE_LOG_SPEED, warmer / FULL_MOVE_SHEET))
        if not moved.any():
            return self._look_up(self.between, x, x)
        bottom_up, top_down = transfer_margins(log_speed=log_speed, colder=-warmer)
        scale = rise_fraction(speed, kappa=kappa) / rise_fraction(REFERENCE_SPEED, kappa=kappa)
        bond, heat = x - bottom_up * scale, x + top_down * scale
        near, far = (
            self._look_up(self.between, bond, heat),
            self._look_up(self._carried, bond, heat),
        )
        return np.asarray((1.0 - moved) * near + moved * far)

    def _look_up(self, table: Values, bond: Values, heat: Values) -> Values:
        """Bilinear look-up, summed over kappa; ``bond`` and ``heat`` are (kappa, ...)."""
        last = len(AXIS) - 1
        row = np.clip((bond - AXIS[0]) / STEP, 0.0, last - 1e-9)
        column = np.clip((heat - AXIS[0]) / STEP, 0.0, last - 1e-9)
        i, j = row.astype(np.intp), column.astype(np.intp)
        u, v = row - i, column - j
        k = np.arange(len(table)).reshape(-1, *([1] * (bond.ndim - 1)))
        flat = table.ravel()
        corner = (k * len(AXIS) + i) * len(AXIS) + j
        value = (1 - u) * ((1 - v) * flat[corner] + v * flat[corner + 1])
        corner += len(AXIS)
        value += u * ((1 - v) * flat[corner] + v * flat[corner + 1])
        return np.asarray(value.sum(axis=0).clip(0.0, 1.0))

    def p_window(self, max_air: float, *, speed: float, sheet: float) -> float:
        """P(some air temperature up to ``max_air`` is sound at these conditions).

        Parameters
        ----------
        max_air : float
            Hottest air the machine reaches. [K]
        speed, sheet : float
            Travel speed; sheet before the nozzle. [m/s, K]

        Returns
        -------
        float
        """
        total = 0.0
        for table, limit in zip(self.between, self._limits(max_air, speed, sheet), strict=True):
            diagonal = np.diagonal(table)
            step_up = np.diagonal(table, offset=1)  # bond limit one step lower, same overheat limit
            newly = np.concatenate([diagonal[:1], diagonal[1:] - step_up])
            total += float(np.interp(limit, AXIS, np.cumsum(newly)))
        return min(max(total, 0.0), 1.0)

    def p_bottom_beyond(self, max_air: float, *, speed: float, sheet: float) -> float:
        """P(even the hottest air the machine reaches is below the bond limit).

        Parameters
        ----------
        max_air, speed, sheet : float
            As :meth:`p_window`.

        Returns
        -------
        float
        """
        within = sum(
            float(np.interp(limit, AXIS, table[:, 0]))
            for table, limit in zip(self.between, self._limits(max_air, speed, sheet), strict=True)
        )
        return min(max(1.0 - within, 0.0), 1.0)

    def _limits(self, max_air: float, speed: float, sheet: float) -> Values:
        return equivalent_air(max_air, sheet=sheet, speed=speed, kappa=self.kappa)

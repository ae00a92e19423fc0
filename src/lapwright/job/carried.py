"""The morning's window carried to the sheet temperatures of the hours ahead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lapwright.job.morning import Morning
from lapwright.physics.heat import air_at
from lapwright.window.prior import Values
from lapwright.window.setpoint import choose

_SHEET_STEP = 0.1  # K; finer than any sheet is known, and a year has few such steps


@dataclass(frozen=True)
class Cost:
    """What one set point for all workable hours costs against testing again.

    Parameters
    ----------
    morning, whole_day, hour_by_hour : float
        Mean P(sound) over the workable hours: with the set point of the morning, with
        the one set point that suits the whole day best, with one for every hour. [-]
    whole_day_air : float
        The one that suits best. [K]
    """

    morning: float
    whole_day: float
    hour_by_hour: float
    whole_day_air: float


@dataclass(frozen=True)
class Carried:
    """Set points and edges of one morning, hour by hour.

    Parameters
    ----------
    morning_air : float
        Set point of the morning. [K]
    air : ndarray, shape (n,)
        Candidate settings. [K]
    p_sound : ndarray, shape (hours, n)
        Of each candidate; nan where the sheet lies beyond what the tests may carry. [-]
    bottom, top : ndarray, shape (hours,)
        Expected edges as air temperature. [K]

    Notes
    -----
    A test weld of the plan chooses a set point anew but teaches nothing: what its strips
    will show is not known yet. So P(sound) is rather too low than too high after it.
    """

    morning_air: float
    air: Values
    p_sound: Values
    bottom: Values
    top: Values

    @classmethod
    def of(cls, morning: Morning | None, *, sheet: Values) -> Carried | None:
        """Carry a morning to sheet temperatures, one per hour; None without a set point."""
        tested = None if morning is None else morning.soundness.tested
        if morning is None or tested is None:
            return None
        point = choose(morning.choice, morning.question.policy)
        if point is None:
            return None
        air, speed = np.unique(morning.choice.air), point.speed
        steps, back = np.unique(np.round(sheet / _SHEET_STEP), return_inverse=True)
        near = steps * _SHEET_STEP
        reached = tested.reaches(speed=speed, sheet=near)
        sound = morning.soundness.at(air[None, :], speed=speed, sheet=near[:, None])
        sound = np.where(reached[:, None], sound, np.nan)
        kappa, edges = morning.belief.mean_kappa, morning.belief.mean_edges
        bottom, top = (air_at(edge, sheet=sheet, speed=speed, kappa=kappa) for edge in edges)
        return cls(point.air, air, sound[back], bottom, top)

    def at(self, number: int, air: float) -> float | None:
        """P(sound) of a setting in one hour; None beyond the tests."""
        sound = float(self.p_sound[number, self._nearest(air)])
        return None if np.isnan(sound) else sound

    def best_at(self, number: int) -> tuple[float, float] | tuple[None, None]:
        """Best setting in one hour and its P(sound); None beyond the tests."""
        sound = self.p_sound[number]
        if np.isnan(sound[0]):
            return None, None
        best = int(np.argmax(sound))
        return float(self.air[best]), float(sound[best])

    def cost(self, workable: Sequence[int]) -> Cost | None:
        """Compare one set point with many over some hours; None when all lie beyond the tests."""
        sound = self.p_sound[list(workable)]
        sound = sound[~np.isnan(sound).any(axis=1)]
        if not len(sound):
            return None
        mean = sound.mean(axis=0)
        best = int(np.argmax(mean))
        return Cost(
            morning=float(mean[self._nearest(self.morning_air)]),
            whole_day=float(mean[best]),
            hour_by_hour=float(sound.max(axis=1).mean()),
            whole_day_air=float(self.air[best]),
        )

    def _nearest(self, air: float) -> int:
        return int(np.argmin(np.abs(self.air - air)))

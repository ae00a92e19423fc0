"""Days in crossed groups: how much a pairing, a machine, a nozzle, a month and a day each move.

A linear mixed model of bottom and width, known through evidence of any strength, also none.
Each group shrinks toward the family, the more the less is known of it. Everything is closed
form but the spreads, which maximise their posterior.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize

from lapwright.window.prior import Values

Columns = NDArray[np.int64]

_LEAST, _MOST = 1e-6, 1e6  # K2; spreads are sought between
_STEPS = 200  # most steps of a search; it ends by itself long before
_ENOUGH = 1e-13  # of the fit; what a search may still gain when it ends
_PAIR = ((0, 0), (0, 1), (1, 1))  # bottom with bottom, bottom with width, width with width


@dataclass(frozen=True, eq=False)
class Group:
    """Levels that share one spread, as the machines of a company do.

    Parameters
    ----------
    level : ndarray of int64, shape (days,)
        Level of each day, 0 and up; -1 where nobody noted it.
    count : int
        Number of levels.
    alike : ndarray, shape (count, count), optional
        Correlation of the levels; independent unless said. [-]
    """

    level: Columns
    count: int
    alike: Values | None = None

    @property
    def precision(self) -> Values:
        """Inverse correlation of the levels. [-]"""
        return np.asarray(np.eye(self.count) if self.alike is None else np.linalg.inv(self.alike))


@dataclass(frozen=True, eq=False)
class Start:
    """What is taken for likely of means and spreads before any day.

    Parameters
    ----------
    mean : ndarray, shape (families, 2)
        Bottom and width of each family. [K]
    mean_variance : ndarray, shape (families, 2)
        How far the mean over all that is ever welded may lie from it. [K2]
    variance : ndarray, shape (groups + 1, 2)
        Between the levels of each group and, last, between days. [K2]
    weight : float
        Levels that ``variance`` counts for; 0 lets the days alone speak.
    """

    mean: Values
    mean_variance: Values
    variance: Values
    weight: float


@dataclass(frozen=True, eq=False)
class Evidence:
    """What each day itself says of (bottom, width), a normal likelihood in natural form.

    Parameters
    ----------
    precision : ndarray, shape (days, 2, 2)
        Zero where nothing was seen. [1/K2]
    pull : ndarray, shape (days, 2)
        Precision times estimate. [1/K]
    """

    precision: Values
    pull: Values


@dataclass(frozen=True, eq=False)
class Solved:
    """Effects given the spreads.

    Parameters
    ----------
    effect : ndarray, shape (2, levels)
        Of bottom and width; levels of all groups in a row, families first, the last one
        is "not noted" and 0. [K]
    covariance : ndarray, shape (2, levels, 2, levels)
        [K2]
    fit : float
        Logarithm of the marginal likelihood, up to a constant. [-]
    slope : ndarray, shape (groups + 1, 2)
        Of ``fit`` by the logarithm of each variance. [-]
    others : tuple of ndarray
        Mean (days, 2) and covariance (days, 2, 2) of each day as all other days
        predict it. [K, K2]
    """

    effect: Values
    covariance: Values
    fit: float
    slope: Values
    others: tuple[Values, Values]


class Pooling:
    """Days, their groups, and what is taken for likely before.

    Parameters
    ----------
    family : Group
        Means with a start of their own.
    groups : tuple of Group
        In the order of ``start.variance``.
    start : Start
        Before any day.
    """

    def __init__(self, family: Group, groups: tuple[Group, ...], *, start: Start) -> None:
        self.start, self.groups = start, groups
        everything = (family, *groups)
        self.first = np.cumsum([0, *(group.count for group in everything)])
        self.levels = int(self.first[-1]) + 1
        self.column = np.stack(
            [
                np.where(group.level < 0, self.levels - 1, group.level + first)
                for group, first in zip(everything, self.first, strict=False)
            ],
            axis=1,
        )
        self._rows, which = np.unique(self.column, axis=0, return_inverse=True)
        self._which = which.ravel()
        self._mean = start.mean[family.level]
        self._precision = [group.precision for group in groups]
        self._log_alike = [float(np.linalg.slogdet(one)[1]) for one in self._precision]

    def part(self, group: int) -> slice:
        """Columns of a group; families are group -1."""
        return slice(int(self.first[group + 1]), int(self.first[group + 2]))

    def spread(self, variance: Values, column: Columns) -> Values:
        """Variance of (bottom, width) on a day beyond what its noted levels explain. [K2]"""
        unknown = column[:, 1:] == self.levels - 1
        return np.asarray(variance[-1] + unknown @ variance[:-1])

    def solve(self, evidence: Evidence, variance: Values) -> Solved:
        """Effects, fit and leave-one-day-out predictions for given spreads.

        Parameters
        ----------
        evidence : Evidence
            One row per day.
        variance : ndarray, shape (groups + 1, 2)
            As :attr:`Start.variance`. [K2]

        Returns
        -------
        Solved

        Notes
        -----
        With D the spread of a day, L its evidence and h the pull, the day weighs
        P = (I + L D)^-1 L; a day is taken out in closed form, G (I - P G)^-1 being the
        doubt of its mean without it.

        References
        ----------
        Bates et al., Fitting linear mixed-effects models using lme4, J. Stat. Softw. 67(1),
        2015; Cook and Weisberg, Residuals and Influence in Regression, 1982 (from memory).
        """
        one = np.eye(2)
        day = self.spread(variance, self.column)
        inner = one + evidence.precision * day[:, None, :]
        inverse = np.linalg.inv(inner)
        weight = inverse @ evidence.precision
        # All from the family's mean on: figures far from zero would drown the fit.
        pull = evidence.pull - (evidence.precision @ self._mean[..., None])[..., 0]
        pulled = (inverse @ pull[..., None])[..., 0]
        prior, prior_log = self._prior(variance)
        right = self._summed(pulled)
        factor = cho_factor(self._crossed(weight) + prior, lower=True)
        effect = cho_solve(factor, right.ravel()).reshape(right.shape)
        covariance = cho_solve(factor, np.eye(right.size)).reshape(2, self.levels - 1, 2, -1)
        padded = np.pad(covariance, ((0, 0), (0, 1), (0, 0), (0, 1)))
        effect = np.pad(effect, ((0, 0), (0, 1)))
        here, doubt = (each[self._which] for each in predicted(effect, padded, self._rows))
        left = pulled - (weight @ here[..., None])[..., 0]
        fit = 0.5 * (
            np.sum(day * pull * pulled)
            - np.sum(np.log(np.linalg.det(inner)))
            + float(effect[:, :-1].ravel() @ right.ravel())
            + prior_log
            - 2 * float(np.sum(np.log(np.diag(factor[0]))))
        )
        by_day = 0.5 * (left**2 + np.diagonal(weight @ doubt @ weight - weight, axis1=1, axis2=2))
        apart = doubt @ np.linalg.inv(one - weight @ doubt)
        away = self._mean + here - (apart @ left[..., None])[..., 0]
        beyond = apart + day[..., None] * one
        slope = self._slope(variance, effect, padded, by_day)
        effect[:, self.part(-1)] += self.start.mean.T
        return Solved(effect, padded, float(fit), slope, (away, beyond))

    def seek(self, evidence: Evidence, variance: Values, *, steps: int = _STEPS) -> Values:
        """The likeliest spreads, sought from given ones. [K2]"""
        half = 0.5 * self.start.weight
        counts = [*(group.count for group in self.groups), len(self.column)]
        # A million days bend the fit as half a million, twelve months as six: a search that
        # takes both alike never comes to the months.
        bend = np.sqrt(np.maximum(half + 0.5 * np.repeat(counts, 2), 0.5))

        def worth(place: Values) -> tuple[float, Values]:
            at = np.exp(place / bend).reshape(variance.shape)
            solved = self.solve(evidence, at)
            held = self.start.variance / at
            return (
                -solved.fit + half * float(np.sum(np.log(at) + held)),
                (-solved.slope + half * (1 - held)).ravel() / bend,
            )

        found = minimize(
            worth,
            np.log(variance).ravel() * bend,
            jac=True,
            method="L-BFGS-B",
            bounds=np.outer(bend, np.log([_LEAST, _MOST])),
            options={"maxiter": steps, "ftol": _ENOUGH},
        )
        return np.asarray(np.exp(found.x / bend).reshape(variance.shape))

    def _prior(self, variance: Values) -> tuple[Values, float]:
        """Precision of all effects before any day, and the logarithm of its determinant."""
        count = self.levels - 1
        prior = np.zeros((2, count, 2, count))
        log = -float(np.sum(np.log(self.start.mean_variance)))
        for edge in range(2):
            own = self.part(-1)
            prior[edge, own, edge, own] = np.diag(1 / self.start.mean_variance[:, edge])
            for group, precision in enumerate(self._precision):
                own, spread = self.part(group), variance[group, edge]
                prior[edge, own, edge, own] = precision / spread
                log += self._log_alike[group] - len(precision) * float(np.log(spread))
        return prior.reshape(2 * count, 2 * count), log

    def _crossed(self, weight: Values) -> Values:
        """Sum of the days' weights over every two of their levels."""
        count = self.levels
        total = np.zeros((2, count, 2, count))
        for left, right in _PAIR:
            summed = np.bincount(self._which, weight[:, left, right], len(self._rows))
            table = np.zeros((count, count))
            for a in self._rows.T:
                for b in self._rows.T:
                    np.add.at(table, (a, b), summed)
            total[left, :, right, :] = table
            total[right, :, left, :] = table.T
        return total[:, :-1, :, :-1].reshape(2 * count - 2, 2 * count - 2)

    def _summed(self, pulled: Values) -> Values:
        """Sum of the days' pulls over each of their levels."""
        total = np.zeros((2, self.levels))
        for edge in range(2):
            for column in self.column.T:
                total[edge] += np.bincount(column, pulled[:, edge], self.levels)
        return total[:, :-1]

    def _slope(
        self, variance: Values, effect: Values, covariance: Values, by_day: Values
    ) -> Values:
        slope = np.zeros_like(variance)
        slope[-1] = by_day.sum(axis=0) * variance[-1]
        for group, precision in enumerate(self._precision):
            own = self.part(group)
            unknown = self.column[:, group + 1] == self.levels - 1
            for edge in range(2):
                found = effect[edge, own]
                moved = found @ precision @ found
                moved += np.sum(precision * covariance[edge, own, edge, own])
                slope[group, edge] = 0.5 * (moved / variance[group, edge] - len(precision))
            slope[group] += by_day[unknown].sum(axis=0) * variance[group]
        return slope


def predicted(effect: Values, covariance: Values, column: Columns) -> tuple[Values, Values]:
    """Mean (days, 2) and doubt of the mean (days, 2, 2) where rows of levels meet. [K, K2]"""
    mean = effect[:, column].sum(axis=2).T
    doubt = np.zeros((len(column), 2, 2))
    for a in column.T:
        for b in column.T:
            for left, right in _PAIR:
                doubt[:, left, right] += covariance[left, a, right, b]
    doubt[:, 1, 0] = doubt[:, 0, 1]
    return mean, doubt

"""The exact likelihood of a day -> the normal evidence that stands for it among other days.

Where only one side of an edge was tested the likelihood has no summit, yet it moves the
belief: what it does to the mean and spread that all other days predict is what counts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lapwright.window.dayedges import BOTTOMS, TOPS, DayEdges, Profile
from lapwright.window.pooling import Evidence
from lapwright.window.prior import Values

_TO_TOP = np.array([[1.0, 0.0], [1.0, 1.0]])  # (bottom, width) to (bottom, top)
_LEAST_VARIANCE = (BOTTOMS[1] - BOTTOMS[0]) ** 2 / 12  # K2; of one cell of the lattice

_HELD = 1 << 14  # days at once


@dataclass(frozen=True, eq=False)
class Matched:
    """Normal evidence of each day on bottom and top, apart, in natural form.

    Parameters
    ----------
    precision, pull : ndarray, shape (days, 2)
        Of bottom and top; zero where nothing was seen. [1/K2, 1/K]
    """

    precision: Values
    pull: Values

    @classmethod
    def nothing(cls, days: int) -> Matched:
        """Before any strip."""
        return cls(np.zeros((days, 2)), np.zeros((days, 2)))

    @property
    def natural(self) -> Evidence:
        """The same on bottom and width."""
        turned = _TO_TOP.T @ (self.precision[..., None] * _TO_TOP)
        return Evidence(turned, self.pull @ _TO_TOP)

    def renewed(self, edges: DayEdges, others: tuple[Values, Values], *, share: float) -> Matched:
        """Evidence that moves what other days predict as the exact likelihood does.

        Parameters
        ----------
        edges : DayEdges
            Exact likelihood of each day.
        others : tuple of ndarray
            Mean and covariance of (bottom, width) as other days predict them. [K, K2]
        share : float
            Of the new evidence that is taken over; the rest stays. [-]

        Returns
        -------
        Matched
        """
        mean = others[0] @ _TO_TOP.T
        known = np.linalg.inv(_TO_TOP @ others[1] @ _TO_TOP.T)
        pulled = (known @ mean[..., None])[..., 0]
        precision, pull = self.precision.copy(), self.pull.copy()
        for edge, (profile, seen, lattice) in enumerate(
            (
                (edges.bottom, edges.has_bottom, BOTTOMS),
                (edges.top, edges.has_top, TOPS),
            )
        ):
            at, variance = _without(edge, known, pulled, precision, pull)
            moved, left = _moments(at, variance, profile, lattice)
            new = np.maximum(1 / left - 1 / variance, 0.0)
            new_pull = moved * (1 / variance + new) - at / variance
            precision[:, edge] += share * (np.where(seen, new, 0.0) - precision[:, edge])
            pull[:, edge] += share * (np.where(seen, new_pull, 0.0) - pull[:, edge])
        return Matched(precision, pull)


def _without(
    edge: int, known: Values, pulled: Values, precision: Values, pull: Values
) -> tuple[Values, Values]:
    """Mean and variance of one edge from other days and the day's other edge."""
    other = 1 - edge
    own = known[:, other, other] + precision[:, other]
    across = known[:, edge, other]
    left = known[:, edge, edge] - across**2 / own
    return (pulled[:, edge] - across * (pulled[:, other] + pull[:, other]) / own) / left, 1 / left


def _moments(
    mean: Values, variance: Values, profile: Profile, lattice: Values
) -> tuple[Values, Values]:
    """Mean and variance after the likelihood, on the lattice."""
    moved, left = np.empty_like(mean), np.empty_like(mean)
    for first in range(0, len(mean), _HELD):  # a table of all days would fill the memory
        part = slice(first, first + _HELD)
        off = lattice - mean[part, None]
        log = profile[part] - 0.5 * off**2 / variance[part, None]
        weight = np.exp(log - log.max(axis=1, keepdims=True))
        weight /= weight.sum(axis=1, keepdims=True)
        shift = (weight * off).sum(axis=1)
        moved[part] = mean[part] + shift
        left[part] = (weight * off**2).sum(axis=1) - shift**2
    return moved, np.maximum(left, _LEAST_VARIANCE)

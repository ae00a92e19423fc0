"""Each past day foretold from all the others: is what was learnt worth anything?

A day is taken out in closed form; the spreads between groups and days keep it, being drawn
from all days together. No day is chosen by what was found on it, for that alone would bend
the check: tops are found where they lie low.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lapwright.window.dayedges import BOTTOMS, TOPS, Profile
from lapwright.window.edges import INTERVAL
from lapwright.window.history import Learnt
from lapwright.window.pastwelds import FAMILY_CODES
from lapwright.window.prior import EARLIER_SHARE, FAMILIES, TAIL, WEAK_TAIL, Values, student

_HELD = 1 << 12  # days at once
_GAP = TOPS - BOTTOMS[:, None]


@dataclass(frozen=True, eq=False)
class Foretold:
    """One edge on all days that say something of it.

    Parameters
    ----------
    error : ndarray, shape (days,)
        Mean once the day's own strips were pulled, minus the mean foretold; 0 on the long
        run if the days are what the model takes them for. [K]
    covered : ndarray, shape (days,)
        Belief, after the day's own strips, that the edge lay in the 90 % interval foretold;
        0.9 on the long run if the intervals are as wide as they should be. [-]
    """

    error: Values
    covered: Values


@dataclass(frozen=True, eq=False)
class LeftOut:
    """The leave-one-day-out check of the prior as it is given out, mixture and all.

    Parameters
    ----------
    bottom, top : Foretold
        Days with pulled strips; days on which somebody looked.
    gain : ndarray, shape (days,)
        Logarithm of how much likelier the prior made the strips of each day than the weak
        start alone. [nat]
    """

    bottom: Foretold
    top: Foretold
    gain: Values


def left_out(learnt: Learnt) -> LeftOut:
    """Foretell each day from the others and compare with what its own strips say.

    Parameters
    ----------
    learnt : Learnt
        From all days.

    Returns
    -------
    LeftOut

    References
    ----------
    Cook and Weisberg, Residuals and Influence in Regression, 1982, for the deletion;
    Vehtari, Gelman and Gabry, Practical Bayesian model evaluation using leave-one-out
    cross-validation, Stat. Comput. 27, 2017, for the score (from memory).
    """
    mean, covariance = learnt.solved.others
    spread = np.sqrt(np.diagonal(covariance, axis1=1, axis2=2))
    weak = np.array([_weak(code) for code in FAMILY_CODES])
    error, covered = np.empty((2, 2, len(mean)))
    gain = np.empty(len(mean))
    for first in range(0, len(mean), _HELD):
        part = slice(first, first + _HELD)
        start = weak[learnt.past.membrane[part]]
        prior = EARLIER_SHARE * _learnt(mean[part], spread[part]) + (1 - EARLIER_SHARE) * start
        likely = _likely(learnt.edges.bottom[part])[:, :, None]
        likely = likely * _likely(learnt.edges.top[part])[:, None, :]
        after = prior * likely
        evidence = after.sum(axis=(1, 2))
        gain[part] = np.log(evidence / (start * likely).sum(axis=(1, 2)))
        after /= evidence[:, None, None]
        for edge, lattice in enumerate((BOTTOMS, TOPS)):
            foretold, found = (joint.sum(axis=2 - edge) for joint in (prior, after))
            error[edge, part] = (found - foretold) @ lattice
            covered[edge, part] = _held_by_interval(foretold, found)
    seen = learnt.edges.has_bottom, learnt.edges.has_top
    bottom, top = (
        Foretold(one[which], held[which])
        for one, held, which in zip(error, covered, seen, strict=True)
    )
    return LeftOut(bottom, top, gain[seen[0] | seen[1]])


def _held_by_interval(foretold: Values, found: Values) -> Values:
    """Mass that ``found`` has in the interval of ``foretold``, cells cut where it ends."""
    share, mass = (np.cumsum(each, axis=1) for each in (foretold, found))
    ends = []
    for end in (INTERVAL[0], INTERVAL[-1]):
        cell = (share < end).sum(axis=1, keepdims=True)
        here, there = (np.take_along_axis(each, cell, axis=1) for each in (foretold, found))
        over, reached = (np.take_along_axis(each, cell, axis=1) for each in (share, mass))
        ends.append((reached - there * (over - end) / here)[:, 0])
    return np.asarray(ends[1] - ends[0])


def _likely(profile: Profile) -> Values:
    return np.asarray(np.exp(profile.astype(float)))


def _weak(code: str) -> Values:
    family = FAMILIES[code]
    bottom = student((BOTTOMS - family.bottom) / family.bottom_scale, WEAK_TAIL)
    return _joint(bottom, student((_GAP - family.width) / family.width_scale, WEAK_TAIL))


def _learnt(mean: Values, spread: Values) -> Values:
    """The learnt part of the prior on the lattice, one for each day."""
    bottom = student((BOTTOMS - mean[:, :1]) / spread[:, :1], TAIL)
    width = student((_GAP - mean[:, 1, None, None]) / spread[:, 1, None, None], TAIL)
    return _joint(bottom, width)


def _joint(bottom: Values, width: Values) -> Values:
    joint = bottom[..., None] * np.where(_GAP > 0, width, 0.0)
    return np.asarray(joint / joint.sum(axis=(-2, -1), keepdims=True))

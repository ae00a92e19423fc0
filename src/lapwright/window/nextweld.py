"""Which test weld teaches most, and when to stop testing.

Each reachable setting is scored by the information that its strips are expected to
give about bottom and top together, nuisances summed out. Between the edges one weld
can fail either way and so informs both, which is why the middle often wins early.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from scipy.special import entr, gammaln

from lapwright.physics.heat import equivalent_air
from lapwright.window.belief import Belief, bond_likelihood, heat_likelihood
from lapwright.window.edges import Conditions
from lapwright.window.prior import BOTTOM, STEP, TOP, Values
from lapwright.window.soundness import AXIS

Vary = Literal["air", "speed"]

STRIPS = 3  # strips a test weld is planned with; 1 in wide each
SPEED_STEP = 0.5 * 0.00508  # m/s; 0.5 ft/min, the step a machine can be set to
SLOWEST, FASTEST = 3 * 0.00508, 30 * 0.00508  # m/s; 3 to 30 ft/min, what is worth a test weld
LITTLE_TO_LEARN = 0.05  # nat; below it one more weld hardly moves the edges; assumed
LADDER_STEP = 100 / 1.8  # K; 100 F from rung to rung, common practice, no source


@dataclass(frozen=True)
class Suggestion:
    """The test weld to make next.

    Parameters
    ----------
    air, speed : float
        Setting. [K, m/s]
    reason : str
        Code of the reason: ``"first"``, ``"learn"``, ``"confirm"``, ``"lower"``,
        ``"again"``, ``"repeat"``, ``"rung"``, or why there is none to make:
        ``"certified"``, ``"no_window"``, ``"saturated"``, ``"enough"``, ``"ladder_done"``.
    done : bool
        True when no further weld is asked for; the setting then is the set point.
    information : float or None
        Expected information of the weld about both edges. [nat]
    """

    air: float
    speed: float
    reason: str
    done: bool = False
    information: float | None = None


def air_settings(min_air: float, max_air: float) -> Values:
    """Air temperatures a machine can be set to: whole steps of 10 F within its limits.

    Parameters
    ----------
    min_air, max_air : float
        Limits of the machine as it stands. [K]

    Returns
    -------
    ndarray
        Ascending; the lower limit alone when no whole step lies between. [K]

    Examples
    --------
    >>> [round(1.8 * air - 459.67) for air in air_settings(590.0, 605.0)]
    [610, 620]
    """
    first = np.ceil((min_air - BOTTOM[0]) / STEP - 1e-6)
    last = np.floor((max_air - BOTTOM[0]) / STEP + 1e-6)
    settings = BOTTOM[0] + STEP * np.arange(first, last + 1)
    return settings if len(settings) else np.array([min_air])


def speed_settings() -> Values:
    """Travel speeds worth a test weld, 0.5 ft/min apart. [m/s]"""
    return np.asarray(np.arange(SLOWEST, FASTEST + SPEED_STEP / 2, SPEED_STEP))


def ladder(min_air: float, max_air: float) -> Values:
    """Rungs of the common test-weld ladder: every 100 F from the lower limit upwards.

    Parameters
    ----------
    min_air, max_air : float
        Limits of the machine as it stands. [K]

    Returns
    -------
    ndarray
        Ascending. [K]

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> [round(1.8 * air - 459.67) for air in ladder(588.7056, 893.15)]
    [600, 700, 800, 900, 1000, 1100]
    """
    return np.asarray(np.arange(min_air, max_air + 1e-6, LADDER_STEP))


def _outcomes(strips: int, categories: int) -> list[tuple[int, ...]]:
    """All ways to read ``strips`` strips in ``categories`` classes."""
    if categories == 1:
        return [(strips,)]
    return [
        (count, *rest)
        for count in range(strips + 1)
        for rest in _outcomes(strips - count, categories - 1)
    ]


def _ways(outcomes: Sequence[tuple[int, ...]]) -> Values:
    """Number of orders in which each outcome can come about."""
    counts = np.asarray(outcomes, dtype=float)
    return np.asarray(np.exp(gammaln(counts.sum(axis=1) + 1) - gammaln(counts + 1).sum(axis=1)))


def _by_axis(
    likelihood: Callable[..., Values], strips: int, categories: int, lattice: Values
) -> Values:
    """Chance of each outcome at every offset axis - lattice: (nuisance, offset, outcome)."""
    outcomes = _outcomes(strips, categories)
    n = len(AXIS) + len(lattice) - 1
    table = likelihood(outcomes, start=AXIS[-1] - lattice[0], n=n)
    table = table * _ways(outcomes).reshape(-1, *([1] * (table.ndim - 1)))
    return np.ascontiguousarray(np.moveaxis(table.reshape(len(outcomes), -1, n), 0, -1))


@lru_cache(maxsize=10)
def _bond_by_axis(strips: int) -> Values:
    return _by_axis(bond_likelihood, strips, 3, BOTTOM)


@lru_cache(maxsize=10)
def _heat_by_axis(strips: int) -> Values:
    return _by_axis(heat_likelihood, strips, 2, TOP)


def _given_edge(table: Values, nuisance: Values) -> Values:
    """Chance of outcomes given the edge, (axis, outcome, lattice); nuisance by lattice."""
    outcomes, points = table.shape[-1], len(AXIS)
    flat = table.reshape(len(table), -1)
    chances = np.empty((nuisance.shape[1], points * outcomes))
    for j in range(nuisance.shape[1]):  # offsets of one lattice point are one run of the table
        chances[j] = nuisance[:, j] @ flat[:, j * outcomes : (j + points) * outcomes]
    # the table runs from the hottest axis point down
    return chances.reshape(-1, points, outcomes)[:, ::-1].transpose(1, 2, 0)


def _nuisance_given(table: Values, belief: Belief) -> Values:
    """Belief over the nuisances given an edge, kappa summed out: (nuisance, lattice).

    Zero where the strips have ruled out the edge altogether.
    """
    weight = np.tensordot(belief.prior.kappa_weight, table, axes=1)
    weight = weight.reshape(-1, weight.shape[-1])
    total = weight.sum(axis=0)
    return np.asarray(weight / np.where(total > 0, total, 1.0))


def outcome_chances(
    belief: Belief, x: float, *, strips: int, pulls: bool
) -> dict[tuple[int, ...], float]:
    """Chance of every outcome of one more weld at one heat.

    Parameters
    ----------
    belief : Belief
        After the welds so far.
    x : float
        Equivalent air of the weld. [K]
    strips : int
        Strips pulled, or looked at.
    pulls : bool
        Outcomes of the pulls (cold, partial, full), or of the look (none, signs).

    Returns
    -------
    dict
        Chance by counts per category; they sum to 1. [-]

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> chances = outcome_chances(Belief.before(Prior()), 450.0, strips=1, pulls=False)
    >>> sorted(chances), round(sum(chances.values()), 6)
    ([(0, 1), (1, 0)], 1.0)
    """
    edges = belief.joint.sum(axis=0)
    if pulls:
        table, nuisance = _bond_by_axis(strips), _nuisance_given(belief.bond, belief)
        edge = edges.sum(axis=1)
    else:
        table, nuisance = _heat_by_axis(strips), _nuisance_given(belief.heat, belief)
        edge = edges.sum(axis=0)
    place = np.clip((AXIS[-1] - x) / STEP, 0.0, len(AXIS) - 1 - 1e-9)
    first, between = int(place), place - int(place)
    near, far = (
        np.einsum("nj,njo->o", nuisance * edge, table[:, at : at + len(edge)])
        for at in (first, first + 1)
    )
    chances = (1 - between) * near + between * far
    outcomes = _outcomes(strips, 3 if pulls else 2)
    return dict(zip(outcomes, chances.tolist(), strict=True))


def information(belief: Belief, *, strips: int = STRIPS) -> Values:
    """Expected information of one weld about (bottom, top), along the equivalent-air axis.

    Parameters
    ----------
    belief : Belief
        After the welds so far.
    strips : int
        Strips the weld will have, each pulled and looked at for overheat signs.

    Returns
    -------
    ndarray
        One value per point of ``soundness.AXIS``. [nat]

    Notes
    -----
    Mutual information of the strips' outcome and the two edges. kappa is summed out
    first: it moves all welds of one morning alike.

    References
    ----------
    Lindley, On a measure of the information provided by an experiment, 1956 (from memory).

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> gain = information(Belief.before(Prior()))
    >>> bool(gain[0] < 0.05 < gain.max())
    True
    """
    joint = belief.joint.sum(axis=0)
    given_bottom = _given_edge(_bond_by_axis(strips), _nuisance_given(belief.bond, belief))
    given_top = _given_edge(_heat_by_axis(strips), _nuisance_given(belief.heat, belief))
    both = given_bottom @ joint @ given_top.transpose(0, 2, 1)
    noise = entr(given_bottom).sum(axis=1) @ joint.sum(axis=1)
    noise += entr(given_top).sum(axis=1) @ joint.sum(axis=0)
    return np.asarray(entr(both).sum(axis=(1, 2)) - noise)


def most_telling(
    belief: Belief,
    conditions: Conditions,
    *,
    air: Values,
    speed: Values,
    strips: int = STRIPS,
) -> Suggestion:
    """The setting among candidates whose weld is expected to teach most.

    Parameters
    ----------
    belief : Belief
        After the welds so far.
    conditions : Conditions
        Sheet temperature the weld will meet.
    air, speed : ndarray, shape (n,)
        Candidate settings, pairwise; one of the two is usually held fixed. [K, m/s]
    strips : int
        Strips the weld will have.

    Returns
    -------
    Suggestion
        With reason ``"learn"``.

    Examples
    --------
    >>> from lapwright.window.prior import Prior
    >>> here = Conditions(speed=0.0508, sheet=302.6, ambient=300.0)
    >>> air = air_settings(588.7, 893.2)
    >>> first = most_telling(Belief.before(Prior()), here, air=air, speed=np.full(len(air), 0.0508))
    >>> first.reason
    'learn'
    """
    x = equivalent_air(air, sheet=conditions.sheet, speed=speed, kappa=belief.mean_kappa)
    gain = np.interp(x, AXIS, information(belief, strips=strips))
    best = int(np.argmax(gain))
    return Suggestion(float(air[best]), float(speed[best]), "learn", information=float(gain[best]))

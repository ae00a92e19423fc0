"""The sample table that a phone without a signal re-weights.

Particles are points of the same lattice that :mod:`lapwright.window.belief` sums over,
so with ever more of them the phone's answer becomes the server's. The table is a
weighted sample of the belief *before* the first strip, laid thicker where the welds so
far point. So the phone weighs all welds of the day by one rule, those the server knows
and those it does not, and a weld corrected later needs nothing divided out.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from lapwright.physics.heat import (
    REFERENCE_KAPPA,
    REFERENCE_SHEET,
    REFERENCE_SPEED,
    transfer_margins,
)
from lapwright.window.belief import Belief
from lapwright.window.edges import INTERVAL
from lapwright.window.prior import BOTTOM, STEP, TOP, WIDE, Prior, Values
from lapwright.window.soundness import (
    AXIS,
    FULL_MOVE_LOG_SPEED,
    FULL_MOVE_SHEET,
    LIMIT,
    STRUCTURAL_SD,
)
from lapwright.window.strips import PULLS, Pull, Strip, TestWeld

Places = NDArray[np.intp]

PARTICLES = 4000  # enough to advise after four more welds; measured in bench/phone.py
_BEFORE_SHARE = 0.25  # of the particles ignore the welds so far, for those corrected later


@dataclass(frozen=True, eq=False)
class Particles:
    """Points of the lattice with their weights; one entry per particle in each.

    Parameters
    ----------
    kappa, bottom, top : ndarray of int
        Place among the nodes of kappa, :data:`~lapwright.window.prior.BOTTOM` and
        :data:`~lapwright.window.prior.TOP`.
    bond_sigma, bond_rho, zone : ndarray of int
        Place among the spreads, shared variances and partial zones of the pulls.
    heat_sigma, heat_rho : ndarray of int
        The same for overheat signs.
    weight : ndarray
        Makes the particles a sample of the belief before the first strip; above zero. [-]
    """

    kappa: Places
    bottom: Places
    top: Places
    bond_sigma: Places
    bond_rho: Places
    zone: Places
    heat_sigma: Places
    heat_rho: Places
    weight: Values

    def columns(self) -> dict[str, list[float]]:
        """Lists by name, ready for JSON; five digits of a weight are plenty."""
        lists = {field.name: getattr(self, field.name).tolist() for field in fields(self)}
        return lists | {"weight": [float(f"{weight:.5g}") for weight in self.weight]}


def draw(
    before: Belief, after: Belief, *, rng: np.random.Generator, count: int = PARTICLES
) -> Particles:
    """Particles of the belief before the first strip, thicker where the strips point.

    Parameters
    ----------
    before, after : Belief
        Without a strip, and after the welds so far; the same one when there are none.
    rng : Generator
        Source of chance.
    count : int
        Number of particles.

    Returns
    -------
    Particles
        Sorted by kappa, bottom, top.

    Notes
    -----
    A quarter is drawn from ``before``, the rest from ``after``; a particle weighs prior over
    mixture, so never more than four. Whatever is weighed later, the table is thus never
    worse than one of a quarter its size drawn from ``before``.

    References
    ----------
    Hesterberg, Weighted average importance sampling and defensive mixture distributions,
    Technometrics 37(2), 1995 (from memory).

    Examples
    --------
    >>> plain = Belief.before(Prior())
    >>> table = draw(plain, plain, rng=np.random.default_rng(1), count=8)
    >>> len(table.kappa), float(table.weight.mean())
    (8, 1.0)
    """
    first = round(_BEFORE_SHARE * count)
    parts = (_drawn(before, rng, first), _drawn(after, rng, count - first))
    places = np.concatenate(parts, axis=1)
    places = places[:, np.lexsort(places[2::-1])]
    ratio = _density(after, places) / _density(before, places)
    weight = 1.0 / (_BEFORE_SHARE + (1.0 - _BEFORE_SHARE) * ratio)
    names = (field.name for field in fields(Particles))
    return Particles(**dict(zip(names, (*places, weight), strict=True)))


def _drawn(belief: Belief, rng: np.random.Generator, count: int) -> Places:
    """Places of particles of one belief: one row per column of :class:`Particles`.

    One particle in each of ``count`` equal shares of the joint: less chance than free draws.
    """
    share = np.cumsum(belief.joint)
    at = (np.arange(count) + rng.random(count)) / count
    cell = np.searchsorted(share, at * share[-1], side="right")
    kappa, bottom, top = np.unravel_index(cell, belief.joint.shape)
    bond = _picked(belief.bond[kappa, ..., bottom], rng)
    heat = _picked(belief.heat[kappa, ..., top], rng)
    return np.stack([kappa, bottom, top, *bond, *heat])


def _picked(table: Values, rng: np.random.Generator) -> tuple[Places, ...]:
    """One nuisance node per particle; ``table`` is (particle, nuisance axes)."""
    share = np.cumsum(table.reshape(len(table), -1), axis=1)
    at = rng.random(len(table)) * share[:, -1]
    return np.unravel_index((share <= at[:, None]).sum(axis=1), table.shape[1:])


def _density(belief: Belief, places: Places) -> Values:
    """Belief in each particle: its chance among all points of the lattice."""
    kappa, bottom, top, bond_sigma, bond_rho, zone, heat_sigma, heat_rho = places
    return np.asarray(
        belief.coupling[kappa, bottom, top]
        * belief.bond[kappa, bond_sigma, bond_rho, zone, bottom]
        * belief.heat[kappa, heat_sigma, heat_rho, top]
    )


@dataclass(frozen=True)
class Law:
    """Every constant of the likelihood and of the map behind P(sound), so the phone has none.

    Parameters
    ----------
    kappa, sigma, rho, zone, effect : tuple of float
        What the places of :class:`Particles` stand for; weld effect in units of its
        spread. [m^0.5 s^-0.5, K, -, K, -]
    bottom, top, axis : tuple of (float, int)
        Lowest point and number of points of each lattice, ``step`` apart. [K]
    step : float
        [K]
    misread, blunder : float
        Shares of strips and of welds that are not what they seem. [-]
    reads_as : dict of str to int or None
        What a pull grade counts as: 0 cold, 1 partial, 2 full, None nothing.
    limit : float
        Spreads between an edge and its 95 % (5 %) limit. [-]
    interval : tuple of float
        Shares at the ends and the middle of an edge's interval. [-]
    reference_speed, reference_sheet, reference_kappa : float
        Where equivalent air is air. [m/s, K, m^0.5 s^-0.5]
    structural_sd, full_move_sheet, full_move_log_speed : float
        Doubt of edges carried to other conditions, and where it counts fully. [K, K, -]
    per_log_speed, per_cold : tuple of (float, float)
        What bottom and top give away per ln(speed ratio) and per K colder sheet. [K, -]
    """

    kappa: tuple[float, ...]
    sigma: tuple[float, ...]
    rho: tuple[float, ...]
    zone: tuple[float, ...]
    effect: tuple[float, ...]
    bottom: tuple[float, int]
    top: tuple[float, int]
    axis: tuple[float, int]
    step: float
    misread: float
    blunder: float
    reads_as: dict[Pull, int | None]
    limit: float
    interval: tuple[float, ...]
    reference_speed: float
    reference_sheet: float
    reference_kappa: float
    structural_sd: float
    full_move_sheet: float
    full_move_log_speed: float
    per_log_speed: tuple[float, float]
    per_cold: tuple[float, float]


def law(prior: Prior) -> Law:
    """Constants of the model as this prior has them.

    Parameters
    ----------
    prior : Prior
        Gives the nodes of kappa.

    Returns
    -------
    Law

    Examples
    --------
    >>> law(Prior()).reads_as["skin"], law(Prior()).reads_as["split"]
    (0, None)
    """
    by_speed = transfer_margins(log_speed=1.0, colder=0.0)
    by_cold = transfer_margins(log_speed=0.0, colder=1.0)
    return Law(
        kappa=tuple(prior.kappa.tolist()),
        sigma=tuple(WIDE.sigma.tolist()),
        rho=tuple(WIDE.rho.tolist()),
        zone=tuple(STEP * steps for steps in WIDE.partial_steps),
        effect=tuple(WIDE.effect.tolist()),
        bottom=(float(BOTTOM[0]), len(BOTTOM)),
        top=(float(TOP[0]), len(TOP)),
        axis=(float(AXIS[0]), len(AXIS)),
        step=STEP,
        misread=WIDE.misread,
        blunder=WIDE.blunder,
        reads_as={pull: _reads_as(pull) for pull in PULLS},
        limit=LIMIT,
        interval=INTERVAL,
        reference_speed=REFERENCE_SPEED,
        reference_sheet=REFERENCE_SHEET,
        reference_kappa=REFERENCE_KAPPA,
        structural_sd=STRUCTURAL_SD,
        full_move_sheet=FULL_MOVE_SHEET,
        full_move_log_speed=FULL_MOVE_LOG_SPEED,
        per_log_speed=(float(by_speed[0]), float(by_speed[1])),
        per_cold=(float(by_cold[0]), float(by_cold[1])),
    )


def _reads_as(pull: Pull) -> int | None:
    counts = TestWeld("", 0.0, 0.0, 0.0, 0.0, (Strip("", pull),)).bond_counts
    return counts.index(1) if any(counts) else None

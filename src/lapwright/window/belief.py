"""Prior and strips -> joint belief over bottom and top, exact on a lattice.

Given the nuisances the two edges meet only in the prior, so each keeps its own table:
pulls multiply into ``bond`` (kappa, sigma, rho, partial zone, bottom), overheat signs
into ``heat`` (kappa, sigma, rho, top). Strips of one weld share a weld effect, which
is summed out per weld: they are not independent. No sampler, no tuning, no chance.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy.special import ndtr

from lapwright.physics.heat import equivalent_air
from lapwright.window.prior import (
    BOTTOM,
    STEP,
    TOP,
    WIDE,
    Nuisances,
    Prior,
    Values,
)
from lapwright.window.strips import TestWeld

BondCounts = tuple[int, int, int]  # strips read as cold, partial, full
HeatCounts = tuple[int, int]  # strips looked at without and with signs


def _above(start: float, n: int, nuisances: Nuisances) -> Values:
    """P(a strip lies above an edge) at n falling offsets: (sigma, rho, effect, n)."""
    offset = start - STEP * np.arange(n)
    return np.asarray(ndtr((offset + nuisances.shared) / nuisances.own))


def _over_effect(chances: tuple[Values, ...], counts: tuple[int, ...]) -> Values:
    """Product of strip chances with the weld effect (axis 2) summed out."""
    product: Values | None = None
    for chance, count in zip(chances, counts, strict=True):
        for _ in range(count):  # counts are small: multiplying beats a general power
            product = chance if product is None else product * chance
    if product is None:
        return np.ones((*chances[0].shape[:2], chances[0].shape[-1]))
    return np.asarray(product.mean(axis=2))


def bond_likelihood(
    counts: Sequence[BondCounts], *, start: float, n: int, nuisances: Nuisances = WIDE
) -> Values:
    """Likelihood of the pulls of one weld, for bottoms one step apart.

    Parameters
    ----------
    counts : sequence of (int, int, int)
        Outcomes to weigh: strips read as cold, partial and full.
    start : float
        Equivalent air minus the lowest bottom. [K]
    n : int
        Number of bottoms, :data:`~lapwright.window.prior.STEP` apart, upwards.
    nuisances : Nuisances
        What the strips do besides.

    Returns
    -------
    ndarray, shape (outcome, sigma, rho, partial, n)
        Likelihood given the nuisances, weld effect summed out, misreading included,
        without the counting factor. [-]

    Notes
    -----
    Ordered probit: a strip is full above the bottom, partial down to a zone below it,
    then cold; a grade is misread as its neighbour at the rate ``misread``. A blunder (wrong
    weld, wrong number, wet lap) can look like anything, so that one odd weld bends the
    belief and does not break it. The zones are whole steps of the lattice, so one table
    of the normal integral serves all.

    References
    ----------
    McCullagh, Regression models for ordinal data, 1980 (from memory).

    Examples
    --------
    >>> far_above = bond_likelihood([(0, 0, 1)], start=200.0, n=1)
    >>> bool(far_above.min() > 0.9)
    True
    """
    zones, misread = nuisances.partial_steps, nuisances.misread
    deepest = max(zones)
    above = _above(start + deepest * STEP, n + deepest, nuisances)
    full = above[..., deepest:]
    tables = np.empty((len(counts), len(nuisances.sigma), len(nuisances.rho), len(zones), n))
    keep, blunder = 1.0 - nuisances.blunder, nuisances.blunder
    for zone, steps in enumerate(zones):
        fused = above[..., deepest - steps : n + deepest - steps]
        partial = fused - full
        read = (
            (1.0 - fused) * (1 - misread) + partial * (misread / 2),
            partial * (1 - misread) + (1.0 - partial) * misread,
            full * (1 - misread) + partial * (misread / 2),
        )
        for outcome, count in enumerate(counts):
            anything = (1 / 3) ** sum(count)
            tables[outcome, :, :, zone] = keep * _over_effect(read, count) + blunder * anything
    return tables


def heat_likelihood(
    counts: Sequence[HeatCounts], *, start: float, n: int, nuisances: Nuisances = WIDE
) -> Values:
    """Likelihood of the overheat signs of one weld, for tops one step apart.

    Parameters
    ----------
    counts : sequence of (int, int)
        Outcomes to weigh: strips looked at without and with signs.
    start : float
        Equivalent air minus the lowest top. [K]
    n : int
        Number of tops, :data:`~lapwright.window.prior.STEP` apart, upwards.
    nuisances : Nuisances
        What the strips do besides.

    Returns
    -------
    ndarray, shape (outcome, sigma, rho, n)
        As :func:`bond_likelihood`. [-]

    Notes
    -----
    Probit: signs above the top; misread at the rate ``misread``; blunders as for pulls.

    References
    ----------
    Finney, Probit Analysis, 3rd ed. 1971 (from memory).

    Examples
    --------
    >>> far_below = heat_likelihood([(1, 0)], start=-200.0, n=1)
    >>> bool(far_below.min() > 0.9)
    True
    """
    misread = nuisances.misread
    signs = misread + (1 - 2 * misread) * _above(start, n, nuisances)
    return np.stack(
        [
            (1.0 - nuisances.blunder) * _over_effect((1.0 - signs, signs), count)
            + nuisances.blunder * (1 / 2) ** sum(count)
            for count in counts
        ]
    )


@lru_cache(maxsize=512)
def _weld_bond(counts: BondCounts, x: float) -> Values:
    return np.asarray(bond_likelihood([counts], start=x - BOTTOM[0], n=len(BOTTOM))[0])


@lru_cache(maxsize=512)
def _weld_heat(counts: HeatCounts, x: float) -> Values:
    return np.asarray(heat_likelihood([counts], start=x - TOP[0], n=len(TOP))[0])


@dataclass(frozen=True)
class Belief:
    """Joint belief over bottom, top, kappa and the nuisances.

    Parameters
    ----------
    prior : Prior
        Belief before the first strip.
    bond : ndarray, shape (kappa, sigma, rho, partial, bottom)
        Nuisance weight times likelihood of all pulls so far, up to a factor.
    heat : ndarray, shape (kappa, sigma, rho, top)
        The same for overheat signs.
    """

    prior: Prior
    bond: Values
    heat: Values

    @classmethod
    def before(cls, prior: Prior) -> Belief:
        """Belief before the first strip."""
        kappas = len(prior.kappa)
        bond = WIDE.weight(partial=True)[None, ..., None]
        heat = WIDE.weight(partial=False)[None, ..., None]
        return cls(
            prior,
            np.broadcast_to(bond, (kappas, *bond.shape[1:-1], len(BOTTOM))),
            np.broadcast_to(heat, (kappas, *heat.shape[1:-1], len(TOP))),
        )

    def observe(self, weld: TestWeld) -> Belief:
        """Belief after one more test weld; a weld that says nothing changes nothing.

        Parameters
        ----------
        weld : TestWeld
            With the air temperature the lap truly met.

        Returns
        -------
        Belief
        """
        x = equivalent_air(
            weld.true_air, sheet=weld.sheet, speed=weld.speed, kappa=self.prior.kappa
        ).round(6)
        bond, heat = self.bond, self.heat
        if any(weld.bond_counts):
            bond = bond * np.stack([_weld_bond(weld.bond_counts, float(at)) for at in x])
            bond = bond / bond.max()
        if any(weld.heat_counts):
            heat = heat * np.stack([_weld_heat(weld.heat_counts, float(at)) for at in x])
            heat = heat / heat.max()
        return Belief(self.prior, bond, heat)

    def observe_all(self, welds: Iterable[TestWeld]) -> Belief:
        """Belief after several test welds; their order does not matter."""
        belief = self
        for weld in welds:
            belief = belief.observe(weld)
        return belief

    @cached_property
    def _bond_given_bottom(self) -> Values:
        return np.asarray(self.bond.sum(axis=(1, 2, 3)))

    @cached_property
    def _heat_given_top(self) -> Values:
        return np.asarray(self.heat.sum(axis=(1, 2)))

    @cached_property
    def _part_weights(self) -> Values:
        """Weight of each (part of the prior, kappa), evidence included; sums to 1."""
        weight = np.array(
            [
                [
                    share * kappa_weight * (bond @ joint @ heat)
                    for kappa_weight, bond, heat in zip(
                        self.prior.kappa_weight,
                        self._bond_given_bottom,
                        self._heat_given_top,
                        strict=True,
                    )
                ]
                for share, joint in self.prior.parts
            ]
        )
        return np.asarray(weight / weight.sum())

    @cached_property
    def coupling(self) -> Values:
        """Prior over (bottom, top) per kappa, scaled so that the whole belief sums to 1.

        Shape (kappa, bottom, top). Multiply by ``bond`` and ``heat`` to get the belief.
        """
        mixed = sum(share * joint for share, joint in self.prior.parts)
        total = np.einsum(
            "k,kb,bt,kt->", self.prior.kappa_weight, self._bond_given_bottom, mixed,
            self._heat_given_top, optimize=True,
        )  # fmt: skip
        return np.asarray(self.prior.kappa_weight[:, None, None] * mixed / total)

    @cached_property
    def joint(self) -> Values:
        """Belief over (kappa, bottom, top), nuisances summed out; sums to 1."""
        return np.asarray(
            self.coupling * self._bond_given_bottom[:, :, None] * self._heat_given_top[:, None, :]
        )

    @property
    def earlier_weight(self) -> float | None:
        """What is left of the earlier day's share; None when there was none."""
        return None if self.prior.earlier is None else float(self._part_weights[1].sum())

    @property
    def kappa_weight(self) -> Values:
        """Belief over the kappa nodes; sums to 1."""
        return np.asarray(self._part_weights.sum(axis=0))

    @property
    def mean_kappa(self) -> float:
        """Expected kappa. Never shown as a property of the sheet. [m^0.5 s^-0.5]"""
        return float(self.kappa_weight @ self.prior.kappa)

    @cached_property
    def mean_edges(self) -> tuple[float, float]:
        """Expected bottom and top, equivalent air. [K]"""
        edges = self.joint.sum(axis=0)
        return float(edges.sum(axis=1) @ BOTTOM), float(edges.sum(axis=0) @ TOP)

    @cached_property
    def sd_edges(self) -> tuple[float, float]:
        """Standard deviations of the bottom and of the width of the window. [K]"""
        edges = self.joint.sum(axis=0)
        bottom, top = self.mean_edges
        width = (TOP[None, :] - BOTTOM[:, None]) - (top - bottom)
        return (
            float(np.sqrt(edges.sum(axis=1) @ (BOTTOM - bottom) ** 2)),
            float(np.sqrt(np.sum(edges * width**2))),
        )

    @property
    def weld_share(self) -> tuple[float, float]:
        """P(most of the spread is between welds), for pulls and for overheat signs."""
        bond = np.einsum(
            "kbt,ksrpb,kt->r", self.coupling, self.bond, self._heat_given_top, optimize=True
        )
        heat = np.einsum(
            "kbt,kb,ksrt->r", self.coupling, self._bond_given_bottom, self.heat, optimize=True
        )
        return float(bond[-1] / bond.sum()), float(heat[-1] / heat.sum())

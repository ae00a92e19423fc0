"""Invented sites with a known truth, for measuring methods against each other.

All temperatures here are displayed air in F at the reference condition (sheet 85 F,
10 ft/min); hotter settings than ``MACHINE_LIMIT`` do not exist. No site is real and no
figure of a family was fitted to field data: families are stress cases.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import roots_legendre
from scipy.stats import norm, t

from lapwright.physics.heat import (
    REFERENCE_KAPPA,
    REFERENCE_SHEET,
    REFERENCE_SPEED,
    equivalent_air,
)
from lapwright.window.strips import Overheat, Pull, Strip

Values = NDArray[np.float64]
Law = Literal["normal", "t3"]
Drift = Literal["cold", "mean_zero"]

COOLEST, MACHINE_LIMIT = 600.0, 1148.0  # F; settings a method may ask for
STRIPS_PER_WELD = 3
T3_SCALE = 0.8  # a t3 law at this scale has variance 1.92: it stresses the scale too
_PULLS: tuple[Pull, Pull, Pull] = ("cold", "partial", "full")
_HEAT: tuple[Overheat, Overheat] = ("none", "signs")


@dataclass(frozen=True)
class Family:
    """How sites of one kind are drawn. Temperatures in F of air.

    ``gap_*``: top minus bottom, normal, redrawn while below ``gap_least``. ``shift``:
    added to both edges. ``rho``: share of the variance that strips of one weld have in
    common. ``spread``: factor on both edge spreads. ``misread``: least and greatest
    chance of a wrong score.
    """

    gap_mean: float = 330.0
    gap_sd: float = 90.0
    gap_least: float = 120.0
    shift: float = 0.0
    rho: float = 0.3
    law: Law = "normal"
    spread: float = 1.0
    misread: tuple[float, float] = (0.02, 0.03)


FAMILIES: dict[str, Family] = {
    "base": Family(),
    "narrow": Family(gap_mean=210.0, gap_sd=70.0, gap_least=100.0),
    "overdispersed": Family(rho=0.8),
    "heavy-tailed": Family(law="t3"),
    "both": Family(rho=0.8, law="t3", spread=1.2),
    "mis-scored": Family(misread=(0.07, 0.09)),
    "low bottom": Family(shift=-180.0),
    "saturated": Family(shift=400.0),
    "no window": Family(gap_mean=60.0, gap_sd=40.0, gap_least=10.0),
}


@lru_cache(maxsize=32)
def _strip_law(law: Law, rho: float) -> tuple[Values, Values]:
    """Table of the distribution function of sqrt(rho) u + sqrt(1 - rho) e."""
    x = np.linspace(-60.0, 60.0, 24_001)
    if law == "normal":
        return x, np.asarray(norm.cdf(x))
    nodes, weights = roots_legendre(200)  # over the probability of u
    effect = T3_SCALE * t.ppf((nodes + 1) / 2, 3)
    inner = (x[:, None] - np.sqrt(rho) * effect) / (np.sqrt(1 - rho) * T3_SCALE)
    return x, np.asarray(t.cdf(inner, 3) @ weights / 2)


@dataclass(frozen=True)
class Sites:
    """Sites of one family; every array has one entry per site, temperatures in F.

    ``partial`` is the width of the zone below the bottom in which the film tears on
    part of the width; ``kappa`` the lumped heat transfer [m^0.5 s^-0.5], which matters
    only away from the reference condition. ``earlier_*``: bottom and gap as they were
    on an earlier day.
    """

    family: Family
    bottom: Values
    top: Values
    spread_bottom: Values
    spread_top: Values
    partial: Values
    misread: Values
    kappa: Values
    earlier_bottom: Values
    earlier_gap: Values

    def __len__(self) -> int:
        return len(self.bottom)

    def one(self, index: int) -> Sites:
        """The site ``index`` alone, still as arrays of length one."""
        return self.subset(np.arange(index, index + 1))

    def subset(self, chosen: NDArray[np.int64] | NDArray[np.bool_]) -> Sites:
        """Some of the sites."""
        arrays = {f.name: getattr(self, f.name)[chosen] for f in fields(self) if f.name != "family"}
        return Sites(family=self.family, **arrays)

    def __iter__(self) -> Iterator[Sites]:
        return (self.one(index) for index in range(len(self)))

    @property
    def bond_limit(self) -> Values:
        """Air at which 95 % of strips tear the film over the full width."""
        return self.bottom + self._quantile() * self.spread_bottom

    @property
    def overheat_limit(self) -> Values:
        """Air at which 5 % of strips show overheat signs."""
        return self.top - self._quantile() * self.spread_top

    def has_window(self, *, speed_ratio: float = 1.0) -> NDArray[np.bool_]:
        """Some setting that the machine reaches is between both limits."""
        hottest = self.met(np.full(len(self), MACHINE_LIMIT), speed_ratio=speed_ratio)
        return self.bond_limit <= np.minimum(self.overheat_limit, hottest)

    def is_sound(self, air: Values, *, speed_ratio: float = 1.0) -> NDArray[np.bool_]:
        """``air`` (one per site) lies between both limits; unset (NaN) never does."""
        met = self.met(air, speed_ratio=speed_ratio)
        return (self.bond_limit <= met) & (met <= self.overheat_limit)

    def met(self, air: Values, *, speed_ratio: float) -> Values:
        """Air at the reference condition that heats the lap like ``air`` at another speed."""
        reference = equivalent_air(
            kelvin(air),
            sheet=REFERENCE_SHEET,
            speed=REFERENCE_SPEED * speed_ratio,
            kappa=self.kappa,
        )
        return fahrenheit(reference)

    def soundness(self, air: Values) -> Values:
        """Share of strips full and without sign at ``air`` (sites along the first axis)."""
        x, cdf = _strip_law(self.family.law, self.family.rho)
        shape = (-1,) + (1,) * (air.ndim - 1)
        bonds = (air - self.bottom.reshape(shape)) / self.spread_bottom.reshape(shape)
        burns = (air - self.top.reshape(shape)) / self.spread_top.reshape(shape)
        return np.asarray(np.interp(bonds, x, cdf) * (1 - np.interp(burns, x, cdf)))

    def _quantile(self) -> float:
        x, cdf = _strip_law(self.family.law, self.family.rho)
        return float(np.interp(0.95, cdf, x))


def draw_sites(family: Family, *, count: int, seed: int) -> Sites:
    """``count`` sites of a family; the same seed gives the same sites."""
    rng = np.random.default_rng(seed)
    bottom = rng.normal(700.0, 80.0, count) + family.shift
    gap = rng.normal(family.gap_mean, family.gap_sd, count)
    while np.any(short := gap < family.gap_least):
        gap[short] = rng.normal(family.gap_mean, family.gap_sd, int(short.sum()))

    def spread() -> Values:
        return np.asarray(family.spread * np.exp(rng.uniform(np.log(20.0), np.log(50.0), count)))

    return Sites(
        family=family,
        bottom=bottom,
        top=bottom + gap,
        spread_bottom=spread(),
        spread_top=spread(),
        partial=rng.uniform(20.0, 70.0, count),
        misread=rng.uniform(*family.misread, count),
        kappa=np.exp(rng.normal(np.log(REFERENCE_KAPPA), 0.17, count)),
        earlier_bottom=bottom + rng.normal(0.0, 40.0, count),
        earlier_gap=gap + rng.normal(0.0, 50.0, count),
    )


def kelvin(air: Values) -> Values:
    """Air temperatures in K."""
    return np.asarray((air + 459.67) / 1.8)


def fahrenheit(air: Values) -> Values:
    """Air temperatures in F."""
    return np.asarray(air * 1.8 - 459.67)


def weld_stream(seed: int, index: int) -> np.random.Generator:
    """Generator of one site's welds.

    Every weld takes the same count of numbers from it, so the n-th weld of a site meets
    the same luck whichever method chose its setting.
    """
    return np.random.default_rng([seed, index])


def weld(site: Sites, *, air: float, rng: np.random.Generator) -> tuple[Strip, ...]:
    """Weld once at one site, pull three strips, score them (sometimes wrongly)."""
    count = STRIPS_PER_WELD
    law = site.family.law
    shape = (2, count + 1)
    luck = rng.standard_normal(shape) if law == "normal" else T3_SCALE * rng.standard_t(3, shape)
    strip_luck = np.sqrt(site.family.rho) * luck[:, :1] + np.sqrt(1 - site.family.rho) * luck[:, 1:]
    misread = rng.random((2, count))

    over = air + site.spread_bottom * strip_luck[0] - site.bottom
    grade = (over > -site.partial).astype(int) + (over > 0)
    signs = air + site.spread_top * strip_luck[1] > site.top

    eps = float(site.misread[0])
    partial = grade == 1
    read = np.where(~partial & (misread[0] < eps), 1, grade)
    read = np.where(partial & (misread[0] < eps), 0, read)
    read = np.where(partial & (misread[0] < eps / 2), 2, read)
    signs = signs ^ (misread[1] < eps)
    return tuple(
        Strip(str(n + 1), _PULLS[read[n]], overheat=_HEAT[int(signs[n])]) for n in range(count)
    )


def drift_draws(drift: Drift, *, count: int, seed: int) -> Values:
    """Changes of the effective air temperature over half a day. [F]

    "cold": ambient swings and wind that only takes heat; mean -24.6 F. "mean_zero":
    nothing known of its direction. Both assumed, no source.
    """
    rng = np.random.default_rng(seed)
    swing = 1.22 * rng.uniform(-15.0, 15.0, count)
    if drift == "cold":
        return np.asarray(swing - 30.8 * np.abs(rng.standard_normal(count)))
    return np.asarray(swing + rng.normal(0.0, 12.0, count))

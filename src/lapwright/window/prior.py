"""Belief before the first strip: the family of sheet, the machine, an earlier day.

Edges live on the equivalent-air axis: the air temperature at the reference sheet and
speed (see :func:`lapwright.physics.heat.equivalent_air`). There practice knowledge is
stated ("700 F is the bottom at 10 ft/min"), and there kappa does not enter, so that
the ridge between kappa and melt temperature costs nothing: kappa only says how a
window moves to another speed or sheet temperature.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, ndtri, stdtrit

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.membrane import MEMBRANES

Values = NDArray[np.float64]

STEP = 50 / 9  # K; 10 F, the step a machine can be set to
BOTTOM: Values = 422.0389 + STEP * np.arange(101.0)  # K; 300 to 1300 F, where the bottom may lie
TOP: Values = 477.5944 + STEP * np.arange(151.0)  # K; 400 to 1900 F, where the top may lie
_GAP = TOP[None, :] - BOTTOM[:, None]


@dataclass(frozen=True, eq=False)
class Nuisances:
    """What the strips do besides following the edges; nobody wants it, all must allow for it.

    Parameters
    ----------
    sigma : ndarray
        Spread of strips about an edge. [K]
    rho : ndarray
        Share of the spread's variance that strips of one weld have in common. [-]
    partial_steps : tuple of int
        Depth of the partial zone below the bottom, in lattice steps.
    misread : float
        Share of strips graded wrongly. [-]
    blunder : float
        Share of welds whose strips could show anything. [-]
    effect : ndarray
        Weld effect at equal-weight quantiles, in units of its spread. [-]
    sigma_weight, rho_weight : ndarray
        Prior weights; those of the partial zone are equal. [-]
    """

    sigma: Values
    rho: Values
    partial_steps: tuple[int, ...]
    misread: float
    blunder: float
    effect: Values
    sigma_weight: Values
    rho_weight: Values

    @cached_property
    def shared(self) -> Values:
        """Weld effect: (sigma, rho, effect, 1). [K]"""
        return np.asarray(
            (self.sigma[:, None, None] * np.sqrt(self.rho)[:, None] * self.effect)[..., None]
        )

    @cached_property
    def own(self) -> Values:
        """Spread of strips within one weld: (sigma, rho, 1, 1). [K]"""
        return np.asarray((self.sigma[:, None] * np.sqrt(1.0 - self.rho))[:, :, None, None])

    def weight(self, *, partial: bool) -> Values:
        """Prior weight of (sigma, rho) or, for pulls, (sigma, rho, partial zone); sums to 1."""
        weight = self.sigma_weight[:, None] * self.rho_weight[None, :]
        if partial:
            weight = np.repeat(weight[:, :, None], len(self.partial_steps), axis=2)
        return np.asarray(weight / weight.sum())


# The wide set repairs coverage where welds vary strongly, at no loss of success. All
# assumed, none measured on a roof. Weld effect: Student t with 3 degrees of freedom, times 0.8.
WIDE = Nuisances(
    sigma=np.array([15.0, 22.0, 32.0, 45.0, 65.0]) / 1.8,  # K; 15 to 65 F
    rho=np.array([0.1, 0.4, 0.8]),
    partial_steps=(2, 4, 7),  # 20, 40, 70 F
    misread=0.03,
    blunder=0.01,
    effect=0.8 * stdtrit(3, (np.arange(21) + 0.5) / 21),
    sigma_weight=np.array([0.08, 0.20, 0.27, 0.27, 0.18]),
    rho_weight=np.array([0.20, 0.35, 0.45]),
)

WEAK_TAIL = 4.0  # degrees of freedom of the weak prior: heavy tails, so that data can overrule it
_KAPPA_NODE = np.array([-2.8569700, -1.3556262, 0.0, 1.3556262, 2.8569700])  # Gauss-Hermite
_KAPPA_WEIGHT = np.array([0.0112574, 0.2220759, 0.5333333, 0.2220759, 0.0112574])


@dataclass(frozen=True)
class Family:
    """Weak belief about one family of sheet on the equivalent-air axis.

    Parameters
    ----------
    bottom, bottom_scale : float
        Centre and scale (Student t, 4 degrees of freedom) of the bottom. [K]
    width, width_scale : float
        The same for top minus bottom, cut at zero. [K]
    """

    bottom: float
    bottom_scale: float
    width: float
    width_scale: float


# TPO: bottom near 700 F and window near 330 F wide at 10 ft/min are common practice, no
# source; scales assumed. PVC, KEE: thresholds and kappa of physics.membrane carried to the
# air axis, sd over sqrt 2 as scale; hardly better than nothing, the first strips must rule.
FAMILIES = {
    "tpo": Family(bottom=644.26, bottom_scale=50.0, width=183.3, width_scale=61.1),
    "pvc": Family(bottom=637.4, bottom_scale=64.9, width=197.6, width_scale=77.5),
    "kee": Family(bottom=637.4, bottom_scale=76.6, width=197.6, width_scale=90.4),
}


_BOTTOM_DAY_SD = 40 / 1.8  # K; how far the bottom moves from day to day; assumed
_WIDTH_DAY_SD = 50 / 1.8  # K; how far the width does; assumed
_END = 0.95  # upper end of the interval that answers give
TAIL = 3.0  # degrees of freedom of a history: one that is wrong lets go sooner than a normal


@dataclass(frozen=True)
class Earlier:
    """What earlier days let expect of today: one morning's answer, or all that was learnt.

    Parameters
    ----------
    bottom, bottom_sd : float
        Mean and standard deviation of the bottom, equivalent air. [K]
    width, width_sd : float
        The same for top minus bottom. [K]
    bottom_day_sd, width_day_sd : float
        How far today may lie from there; assumed unless learnt. [K]
    freedom : float, optional
        Degrees of freedom of Student's t about them. None is the normal law, as answers
        have it that were kept before :data:`TAIL` was measured to be better.

    Raises
    ------
    OutOfRange
        A value no window has, or none at all (nan).
    """

    bottom: float
    bottom_sd: float
    width: float
    width_sd: float
    bottom_day_sd: float = _BOTTOM_DAY_SD
    width_day_sd: float = _WIDTH_DAY_SD
    freedom: float | None = None

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("bottom", self.bottom, BOTTOM[0], BOTTOM[-1]),
            ("width", self.width, 0.0, TOP[-1] - BOTTOM[0]),
            ("bottom_sd", self.bottom_sd, 0.0, BOTTOM[-1] - BOTTOM[0]),
            ("width_sd", self.width_sd, 0.0, TOP[-1] - BOTTOM[0]),
            ("bottom_day_sd", self.bottom_day_sd, 0.0, BOTTOM[-1] - BOTTOM[0]),
            ("width_day_sd", self.width_day_sd, 0.0, TOP[-1] - BOTTOM[0]),
            ("freedom", 2.0 if self.freedom is None else self.freedom, 1.0, 100.0),
        ):
            if not low <= value <= high:
                raise OutOfRange(name, value, above=float(low), below=float(high))

    @property
    def spread(self) -> tuple[float, float]:
        """Standard deviation, or scale of Student's t, of today's bottom and width. [K]"""
        return (
            float(np.hypot(self.bottom_day_sd, self.bottom_sd)),
            float(np.hypot(self.width_day_sd, self.width_sd)),
        )

    @property
    def reach(self) -> tuple[float, float]:
        """Half the 90 % interval of today's bottom and width. [K]"""
        far = ndtri(_END) if self.freedom is None else stdtrit(self.freedom, _END)
        bottom, width = self.spread
        return float(far * bottom), float(far * width)

    def for_today(self) -> Earlier:
        """The same with the heavy tails that another day's word deserves."""
        return replace(self, freedom=TAIL)


EARLIER_SHARE = 0.75  # of the mixture; a narrow wrong prior alone would never be overruled


@dataclass(frozen=True)
class Prior:
    """Belief before the first strip.

    Parameters
    ----------
    membrane : str
        Family code: ``"tpo"``, ``"pvc"`` or ``"kee"``.
    earlier : Earlier, optional
        An earlier day, mixed in at :data:`EARLIER_SHARE`, never alone.

    Raises
    ------
    LapwrightError
        ``unknown_membrane``.
    """

    membrane: str = "tpo"
    earlier: Earlier | None = None

    def __post_init__(self) -> None:
        if self.membrane not in FAMILIES:
            raise LapwrightError(
                "unknown_membrane", value=self.membrane, known=", ".join(sorted(FAMILIES))
            )

    @property
    def kappa(self) -> Values:
        """Nodes of kappa. [m^0.5 s^-0.5]"""
        sheet = MEMBRANES[self.membrane]
        return np.asarray(sheet.kappa * np.exp(sheet.kappa_log_sd * _KAPPA_NODE))

    @property
    def kappa_weight(self) -> Values:
        """Weights of the kappa nodes; they sum to 1."""
        return np.asarray(_KAPPA_WEIGHT / _KAPPA_WEIGHT.sum())

    @property
    def parts(self) -> tuple[tuple[float, Values], ...]:
        """Weighted joint beliefs over (bottom, top): weak part first, then the earlier day."""
        weak = _weak(self.membrane)
        if self.earlier is None:
            return ((1.0, weak),)
        return ((1.0 - EARLIER_SHARE, weak), (EARLIER_SHARE, _learnt(self.earlier)))


def student(z: Values, freedom: float) -> Values:
    """Density of Student's t, up to a factor that only its degrees of freedom fix."""
    constant = gammaln((freedom + 1) / 2) - gammaln(freedom / 2)
    return np.asarray(np.exp(constant - (freedom + 1) / 2 * np.log1p(z**2 / freedom)))


def _joint(bottom: Values, width: Values) -> Values:
    joint = bottom[:, None] * np.where(_GAP > 0, width, 0.0)
    return np.asarray(joint / joint.sum())


@lru_cache(maxsize=8)
def _weak(membrane: str) -> Values:
    family = FAMILIES[membrane]
    return _joint(
        student((BOTTOM - family.bottom) / family.bottom_scale, WEAK_TAIL),
        student((_GAP - family.width) / family.width_scale, WEAK_TAIL),
    )


@lru_cache(maxsize=64)
def _learnt(earlier: Earlier) -> Values:
    bottom_sd, width_sd = earlier.spread
    bottom, width = (BOTTOM - earlier.bottom) / bottom_sd, (_GAP - earlier.width) / width_sd
    if earlier.freedom is None:
        return _joint(np.exp(-0.5 * bottom**2), np.exp(-0.5 * width**2))
    return _joint(student(bottom, earlier.freedom), student(width, earlier.freedom))

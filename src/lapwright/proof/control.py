"""Does the work drift? Charts of voids per length and of bad strips, with early warning."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from lapwright.errors import LapwrightError, OutOfRange

Kind = Literal["share", "rate"]  # bad strips of so many; voids on so much seam
Limits = Literal["exact", "sigma"]
State = Literal["steady", "watch", "out"]

SIGMAS = 3.0  # of a chart's limits; Shewhart 1931, common practice
TAIL = 0.00135  # -; chance beyond one limit of three sigmas under the normal law
WEIGHT = 0.2  # -; of the newest stretch in a smoothed chart; common practice, no source
WIDTH = 2.86  # sigmas; with WEIGHT one false alarm in about 370 stretches, as three sigmas give
WATCH = 2 / 3  # of the way to the limit; our choice, the two-sigma line of common practice


@dataclass(frozen=True)
class Stretch:
    """Work that is counted together: a day, a seam, a batch of strips.

    Parameters
    ----------
    found : int
        Bad strips, or voids.
    size : float
        Strips pulled, or seam probed [m]; above zero.
    """

    found: int
    size: float


@dataclass(frozen=True)
class Point:
    """One stretch on a chart.

    Parameters
    ----------
    value : float
        Bad share, or voids per metre; on a smoothed chart its weighted mean so far.
    low, high : float
        Limits between which steady work stays, those included.
    state : {"steady", "watch", "out"}
        Beyond a limit is out; on a smoothed chart most of the way up is watch.
    """

    value: float
    low: float
    high: float
    state: State


def centre_of(stretches: Sequence[Stretch]) -> float:
    """Bad share or voids per metre over all stretches.

    Parameters
    ----------
    stretches : sequence of Stretch
        At least one.

    Returns
    -------
    float

    Raises
    ------
    LapwrightError
        ``no_stretches``.
    OutOfRange
        A size is not above zero.

    Notes
    -----
    Stretches that were out should be left out once their cause is found.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.

    Examples
    --------
    >>> centre_of([Stretch(1, 20), Stretch(3, 60)])
    0.05
    """
    if not stretches:
        raise LapwrightError("no_stretches")
    for stretch in stretches:
        if not stretch.size > 0:
            raise OutOfRange("seam", stretch.size, above=0.0)
    return sum(each.found for each in stretches) / sum(each.size for each in stretches)


def high_count(centre: float, *, size: float, kind: Kind) -> int:
    """Most bad strips or voids that steady work shows but for three sigmas' risk.

    Parameters
    ----------
    centre : float
        Bad share, or voids per metre.
    size : float
        Strips, or seam. [m]
    kind : {"share", "rate"}
        Binomial or Poisson.

    Returns
    -------
    int

    Notes
    -----
    The chance of more is at most :data:`TAIL`.

    References
    ----------
    Quantile of the exact law.

    Examples
    --------
    Two voids per 1,000 ft expected on 1,000 ft:

    >>> high_count(2 / 304.8, size=304.8, kind="rate")
    7
    """
    return round(_exact(centre, size, kind)[1])


@lru_cache(maxsize=1024)  # many days are alike
def _exact(centre: float, size: float, kind: Kind) -> tuple[float, float]:
    from scipy.stats import binom, poisson

    law = poisson(centre * size) if kind == "rate" else binom(round(size), centre)
    return float(max(law.ppf(TAIL), 0)), float(law.ppf(1 - TAIL))


def _sigma(centre: float, size: float, kind: Kind) -> float:
    """Standard deviation of the value of one stretch."""
    spread = centre if kind == "rate" else centre * (1 - centre)
    return math.sqrt(spread / size)


def chart_points(
    stretches: Sequence[Stretch], *, kind: Kind, centre: float, limits: Limits = "exact"
) -> tuple[Point, ...]:
    """Each stretch against limits of its own size: the p and the u chart.

    Parameters
    ----------
    stretches : sequence of Stretch
        In order of time.
    kind : {"share", "rate"}
        Bad strips of so many (p), or voids on so much seam (u).
    centre : float
        What steady work shows; see :func:`centre_of`.
    limits : {"exact", "sigma"}
        Quantiles of binomial or Poisson, or three standard deviations as in handbooks.

    Returns
    -------
    tuple of Point
        As many as stretches.

    Notes
    -----
    Three standard deviations are for large counts. Where steady work shows one or two
    voids a day they alarm several times too often; exact limits never do.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.1 and 6.3.3.2.

    Examples
    --------
    >>> (day,) = chart_points([Stretch(9, 304.8)], kind="rate", centre=2 / 304.8)
    >>> day.state, round(day.high * 304.8)
    ('out', 7)
    """
    points = []
    for stretch in stretches:
        value = stretch.found / stretch.size
        if limits == "exact":
            low, high = (count / stretch.size for count in _exact(centre, stretch.size, kind))
        else:
            reach = SIGMAS * _sigma(centre, stretch.size, kind)
            low, high = max(centre - reach, 0.0), centre + reach
            high = min(high, 1.0) if kind == "share" else high
        state: State = "steady" if low <= value <= high else "out"
        points.append(Point(value, low, high, state))
    return tuple(points)


def smoothed_points(
    values: Sequence[float],
    sigmas: Sequence[float],
    *,
    centre: float,
    weight: float = WEIGHT,
    width: float = WIDTH,
) -> tuple[Point, ...]:
    """Weighted means of all values so far (EWMA), with limits that know each one's spread.

    Parameters
    ----------
    values : sequence of float
        In order of time.
    sigmas : sequence of float
        Standard deviation of each value, as many.
    centre : float
        What steady work shows.
    weight : float
        Of the newest value, above 0 and up to 1. [-]
    width : float
        Limits, in standard deviations of the mean.

    Returns
    -------
    tuple of Point
        Watch is two thirds of the way to the upper limit: worse, but not yet out.

    Raises
    ------
    OutOfRange
        ``weight`` is outside its range.

    Notes
    -----
    The spread is carried along exactly, var <- weight^2 sigma^2 + (1 - weight)^2 var, so
    that a short day widens the limits by what it is worth, and the first days have the
    narrow limits that they deserve.

    References
    ----------
    Roberts, Technometrics 1, 1959; Lucas and Saccucci, Technometrics 32, 1990; NIST/SEMATECH
    e-Handbook of Statistical Methods, 6.3.2.4.

    Examples
    --------
    >>> [point.state for point in smoothed_points([0.5, 1.6, 2.0, 2.4], [1.0] * 4, centre=0.0)]
    ['steady', 'steady', 'watch', 'out']
    """
    if not 0 < weight <= 1:
        raise OutOfRange("weight", weight, above=0.0, below=1.0)
    mean, variance = centre, 0.0
    points = []
    for value, sigma in zip(values, sigmas, strict=True):
        mean = weight * value + (1 - weight) * mean
        variance = (weight * sigma) ** 2 + (1 - weight) ** 2 * variance
        reach = width * math.sqrt(variance)
        state: State = "steady"
        if abs(mean - centre) > reach:
            state = "out"
        elif mean - centre > WATCH * reach:
            state = "watch"
        points.append(Point(mean, centre - reach, centre + reach, state))
    return tuple(points)


def smoothed_counts(
    stretches: Sequence[Stretch],
    *,
    kind: Kind,
    centre: float,
    weight: float = WEIGHT,
    width: float = WIDTH,
) -> tuple[Point, ...]:
    """The early warning: smoothed bad shares or voids per metre.

    Parameters
    ----------
    stretches : sequence of Stretch
        In order of time.
    kind : {"share", "rate"}
        Bad strips of so many, or voids on so much seam.
    centre : float
        What steady work shows; above 0.
    weight, width : float
        As in :func:`smoothed_points`.

    Returns
    -------
    tuple of Point

    Notes
    -----
    Sees a small lasting change days before :func:`chart_points` does. Limits by the normal
    law; how often they alarm for nothing on small counts tells
    :func:`lapwright.proof.runlength.rate_run_length`.

    References
    ----------
    Borror, Champ and Rigdon, Journal of Quality Technology 30, 1998, from memory.

    Examples
    --------
    Two voids per 1,000 ft become four:

    >>> days = [Stretch(found, 304.8) for found in (2, 1, 3, 4, 4, 5)]
    >>> [point.state for point in smoothed_counts(days, kind="rate", centre=2 / 304.8)][-3:]
    ['steady', 'steady', 'watch']
    """
    values = [stretch.found / stretch.size for stretch in stretches]
    sigmas = [_sigma(centre, stretch.size, kind) for stretch in stretches]
    return smoothed_points(values, sigmas, centre=centre, weight=weight, width=width)

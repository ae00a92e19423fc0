"""Does the display tell the truth? Measured against displayed, over time, for one machine.

Each pair of readings gives one offset, measured minus displayed. Offsets of one series (same
machine, same nozzle, since the last calibration) have a mean, a trend, and a chart that alarms
when they move. Nothing is corrected here: a person reads the offset and decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from lapwright.proof.control import WEIGHT, WIDTH, Point, smoothed_points

LEAST = 5  # readings before anything is said of a display; our choice
LEAST_SPAN = 7 * 86400.0  # s; from first to last reading before a trend is told; our choice
CONFIDENCE = 0.95  # -; two-sided; common practice, no source
_MOST_SCORE = 8.0  # standard deviations; beyond, the normal law's tail is nothing but noise

Values = NDArray[np.float64]


@dataclass(frozen=True)
class Reading:
    """What a display showed, and what was measured beside it.

    Parameters
    ----------
    at : datetime
        When. Aware.
    shown, measured : float
        Of the same moment, SI.
    """

    at: datetime
    shown: float
    measured: float

    @property
    def off(self) -> float:
        """Measured minus displayed."""
        return self.measured - self.shown


@dataclass(frozen=True)
class Offset:
    """How far a display is off.

    Parameters
    ----------
    mean : float
        Measured minus displayed.
    low, high : float
        Where the mean may lie.
    reach : float
        How far the next measured value may lie from ``shown + mean``, either way.
    count : int
        Readings it rests on.
    """

    mean: float
    low: float
    high: float
    reach: float
    count: int


@dataclass(frozen=True)
class Trend:
    """How fast the offset changes, and where that rate may lie. [SI per second]"""

    rate: float
    low: float
    high: float

    @property
    def is_sure(self) -> bool:
        """Whether no change at all lies outside ``low`` to ``high``."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True)
class Display:
    """One series of readings, judged.

    Parameters
    ----------
    readings : tuple of Reading
        In order of time.
    offset : Offset or None
        Of all readings, or of the last few where the chart alarms; None while too few.
    trend : Trend or None
        None while readings are too few or too close together.
    points : tuple of Point
        Smoothed chart of standard scores, one for each reading from the third on.
    moved : Reading or None
        The first reading at which the chart alarmed; it stands until a new series begins.
    """

    readings: tuple[Reading, ...]
    offset: Offset | None
    trend: Trend | None
    points: tuple[Point, ...]
    moved: Reading | None

    def true(self, shown: float) -> tuple[float, float] | None:
        """What a displayed value likely is, and how far it may be from that, either way."""
        if self.offset is None:
            return None
        return shown + self.offset.mean, self.offset.reach


def judge_display(
    readings: Sequence[Reading], *, least: float, weight: float = WEIGHT, width: float = WIDTH
) -> Display:
    """Offset, trend and chart of one series.

    Parameters
    ----------
    readings : sequence of Reading
        Of one machine and nozzle since its last calibration, in any order.
    least : float
        Smallest spread of single offsets that is believed: the step of the instruments.
    weight, width : float
        As in :func:`lapwright.proof.control.smoothed_points`.

    Returns
    -------
    Display

    Notes
    -----
    The chart needs no trial period: each offset is scored against all earlier ones, see
    :func:`scores`, so that its limits hold from the third reading on. Readings of one day share
    instrument and hand; the intervals take them for independent and are a little too narrow.

    References
    ----------
    Hawkins, The Statistician 36, 1987 and Quesenberry, Journal of Quality Technology 23, 1991,
    both from memory; the chart itself in :mod:`lapwright.proof.control`.

    Examples
    --------
    >>> from datetime import UTC, timedelta
    >>> start = datetime(2026, 5, 4, tzinfo=UTC)
    >>> offs = [-10.0, -11.0, -9.0, -10.5, -9.5, -10.0]
    >>> found = judge_display(
    ...     [Reading(start + timedelta(days=n), 727.0, 727.0 + off) for n, off in enumerate(offs)],
    ...     least=0.5,
    ... )
    >>> found.moved, [round(value, 1) for value in found.true(727.0)]
    (None, [717.0, 2.0])
    """
    ordered = tuple(sorted(readings, key=lambda reading: reading.at))
    scored = scores([reading.off for reading in ordered], least=least)
    points = smoothed_points(scored, [1.0] * len(scored), centre=0.0, weight=weight, width=width)
    out = next((place for place, point in enumerate(points) if point.state == "out"), None)
    enough = len(ordered) >= LEAST
    counted = ordered if out is None else ordered[-LEAST:]
    return Display(
        readings=ordered,
        offset=_offset(counted, least) if enough else None,
        trend=_trend(ordered, least) if enough else None,
        points=points,
        moved=None if out is None or not enough else ordered[out + 2],
    )


def scores(offs: Sequence[float], *, least: float) -> list[float]:
    """Each offset from the third on against all before it, as a standard score.

    Parameters
    ----------
    offs : sequence of float
        In order of time.
    least : float
        Smallest spread that is believed, above 0; the unit of ``offs``.

    Returns
    -------
    list of float
        Two fewer than offsets. Steady, normal offsets give independent standard normal scores.

    References
    ----------
    Hawkins 1987; Quesenberry 1991, from memory: Student's t of one new value against those
    before it, carried to the normal law by its chance.

    Examples
    --------
    >>> [round(score, 1) for score in scores([1.0, 2.0, 3.0, 2.0, 9.0], least=0.1)]
    [1.0, 0.0, 2.8]
    """
    from scipy.special import ndtri, stdtr

    x = np.asarray(offs, dtype=float)
    if len(x) < 3:
        return []
    before = np.arange(2, len(x), dtype=float)
    near = x - x[0]  # sums of small numbers lose nothing
    total, squares = np.cumsum(near)[1:-1], np.cumsum(near**2)[1:-1]
    mean = total / before
    variance = np.maximum((squares - before * mean**2) / (before - 1), least**2)
    t = (near[2:] - mean) / np.sqrt(variance * (1 + 1 / before))
    tail = ndtri(stdtr(before - 1, -np.abs(t)))  # of the small side, where digits are
    return list(map(float, np.sign(t) * np.minimum(-tail, _MOST_SCORE) + 0.0))


def _spread(values: Values, mean: Values | float, lost: int, least: float) -> float:
    """Standard deviation about a fit that took so many degrees of freedom."""
    return max(math.sqrt(float(((values - mean) ** 2).sum()) / (len(values) - lost)), least)


def _t(freedom: int) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + CONFIDENCE) / 2))


def _offset(readings: Sequence[Reading], least: float) -> Offset:
    offs = np.array([reading.off for reading in readings])
    count, mean = len(offs), float(offs.mean())
    unsure = _t(count - 1) * _spread(offs, mean, 1, least)
    half = unsure / math.sqrt(count)
    reach = unsure * math.sqrt(1 + 1 / count)
    return Offset(mean, mean - half, mean + half, reach, count)


def _trend(readings: Sequence[Reading], least: float) -> Trend | None:
    seconds = np.array([(reading.at - readings[0].at).total_seconds() for reading in readings])
    if seconds[-1] < LEAST_SPAN:
        return None
    offs = np.array([reading.off for reading in readings])
    away = seconds - seconds.mean()
    rate = float(away @ offs / (away @ away))
    error = _spread(offs, offs.mean() + rate * away, 2, least) / math.sqrt(float(away @ away))
    half = _t(len(offs) - 2) * error
    return Trend(rate, rate - half, rate + half)

"""Peaks of a peel trace, and their median by the number of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Method = Literal["A", "B", "C", "D", "E"]
METHODS: tuple[Method, ...] = ("A", "B", "C", "D", "E")

FEW, MANY = 5, 20  # peaks: A below 5 (seen in a national text), B up to 20, then C (from memory)
CENTRAL = 0.8  # of the trace for methods B to E; from memory
LINES = 9  # of methods C and E, which cut the central part into ten; from memory
LEAST_RISE = 0.02  # of the greatest force: a smaller peak is none; our choice
NOISE_RISE = 8.0  # standard deviations: more than noise alone spans in 10,000 readings
_MAD = 1.4826  # median absolute deviation to standard deviation, normal law

Values = NDArray[np.float64]


@dataclass(frozen=True)
class Peaks:
    """Peaks after the first one included, and what was made of them.

    Parameters
    ----------
    count : int
        On the whole trace, from the first peak on.
    method : {"A", "B", "C", "D", "E"}
        How the median was taken.
    median, lowest, highest : float
        Of the peaks that the method counts. [N]
    """

    count: int
    method: Method
    median: float
    lowest: float
    highest: float


def noise_of(force: Values) -> float:
    """Standard deviation of the noise in a trace.

    Parameters
    ----------
    force : ndarray
        Three samples or more. [N]

    Returns
    -------
    float
        [N]

    Notes
    -----
    From the second differences, in which slow changes cancel: robust against peaks as long
    as each is drawn with ten samples or more.

    References
    ----------
    Second differences of independent errors have sqrt(6) times their spread: exact.

    Examples
    --------
    >>> noise_of(np.linspace(0.0, 200.0, 50)) < 1e-9
    True
    """
    return float(_MAD * np.median(np.abs(np.diff(force, n=2))) / np.sqrt(6.0))


def rise_of(force: Values, noise: float) -> float:
    """Least rise and fall that makes a peak: 2 % of the greatest force, and out of the noise.

    Parameters
    ----------
    force : ndarray
        [N]
    noise : float
        Standard deviation. [N]

    Returns
    -------
    float
        [N]

    Notes
    -----
    Two ends of noise alone lie up to eight standard deviations apart in 10,000 readings.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> rise_of(np.array([0.0, 200.0]), 0.1), rise_of(np.array([0.0, 200.0]), 2.0)
    (4.0, 16.0)
    """
    return max(LEAST_RISE * float(force.max()), NOISE_RISE * noise)


def tall_peaks(force: Values, noise: float) -> NDArray[np.intp]:
    """Indices of peaks that stand out of noise and of the gauge's steps.

    Parameters
    ----------
    force : ndarray
        In order of travel. [N]
    noise : float
        Standard deviation. [N]

    Returns
    -------
    ndarray
        Ascending.

    Notes
    -----
    A peak is where the slope turns from up to down; it counts if the force falls by
    :func:`rise_of` on both sides.

    References
    ----------
    What a peak is: the national text of ISO 6133 that was seen. How tall: our choice.

    Examples
    --------
    >>> tall_peaks(np.array([0.0, 5, 4, 9, 2, 2.01, 2]), 0.0)
    array([1, 3])
    """
    from scipy.signal import find_peaks

    return np.asarray(find_peaks(force, prominence=rise_of(force, noise))[0])


def find_method(
    travel: Values, force: Values, *, noise: float, method: Method | None = None
) -> Peaks:
    """Median of the peaks of a trace, the way that their number asks for.

    Parameters
    ----------
    travel, force : ndarray
        From the first peak to where the strip is apart. [m], [N]
    noise : float
        Standard deviation of the force. [N]
    method : {"A", "B", "C", "D", "E"}, optional
        By the number of peaks unless said: none E, below five A, up to twenty B, more C.

    Returns
    -------
    Peaks

    Notes
    -----
    A takes all peaks. B takes those in the central 80 % of the trace. C draws nine lines
    that cut the central part into ten and takes the peak nearest to each. D takes every
    peak of the central part, however many, and is used only when asked for. E reads the
    force at the nine lines, for a trace without peaks. Where the central part holds no
    peak, B and D fall back to all.

    References
    ----------
    ISO 6133, Rubber and plastics: analysis of multi-peak traces. Its scope (five methods,
    chosen by the number of peaks; median and range), what a peak is and the limit of A were
    read in summaries and a national text of an earlier edition. The rest is from memory,
    the standard itself was not read, and D is the least sure: check before you cite it.

    Examples
    --------
    Twelve peaks of 100 N, the first one higher:

    >>> x = np.linspace(0.0, 12.0, 481)
    >>> wave = 90 + 10 * np.cos(2 * np.pi * x) + 50 * (x < 0.5)
    >>> peaks = find_method(x, wave, noise=0.0)
    >>> peaks.method, round(peaks.median)
    ('B', 100)
    """
    # The trace begins on its first peak: a sample before it lets the peak be seen as one.
    padded = np.concatenate([[-float(np.abs(force).max())], force])
    places = tall_peaks(padded, noise) - 1
    is_smooth = len(places) == 0 or (len(places) == 1 and places[0] == 0 and _is_level(force))
    count = 0 if is_smooth else len(places)
    chosen = method or _by_number(count)
    start, end = float(travel[0]), float(travel[-1])
    edge = (1 - CENTRAL) / 2 * (end - start)
    lines = np.linspace(start + edge, end - edge, LINES + 2)[1:-1]
    if chosen == "E" or not count:
        picked = np.interp(lines, travel, force)
        chosen = "E"
    elif chosen == "C":
        nearest = np.abs(travel[places][None, :] - lines[:, None]).argmin(axis=1)
        picked = force[places][nearest]
    else:
        central = (travel[places] >= start + edge) & (travel[places] <= end - edge)
        in_part = chosen != "A" and bool(central.any())
        picked = force[places][central] if in_part else force[places]
    low, middle, high = (float(each) for each in np.quantile(picked, [0.0, 0.5, 1.0]))
    return Peaks(count, chosen, middle, low, high)


def _by_number(count: int) -> Method:
    if count == 0:
        return "E"
    if count < FEW:
        return "A"
    return "B" if count <= MANY else "C"


def _is_level(force: Values) -> bool:
    """A lone start that the force never falls from by a tenth until the end: no peak at all."""
    body = force[: max(1, int(0.9 * len(force)))]
    return float(body.min()) > 0.9 * float(force[0])

"""How long a smoothed chart runs until it alarms: for nothing, or after a change."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lapwright.proof.control import WEIGHT, WIDTH

_CELLS = 301  # of the chain; odd, so that the centre is a cell

Values = NDArray[np.float64]


def run_length(shift: float, *, weight: float = WEIGHT, width: float = WIDTH) -> float:
    """Stretches until a smoothed chart is out, on average; without a shift a false alarm.

    Parameters
    ----------
    shift : float
        Lasting change of the mean, in standard deviations of one value.
    weight, width : float
        As in :func:`lapwright.proof.control.smoothed_points`, with limits of their final width.

    Returns
    -------
    float
        Average run length.

    Notes
    -----
    Normal values. Markov chain over 301 cells between the limits; within 0.2 % of the
    published tables.

    References
    ----------
    Brook and Evans, Biometrika 59, 1972; Lucas and Saccucci, Technometrics 32, 1990.

    Examples
    --------
    >>> round(run_length(0.0), -1), round(run_length(1.0), 1)
    (370.0, 9.8)
    """
    from scipy.special import ndtr

    reach = width * math.sqrt(weight / (2 - weight))
    return _chain(lambda x: ndtr(x - shift), low=-reach, high=reach, start=0.0, weight=weight)


def rate_run_length(
    actual: float, *, expected: float, weight: float = WEIGHT, width: float = WIDTH
) -> float:
    """Stretches of one size until the smoothed void chart is out, on average.

    Parameters
    ----------
    actual, expected : float
        Voids per stretch that the work has now, and that the chart is centred on; above 0.
    weight, width : float
        As in :func:`lapwright.proof.control.smoothed_counts`, with limits of their final width.

    Returns
    -------
    float
        Average run length; with ``actual`` equal to ``expected`` between false alarms.

    Notes
    -----
    Poisson counts; the same chain as :func:`run_length`.

    References
    ----------
    Borror, Champ and Rigdon, Journal of Quality Technology 30, 1998, from memory.

    Examples
    --------
    Two voids a day, and what happens when they become four:

    >>> round(rate_run_length(2.0, expected=2.0)), round(rate_run_length(4.0, expected=2.0), 1)
    (320, 5.7)
    """
    from scipy.special import pdtr

    def counted(x: Values) -> Values:
        whole = np.floor(x + 1e-9)  # a count on the border of a cell belongs below it
        return np.where(whole < 0, 0.0, pdtr(np.maximum(whole, 0), actual))

    reach = width * math.sqrt(expected * weight / (2 - weight))
    low, high = expected - reach, expected + reach
    return _chain(counted, low=low, high=high, start=expected, weight=weight)


def _chain(
    law: Callable[[Values], Values], *, low: float, high: float, start: float, weight: float
) -> float:
    """Mean steps of ``z <- weight x + (1 - weight) z`` inside the limits; ``law`` is that of x."""
    borders = np.linspace(low, high, _CELLS + 1)
    middles = (borders[:-1] + borders[1:]) / 2
    reached = law((borders[None, :] - (1 - weight) * middles[:, None]) / weight)
    stays = np.diff(reached, axis=1)
    lengths = np.linalg.solve(np.eye(_CELLS) - stays, np.ones(_CELLS))
    return float(np.interp(start, middles, lengths))

"""How sheet, wind and volts may move in the hours ahead, as weighted cases.

The gain of a set point that allows for drift comes from knowing the mean of the
drift. Without a forecast it is taken as zero, with the spread of an ordinary half day.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy.special import ndtri

from lapwright.errors import OutOfRange
from lapwright.window.prior import Values

# An ordinary half day, in air-equivalent terms: ambient swing and all that nobody measures.
_ORDINARY_SWING = 1.22 * 15 / 1.8  # K; half width of an even spread; assumed
_ORDINARY_SD = 12 / 1.8  # K; normal; assumed
_WIND_LOSS = 0.04  # -; share of the air's rise lost per wind word, half-normal scale; assumed
_SPREAD_NODES = 9
_SHEET_NODES = 5
_WIND_NODES = 5


@dataclass(frozen=True)
class Drift:
    """What is stated about the hours ahead, as changes against now.

    Parameters
    ----------
    sheet_low, sheet_high : float
        Coldest and warmest change of the sheet; every value between is as likely. [K]
    wind_words : int
        Words the wind rises (calm, light, breezy, strong); below zero it falls.
    volts_ratio : float
        Volts under load then over now, above zero. [-]

    Raises
    ------
    OutOfRange
        ``sheet_high`` below ``sheet_low``, ``wind_words`` beyond 3 or ``volts_ratio``
        not above zero.
    """

    sheet_low: float = 0.0
    sheet_high: float = 0.0
    wind_words: int = 0
    volts_ratio: float = 1.0

    def __post_init__(self) -> None:
        if self.sheet_high < self.sheet_low:
            raise OutOfRange("sheet_high", self.sheet_high, above=self.sheet_low)
        if abs(self.wind_words) > 3:
            raise OutOfRange("wind_words", self.wind_words, above=-4, below=4)
        if self.volts_ratio <= 0:
            raise OutOfRange("volts_ratio", self.volts_ratio, above=0.0)


@dataclass(frozen=True)
class Cases:
    """Weighted cases of a drift; one entry each.

    Parameters
    ----------
    weight : ndarray
        Sums to 1. [-]
    sheet : ndarray
        Change of sheet temperature. [K]
    loss : ndarray
        Share of the air's rise over the sheet that the wind takes. [-]
    shift : ndarray
        Change of air temperature from all that nobody measures. [K]
    volts_ratio : float
        Volts then over now. [-]
    """

    weight: Values
    sheet: Values
    loss: Values
    shift: Values
    volts_ratio: float


def _middles(nodes: int) -> Values:
    """Middles of equal shares of probability."""
    return np.asarray((np.arange(nodes) + 0.5) / nodes)


def ordinary_shift(nodes: int = _SPREAD_NODES) -> Values:
    """Equally likely changes of air temperature over an ordinary half day, mean zero.

    Parameters
    ----------
    nodes : int
        Number of changes.

    Returns
    -------
    ndarray
        Ascending. [K]

    Notes
    -----
    Even spread plus normal, by the quantiles of their sum over a fine product grid.

    References
    ----------
    Assumed; no field data behind it.

    Examples
    --------
    >>> shift = ordinary_shift()
    >>> bool(abs(shift.mean()) < 1e-9 and 11 < shift.max() < 25)
    True
    """
    even = _ORDINARY_SWING * (2 * _middles(101) - 1)
    normal = _ORDINARY_SD * ndtri(_middles(101))
    return np.asarray(np.quantile((even[:, None] + normal[None, :]).ravel(), _middles(nodes)))


def cases(drift: Drift) -> Cases:
    """Cases to average P(sound) over.

    Parameters
    ----------
    drift : Drift
        What is stated; what is not stated stays as now but for the ordinary spread.

    Returns
    -------
    Cases

    Notes
    -----
    More wind takes up to some 4 % of the air's rise per word (half-normal), less wind
    gives it back; the lap model itself finds no direct effect of wind over the sheet.

    References
    ----------
    Spread and wind loss assumed; no field data behind them.

    Examples
    --------
    >>> colder = cases(Drift(sheet_low=-10.0, sheet_high=0.0))
    >>> round(float(colder.weight @ colder.sheet), 6)
    -5.0
    """
    spread = drift.sheet_high - drift.sheet_low
    sheets = drift.sheet_low + spread * (_middles(_SHEET_NODES) if spread else np.array([0.0]))
    losses = np.array([0.0])
    if drift.wind_words:
        losses = _WIND_LOSS * drift.wind_words * ndtri(0.5 + 0.5 * _middles(_WIND_NODES))
    grid = np.array(list(product(sheets, losses, ordinary_shift())))
    weight = np.full(len(grid), 1.0 / len(grid))
    return Cases(weight, grid[:, 0], grid[:, 1], grid[:, 2], drift.volts_ratio)

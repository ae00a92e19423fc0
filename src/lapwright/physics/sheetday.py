"""Sheet temperature hour by hour: the deck lags, and a reading corrects the rest of the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from lapwright.errors import LapwrightError
from lapwright.physics.outside import HALF_HOUR, Hour, outside_of
from lapwright.physics.sheet import Roof, SheetTemperature, settled, sheet_span, time_constant

Values = NDArray[np.float64]

READING_ERROR = 2.0  # K; of an infrared or contact reading, common practice, no source
READING_LASTS = 4 * 3600.0  # s; a reading fades by 1/e, as a test weld is due after 4 h, our choice
SUN_TELLS = 50.0  # W/m2; in weaker sun a miss is not put down to the sun, our choice
_HALF = HALF_HOUR.total_seconds()


@dataclass(frozen=True)
class SheetReading:
    """One measured sheet temperature: when (aware), and what. [K]"""

    at: datetime
    sheet: float


def sheet_by_hour(
    hours: Sequence[Hour],
    *,
    roof: Roof,
    place: tuple[float, float] | None = None,
    readings: Sequence[SheetReading] = (),
) -> SheetTemperature:
    """Sheet temperature at the middle of each hour, corrected by readings.

    Parameters
    ----------
    hours : sequence of Hour
        In order of time; at least one.
    roof : Roof
        What the sheet is and lies on.
    place : tuple of float, optional
        Latitude and longitude; needed when an hour has no ``irradiance``. [deg]
    readings : sequence of SheetReading
        Measured sheet temperatures within the hours, any order.

    Returns
    -------
    SheetTemperature
        One value per hour. [K]

    Raises
    ------
    LapwrightError
        ``place_needed``: sun must be computed and no place is given.
        ``reading_outside_hours``: a reading belongs to none of the hours.
    OutOfRange
        A quantity is outside its range.

    Notes
    -----
    Starts from the steady state of the first hour. At the moment of a reading the
    estimate is the reading, within ``READING_ERROR``; from there both run back to the
    weather's own estimate and span in some ``READING_LASTS``.

    Examples
    --------
    >>> from datetime import UTC
    >>> noon = datetime(2026, 7, 1, 18, tzinfo=UTC)
    >>> hours = [Hour(noon, air=299.82, dew_point=291.82, wind=3.0, cloud=0.0)]
    >>> sheet = sheet_by_hour(hours, roof=Roof(), place=(39.74, -105.18))
    >>> sheet.estimate.round(0).tolist()
    [314.0]
    """
    outside = outside_of(hours, place=place)
    seconds = np.array([hour.at.timestamp() + _HALF for hour in hours])
    span = sheet_span(outside, roof=roof)
    sheet = _lagging(
        np.stack([span.estimate, span.colder, span.warmer]),
        seconds=seconds,
        constants=time_constant(outside.wind, roof=roof),
    )
    corrected = sheet.copy()
    for reading in sorted(readings, key=lambda each: each.at):
        at = reading.at.timestamp()
        if not seconds[0] - _HALF <= at < seconds[-1] + _HALF:
            raise LapwrightError("reading_outside_hours", at=reading.at.isoformat())
        after = seconds + _HALF > at
        corrected[:, after] = _corrected(
            sheet[:, after],
            miss=reading.sheet - float(np.interp(at, seconds, sheet[0])),
            age=np.maximum(seconds[after] - at, 0.0),
            sun=np.asarray(outside.irradiance)[after],
            sun_then=float(np.interp(at, seconds, np.asarray(outside.irradiance))),
        )
    return SheetTemperature(*corrected)


def _lagging(steady: Values, *, seconds: Values, constants: Values) -> Values:
    """Run after the steady values; on foam hardly anything of the lag outlives an hour."""
    sheet = steady.copy()
    elapsed = np.diff(seconds, prepend=seconds[0])
    for hour in range(1, steady.shape[1]):
        sheet[:, hour] = settled(
            sheet[:, hour - 1],
            steady=steady[:, hour],
            elapsed=elapsed[hour],
            time_constant=constants[hour],
        )
    return sheet


def _corrected(sheet: Values, *, miss: float, age: Values, sun: Values, sun_then: float) -> Values:
    """Carry the miss of a reading to the hours after it.

    The miss fades with age. Made in the sun it is mostly soiling, colour and shelter,
    which act in proportion to the sun: so it shrinks with the sun. It is never blown up
    by more sun than there was, since a weak sun tells little.
    """
    fresh = np.exp(-age / READING_LASTS)
    share = np.minimum(1.0, sun / sun_then) if sun_then > SUN_TELLS else 1.0
    estimate = sheet[0] + miss * fresh * share
    doubt = (1 - fresh) * (sheet[1:] - sheet[0]) + fresh * np.array([[-1.0], [1.0]]) * READING_ERROR
    return np.vstack([estimate, estimate + doubt])

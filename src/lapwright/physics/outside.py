"""Weather as the sheet feels it: hours -> arrays of air, dew, wind, sun and cloud."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.sun import cloud_factor, haurwitz, sun_position

Values = NDArray[np.float64]
WindWord = Literal["calm", "light", "breezy", "strong"]

HALF_HOUR = timedelta(minutes=30)
_WIND_WORDS: tuple[tuple[float, WindWord], ...] = (  # m/s; lower edges of Beaufort 6, 4 and 2
    (10.8, "strong"),
    (5.5, "breezy"),
    (1.6, "light"),
)


@dataclass(frozen=True)
class Hour:
    """Weather of one hour on the roof, forecast or measured.

    Parameters
    ----------
    at : datetime
        Start of the hour, aware.
    air, dew_point : float
        In the shade. [K]
    wind : float
        Mean, zero or above. [m/s]
    cloud : float, optional
        Covered share of the sky, 0 to 1; None when only ``irradiance`` is known. [-]
    irradiance : float, optional
        Sun on the level roof, mean of the hour; None: computed from place and cloud. [W/m2]
    pressure : float, optional
        Of the air at the roof. [Pa]
    rain : float, optional
        Chance of rain or snow, 0 to 1; None: not known. [-]
    """

    at: datetime
    air: float
    dew_point: float
    wind: float
    cloud: float | None = None
    irradiance: float | None = None
    pressure: float | None = None
    rain: float | None = None


@dataclass(frozen=True)
class Outside:
    """What acts on the sheet, as numbers or arrays of one length.

    Parameters
    ----------
    air, dew_point : array_like
        In the shade. [K]
    wind : array_like
        Zero or above. [m/s]
    irradiance : array_like
        Sun on the level roof, zero or above. [W/m2]
    cloud : array_like
        Covered share of the sky, 0 to 1. [-]
    """

    air: ArrayLike
    dew_point: ArrayLike
    wind: ArrayLike
    irradiance: ArrayLike = 0.0
    cloud: ArrayLike = 0.0


def outside_of(hours: Sequence[Hour], *, place: tuple[float, float] | None) -> Outside:
    """Arrays for the middle of each hour, with the sun computed where it is not given.

    Parameters
    ----------
    hours : sequence of Hour
        At least one.
    place : tuple of float, optional
        Latitude and longitude; needed when an hour has no ``irradiance``. [deg]

    Returns
    -------
    Outside
        One value per hour.

    Raises
    ------
    LapwrightError
        ``place_needed``: sun must be computed and no place is given.
    OutOfRange
        Place or cloud is outside its range.

    Notes
    -----
    Unknown cloud counts as clear: the colder, safer guess for dew and for the bottom.

    Examples
    --------
    >>> noon = datetime(2026, 7, 1, 18, tzinfo=UTC)
    >>> hours = [Hour(noon, air=299.8, dew_point=291.8, wind=3.0, cloud=0.0)]
    >>> np.asarray(outside_of(hours, place=(39.74, -105.18)).irradiance).round().tolist()
    [980.0]
    """
    cloud = np.array([0.0 if hour.cloud is None else hour.cloud for hour in hours])
    irradiance = np.array([np.nan if h.irradiance is None else h.irradiance for h in hours])
    unknown = np.isnan(irradiance)
    if np.any(unknown):
        if place is None:
            raise LapwrightError("place_needed")
        middles = [hour.at.astimezone(UTC) + HALF_HOUR for hour in hours]  # wall clocks jump
        height, _ = sun_position(middles, latitude=place[0], longitude=place[1])
        irradiance = np.where(unknown, haurwitz(height) * cloud_factor(cloud), irradiance)
    return Outside(
        air=np.array([hour.air for hour in hours]),
        dew_point=np.array([hour.dew_point for hour in hours]),
        wind=np.array([hour.wind for hour in hours]),
        irradiance=irradiance,
        cloud=cloud,
    )


def wind_word(wind: float) -> WindWord:
    """Wind as a crew says it.

    Parameters
    ----------
    wind : float
        Mean wind, zero or above. [m/s]

    Returns
    -------
    str
        ``"calm"`` (Beaufort 0-1), ``"light"`` (2-3), ``"breezy"`` (4-5), ``"strong"`` (6 up).

    Raises
    ------
    OutOfRange
        ``wind`` is below zero.

    Notes
    -----
    The scale is for 10 m above open ground; a parapet shelters, a corner does not.

    References
    ----------
    Beaufort scale in m/s; grouping is our choice.

    Examples
    --------
    >>> wind_word(0.5), wind_word(4.0), wind_word(9.0), wind_word(11.0)
    ('calm', 'light', 'breezy', 'strong')
    """
    if not wind >= 0:
        raise OutOfRange("wind", wind, above=0.0)
    return next((word for edge, word in _WIND_WORDS if wind >= edge), "calm")

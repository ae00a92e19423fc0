"""What every weather source shares: one checked number, one checked row of hours.

A source gives text in its own unit; :func:`quantity` turns it into SI or names the
place, the value, the limit and the unit in which it was written.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Literal

from lapwright.cautions import Caution
from lapwright.errors import FileUnreadable, LapwrightError, OutOfRange
from lapwright.physics.air import dew_point
from lapwright.physics.outside import Hour
from lapwright.units import from_si, to_si

Place = tuple[float, float]  # latitude, longitude [deg]
Source = Literal["csv", "epw", "tmy3", "service", "typed"]

HOUR = timedelta(hours=1)
DEW_ROUNDING = 1.0  # K; a dew point above the air by less is rounding, our choice
LIMITS: dict[str, tuple[float, float]] = {
    "air": (223.15, 333.15),
    "dew_point": (193.15, 313.15),
    "humidity": (0.01, 1.0),
    "wind": (0.0, 75.0),
    "cloud": (0.0, 1.0),
    "irradiance": (0.0, 1500.0),
    "pressure": (50e3, 110e3),
    "rain": (0.0, 1.0),
    "rain_depth": (0.0, 1.0),
    "offset": (-12 * 3600.0, 14 * 3600.0),
    "latitude": (-90.0, 90.0),
    "longitude": (-180.0, 180.0),
}  # SI; what weather can be, our choice: wider than any roof that can be worked on


@dataclass(frozen=True)
class Weather:
    """Hours of weather from one source.

    Parameters
    ----------
    hours : tuple of Hour
        At least one, each later than the one before.
    source : str
        ``"csv"``, ``"epw"``, ``"tmy3"``, ``"service"`` or ``"typed"``.
    place : tuple of float, optional
        Latitude and longitude, if the source names them. [deg]
    issued : datetime, optional
        When a forecast was made, if the source says so.
    cautions : tuple of Caution
        Doubts to show beside anything made from these hours.
    """

    hours: tuple[Hour, ...]
    source: Source
    place: Place | None = None
    issued: datetime | None = None
    cautions: tuple[Caution, ...] = ()


def numbered_rows(text: str, *, file: str) -> Iterator[tuple[int, list[str]]]:
    """Cells of each row with its number as a spreadsheet counts; blank rows are passed over.

    Where semicolons or tabs part the cells, a comma is a decimal mark.

    Raises
    ------
    FileUnreadable
        ``broken_quotes``: a double quote is not closed.
    """
    mark = max(",;\t", key=text.partition("\n")[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if any(cell.strip() for cell in cells):
                yield number, cells if mark == "," else [cell.replace(",", ".") for cell in cells]
    except csv.Error as error:
        raise FileUnreadable("broken_quotes", file=file, row=number + 1) from error


def quantity(text: str, *, name: str, unit: str, file: str, row: int | None, column: str) -> float:
    """SI value of one cell.

    Raises
    ------
    FileUnreadable
        ``blank_cell``, ``not_a_number`` or ``out_of_limits``.

    Examples
    --------
    >>> round(quantity("10", name="wind", unit="mph", file="a.csv", row=2, column="wind_mph"), 2)
    4.47
    """
    if not text.strip():
        raise FileUnreadable("blank_cell", file=file, row=row, column=column)
    try:
        typed = float(text)
    except ValueError:
        typed = math.nan
    if not math.isfinite(typed):
        raise FileUnreadable("not_a_number", file=file, row=row, column=column, value=text)
    low, high = (from_si(limit, unit) for limit in LIMITS[name])
    if not low <= typed <= high:
        raise FileUnreadable(
            "out_of_limits",
            file=file,
            row=row,
            column=column,
            value=text,
            low=f"{low:.4g}",
            high=f"{high:.4g}",
        )
    return to_si(typed, unit)


def dew_below(air: float, dew: float, *, file: str, row: int | None, column: str) -> float:
    """Dew point that is not above the air, with rounding of the source forgiven.

    Raises
    ------
    FileUnreadable
        ``dew_above_air``: by more than rounding explains.
    """
    if dew > air + DEW_ROUNDING:
        raise FileUnreadable("dew_above_air", file=file, row=row, column=column)
    return min(dew, air)


def dew_of(air: float, *, humidity: float) -> float:
    """Dew point from relative humidity, both SI."""
    return dew_point(air, relative_humidity=humidity)


def gaps(hours: Iterable[Hour]) -> tuple[Caution, ...]:
    """One caution if hours are missing: how many, and after when first."""
    starts = [hour.at for hour in hours]
    holes = [
        (before, after - before - HOUR)
        for before, after in pairwise(starts)
        if after - before > HOUR
    ]
    if not holes:
        return ()
    missing = sum((hole for _, hole in holes), timedelta()) / HOUR
    return (Caution("hours_missing", {"after": holes[0][0].isoformat(), "hours": missing}),)


def read_place(text: str) -> Place:
    """Latitude and longitude from "39.74,-105.18".

    Raises
    ------
    LapwrightError
        ``place_unreadable``: not two numbers with a comma; ``place_swapped``: they only
        fit the other way round.
    OutOfRange
        Not on the globe.

    Examples
    --------
    >>> read_place("39.74, -105.18")
    (39.74, -105.18)
    """
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError as error:
        raise LapwrightError("place_unreadable", value=text) from error
    if not (math.isfinite(latitude) and math.isfinite(longitude)):
        raise LapwrightError("place_unreadable", value=text)
    if abs(latitude) > 90 >= abs(longitude):
        raise LapwrightError("place_swapped", value=text)
    for name, angle, most in (("latitude", latitude, 90.0), ("longitude", longitude, 180.0)):
        if abs(angle) > most:
            raise OutOfRange(name, angle, above=-most, below=most)
    return latitude, longitude

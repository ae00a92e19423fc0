"""What a person says about the hours ahead: which weather, which day, what the sheet reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.outside import Hour
from lapwright.physics.sheetday import SheetReading
from lapwright.readings.forecast import fetch_forecast
from lapwright.readings.hours import HOUR, Weather, read_place
from lapwright.readings.typedhours import typed_weather
from lapwright.readings.weather import read_weather, read_zone

_COLDEST, _HOTTEST = 213.0, 394.0  # K; what a sheet can be, as for a strip; our choice


@dataclass(frozen=True)
class Ahead:
    """Where the weather is to come from.

    Parameters
    ----------
    forecast : str, optional
        Name of a file.
    typed : tuple of str
        Lines typed by hand.
    at : str, optional
        Place, as ``"39.74,-105.18"``; alone it asks the weather service.
    zone : str, optional
        Time zone of times without an offset.
    year : int, optional
        Year to lay a typical year into.
    on : date, optional
        Day of the typed lines.
    """

    forecast: str | None = None
    typed: tuple[str, ...] = ()
    at: str | None = None
    zone: str | None = None
    year: int | None = None
    on: date | None = None

    def weather(self, *, now: datetime, cache: Path) -> Weather:
        """The weather, from the one source that was named.

        Parameters
        ----------
        now : datetime
            Aware: begins what the service is asked for; its day and clock are those of
            typed lines for which nothing else is said.
        cache : Path
            Folder for kept answers of the service.

        Returns
        -------
        Weather
            Its place is the one stated, else the one its source names.

        Raises
        ------
        LapwrightError
            ``no_weather``, ``weather_twice``, or as the source.
        """
        if self.forecast is not None and self.typed:
            raise LapwrightError("weather_twice")
        place = None if self.at is None else read_place(self.at)
        if self.forecast is not None:
            found = read_weather(Path(self.forecast), zone=self.zone, year=self.year)
        elif self.typed:
            zone = now.tzinfo if self.zone is None else read_zone(self.zone)
            assert zone is not None  # now is aware
            found = typed_weather(self.typed, on=self.on or now.date(), zone=zone)
        elif place is not None:
            return fetch_forecast(place, now=now, cache=cache)
        else:
            raise LapwrightError("no_weather")
        return Weather(
            found.hours, found.source, place or found.place, found.issued, found.cautions
        )


def read_date(text: str | None, *, option: str) -> date | None:
    """A day as ``2026-11-25``.

    Raises
    ------
    LapwrightError
        ``clock_not_read``.
    """
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise LapwrightError(
            "clock_not_read", option=option, value=text, example="2026-11-25"
        ) from None


def sheet_reading(
    sheet: float | None, at: str | None, *, hours: Sequence[Hour]
) -> tuple[SheetReading, ...]:
    """A reading of the sheet, on the clock of the hours of its day.

    Parameters
    ----------
    sheet : float or None
        What was read. [K]
    at : str or None
        When, as ``07:30``.
    hours : sequence of Hour
        Of that day.

    Returns
    -------
    tuple of SheetReading
        One, or none where nothing is stated.

    Raises
    ------
    LapwrightError
        ``reading_half``: one without the other; ``clock_not_read``.
    OutOfRange
        No sheet is that cold or hot.
    """
    if sheet is None and at is None:
        return ()
    if sheet is None or at is None:
        raise LapwrightError("reading_half")
    if not _COLDEST < sheet < _HOTTEST:
        raise OutOfRange("sheet", sheet, above=_COLDEST, below=_HOTTEST)
    try:
        wall = time.fromisoformat(at.zfill(5))
    except ValueError:
        raise LapwrightError(
            "clock_not_read", option="--sheet-now-at", value=at, example="07:30"
        ) from None
    moments = [
        datetime.combine(hour.at.date(), wall.replace(tzinfo=None), tzinfo=hour.at.tzinfo)
        for hour in hours
    ]
    within = (
        moment
        for moment, hour in zip(moments, hours, strict=True)
        if hour.at <= moment < hour.at + HOUR
    )
    return (SheetReading(next(within, moments[0]), sheet),)

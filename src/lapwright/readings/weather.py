"""A weather file -> hours in SI: our own CSV, or a year in the open EPW and TMY3 formats.

Columns of the CSV, one row per hour, in any order; a suffix names the unit:

================================== ======== =========================================
``time``                           needed   start of the hour: 2026-11-25T07:00-06:00
``air_f``, ``_c``                  needed   air in the shade
``dew_point_f``, ``_c``            needed   or ``humidity_pct``
``wind_mph``, ``_m_s``, ``_km_h``  needed   mean wind
``cloud_pct``                      needed   or ``irradiance_w_m2``, sun on the level
``pressure_hpa``, ``_inhg``        optional at the roof, not reduced to sea level
``rain_pct``                       optional chance of rain or snow
``note``                           optional free text, never read
================================== ======== =========================================

A time without an offset is local time of the zone that is given beside the file.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from difflib import get_close_matches
from functools import partial
from itertools import zip_longest
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from lapwright.cautions import Caution
from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.physics.outside import Hour
from lapwright.readings.hours import Weather, dew_below, dew_of, gaps, numbered_rows, quantity
from lapwright.readings.text import decode, load
from lapwright.readings.weatheryear import is_epw, is_tmy3, read_epw, read_tmy3

_SUFFIXES = {
    "air": ("f", "c"),
    "dew_point": ("f", "c"),
    "humidity": ("pct",),
    "wind": ("mph", "m_s", "km_h"),
    "cloud": ("pct",),
    "irradiance": ("w_m2",),
    "pressure": ("hpa", "inhg"),
    "rain": ("pct",),
}
_OPTIONAL = ("pressure", "rain")  # a cell of these may be blank: not known
_NEEDED = (("air",), ("dew_point", "humidity"), ("wind",), ("cloud", "irradiance"))
_COLUMNS = {f"{name}_{unit}": (name, unit) for name, units in _SUFFIXES.items() for unit in units}


def read_weather(path: Path, *, zone: str | None = None, year: int | None = None) -> Weather:
    """Hours of a weather file; EPW and TMY3 are known by their first lines.

    Parameters
    ----------
    path : Path
        The file.
    zone : str, optional
        Time zone of CSV times without an offset, for example ``"America/Chicago"``.
    year : int, optional
        Year to lay a typical year (EPW, TMY3) into.

    Returns
    -------
    Weather
        Hours in order of time.

    Raises
    ------
    FileUnreadable
        The file cannot be read (codes of :mod:`lapwright.readings.text`), or a place in it
        cannot be understood.
    LapwrightError
        ``zone_unknown``.
    """
    file = str(path)
    text = decode(load(path, file=file), file=file)
    if is_epw(text):
        return read_epw(text, file=file, year=year)
    if is_tmy3(text):
        return read_tmy3(text, file=file, year=year)
    return read_csv(text, file=file, zone=zone)


def read_csv(text: str, *, file: str, zone: str | None = None) -> Weather:
    r"""Hours of our own CSV, from a file or typed.

    Raises
    ------
    FileUnreadable
        ``no_hours``, ``column_missing``, ``column_unit_missing``, ``column_twice``,
        ``too_many_cells``, ``time_unreadable``, ``time_without_offset``,
        ``time_does_not_exist``, ``time_not_later``, or a value as :func:`quantity`.
    LapwrightError
        ``zone_unknown``.

    Examples
    --------
    >>> text = "time,air_f,humidity_pct,wind_mph,cloud_pct\n2026-11-25T07:00-06:00,50,80,5,100"
    >>> hour = read_csv(text, file="typed").hours[0]
    >>> round(hour.air, 2), round(hour.dew_point, 1), round(hour.wind, 2)
    (283.15, 279.9, 2.24)
    """
    rows = numbered_rows(text, file=file)
    header = [cell.strip().lower() for cell in next(rows, (1, []))[1]]
    columns = _columns(header, file=file)
    local = None if zone is None else read_zone(zone)
    hours: list[Hour] = []
    for row, cells in rows:
        for place, cell in enumerate(cells[len(header) :], start=len(header) + 1):
            if cell.strip():
                raise FileUnreadable("too_many_cells", file=file, row=row, value=cell, place=place)
        named = dict(zip_longest(header, cells, fillvalue=""))
        last = hours[-1].at if hours else None
        at = _time(named["time"], local=local, last=last, file=file, row=row)
        hours.append(_hour(at, named, columns, file=file, row=row))
    if not hours:
        raise FileUnreadable("no_hours", file=file)
    ignored = [name for name in header if name not in ("", "time", "note", *_COLUMNS)]
    cautions = (Caution("columns_ignored", {"columns": ", ".join(ignored)}),) if ignored else ()
    return Weather(tuple(hours), "csv", cautions=cautions + gaps(hours))


def _columns(header: list[str], *, file: str) -> dict[str, tuple[str, str]]:
    """Quantity -> its column and unit."""
    found: dict[str, tuple[str, str]] = {}
    for column in header:
        if column in _SUFFIXES:
            choices = ", ".join(f"{column}_{unit}" for unit in _SUFFIXES[column])
            raise FileUnreadable(
                "column_unit_missing", file=file, row=1, column=column, choices=choices
            )
        name, unit = _COLUMNS.get(column, (column, ""))
        if name in found:
            raise FileUnreadable(
                "column_twice", file=file, row=1, column=column, other=found[name][0]
            )
        if unit or column == "time":
            found[name] = (column, unit)
    for choice in (("time",), *_NEEDED):
        if not any(name in found for name in choice):
            wanted = [c for c, (name, _) in _COLUMNS.items() if name in choice] or ["time"]
            near = [close for c in wanted for close in get_close_matches(c, header, n=1)]
            raise FileUnreadable(
                "column_missing",
                file=file,
                row=1,
                column=choice[0],
                choices=", ".join(wanted),
                nearest=near[0] if near else None,
            )
    del found["time"]
    return found


def _hour(
    at: datetime,
    named: dict[str, str],
    columns: dict[str, tuple[str, str]],
    *,
    file: str,
    row: int,
) -> Hour:
    values = {
        name: quantity(named[column], name=name, unit=unit, file=file, row=row, column=column)
        for name, (column, unit) in columns.items()
        if name not in _OPTIONAL or named[column].strip()
    }
    humidity = values.pop("humidity", None)
    if "dew_point" not in values and humidity is not None:
        values["dew_point"] = dew_of(values["air"], humidity=humidity)
    else:
        values["dew_point"] = dew_below(
            values["air"],
            values["dew_point"],
            file=file,
            row=row,
            column=columns["dew_point"][0],
        )
    return Hour(at, **values)


def read_zone(name: str) -> ZoneInfo:
    """Time zone by its name.

    Raises
    ------
    LapwrightError
        ``zone_unknown``, with the nearest name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        near = get_close_matches(name, available_timezones(), n=1) or ["America/Chicago"]
        raise LapwrightError("zone_unknown", value=name, nearest=near[0]) from error


def _time(
    text: str, *, local: ZoneInfo | None, last: datetime | None, file: str, row: int
) -> datetime:
    """Start of the hour with a fixed offset, so that adding to it never meets a clock change."""
    unreadable = partial(FileUnreadable, file=file, row=row, column="time", value=text)
    try:
        at = datetime.fromisoformat(text.strip())
    except ValueError as error:
        code = "time_unreadable" if text.strip() else "blank_cell"
        raise unreadable(code) from error
    if at.tzinfo is None:
        if local is None:
            raise unreadable("time_without_offset")
        wall, at = at, at.replace(tzinfo=local)
        if at.astimezone(UTC).astimezone(local).replace(tzinfo=None) != wall:
            raise unreadable("time_does_not_exist", zone=local.key)
        if last is not None and at.astimezone(UTC) <= last:  # the hour that autumn has twice
            at = at.replace(fold=1)
    at = at.astimezone(timezone(at.utcoffset() or timedelta()))
    if last is not None and at <= last:
        raise unreadable("time_not_later", last=last.isoformat())
    return at

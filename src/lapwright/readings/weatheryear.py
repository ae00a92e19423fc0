"""A year of hours in the two open formats EPW and TMY3.

Both close an hour with its number: row 1 is 00:00 to 01:00, in standard time all year.
Radiation is the mean of that hour, temperatures stand at its end; here both go to its
middle, which puts the air half an hour late, 1 K at most in a steep morning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone

from lapwright.cautions import Caution
from lapwright.errors import FileUnreadable
from lapwright.physics.outside import Hour
from lapwright.readings.hours import Weather, dew_below, gaps, numbered_rows, quantity

COMMON_YEAR, LEAP_YEAR = 2001, 2000  # where a typical year goes whose months are of many years


@dataclass(frozen=True)
class _Column:
    """Where a quantity stands, in which unit, and from which size on a number means "missing"."""

    label: str
    unit: str
    missing: float


@dataclass(frozen=True)
class _Row:
    """One line: its number in the file, the hour it closes as written, and its cells."""

    number: int
    written: tuple[str, str, str, str]  # year, month, day, hour 1 to 24
    cells: Mapping[str, str]


# EnergyPlus weather file data dictionary, Auxiliary Programs documentation, version 24.1
_EPW_FIELDS = {
    "Dry Bulb Temperature": 6,
    "Dew Point Temperature": 7,
    "Atmospheric Station Pressure": 9,
    "Global Horizontal Radiation": 13,
    "Wind Speed": 21,
    "Opaque Sky Cover": 23,
    "Liquid Precipitation Depth": 33,
}
_EPW = {
    "air": _Column("Dry Bulb Temperature", "c", 99.9),
    "dew_point": _Column("Dew Point Temperature", "c", 99.9),
    "wind": _Column("Wind Speed", "m_s", 999.0),
    "irradiance": _Column("Global Horizontal Radiation", "w_m2", 9999.0),
    "cloud": _Column("Opaque Sky Cover", "tenths", 99.0),
    "pressure": _Column("Atmospheric Station Pressure", "pa", 999999.0),
    "rain_depth": _Column("Liquid Precipitation Depth", "mm", 999.0),
}
# S. Wilcox and W. Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156, 2008 (from
# memory; labels and the missing mark -9900 as in files of that edition)
_TMY3 = {
    "air": _Column("Dry-bulb (C)", "c", 9900.0),
    "dew_point": _Column("Dew-point (C)", "c", 9900.0),
    "wind": _Column("Wspd (m/s)", "m_s", 9900.0),
    "irradiance": _Column("GHI (W/m^2)", "w_m2", 9900.0),
    "cloud": _Column("OpqCld (tenths)", "tenths", 9900.0),
    "pressure": _Column("Pressure (mbar)", "hpa", 9900.0),
    "rain_depth": _Column("Lprecip depth (mm)", "mm", 9900.0),
}
_MAY_BE_MISSING = ("irradiance", "cloud", "pressure", "rain_depth")
_LEAP_DAYS = {("2", "29"), ("02", "29")}


def is_epw(text: str) -> bool:
    """Whether this is the text of an EPW file."""
    return text.startswith("LOCATION,")


def is_tmy3(text: str) -> bool:
    """Whether this is the text of a TMY3 file."""
    return text.partition("\n")[2].startswith("Date (MM/DD/YYYY)")


def read_epw(text: str, *, file: str, year: int | None = None) -> Weather:
    """Hours of an EPW file.

    Raises
    ------
    FileUnreadable
        ``header_unreadable``, ``not_hourly``, ``no_hours``, ``row_too_short``,
        ``date_unreadable``, ``no_such_day``, ``time_not_later``, or a value as
        :func:`~lapwright.readings.hours.quantity`.
    """
    lines = list(numbered_rows(text, file=file))
    periods = next((line for _, line in lines[:8] if line[0] == "DATA PERIODS"), [])
    if periods[2:3] != ["1"]:
        raise FileUnreadable("not_hourly", file=file, value=", ".join(periods[2:3]))
    rows = [
        _Row(
            number,
            (line[0], line[1], line[2], line[3]),
            {label: line[at] for label, at in _EPW_FIELDS.items() if at < len(line)},
        )
        for number, line in _long_enough(lines[8:], width=24, file=file)
    ]
    return _laid_out(rows, _EPW, header=lines[0][1], place=(6, 7, 8), file=file, year=year)


def read_tmy3(text: str, *, file: str, year: int | None = None) -> Weather:
    """Hours of a TMY3 file.

    Raises
    ------
    FileUnreadable
        As :func:`read_epw`, without ``not_hourly``; and ``column_missing``.
    """
    lines = list(numbered_rows(text, file=file))
    labels = lines[1][1] if len(lines) > 1 else []
    for column in _TMY3.values():
        if column.label not in labels:
            raise FileUnreadable(
                "column_missing", file=file, row=2, column=column.label, choices=column.label
            )
    rows = []
    for number, line in _long_enough(lines[2:], width=len(labels), file=file):
        month, day, year_written = [*line[0].split("/"), "", ""][:3]
        written = (year_written, month, day, line[1].removesuffix(":00"))
        rows.append(_Row(number, written, dict(zip(labels, line, strict=False))))
    return _laid_out(rows, _TMY3, header=lines[0][1], place=(4, 5, 3), file=file, year=year)


def _long_enough(
    lines: list[tuple[int, list[str]]], *, width: int, file: str
) -> Iterator[tuple[int, list[str]]]:
    for number, line in lines:
        if len(line) < width:
            raise FileUnreadable("row_too_short", file=file, row=number, value=str(len(line)))
        yield number, line


def _laid_out(
    rows: list[_Row],
    columns: Mapping[str, _Column],
    *,
    header: list[str],
    place: tuple[int, int, int],
    file: str,
    year: int | None,
) -> Weather:
    """Put the rows on one calendar; a typical year takes its months from many years."""
    latitude, longitude, offset = _header(header, place=place, file=file)
    if not rows:
        raise FileUnreadable("no_hours", file=file)
    years = {row.written[0] for row in rows}
    if year is None and len(years) > 1:
        has_leap_day = any(row.written[1:3] in _LEAP_DAYS for row in rows)
        year = LEAP_YEAR if has_leap_day else COMMON_YEAR
    hours: list[Hour] = []
    for row in rows:
        at = _start(row, year=year, offset=offset, file=file)
        if hours and at <= hours[-1].at:
            raise FileUnreadable(
                "time_not_later", file=file, row=row.number, last=hours[-1].at.isoformat()
            )
        hours.append(_hour(at, row, columns, file=file))
    typical = (Caution("typical_year"),) if len(years) > 1 else ()
    return Weather(
        tuple(hours),
        "epw" if columns is _EPW else "tmy3",
        place=(latitude, longitude),
        cautions=typical + gaps(hours),
    )


def _header(
    header: list[str], *, place: tuple[int, int, int], file: str
) -> tuple[float, float, timezone]:
    names = ("latitude", "longitude", "offset")
    if len(header) <= max(place):
        raise FileUnreadable("header_unreadable", file=file, row=1, value=",".join(header))
    latitude, longitude, offset = (
        quantity(
            header[at],
            name=name,
            unit="h" if name == "offset" else "deg",
            file=file,
            row=1,
            column=name,
        )
        for name, at in zip(names, place, strict=True)
    )
    return latitude, longitude, timezone(timedelta(seconds=offset))


def _start(row: _Row, *, year: int | None, offset: timezone, file: str) -> datetime:
    written = "-".join(row.written[:3])
    try:
        of_year, month, day, hour = (int(part) for part in row.written)
    except ValueError as error:
        value = f"{written} {row.written[3]}"
        raise FileUnreadable("date_unreadable", file=file, row=row.number, value=value) from error
    try:
        midnight = datetime(year or of_year, month, day, tzinfo=offset)
    except ValueError as error:
        raise FileUnreadable(
            "no_such_day", file=file, row=row.number, value=written, year=year or of_year
        ) from error
    if not 1 <= hour <= 24:
        value = f"{written} {hour}"
        raise FileUnreadable("date_unreadable", file=file, row=row.number, value=value)
    return midnight + timedelta(hours=hour - 1)


def _hour(at: datetime, row: _Row, columns: Mapping[str, _Column], *, file: str) -> Hour:
    values: dict[str, float] = {}
    for name, column in columns.items():
        text = row.cells.get(column.label, "")
        if _is_missing(text, mark=column.missing):
            if name in _MAY_BE_MISSING:
                continue
            text = ""
        values[name] = quantity(
            text, name=name, unit=column.unit, file=file, row=row.number, column=column.label
        )
    if "irradiance" not in values and "cloud" not in values:
        column = columns["cloud"]
        raise FileUnreadable("blank_cell", file=file, row=row.number, column=column.label)
    values["dew_point"] = dew_below(
        values["air"],
        values["dew_point"],
        file=file,
        row=row.number,
        column=columns["dew_point"].label,
    )
    depth = values.pop("rain_depth", None)
    return Hour(at, **values, rain=None if depth is None else float(depth > 0))


def _is_missing(text: str, *, mark: float) -> bool:
    try:
        return abs(float(text)) >= mark
    except ValueError:
        return not text.strip()

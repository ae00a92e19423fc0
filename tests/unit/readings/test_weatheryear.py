"""EPW and TMY3: calendars, missing marks, and what each mistake is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta, timezone

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings.hours import Weather
from lapwright.readings.weatheryear import is_epw, is_tmy3, read_epw, read_tmy3

EPW_HEADER = (
    "LOCATION,Invented,XX,USA,TMY,000000,40.00,-105.00,-7.0,1600.0\n"
    "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n"
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\nCOMMENTS 2,\n"
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
)
EPW_ROW = (
    "{year},{month},{day},{hour},60,?9,20.0,9.3,50,84000,0,0,300,650,0,0,0,0,0,0,180,3.0,2,1,"
    "16.0,77777,9,999999999,15,0.1,0,88,0.2,{rain},1.0\n"
)
TMY3_LABELS = (
    "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),OpqCld (tenths),Dry-bulb (C),Dew-point (C),"
    "Pressure (mbar),Wspd (m/s),Lprecip depth (mm)\n"
)
TMY3_HEADER = '000000,"INVENTED",CO,-7.0,40.000,-105.000,1600\n' + TMY3_LABELS
TMY3_ROW = "{month:02}/{day:02}/{year},{hour:02}:00,650,1,20.0,9.3,840,3.0,{rain}\n"
MST = timezone(timedelta(hours=-7))

Make = Callable[..., str]


def _text(header: str, row: str, days: Iterable[tuple[int, int, int]], rain: str) -> str:
    return header + "".join(
        row.format(year=year, month=month, day=day, hour=hour, rain=rain)
        for year, month, day in days
        for hour in range(1, 25)
    )


def epw(*days: tuple[int, int, int], rain: str = "0.0") -> str:
    """EPW text of whole days."""
    return _text(EPW_HEADER, EPW_ROW, days, rain)


def tmy3(*days: tuple[int, int, int], rain: str = "0") -> str:
    """TMY3 text of whole days."""
    return _text(TMY3_HEADER, TMY3_ROW, days, rain)


FORMATS = pytest.mark.parametrize(
    ("make", "read"), [(epw, read_epw), (tmy3, read_tmy3)], ids=["epw", "tmy3"]
)
Read = Callable[..., Weather]


@FORMATS
def test_values_come_in_si(make: Make, read: Read) -> None:
    """Every quantity of a row arrives in SI, with place and source."""
    weather = read(make((2026, 7, 1)), file="a")
    hour = weather.hours[0]
    assert hour.air == pytest.approx(293.15)
    assert hour.dew_point == pytest.approx(282.45)
    assert (hour.wind, hour.cloud, hour.irradiance) == (3.0, pytest.approx(0.1), 650.0)
    assert (hour.pressure, hour.rain) == (84_000.0, 0.0)
    assert (weather.place, weather.source) == ((40.0, -105.0), make.__name__)


@FORMATS
def test_hour_is_named_by_its_end_and_kept_by_its_start(make: Make, read: Read) -> None:
    """Hour 1 starts at midnight of standard time, hour 24 at 23:00 of the same day."""
    hours = read(make((2026, 7, 1)), file="a").hours
    assert hours[0].at == datetime(2026, 7, 1, 0, tzinfo=MST)
    assert hours[-1].at == datetime(2026, 7, 1, 23, tzinfo=MST)


@FORMATS
def test_typical_year_is_laid_into_one_year_and_said(make: Make, read: Read) -> None:
    """Months of many years follow each other in one common year, with a caution."""
    weather = read(make((1997, 1, 31), (1988, 2, 1)), file="a")
    assert [hour.at.year for hour in weather.hours] == [2001] * 48
    assert [caution.code for caution in weather.cautions] == ["typical_year"]
    chosen = read(make((1997, 1, 31), (1988, 2, 1)), file="a", year=2027)
    assert chosen.hours[0].at == datetime(2027, 1, 31, 0, tzinfo=MST)


@FORMATS
def test_measured_year_keeps_its_own(make: Make, read: Read) -> None:
    """A file of one year is no typical year, and its 29 February stays."""
    weather = read(make((2028, 2, 29), (2028, 3, 1)), file="a")
    assert weather.hours[0].at == datetime(2028, 2, 29, 0, tzinfo=MST)
    assert weather.cautions == ()


@FORMATS
def test_leap_day_needs_a_leap_year(make: Make, read: Read) -> None:
    """A typical year with 29 February goes into a leap year; into another it is refused."""
    text = make((1996, 2, 29), (1999, 3, 1))
    assert read(text, file="a").hours[0].at.year == 2000
    with pytest.raises(FileUnreadable) as error:
        read(text, file="a", year=2027)
    assert (error.value.code, error.value.data["year"]) == ("no_such_day", 2027)


@FORMATS
def test_common_year_laid_into_a_leap_year_has_a_gap_that_is_said(make: Make, read: Read) -> None:
    """28 February to 1 March in a leap year leaves 24 hours open, which is said."""
    weather = read(make((1997, 2, 28), (1988, 3, 1)), file="a", year=2028)
    typical, gap = weather.cautions
    assert typical.code == "typical_year"
    assert (gap.code, gap.data["hours"]) == ("hours_missing", 24.0)


@FORMATS
def test_rain_is_yes_no_or_not_known(make: Make, read: Read) -> None:
    """A depth of water is rain; the missing mark is not known, which is not dry."""
    missing = "999" if make is epw else "-9900"
    for depth, rain in (("0.0", 0.0), ("2.5", 1.0), (missing, None)):
        assert read(make((2026, 7, 1), rain=depth), file="a").hours[0].rain == rain


EPW_MISTAKES = [
    (("20.0,9.3", "99.9,9.3"), "blank_cell", 9, "Dry Bulb Temperature"),
    (("20.0,9.3", "70.0,9.3"), "out_of_limits", 9, "Dry Bulb Temperature"),
    (("20.0,9.3", ",9.3"), "blank_cell", 9, "Dry Bulb Temperature"),
    (("20.0,9.3", "20.0,29.3"), "dew_above_air", 9, "Dew Point Temperature"),
    (("2026,7,1,2,", "2026,7,1,1,"), "time_not_later", 10, None),
    (("2026,7,1,2,", "2026,7,32,2,"), "no_such_day", 10, None),
    (("2026,7,1,2,", "2026,7,1,25,"), "date_unreadable", 10, None),
    (("2026,7,1,2,", "2026,July,1,2,"), "date_unreadable", 10, None),
    (("40.00,-105", "95.00,-105"), "out_of_limits", 1, "latitude"),
    (("-7.0,1600", "-70,1600"), "out_of_limits", 1, "offset"),
    ((",000000,40.00,-105.00,-7.0,1600.0", ""), "header_unreadable", 1, None),
    (("DATA PERIODS,1,1,", "DATA PERIODS,1,4,"), "not_hourly", None, None),
]


@pytest.mark.parametrize(("change", "code", "row", "column"), EPW_MISTAKES)
def test_mistake_in_an_epw_file(
    change: tuple[str, str], code: str, row: int | None, column: str | None
) -> None:
    """One wrong place is one error with code, row and column."""
    with pytest.raises(FileUnreadable) as error:
        read_epw(epw((2026, 7, 1)).replace(*change), file="a")
    data = error.value.data
    assert (error.value.code, data["row"], data["column"]) == (code, row, column)


def test_hour_without_sun_and_cloud_is_refused() -> None:
    """One of radiation and cloud may be missing, not both."""
    no_sun = epw((2026, 7, 1)).replace("300,650,", "300,9999,")
    assert read_epw(no_sun, file="a").hours[0].irradiance is None
    with pytest.raises(FileUnreadable) as error:
        read_epw(no_sun.replace("3.0,2,1,", "3.0,99,99,"), file="a")
    assert error.value.code == "blank_cell"


def test_short_old_epw_rows_are_read() -> None:
    """Rows without the last columns are legal: then rain is not known."""
    text = epw((2026, 7, 1)).replace(",88,0.2,0.0,1.0\n", ",88\n")
    assert read_epw(text, file="a").hours[0].rain is None


@FORMATS
def test_cut_row_and_empty_file(make: Make, read: Read) -> None:
    """A file cut in the middle of a row and one without rows are told so."""
    with pytest.raises(FileUnreadable) as error:
        read(make((2026, 7, 1))[:-60], file="a")
    assert error.value.code == "row_too_short"
    with pytest.raises(FileUnreadable) as error:
        read(make(), file="a")
    assert error.value.code == "no_hours"


def test_tmy3_without_a_column_names_it() -> None:
    """A missing column of TMY3 is named as the format spells it."""
    with pytest.raises(FileUnreadable) as error:
        read_tmy3(tmy3((2026, 7, 1)).replace("Wspd (m/s)", "Wind"), file="a")
    assert (error.value.code, error.value.data["column"]) == ("column_missing", "Wspd (m/s)")
    with pytest.raises(FileUnreadable) as error:
        read_tmy3("x\n", file="a")
    assert error.value.code == "column_missing"


def test_formats_are_known_by_their_first_lines() -> None:
    """Neither is taken for the other, nor our own CSV for one of them."""
    ours = "time,air_f\n"
    assert [is_epw(text) for text in (epw(), tmy3(), ours, "")] == [True, False, False, False]
    assert [is_tmy3(text) for text in (epw(), tmy3(), ours, "")] == [False, True, False, False]

"""Weather files: what is read, and what each mistake is told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from lapwright.errors import FileUnreadable, LapwrightError, OutOfRange
from lapwright.readings.hours import read_place
from lapwright.readings.weather import read_csv, read_weather

HEAD = "time,air_f,dew_point_f,wind_mph,cloud_pct\n"
ROW = "2026-07-01T07:00-06:00,80,60,10,25\n"


def _refused(text: str, **options: Any) -> FileUnreadable:
    with pytest.raises(FileUnreadable) as error:
        read_csv(text, file="day.csv", **options)
    assert error.value.data["file"] == "day.csv"
    return error.value


def test_us_and_metric_columns_give_the_same_hour() -> None:
    """The suffix of a column is its unit; the hour is in SI."""
    us = read_csv(
        "time,air_f,dew_point_f,wind_mph,cloud_pct,pressure_inhg,rain_pct\n"
        "2026-07-01T07:00-06:00,50,41,10,25,29.92,40\n",
        file="a",
    ).hours[0]
    metric = read_csv(
        "wind_km_h,cloud_pct,air_c,dew_point_c,time,pressure_hpa,rain_pct\n"
        "16.09344,25,10,5,2026-07-01 13:00Z,1013.2,40\n",
        file="b",
    ).hours[0]
    assert us.air == pytest.approx(283.15) == metric.air
    assert us.dew_point == pytest.approx(278.15) == metric.dew_point
    assert us.wind == pytest.approx(4.4704) == metric.wind
    assert us.cloud == pytest.approx(0.25) == metric.cloud
    assert us.rain == pytest.approx(0.40) == metric.rain
    assert us.pressure == pytest.approx(101_320, abs=5)
    assert metric.pressure == pytest.approx(101_320)
    assert us.at == metric.at == datetime(2026, 7, 1, 13, tzinfo=UTC)


def test_humidity_stands_in_for_the_dew_point() -> None:
    """20 C and 50 % have their dew point at 9.27 C (check value DP-20-50)."""
    text = "time,air_c,humidity_pct,wind_m_s,irradiance_w_m2\n2026-07-01T07:00Z,20,50,3,650\n"
    hour = read_csv(text, file="a").hours[0]
    assert hour.dew_point - 273.15 == pytest.approx(9.272, abs=0.05)
    assert (hour.irradiance, hour.cloud, hour.rain) == (650.0, None, None)


def test_blank_cells_of_optional_columns_are_unknown() -> None:
    """A blank chance of rain is not known, which is not zero."""
    text = HEAD.replace("\n", ",rain_pct\n") + ROW.replace("\n", ",\n")
    assert read_csv(text, file="a").hours[0].rain is None


@pytest.mark.parametrize(
    ("change", "code", "row", "column"),
    [
        (("80,", "warm,"), "not_a_number", 2, "air_f"),
        (("80,", "nan,"), "not_a_number", 2, "air_f"),
        (("80,", ","), "blank_cell", 2, "air_f"),
        (("80,", "300,"), "out_of_limits", 2, "air_f"),
        ((",10,", ",-1,"), "out_of_limits", 2, "wind_mph"),
        ((",25\n", ",101\n"), "out_of_limits", 2, "cloud_pct"),
        ((",25\n", "\n"), "blank_cell", 2, "cloud_pct"),
        ((",60,", ",90,"), "dew_above_air", 2, "dew_point_f"),
        ((",25\n", ",25,9\n"), "too_many_cells", 2, None),
        (("2026-07-01T07:00-06:00", "7 in the morning"), "time_unreadable", 2, "time"),
        (("2026-07-01T07:00-06:00", "2026-02-29T07:00Z"), "time_unreadable", 2, "time"),
        (("2026-07-01T07:00-06:00", ""), "blank_cell", 2, "time"),
        (("-06:00", ""), "time_without_offset", 2, "time"),
        (("air_f", "air"), "column_unit_missing", 1, "air"),
        (("air_f", "air_k"), "column_missing", 1, "air"),
        (("time", "hour"), "column_missing", 1, "time"),
        (("cloud_pct", "sky"), "column_missing", 1, "cloud"),
        (("dew_point_f", "air_c"), "column_twice", 1, "air_c"),
        ((ROW, ROW + ROW), "time_not_later", 3, "time"),
        ((ROW, ""), "no_hours", None, None),
    ],
    ids=lambda value: str(value)[:30] if isinstance(value, str) else None,
)
def test_each_mistake_is_named_with_its_place(
    change: tuple[str, str], code: str, row: int | None, column: str | None
) -> None:
    """One wrong cell or column is one error with row, column and code."""
    assert read_csv(HEAD + ROW, file="day.csv").hours
    error = _refused((HEAD + ROW).replace(*change))
    assert (error.code, error.data["row"], error.data["column"]) == (code, row, column)


def test_limits_are_told_in_the_unit_of_the_column() -> None:
    """A limit is given in the unit in which the value was typed."""
    data = _refused(HEAD + ROW.replace("80,", "300,")).data
    assert (data["value"], data["low"], data["high"]) == ("300", "-58", "140")


def test_missing_column_says_what_would_do_and_what_is_near() -> None:
    """The cure is in the error: possible names, and the one that was probably meant."""
    data = _refused((HEAD + ROW).replace("wind_mph", "wind_kmh")).data
    assert data["choices"] == "wind_mph, wind_m_s, wind_km_h"
    assert data["nearest"] == "wind_kmh"


def test_empty_file_has_no_time_column() -> None:
    """An empty file is told what it lacks, not a crash."""
    assert _refused("").code == "column_missing"


def test_rounding_of_the_dew_point_is_forgiven() -> None:
    """In fog a source may print the dew point a hair above the air: it becomes the air."""
    hour = read_csv(HEAD + ROW.replace(",60,", ",81,"), file="a").hours[0]
    assert hour.dew_point == hour.air


def test_gap_is_a_doubt_and_not_an_error() -> None:
    """Missing hours are counted and said; the others are used."""
    text = HEAD + ROW + ROW.replace("T07", "T08") + ROW.replace("T07", "T11")
    weather = read_csv(text, file="a")
    assert len(weather.hours) == 3
    (caution,) = weather.cautions
    assert caution.code == "hours_missing"
    assert caution.data == {"after": "2026-07-01T08:00:00-06:00", "hours": 2.0}


def test_decimal_comma_is_read_where_semicolons_part_the_cells() -> None:
    """A spreadsheet set to Spanish writes semicolons and decimal commas."""
    text = (HEAD + ROW).replace(",", ";").replace("80;", "80,5;")
    assert read_csv(text, file="a").hours[0].air == pytest.approx((80.5 + 459.67) / 1.8)


def test_open_quote_is_named_with_its_row() -> None:
    """A double quote that is never closed is found where it opens or at the end."""
    error = _refused(HEAD + ROW.replace("80,", '"80,'))
    assert (error.code, error.data["row"]) == ("broken_quotes", 2)


def test_unknown_columns_are_said() -> None:
    """A column that means nothing to us is named, so that a slip in a name is seen."""
    text = HEAD.replace("\n", ",rain\n").replace("rain", "gusts") + ROW.replace("\n", ",30\n")
    (caution,) = read_csv(text, file="a").cautions
    assert (caution.code, caution.data) == ("columns_ignored", {"columns": "gusts"})


def _local(*walls: str) -> str:
    return HEAD + "".join(ROW.replace("2026-07-01T07:00-06:00", wall) for wall in walls)


def test_spring_hour_that_does_not_exist_is_refused() -> None:
    """02:30 on the night the clocks go forward is an error that names the zone."""
    zone = "America/Chicago"
    fine = _local("2026-03-08T01:00", "2026-03-08T03:00")
    weather = read_csv(fine, file="a", zone=zone)
    assert weather.cautions == ()  # one real hour apart: no gap
    error = _refused(_local("2026-03-08T01:00", "2026-03-08T02:00"), zone=zone)
    assert (error.code, error.data["row"], error.data["zone"]) == ("time_does_not_exist", 3, zone)


def test_autumn_hour_that_comes_twice_is_two_hours() -> None:
    """01:00 twice on the night the clocks go back is one hour apart; three times is an error."""
    walls = ["2026-11-01T00:00", "2026-11-01T01:00", "2026-11-01T01:00", "2026-11-01T02:00"]
    weather = read_csv(_local(*walls), file="a", zone="America/Chicago")
    starts = [hour.at.astimezone(UTC).hour for hour in weather.hours]
    assert starts == [5, 6, 7, 8]
    assert weather.cautions == ()
    error = _refused(_local(walls[1], walls[1], walls[1]), zone="America/Chicago")
    assert (error.code, error.data["row"]) == ("time_not_later", 4)


def test_hours_do_not_jump_when_added_to() -> None:
    """Half an hour after the second 01:00 is real half an hour later."""
    walls = ["2026-11-01T01:00", "2026-11-01T01:00"]
    last = read_csv(_local(*walls), file="a", zone="America/Chicago").hours[-1].at
    later = (last + timedelta(minutes=30)).astimezone(UTC)
    assert later == datetime(2026, 11, 1, 7, 30, tzinfo=UTC)


@pytest.mark.parametrize("zone", ["America/Chigaco", "../x", ""])
def test_unknown_zone_is_refused(zone: str) -> None:
    """A time zone that does not exist is an error, with a near one if there is one."""
    with pytest.raises(LapwrightError) as error:
        read_csv(HEAD + ROW, file="a", zone=zone)
    assert error.value.code == "zone_unknown"
    if zone.startswith("America"):
        assert error.value.data["nearest"] == "America/Chicago"


def test_year_of_8784_hours_is_read() -> None:
    """A leap year in our own columns is one row of 8,784 hours without gaps."""
    start = datetime(2028, 1, 1, tzinfo=UTC)
    times = [(start + timedelta(hours=n)).isoformat() for n in range(8784)]
    text = HEAD + "".join(ROW.replace("2026-07-01T07:00-06:00", time) for time in times)
    weather = read_csv(text, file="a")
    assert len(weather.hours) == 8784
    assert weather.cautions == ()
    assert weather.hours[-1].at == datetime(2028, 12, 31, 23, tzinfo=UTC)


@pytest.mark.parametrize(
    ("content", "code"), [(None, "file_missing"), (b"P\0K\3", "not_text"), (b"", "column_missing")]
)
def test_file_that_is_none_is_refused(tmp_path: Path, content: bytes | None, code: str) -> None:
    """A missing file, a spreadsheet's own format and an empty file are told apart."""
    path = tmp_path / "day.csv"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(FileUnreadable) as error:
        read_weather(path)
    assert error.value.code == code
    assert error.value.data["file"] == str(path)


def test_file_of_a_spreadsheet_is_read(tmp_path: Path) -> None:
    """The mark that spreadsheets put first, capitals, blanks and empty lines do not matter."""
    path = tmp_path / "day.csv"
    text = HEAD.title().replace(",", " ,").replace("\n", "\r\n") + ROW + "\n,,,,\n"
    path.write_bytes(text.encode("utf-8-sig"))
    assert len(read_weather(path).hours) == 1


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("39.74", "place_unreadable"),
        ("39.74,-105.18,2", "place_unreadable"),
        ("39.74N,105.18W", "place_unreadable"),
        ("nan,3", "place_unreadable"),
        ("-105.18,39.74", "place_swapped"),
        ("95,190", "out_of_range"),
        ("39.74,190", "out_of_range"),
    ],
)
def test_wrong_place_is_refused(text: str, code: str) -> None:
    """Coordinates that are no place are an error; swapped ones are recognised."""
    with pytest.raises(LapwrightError) as error:
        read_place(text)
    assert error.value.code == code
    assert isinstance(error.value, OutOfRange) == (code == "out_of_range")


def test_place_is_latitude_then_longitude() -> None:
    """North and east are positive."""
    assert read_place(" 39.74 , -105.18 ") == (39.74, -105.18)


def test_rows_may_be_typed(tmp_path: Path) -> None:
    """What is typed and what is in a file are read by the same rules."""
    path = tmp_path / "day.csv"
    path.write_text(HEAD + ROW, encoding="utf-8")
    reader: Callable[..., Any] = read_csv
    assert reader(HEAD + ROW, file="typed").hours == read_weather(path).hours

"""Weather typed by hand: what is understood, what is refused, what lies between two lines."""

from __future__ import annotations

from datetime import UTC, date

import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.physics.outside import Hour
from lapwright.readings.typedhours import typed_weather

DAY = date(2026, 4, 14)


def _typed(*lines: str) -> tuple[Hour, ...]:
    return typed_weather(lines, on=DAY, zone=UTC).hours


@pytest.mark.parametrize(
    "line",
    [
        "07:00 50F dew 41F wind 10 mph cloud 20%",
        "7 50 F dew 41 F wind 10 mph cloud 20 %",
        "07:00 10C dew 5C wind 4.47 m/s cloud 20%",
        "07:00 10 °C cloud 20% wind 16.093 km/h dew 5 °C",
        "7:00 10c rocío 5c viento 16,093 km/h nubes 20%",
        "07:00 10C ROCIO 5C viento 16.093 km/h nubes 20%",
    ],
)
def test_one_hour_in_many_spellings(line: str) -> None:
    """50 F is 10 C and 10 mph is 4.4704 m/s, in either language and any order."""
    (hour,) = _typed(line)
    assert hour.at.isoformat() == "2026-04-14T07:00:00+00:00"
    assert hour.air == pytest.approx(283.15)
    assert hour.dew_point == pytest.approx(278.15)
    assert hour.wind == pytest.approx(4.4704, abs=1e-3)
    assert hour.cloud == pytest.approx(0.2)
    assert (hour.irradiance, hour.rain) == (None, None)


def test_humidity_sun_and_rain_are_understood() -> None:
    """Half humidity at 20 C is a dew point of 9.3 C (tables of moist air, from memory)."""
    (hour,) = _typed("12:30 20C humidity 50% wind 5 km/h sun 800 W/m2 rain 30%")
    assert hour.dew_point == pytest.approx(282.4, abs=0.1)
    assert (hour.irradiance, hour.rain, hour.cloud) == (800.0, 0.3, None)
    assert hour.at.minute == 30


@pytest.mark.parametrize(
    "line",
    [
        "",
        "07:00",
        "50F dew 41F wind 10 mph cloud 20%",  # no time
        "07:00 50F wind 10 mph cloud 20%",  # no dew
        "07:00 50F dew 41F cloud 20%",  # no wind
        "07:00 50F dew 41F wind 10 mph",  # no sky
        "07:00 50 dew 41F wind 10 mph cloud 20%",  # no unit
        "07:00 50F dew 41% wind 10 mph cloud 20%",  # wrong unit
        "07:00 50F dew 41F dew 42F wind 10 mph cloud 20%",  # twice
        "07:00 50F dew 41F gust 10 mph wind 10 mph cloud 20%",  # unknown word
        "07:00 50F dew 41F wind 10 mph cloud 20% and so on",
        "25:00 50F dew 41F wind 10 mph cloud 20%",
        "07:75 50F dew 41F wind 10 mph cloud 20%",
    ],
)
def test_half_a_line_is_refused_whole(line: str) -> None:
    """What is not fully understood is refused with an example in either system."""
    with pytest.raises(LapwrightError) as error:
        _typed(line)
    assert error.value.code == "hour_not_read"
    for example in (error.value.data["us"], error.value.data["metric"]):
        assert len(_typed(example)) == 1


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("07:00 250F dew 41F wind 10 mph cloud 20%", "out_of_limits"),
        ("07:00 50F dew 41F wind -3 mph cloud 20%", "out_of_limits"),
        ("07:00 50F dew 41F wind 10 mph cloud 120%", "out_of_limits"),
        ("07:00 50F dew 61F wind 10 mph cloud 20%", "dew_above_air"),
    ],
)
def test_weather_that_cannot_be_is_refused(line: str, code: str) -> None:
    """A slip of the finger names its value and limits."""
    with pytest.raises(FileUnreadable) as error:
        _typed(line)
    assert error.value.code == code


def test_hours_between_lie_on_a_straight_line() -> None:
    """What both lines say is filled in; what one leaves out stays unknown."""
    hours = _typed(
        "06:00 10C dew 0C wind 0 m/s cloud 0% rain 20%",
        "10:00 20C dew 8C wind 8 m/s cloud 100%",
    )
    assert [hour.at.hour for hour in hours] == [6, 7, 8, 9, 10]
    assert [round(hour.air - 273.15, 6) for hour in hours] == [10, 12.5, 15, 17.5, 20]
    assert [round(hour.dew_point - 273.15, 6) for hour in hours] == [0, 2, 4, 6, 8]
    assert [hour.wind for hour in hours] == [0, 2, 4, 6, 8]
    assert [hour.cloud for hour in hours] == [0, 0.25, 0.5, 0.75, 1]
    assert [hour.rain for hour in hours] == [0.2, None, None, None, None]


def test_lines_half_an_hour_off_are_filled_from_the_first() -> None:
    """From 06:00 to 07:30 one hour lies between, and no hour is doubled."""
    hours = _typed("06:00 10C dew 0C wind 0 m/s cloud 0%", "07:30 13C dew 0C wind 0 m/s cloud 0%")
    assert [f"{hour.at:%H:%M}" for hour in hours] == ["06:00", "07:00", "07:30"]


def test_lines_go_forward_in_time() -> None:
    """A line that is not later than the one before is refused with its number."""
    line = "06:00 10C dew 0C wind 0 m/s cloud 0%"
    with pytest.raises(FileUnreadable) as error:
        _typed(line, line)
    assert (error.value.code, error.value.data["row"]) == ("time_not_later", 2)


def test_sky_is_said_one_way() -> None:
    """Cloud in one line and sun in the next leave the hours between without a sky: refused."""
    with pytest.raises(LapwrightError, match="sky_two_ways"):
        _typed("06:00 10C dew 0C wind 0 m/s cloud 0%", "09:00 13C dew 0C wind 0 m/s sun 500 W/m2")

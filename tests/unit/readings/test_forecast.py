"""One answer of the public forecast: forms, units, sky words, and hours that are broken."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.forecast import read_periods
from lapwright.readings.hours import Weather

NOW = datetime(2026, 7, 1, 13, 10, tzinfo=UTC)
PLACE = (39.74, -105.18)


def period(start: str = "2026-07-01T07:00:00-06:00", **changes: Any) -> dict[str, Any]:
    """One hour as the service writes it; all values invented."""
    return {
        "number": 1,
        "startTime": start,
        "temperature": 68,
        "temperatureUnit": "F",
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 20},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 10.0},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 53},
        "windSpeed": "10 mph",
        "shortForecast": "Mostly Sunny",
    } | changes


def answer(*periods: Any) -> dict[str, Any]:
    """An hourly answer with these periods."""
    return {"type": "Feature", "properties": {"periods": list(periods)}}


def _read(*periods: Any) -> Weather:
    return read_periods(answer(*periods), place=PLACE, now=NOW)


@pytest.mark.parametrize(
    ("wind", "expected"),
    [
        ("10 mph", 4.4704),
        ("5 to 15 mph", 4.4704),
        ("0 mph", 0.0),
        ("18 km/h", 5.0),
        ({"unitCode": "wmoUnit:km_h-1", "value": 18}, 5.0),
        ({"unitCode": "wmoUnit:m_s-1", "value": 5}, 5.0),
    ],
)
def test_wind_in_each_form(wind: Any, expected: float) -> None:
    """A range counts by its middle; both ways of writing wind are understood."""
    assert _read(period(windSpeed=wind)).hours[0].wind == pytest.approx(expected)


def test_temperature_in_each_form() -> None:
    """Fahrenheit, Celsius and the service's future object give the same air."""
    forms = [
        {"temperature": 68, "temperatureUnit": "F"},
        {"temperature": 20, "temperatureUnit": "C"},
        {"temperature": {"unitCode": "wmoUnit:degC", "value": 20.0}, "temperatureUnit": None},
    ]
    for form in forms:
        assert _read(period(**form)).hours[0].air == pytest.approx(293.15)


def test_dew_point_from_humidity() -> None:
    """Without a dew point the humidity gives it: 20 C and 50 % (check value DP-20-50)."""
    humid = {"unitCode": "wmoUnit:percent", "value": 50}
    hour = _read(period(dewpoint={"value": None}, relativeHumidity=humid)).hours[0]
    assert hour.dew_point - 273.15 == pytest.approx(9.272, abs=0.05)


@pytest.mark.parametrize(
    ("words", "cloud"),
    [
        ("Clear", 0.0),
        ("Mostly Clear", 0.2),
        ("Partly Cloudy", 0.45),
        ("Mostly Cloudy", 0.75),
        ("Cloudy", 1.0),
        ("Partly Sunny then Chance Showers", 0.45),
        ("Chance Rain Showers", 0.9),
        ("Patchy Fog", 1.0),
    ],
)
def test_sky_words(words: str, cloud: float) -> None:
    """The service's words give cloud; words of rain mean a grey sky."""
    weather = _read(period(shortForecast=words))
    assert weather.hours[0].cloud == cloud
    assert weather.cautions == ()


def test_strange_sky_words_are_said() -> None:
    """Words that mean nothing to us count as half cloud, with a caution that quotes them."""
    weather = _read(period(shortForecast="Blowing Dust"))
    assert weather.hours[0].cloud == 0.5
    assert [c.code for c in weather.cautions] == ["sky_words_unknown"]
    assert weather.cautions[0].data == {"words": "Blowing Dust"}


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"temperature": None}, "blank_cell"),
        ({"temperature": 500}, "out_of_limits"),
        ({"temperatureUnit": "K"}, "unit_unknown"),
        ({"temperatureUnit": ["F"]}, "unit_unknown"),
        ({"windSpeed": "strong"}, "unit_unknown"),
        ({"windSpeed": None}, "blank_cell"),
        ({"dewpoint": None, "relativeHumidity": None}, "blank_cell"),
        ({"dewpoint": {"unitCode": "wmoUnit:degC", "value": 30}}, "dew_above_air"),
        ({"startTime": "soon"}, "time_unreadable"),
        ({"startTime": "2026-07-01T07:00:00"}, "time_without_offset"),
    ],
)
def test_broken_period_is_left_out_and_said(change: dict[str, Any], code: str) -> None:
    """One bad hour costs that hour; if all are bad, the first place is named."""
    good = period("2026-07-01T09:00:00-06:00")
    weather = _read(period(**change), good)
    assert len(weather.hours) == 1
    assert weather.cautions[-1].code == "forecast_hours_left_out"
    assert weather.cautions[-1].data == {"hours": 1.0}
    with pytest.raises(FileUnreadable) as error:
        _read(period(**change))
    assert (error.value.code, error.value.data["row"]) == (code, 1)


def test_repeated_hour_counts_once() -> None:
    """A period that does not come later is left out; a hole between periods is said."""
    weather = _read(period(), period(), period("2026-07-01T10:00:00-06:00"))
    assert len(weather.hours) == 2
    assert [c.code for c in weather.cautions] == ["hours_missing", "forecast_hours_left_out"]


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["value", "unitCode", "x"]), inner, max_size=3)
    ),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(sorted(period())), JSON, max_size=4), JSON)
def test_no_answer_can_break_the_reader(changes: dict[str, Any], other: Any) -> None:
    """Whatever the service sends is read or refused by name, never a crash."""
    for odd in (other, {"properties": other}, answer(period() | changes), answer(other)):
        try:
            weather = read_periods(odd, place=PLACE, now=NOW)
        except LapwrightError:
            continue
        assert weather.hours

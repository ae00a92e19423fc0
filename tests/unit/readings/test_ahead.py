"""Which weather is meant, and when the sheet was read."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

import lapwright
from lapwright.errors import LapwrightError
from lapwright.physics.outside import Hour
from lapwright.readings.ahead import Ahead, read_date, sheet_reading

FORECAST = str(Path(lapwright.__file__).parent / "examples" / "forecast.csv")
NOW = datetime(2026, 4, 14, 6, tzinfo=ZoneInfo("America/Denver"))
LINE = "07:00 10C dew 5C wind 2 m/s cloud 20%"


def test_stated_place_wins_over_that_of_the_file(tmp_path: Path) -> None:
    """A CSV has no place of its own; a stated one is kept with the hours."""
    weather = Ahead(forecast=FORECAST, at="36.1,-95.9").weather(now=NOW, cache=tmp_path)
    assert weather.place == (36.1, -95.9)
    assert weather.source == "csv"
    assert Ahead(forecast=FORECAST).weather(now=NOW, cache=tmp_path).place is None


def test_typed_lines_are_of_today_on_this_clock(tmp_path: Path) -> None:
    """Unless a day or a zone is said, both are those of now; Denver is at -6 h in April."""
    weather = Ahead(typed=(LINE,)).weather(now=NOW, cache=tmp_path)
    assert weather.hours[0].at.isoformat() == "2026-04-14T07:00:00-06:00"
    assert weather.source == "typed"
    said = Ahead(typed=(LINE,), zone="America/New_York", on=date(2026, 1, 5))
    hour = said.weather(now=NOW, cache=tmp_path).hours[0]
    assert hour.at.isoformat() == "2026-01-05T07:00:00-05:00"


@pytest.mark.parametrize(
    ("ahead", "code"),
    [
        (Ahead(), "no_weather"),
        (Ahead(forecast=FORECAST, typed=(LINE,)), "weather_twice"),
        (Ahead(forecast=FORECAST, at="120,36"), "place_swapped"),
        (Ahead(typed=(LINE,), zone="Nowhere"), "zone_unknown"),
    ],
)
def test_unclear_weather_is_refused(ahead: Ahead, code: str, tmp_path: Path) -> None:
    """No source, two sources, a place that is none."""
    with pytest.raises(LapwrightError, match=code):
        ahead.weather(now=NOW, cache=tmp_path)


def test_place_alone_asks_the_service(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without file and lines, the place is looked up, from now on."""
    asked = []
    monkeypatch.setattr(
        "lapwright.readings.ahead.fetch_forecast",
        lambda place, *, now, cache: asked.append((place, now, cache)),
    )
    Ahead(at="36.1,-95.9").weather(now=NOW, cache=tmp_path)
    assert asked == [((36.1, -95.9), NOW, tmp_path)]


def test_a_day_is_written_year_first() -> None:
    """2026-11-25 is read; anything else is refused with that example."""
    assert read_date("2026-11-25", option="--date") == date(2026, 11, 25)
    assert read_date(None, option="--date") is None
    with pytest.raises(LapwrightError) as error:
        read_date("25.11.2026", option="--date")
    assert error.value.data["example"] == "2026-11-25"


def _hours() -> list[Hour]:
    start = datetime(2026, 4, 14, 6, tzinfo=UTC)
    return [Hour(start + timedelta(hours=n), 290.0, 280.0, 2.0, cloud=0.0) for n in range(4)]


@pytest.mark.parametrize(("said", "minutes"), [("7:30", 90), ("07:30", 90), ("06:00", 0)])
def test_reading_is_put_on_the_clock_of_its_hours(said: str, minutes: int) -> None:
    """The time of day is that of the hours."""
    (reading,) = sheet_reading(300.0, said, hours=_hours())
    assert reading.at == _hours()[0].at + timedelta(minutes=minutes)
    assert reading.sheet == 300.0


def test_no_reading_is_no_reading() -> None:
    """Nothing stated makes nothing up."""
    assert sheet_reading(None, None, hours=_hours()) == ()


@pytest.mark.parametrize(
    ("sheet", "at", "code"),
    [
        (300.0, None, "reading_half"),
        (None, "7:30", "reading_half"),
        (300.0, "noon", "clock_not"),
        (500.0, "7:30", "out_of_range"),
    ],
)
def test_half_a_reading_is_refused(sheet: float | None, at: str | None, code: str) -> None:
    """A temperature without its time says nothing about the next hours."""
    with pytest.raises(LapwrightError, match=code):
        sheet_reading(sheet, at, hours=_hours())

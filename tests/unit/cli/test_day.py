"""The command ``day``: what a foreman types, what he reads, what is refused."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pvlib
import pytest
from click.testing import CliRunner, Result

import lapwright
from lapwright.cli import main
from lapwright.readings.forecast import read_periods
from lapwright.words import LANGUAGES

EXAMPLES = Path(lapwright.__file__).parent / "examples"
FORECAST, WELDS = str(EXAMPLES / "forecast.csv"), str(EXAMPLES / "morning.csv")
YEAR = str(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV")
AT = ("--at", "36.1,-95.9")
HOUR = "07:00 72F dew 60F wind 5 mph cloud 20%"


def _run(*args: str) -> Result:
    return CliRunner().invoke(main, ["day", *args], env={"COLUMNS": "100"})


def _json(*args: str) -> dict[str, Any]:
    result = _run(*args, "--json")
    assert result.exit_code == 0, result.stderr
    answer: dict[str, Any] = json.loads(result.stdout)
    return answer


def test_first_lines_say_what_matters() -> None:
    """Workable hours, how long the set point holds, and each test with its reason."""
    first, second, third, *_ = _run(FORECAST, *AT, "--welds", WELDS).stdout.splitlines()
    assert first == "2026-04-14: workable 08:00–16:00; dew until 08:00; rain 16:00–18:00"
    assert re.fullmatch(r"Set point \d{3} °F holds .*", second)
    assert third.startswith("Test welds: 08:00 start of day; ")


def test_table_has_one_line_per_hour_of_the_shift() -> None:
    """The hours that the crew works, and no other, stand in the table."""
    said = _run(FORECAST, *AT, "--start", "9", "--end", "12").stdout
    assert re.findall(r"^(\d\d:00) ", said, re.MULTILINE) == ["09:00", "10:00", "11:00"]


def test_json_holds_the_weather_of_the_file() -> None:
    """Air and dew point of 08:00 come back as written in the file, in the reader's unit."""
    day = _json(FORECAST, *AT)
    hour = next(one for one in day["hours"] if "T08:00" in one["at"])
    assert (hour["air_f"], hour["dew_point_f"], hour["wind_mph"]) == (59.0, 50.0, 5.0)
    metric = _json(FORECAST, *AT, "--units", "metric")
    hour = next(one for one in metric["hours"] if "T08:00" in one["at"])
    assert (hour["air_c"], hour["dew_point_c"], hour["wind_km_h"]) == (15.0, 10.0, 8.0)


def test_without_welds_no_set_point_is_shown() -> None:
    """Only weather and tests are planned, and it is said how to get more."""
    assert "--welds" in _run(FORECAST, *AT).stdout
    day = _json(FORECAST, *AT)
    assert (day["set_point_f"], day["cost"], day["holds_until"]) == (None, None, None)


def test_set_point_is_that_of_the_window_command() -> None:
    """The plan follows the set point that ``lapwright window`` gives for the same strips."""
    window = CliRunner().invoke(main, ["window", WELDS, "--json"])
    expected = json.loads(window.stdout)["set_point"]["air_f"]
    assert _json(FORECAST, *AT, "--welds", WELDS)["set_point_f"] == expected


def test_rules_of_the_job_close_hours_and_are_named(tmp_path: Path) -> None:
    """A specification that asks 65 F stops the morning, in the words of its clause."""
    file = tmp_path / "spec.toml"
    file.write_text(
        'layer = "specification"\nedition = "2026"\nset_by = "QL"\n'
        'ambient_lowest = { value = 65, unit = "degF", clause = "3.4" }\n'
    )
    said = _run(FORECAST, *AT, "--rules", str(file)).stdout
    assert "workable 10:00–16:00" in said  # 64 F at 09:00, 68 F at 10:00
    assert "too cold until 10:00" in said
    assert "coldest air to weld in 65 °F (specification 3.4)" in " ".join(said.split())


def test_darker_sheet_and_heavier_deck_are_heard() -> None:
    """A black sheet runs hotter at noon, a concrete deck colder in the morning."""

    def sheet(hour: int, *args: str) -> float:
        hours = _json(FORECAST, *AT, *args)["hours"]
        return next(h["sheet_f"] for h in hours if f"T{hour:02d}" in h["at"])

    assert sheet(11, "--colour", "black") > sheet(11) + 20
    assert sheet(9, "--substrate", "concrete") < sheet(9) - 2


@pytest.mark.parametrize(("option", "reading"), [("--sheet-now-f", "104"), ("--sheet-now-c", "40")])
def test_reading_of_the_sheet_corrects_the_plan(option: str, reading: str) -> None:
    """A reading in either unit is the sheet at its time, 104 F or 40 C."""
    day = _json(FORECAST, *AT, option, reading, "--sheet-now-at", "9:30")
    hour = next(one for one in day["hours"] if "T09:00" in one["at"])
    assert hour["sheet_f"] == pytest.approx(104, abs=0.1)


def test_typed_hours_are_filled_in() -> None:
    """Two lines three hours apart make four hours."""
    day = _json(*AT, "--date", "2026-07-01", "--zone", "America/Chicago", "--hour", HOUR,
                "--hour", "10:00 81F dew 60F wind 5 mph cloud 20%")  # fmt: skip
    hours = day["hours"]
    assert [hour["air_f"] for hour in hours] == [72, 75, 78, 81]


def test_place_alone_asks_the_weather_service(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The service's hours are planned, and its cautions about age are shown."""
    periods = [
        {
            "startTime": f"2026-07-01T{hour:02d}:00:00-05:00",
            "temperature": 80,
            "temperatureUnit": "F",
            "dewpoint": {"unitCode": "wmoUnit:degC", "value": 10},
            "windSpeed": "5 mph",
            "shortForecast": "Sunny",
        }
        for hour in range(6, 18)
    ]

    def fetch(place: tuple[float, float], *, now: datetime, cache: Path) -> object:
        assert now.tzinfo is not None
        assert cache.is_relative_to(tmp_path)
        at = datetime.fromisoformat("2026-07-01T06:00:00-05:00")
        return read_periods({"properties": {"periods": periods}}, place=place, now=at)

    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setattr("lapwright.readings.ahead.fetch_forecast", fetch)
    assert "workable 07:00–17:00" in _run(*AT).stdout


def test_year_is_counted_by_month() -> None:
    """A whole year gives one column per month, whose hours add up, and no 8,760 lines."""
    result = _run(YEAR, "--welds", WELDS)
    assert len(result.stdout.splitlines()) < 30
    counted = _json(YEAR, "--welds", WELDS)
    months = counted["months"]
    total = counted["all"]
    assert [month["month"] for month in months] == list(range(1, 13))
    assert total["shift_h"] == 3650
    for key in ("workable_h", "tests", "below_level_h", "beyond_tests_h"):
        assert total[key] == sum(month[key] for month in months)
    assert total["tests"] == sum(total["test_because"].values())


def test_a_day_of_a_year_is_that_day() -> None:
    """--date picks one day of a long file."""
    assert _json(YEAR, "--date", "2001-01-17")["date"] == "2001-01-17"


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("args", [(FORECAST, *AT, "--welds", WELDS), (FORECAST, *AT), (YEAR,)])
def test_every_answer_is_whole_in_both_languages(language: str, args: tuple[str, ...]) -> None:
    """No sentence misses a value, and nothing is left in code words."""
    for units in ("us", "metric"):
        said = _run(*args, "--lang", language, "--units", units).stdout
        assert said
        assert "?" not in said
        assert "{" not in said
        assert "_" not in said


def test_welds_that_find_no_window_give_no_plan_of_settings(tmp_path: Path) -> None:
    """A machine that never bonds has no set point to follow, and that is said."""
    header, *_ = Path(WELDS).read_text().splitlines()
    rows = [f"{n},{air},10,72,80,{strip},cold,none,," for n, air in enumerate((700, 900, 1148), 1)
            for strip in (1, 2, 3)]  # fmt: skip
    file = tmp_path / "cold.csv"
    file.write_text("\n".join([header, *rows]))
    day = _json(FORECAST, *AT, "--welds", str(file), "--max-air-f", "1148")
    assert day["set_point_f"] is None
    assert day["cautions"][0]["code"] == "no_set_point"


def test_set_point_without_its_clean_weld_is_marked(tmp_path: Path) -> None:
    """After two welds the plan says that the set point is not confirmed."""
    file = tmp_path / "two.csv"
    file.write_text("\n".join(Path(WELDS).read_text().splitlines()[:7]))
    codes = [one["code"] for one in _json(FORECAST, *AT, "--welds", str(file))["cautions"]]
    assert "set_point_not_confirmed" in codes


@pytest.mark.parametrize("end", ["svg", "png"])
def test_chart_is_written(tmp_path: Path, end: str) -> None:
    """--chart draws the day into a file of that kind."""
    file = tmp_path / f"day.{end}"
    assert _run(FORECAST, *AT, "--welds", WELDS, "--chart", str(file)).exit_code == 0
    assert file.read_bytes()[:4] in (b"<svg", b"\x89PNG")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((), "No weather"),
        ((FORECAST, "--hour", HOUR), "one weather"),
        ((FORECAST,), "--at LAT,LON"),
        ((FORECAST, "--at", "120,36"), "latitude first"),
        ((FORECAST, "--at", "here"), "is no place"),
        ((*AT, "--hour", "seven o'clock, warm"), "cannot be read"),
        ((*AT, "--zone", "America/Chicagoo", "--hour", HOUR), "America/Chicago"),
        ((FORECAST, *AT, "--date", "14.4.2026"), "2026-11-25"),
        ((FORECAST, *AT, "--date", "2026-05-01"), "runs from 2026-04-14"),
        ((FORECAST, *AT, "--sheet-now-f", "80"), "go together"),
        ((FORECAST, *AT, "--sheet-now-at", "9:30"), "go together"),
        ((FORECAST, *AT, "--sheet-now-f", "80", "--sheet-now-at", "9.30 h"), "07:30"),
        ((FORECAST, *AT, "--start", "17", "--end", "7"), "later than"),
        ((FORECAST, *AT, "--level", "0.3"), "level"),
        ((FORECAST, *AT, "--chart", "day.doc"), ".svg"),
        ((YEAR, "--chart", "year.svg"), "--date"),
        ((YEAR, "--sheet-now-f", "80", "--sheet-now-at", "9:30"), "--date"),
        (("nowhere.csv", *AT), "nowhere.csv"),
    ],
)
def test_mistakes_are_one_sentence(args: tuple[str, ...], said: str) -> None:
    """Bad input ends with status 2 and one line that says what to do."""
    result = _run(*args)
    assert result.exit_code == 2
    assert said in result.stderr
    assert len(result.stderr.splitlines()) == 1


def test_missing_column_of_the_forecast_is_named(tmp_path: Path) -> None:
    """A forecast without wind is refused with the names the column may have."""
    file = tmp_path / "f.csv"
    file.write_text("time,air_f,dew_point_f,cloud_pct\n2026-04-14T07:00-05:00,50,40,10\n")
    result = _run(str(file), *AT)
    assert result.exit_code == 2
    assert "wind_mph, wind_m_s, wind_km_h" in result.stderr


def test_gap_in_the_forecast_is_said(tmp_path: Path) -> None:
    """Hours that are missing are not planned, and one caution counts them."""
    lines = Path(FORECAST).read_text().splitlines()
    file = tmp_path / "gap.csv"
    file.write_text("\n".join([*lines[:11], *lines[13:]]))
    said = _run(str(file), *AT).stdout
    assert "workable 08:00–10:00, 12:00–16:00" in said
    assert "! 2 h missing" in said

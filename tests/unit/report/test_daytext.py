"""The day plan in words: what it says must be what the plan holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import Any

import pytest
from rich.console import Console

from lapwright.cautions import Caution
from lapwright.job.change import Trigger
from lapwright.job.dayhours import Shift
from lapwright.job.months import by_month, in_all
from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.job.rules import merge
from lapwright.physics.outside import Hour
from lapwright.physics.sheet import Roof
from lapwright.readings.rules import default_layer, parse_layer, read_rule_book
from lapwright.report.dayfigures import clock, day_figures, shown, spans
from lapwright.report.daytext import day_text, day_title, due_line, reason_text, set_point_line
from lapwright.report.figures import Reader
from lapwright.report.yeartext import year_text

MIDNIGHT = datetime(2026, 4, 14, tzinfo=timezone(timedelta(hours=-5)))
RULES = read_rule_book([])
SHIFT = Shift()


def _hours(**changes: Sequence[Any]) -> list[Hour]:
    hours = [
        Hour(MIDNIGHT + timedelta(hours=n), 300.0, 280.0, 3.0, irradiance=200.0) for n in range(24)
    ]
    for name, values in changes.items():
        hours = [replace(h, **{name: v}) for h, v in zip(hours, values, strict=True)]
    return hours


def _plan(hours: Sequence[Hour], **more: Any) -> Plan:
    return plan_day(hours, **{"rules": RULES, "roof": Roof()} | more)


def _print(renderable: Any, width: int = 100) -> str:
    console = Console(width=width, highlight=False)
    with console.capture() as said:
        console.print(renderable)
    return said.get()


def _wet(*hours: int) -> list[float]:
    return [1.0 if n in hours else 0.0 for n in range(24)]


@pytest.mark.parametrize(
    ("rain", "title"),
    [
        ((), "2026-04-14: workable 07:00–17:00"),
        ((10,), "2026-04-14: workable 07:00–10:00, 11:00–17:00; rain 10:00–11:00"),
        (range(8), "2026-04-14: workable 08:00–17:00; rain until 08:00"),
        (range(24), "2026-04-14: not workable between 07:00 and 17:00; rain all day"),
        (
            (8, 9, 14),
            (
                "2026-04-14: workable 07:00–08:00, 10:00–14:00, 15:00–17:00; "
                "rain 08:00–10:00; rain 14:00–15:00"
            ),
        ),
    ],
)
def test_title_says_when_work_can_be_done(rain: Sequence[int], title: str) -> None:
    """Stretches of the shift, then what stops the work when, in order of time."""
    assert day_title(_plan(_hours(rain=_wet(*rain))), SHIFT, Reader()) == title


def test_shown_hours_reach_around_the_shift() -> None:
    """Three hours before work, where dew lies, and one after it."""
    hours = shown(_plan(_hours()), SHIFT)
    assert (clock(hours[0].hour.at), clock(hours[-1].hour.at)) == ("04:00", "17:00")


def test_a_gap_parts_two_stretches() -> None:
    """Hours that are missing never count as worked."""
    hours = _hours()
    plan = _plan([*hours[:10], *hours[12:]])
    found = spans(plan.hours, lambda hour: hour.is_workable)
    assert [(clock(a), clock(b)) for a, b in found] == [("07:00", "10:00"), ("12:00", "17:00")]


def test_set_point_line_names_hour_and_cause(whole_morning: Morning) -> None:
    """Holds all day, holds until, never holds: each by its own sentence."""
    reader = Reader()
    mild = _plan(_hours(), morning=whole_morning)
    assert set_point_line(mild, reader) == "Set point 860 °F holds all day at 90 % or more."
    black = Roof(absorptance=0.92)
    suns = [50.0 if n < 10 else 1200.0 for n in range(24)]
    late = _plan(_hours(irradiance=suns), morning=whole_morning, roof=black)
    assert "holds until 10:00: then the sheet is beyond" in set_point_line(late, reader)
    never = _plan(_hours(irradiance=[1200.0] * 24), morning=whole_morning, roof=black)
    assert "does not hold at 07:00" in set_point_line(never, reader)


def test_cold_air_lowers_p_sound_by_its_figure(whole_morning: Morning) -> None:
    """Where the level is missed within reach, the line gives P(sound) of that hour."""
    airs = [300.0 if n < 12 else 281.0 for n in range(24)]
    plan = _plan(_hours(air=airs, dew_point=[265.0] * 24), morning=whole_morning)
    assert plan.holds_until == 12
    p = plan.hours[12].p_sound
    assert p is not None
    said = set_point_line(plan, Reader())
    assert said == f"Set point 860 °F holds until 12:00: then P(sound) {round(100 * p)} %."


def test_due_line_lists_every_test_once() -> None:
    """As many as the plan holds, with their hours; none when no hour can be worked."""
    plan = _plan(_hours())
    assert due_line(plan, Reader()) == (
        "Test welds: 07:00 start of day; 11:00 hours since the last pass, 4 h; 12:00 after lunch; "
        "16:00 hours since the last pass, 4 h."
    )
    assert due_line(_plan(_hours(rain=[1.0] * 24)), Reader()).startswith("No test weld due")


@pytest.mark.parametrize(
    ("name", "before", "now", "us", "metric"),
    [
        ("air_moved", 283.15, 288.15, "50 → 59 °F", "10 → 15 °C"),
        ("wind_changed", "light", "breezy", "light → breezy", "leve → brisa"),
        ("sun_changed", "cloud", "sun", "cloud → sun", "nube → sol"),
        ("p_sound_low", None, 0.83, "83 %", "83 %"),
        ("time_since_pass", None, 4 * 3600.0, "4 h", "4 h"),
    ],
)
def test_reasons_tell_before_and_now(
    name: str, before: Any, now: Any, us: str, metric: str
) -> None:
    """A trigger is shown with what it compared, in the reader's units and language."""
    trigger = Trigger(name, RULES[name].governing, before, now)
    assert reason_text(trigger, Reader()).endswith(f", {us}")
    assert reason_text(trigger, Reader("es", "metric")).endswith(f", {metric}")


def test_rules_that_spoke_are_named_by_who_set_them(whole_morning: Morning) -> None:
    """A clause of the job stands with its layer and number, defaults together as such."""
    layer = parse_layer(
        'layer = "specification"\nedition = "1"\nset_by = "QL"\n'
        'time_since_pass = { value = 2, unit = "h", clause = "5.1" }\n',
        file="spec.toml",
    )
    plan = _plan(_hours(), rules=merge([default_layer(), layer]), morning=whole_morning)
    said = " ".join(_print(day_text(plan, (), SHIFT, Reader())).split())
    assert "hours since the last pass 2 h (specification 5.1)" in said
    assert "start of day, after lunch (default of lapwright)" in said


def test_table_keeps_its_columns_on_a_narrow_screen(whole_morning: Morning) -> None:
    """At 80 signs no figure is cut or wrapped; only the last column folds."""
    plan = _plan(_hours(), morning=whole_morning)
    said = _print(day_text(plan, (), SHIFT, Reader("es", "metric")), width=80)
    rows = [line for line in said.splitlines() if line[2:3] == ":"]
    assert len(rows) == 10
    assert len({row.index("(") for row in rows}) == 1
    assert "…" not in said


def test_cautions_come_last() -> None:
    """Doubts about the weather stand below, one line each."""
    plan = _plan(_hours())
    cautions = (Caution("typical_year"), Caution("forecast_old", {"hours": 13.0}))
    lines = _print(day_text(plan, cautions, SHIFT, Reader())).rstrip().splitlines()
    assert lines[-2].startswith("! A typical year")
    assert lines[-1].startswith("! The weather service made this forecast 13 h ago")


def test_figures_are_those_of_the_plan(whole_morning: Morning) -> None:
    """The JSON carries the plan in the reader's units: 300 K is 26.9 C and 80.3 F."""
    plan = _plan(_hours(rain=_wet(10)), morning=whole_morning)
    us = day_figures(plan, (), SHIFT, Reader())
    metric = day_figures(plan, (), SHIFT, Reader("es", "metric"))
    assert us["workable"] == metric["workable"] == [["07:00", "10:00"], ["11:00", "17:00"]]
    assert (us["hours"][0]["air_f"], metric["hours"][0]["air_c"]) == (80.3, 26.9)
    assert us["set_point_f"] == 860
    stopped = next(hour for hour in us["hours"] if hour["stops"])
    assert stopped["stops"] == [{"why": "rain", "clause": None}]
    first = next(hour for hour in us["hours"] if hour["test_because"])
    assert first["test_because"][0]["code"] == "shift_start"


def test_year_table_adds_up(whole_morning: Morning) -> None:
    """The last column is the sum of the months, in both languages."""
    hours = [replace(h, at=h.at + timedelta(days=d)) for d in (0, 31, 62) for h in _hours()]
    plan = _plan(hours, morning=whole_morning)
    for language in ("en", "es"):
        reader = Reader(language)
        said = _print(year_text(plan, by_month(plan), in_all(plan), (), reader))
        name = reader.say("day", "workable_hours")
        (line,) = (line for line in said.splitlines() if line.startswith(name))
        assert line.removeprefix(name).split() == ["10", "10", "10", "30"]

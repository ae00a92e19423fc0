"""The picture of a day: what is drawn is what the plan holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import Any

import altair
import pytest

from lapwright.job.dayhours import Shift
from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.physics.outside import Hour
from lapwright.physics.sheet import Roof
from lapwright.readings.rules import read_rule_book
from lapwright.report.daychart import day_chart
from lapwright.report.drawing import as_svg
from lapwright.report.figures import Reader
from lapwright.units import from_si
from lapwright.words import LANGUAGES

MIDNIGHT = datetime(2026, 4, 14, tzinfo=timezone(timedelta(hours=-5)))
SHIFT = Shift()
FIRST = 4  # o'clock at the left end
SUNS = [max(0.0, 900.0 - 30.0 * (n - 12) ** 2) for n in range(24)]


def _plan(morning: Morning | None, *, rain_at: tuple[int, ...] = (9,)) -> Plan:
    hours = [
        Hour(MIDNIGHT + timedelta(hours=n), 295.0, 280.0, 3.0, irradiance=sun)
        for n, sun in enumerate(SUNS)
    ]
    wet = [replace(h, rain=1.0) if h.at.hour in rain_at else h for h in hours]
    return plan_day(wet, rules=read_rule_book([]), roof=Roof(), morning=morning)


def _layers(panel: dict[str, Any], mark: str) -> Iterator[list[dict[str, Any]]]:
    for one in panel["layer"]:
        if one["mark"]["type"] == mark:
            yield one["data"]["values"]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_chart_is_valid(whole_morning: Morning, language: Any, units: Any) -> None:
    """The definition obeys the published schema of Vega-Lite, checked by altair."""
    spec = day_chart(_plan(whole_morning), SHIFT, Reader(language, units))
    for layer in (one for part in spec["vconcat"] for one in part["layer"]):
        del layer["data"]["values"][3:]  # a schema reads every row, slowly
    altair.VConcatChart.from_dict(spec, validate=True)


def test_lines_stand_at_the_middle_of_their_hours() -> None:
    """Sheet and air are drawn where the plan has them, in the reader's unit."""
    plan = _plan(None)
    _, weather, _ = day_chart(plan, SHIFT, Reader())["vconcat"]
    drawn = {tuple((row["x"], row["y"]) for row in rows) for rows in _layers(weather, "line")}
    inside = [h for h in plan.hours if FIRST <= h.hour.at.hour < 18]
    for value in (lambda h: h.sheet, lambda h: h.hour.air, lambda h: h.hour.dew_point):
        wanted = tuple((h.hour.at.hour - FIRST + 0.5, from_si(value(h), "f")) for h in inside)
        assert wanted in drawn


def test_hatching_covers_what_cannot_be_worked_and_nothing_else() -> None:
    """Strokes lie within the wet hour, from the bottom to the top of the panel."""
    _, weather, _ = day_chart(_plan(None), SHIFT, Reader())["vconcat"]
    (strokes,) = _layers(weather, "rule")
    low, high = weather["layer"][-1]["encoding"]["y"]["scale"]["domain"]
    xs = [row[end] for row in strokes for end in ("x", "x2")]
    ys = [row[end] for row in strokes for end in ("y", "y2")]
    assert (min(xs), max(xs)) == pytest.approx((9 - FIRST, 10 - FIRST))
    assert (min(ys), max(ys)) == pytest.approx((low, high))
    leans = {round((row["y2"] - row["y"]) / (row["x2"] - row["x"]), 6)
             for row in strokes if row["x2"] - row["x"] > 1e-9}  # fmt: skip
    assert len(leans) == 1  # parallel
    letters = [rows for rows in _layers(weather, "text") if rows and "letter" in rows[0]]
    assert [(row["x"], row["letter"]) for row in letters[0]] == [(9.5 - FIRST, "R")]


def test_dry_day_has_no_hatching() -> None:
    """Nothing stops the work: no stroke, no letter, no line about them in the key."""
    key, weather, _ = day_chart(_plan(None, rain_at=()), SHIFT, Reader())["vconcat"]
    assert list(_layers(weather, "rule")) == [[]]
    names = [row["name"] for rows in _layers(key, "text") for row in rows if "name" in row]
    assert "not workable" not in names


def test_each_test_weld_has_its_tick(whole_morning: Morning) -> None:
    """As many ticks as tests, at the start of their hours."""
    plan = _plan(whole_morning)
    setting = day_chart(plan, SHIFT, Reader())["vconcat"][-1]
    ticks = next(rows for rows in _layers(setting, "text") if rows and set(rows[0]) == {"x"})
    due = [h.hour.at.hour - FIRST for h in plan.hours if h.is_test_due]
    assert [row["x"] for row in ticks] == due
    assert len(due) > 2


def test_set_point_in_force_is_cut_where_nothing_is_welded(whole_morning: Morning) -> None:
    """The thick line ends at the wet hour and goes on after it, at the plan's settings."""
    plan = _plan(whole_morning)
    setting = day_chart(plan, SHIFT, Reader())["vconcat"][-1]
    drawn = {
        row["x"]: row["y"]
        for one in setting["layer"]
        if one["mark"].get("strokeWidth") == 4
        for row in one["data"]["values"]
    }
    assert 7 - FIRST in drawn
    assert 9.5 - FIRST not in drawn
    for hour in plan.hours:
        at = hour.hour.at.hour - FIRST
        if hour.is_workable and not hour.is_test_due and hour.hour.at.hour > 10:
            assert drawn[at + 1] in (
                from_si(hour.in_force or 0, "f"),
                from_si(plan.hours[hour.hour.at.hour + 1].in_force or 0, "f"),
            )


def test_window_band_is_that_of_the_plan(whole_morning: Morning) -> None:
    """Bottom and top of every hour, as steps."""
    plan = _plan(whole_morning)
    setting = day_chart(plan, SHIFT, Reader(units="metric"))["vconcat"][-1]
    (band,) = _layers(setting, "area")
    noon = next(row for row in band if row["x"] == 12 - FIRST + 1)
    hours = {h.hour.at.hour: h for h in plan.hours}
    assert noon["y"] in [pytest.approx(from_si(hours[n].bottom or 0, "c")) for n in (12, 13)]
    assert noon["y2"] in [pytest.approx(from_si(hours[n].top or 0, "c")) for n in (12, 13)]


def test_without_welds_the_lower_panel_is_left_out(whole_morning: Morning) -> None:
    """Weather and figures only; no empty window is drawn."""
    assert len(day_chart(_plan(None), SHIFT, Reader())["vconcat"]) == 3
    assert len(day_chart(_plan(whole_morning), SHIFT, Reader())["vconcat"]) == 4


@pytest.mark.parametrize("language", LANGUAGES)
def test_picture_is_drawn_and_says_that_it_is_computed(
    whole_morning: Morning, language: Any
) -> None:
    """The SVG carries title and small print in the reader's language."""
    svg = as_svg(day_chart(_plan(whole_morning), SHIFT, Reader(language)))
    assert "2026-04-14" in svg
    assert {"en": "not measured", "es": "no medido"}[language] in svg

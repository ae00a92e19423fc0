"""What no weather and no rule may do to a day plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.job.rules import Clause, RuleBook, merge
from lapwright.physics.outside import Hour
from lapwright.physics.sheet import Roof
from lapwright.physics.sheetday import SheetReading
from lapwright.readings.rules import default_layer, read_rule_book
from lapwright.units import difference_to_si
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

DAWN = datetime(2026, 4, 14, 6, tzinfo=UTC)
RULES = read_rule_book([])


@st.composite
def days(draw: st.DrawFn) -> list[Hour]:
    """Twelve hours of any weather."""
    hours = []
    for n in range(12):
        air = draw(st.floats(265.0, 315.0))
        hours.append(
            Hour(
                DAWN + timedelta(hours=n),
                air,
                air - draw(st.floats(0.0, 25.0)),
                draw(st.floats(0.0, 15.0)),
                cloud=draw(st.floats(0.0, 1.0)),
                irradiance=draw(st.floats(0.0, 1100.0)),
                rain=draw(st.none() | st.floats(0.0, 1.0)),
            )
        )
    return hours


def _plan(hours: list[Hour], rules: RuleBook = RULES) -> Plan:
    return plan_day(hours, rules=rules, roof=Roof())


def _clause(rule: str, value: float) -> Clause:
    return Clause(rule, value, value, "SI", "specification", "1", "2026", "test")


@settings(max_examples=40)
@given(days(), st.floats(0.0, 10.0))
def test_nearer_dew_never_makes_an_hour_workable(hours: list[Hour], nearer: float) -> None:
    """With every dew point raised, no hour becomes workable that was not.

    The sky radiates a little more under moist air and warms the sheet by less than the dew
    point rose, so the margin shrinks.
    """
    damper = [replace(h, dew_point=min(h.air, h.dew_point + nearer)) for h in hours]
    assert set(_plan(damper).workable) <= set(_plan(hours).workable)


@settings(max_examples=40)
@given(days(), st.floats(0.0, 15.0), st.floats(265.0, 315.0), st.floats(265.0, 315.0))
def test_stricter_rules_never_give_more_workable_hours(
    hours: list[Hour], margin: float, lowest: float, highest: float
) -> None:
    """A further layer may close hours and never opens one that another layer closed."""
    one = [_clause("dew_margin", margin), _clause("ambient_lowest", min(lowest, highest))]
    two = [_clause("ambient_highest", max(lowest, highest)), _clause("dew_margin", margin / 2)]
    few = merge([default_layer(), one])
    many = merge([default_layer(), one, two])
    assert set(_plan(hours, many).workable) <= set(_plan(hours, few).workable)


@settings(max_examples=40)
@given(days(), st.floats(0.0, 40.0))
def test_more_rain_never_makes_an_hour_workable(hours: list[Hour], more: float) -> None:
    """A greater chance of rain only closes hours."""
    wetter = [replace(h, rain=min(1.0, (h.rain or 0.0) + more / 40)) for h in hours]
    assert set(_plan(wetter).workable) <= set(_plan(hours).workable)


@settings(max_examples=40)
@given(days())
def test_no_hour_off_work_asks_for_a_test(hours: list[Hour]) -> None:
    """Tests are planned in workable hours only, and a day that works at all begins with one."""
    plan = _plan(hours)
    due = [number for number, hour in enumerate(plan.hours) if hour.is_test_due]
    assert set(due) <= set(plan.workable)
    assert due[:1] == list(plan.workable[:1])


@settings(max_examples=40)
@given(days(), st.floats(1.0, 3.0))
def test_wider_limits_never_ask_earlier(hours: list[Hour], wider: float) -> None:
    """Once the day has its first re-test, wider limits of air and sheet have not asked before."""
    limits = {"air_moved": 10.0, "sheet_moved": 20.0}
    layers = [
        merge(
            [default_layer(), [_clause(r, difference_to_si(f * k, "f")) for r, f in limits.items()]]
        )
        for k in (1.0, wider)
    ]
    narrow, wide = (
        [n for n, hour in enumerate(_plan(hours, rules).hours) if hour.is_test_due]
        for rules in layers
    )
    assert (narrow[1:] or [99])[0] <= (wide[1:] or [99])[0]


@pytest.fixture(scope="module")
def morning(ladder_welds: tuple[TestWeld, ...]) -> Morning:
    """The practice ladder worked out."""
    return Morning(Question(ladder_welds))


@settings(max_examples=15)
@given(hours=days(), hotter=st.floats(0.5, 15.0))
def test_hotter_sheet_never_raises_an_edge(
    morning: Morning, hours: list[Hour], hotter: float
) -> None:
    """A reading that finds the sheet hotter lowers bottom and top of its hour, never raises."""
    at = DAWN + timedelta(hours=5, minutes=30)
    plans = [
        plan_day(
            hours,
            rules=RULES,
            roof=Roof(),
            morning=morning,
            readings=[SheetReading(at, 300.0 + change)],
        )
        for change in (0.0, hotter)
    ]
    for name in ("bottom", "top"):
        before, after = (np.array([getattr(h, name) for h in plan.hours]) for plan in plans)
        assert np.all(after <= before + 1e-9)
        assert after[5] < before[5]

"""The day ahead: what stops work, when a test is due, which set point is in force."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.dayhours import Shift, hours_of_day
from lapwright.job.months import by_month, in_all
from lapwright.job.morning import Morning
from lapwright.job.planning import Plan, plan_day
from lapwright.job.rules import RuleBook
from lapwright.physics.outside import Hour
from lapwright.physics.sheet import DRY_MARGIN, Roof
from lapwright.physics.sheetday import SheetReading
from lapwright.readings.rules import default_layer, parse_layer, read_rule_book
from lapwright.window.answer import Question
from lapwright.window.strips import TestWeld

MIDNIGHT = datetime(2026, 4, 14, tzinfo=timezone(timedelta(hours=-5)))
BLACK = Roof(absorptance=0.92)
PLACE = (36.1, -95.9)
RULES = read_rule_book([])
HEAD = 'layer = "specification"\nedition = "2026"\nset_by = "test"\n'


def _calm_day(**changes: Sequence[float]) -> list[Hour]:
    """24 equal hours of 300 K, dry, 3 m/s, the sun held level; then changed by hour."""
    hours = [
        Hour(MIDNIGHT + timedelta(hours=n), 300.0, 280.0, 3.0, cloud=0.0, irradiance=400.0)
        for n in range(24)
    ]
    for name, values in changes.items():
        hours = [replace(h, **{name: v}) for h, v in zip(hours, values, strict=True)]
    return hours


def _from(hour: int, before: float, after: float) -> list[float]:
    return [before if n < hour else after for n in range(24)]


def _plan(hours: Sequence[Hour], rules: RuleBook = RULES, **more: object) -> Plan:
    return plan_day(hours, rules=rules, **{"roof": Roof()} | more)  # type: ignore[arg-type]


def _rules(line: str) -> RuleBook:
    from lapwright.job.rules import merge

    return merge([default_layer(), parse_layer(HEAD + line, file="job.toml")])


def _due(plan: Plan) -> dict[int, str]:
    return {h.hour.at.hour: h.triggers[0].name for h in plan.hours if h.is_test_due}


def test_a_day_that_stays_as_it_is_asks_for_four_tests() -> None:
    """Nothing changes: at the start, four hours later, after lunch, four hours later again."""
    assert _due(_plan(_calm_day())) == {
        7: "shift_start",
        11: "time_since_pass",
        12: "lunch",
        16: "time_since_pass",
    }


def test_only_hours_of_the_shift_are_workable() -> None:
    """The crew's hours bound the plan: the first is worked, the last is not."""
    plan = _plan(_calm_day(), shift=Shift(6, 9))
    assert [plan.hours[n].hour.at.hour for n in plan.workable] == [6, 7, 8]


@pytest.mark.parametrize(("start", "end"), [(17, 7), (7, 7), (-1, 7), (7, 25)])
def test_shift_runs_forward_within_a_day(start: int, end: int) -> None:
    """A shift that ends before it starts, or leaves the day, is refused."""
    with pytest.raises(LapwrightError, match="shift_backwards"):
        Shift(start, end)


@pytest.mark.parametrize(
    ("changes", "line", "why"),
    [
        ({"dew_point": _from(10, 280.0, 300.0), "irradiance": _from(10, 400.0, 0.0)}, "", "dew"),
        ({"rain": _from(10, 0.0, 0.5)}, "", "rain"),
        (
            {"air": _from(10, 300.0, 282.0)},
            'ambient_lowest = { value = 50, unit = "degF", clause = "3.1" }',
            "too_cold",
        ),
        (
            {"air": _from(10, 300.0, 312.0)},
            'ambient_highest = { value = 100, unit = "degF", clause = "3.2" }',
            "too_hot",
        ),
    ],
)
def test_weather_stops_the_work_by_its_rule(
    changes: dict[str, list[float]], line: str, why: str
) -> None:
    """From the hour of the change on nothing is worked, and the clause of the job is named."""
    plan = _plan(_calm_day(**changes), _rules(line))
    assert [plan.hours[n].hour.at.hour for n in plan.workable] == [7, 8, 9]
    (stop,) = plan.hours[10].stops
    assert stop.why == why
    if line:
        assert stop.clause is not None
        assert stop.clause.text == line.split('"')[-2]


def test_rain_that_is_unlikely_or_unknown_stops_nothing() -> None:
    """Below one in two, and where no chance is given, an hour is planned."""
    assert len(_plan(_calm_day(rain=_from(10, 0.0, 0.49))).workable) == 10
    assert len(_plan(_calm_day()).workable) == 10


def test_after_dew_a_test_weld_is_due() -> None:
    """A wet hour between two dry ones asks for a test before the next seam."""
    wet = [300.0 if n == 9 else 280.0 for n in range(24)]
    dark = [0.0 if n == 9 else 400.0 for n in range(24)]
    plan = _plan(_calm_day(dew_point=wet, irradiance=dark))
    assert plan.hours[9].is_stopped_by("dew")
    assert _due(plan)[10] == "wet"
    names = {trigger.name for trigger in plan.hours[10].triggers}
    assert "long_stop" in names  # an hour of standing is more than 30 min


def test_dew_gate_is_the_margin_of_the_rules() -> None:
    """The colder end of the sheet's span decides, and the stricter rule closes the gate."""
    hours = _calm_day(dew_point=_from(0, 0, 296.0), irradiance=_from(0, 0, 0.0))
    margin = _plan(hours).hours[12].dew_margin_k
    assert margin < DRY_MARGIN + 5
    line = f'dew_margin = {{ value = {margin + 0.1:.3f}, unit = "degC change", clause = "2" }}'
    assert _plan(hours, _rules(line)).hours[12].is_stopped_by("dew")
    assert _plan(hours).hours[12].is_stopped_by("dew") == (margin <= DRY_MARGIN)


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"air": _from(9, 300.0, 305.6), "irradiance": _from(9, 400.0, 300.0)}, "air_moved"),
        ({"irradiance": _from(9, 100.0, 1100.0)}, "sheet_moved"),
        ({"wind": _from(9, 3.0, 6.0)}, "wind_changed"),
    ],
)
def test_a_change_asks_for_a_test_in_its_hour(changes: dict[str, list[float]], name: str) -> None:
    """10 F of air, 20 F of sheet, or another wind word since the last test: test now."""
    assert _due(_plan(_calm_day(**changes)))[9] == name


def test_sun_that_goes_behind_cloud_is_seen_through_the_cloud_cover() -> None:
    """A forecast that knows cloud only still tells sun from cloud, and asks for a test."""
    clouds = [replace(h, irradiance=None, cloud=0.95 if h.at.hour >= 9 else 0.0)
              for h in _calm_day()]  # fmt: skip
    plan = _plan(clouds, place=PLACE)
    assert [plan.hours[n].sun for n in (8, 9)] == ["sun", "cloud"]
    assert "sun_changed" in {trigger.name for trigger in plan.hours[9].triggers}
    assert plan.hours[9].hour.irradiance is not None


def test_without_a_place_the_sky_is_not_known_and_asks_for_nothing() -> None:
    """Measured radiation alone cannot tell cloud from a low sun."""
    plan = _plan(_calm_day(irradiance=_from(9, 400.0, 350.0)))
    assert {hour.sun for hour in plan.hours} == {None}
    assert 9 not in _due(plan)


def test_without_place_and_sun_the_plan_says_so() -> None:
    """No radiation and no place: the sun cannot be computed, which is an error."""
    with pytest.raises(LapwrightError, match="place_needed"):
        _plan([replace(h, irradiance=None) for h in _calm_day()])


def test_reading_of_the_sheet_wins() -> None:
    """A reading corrects its hour and the next ones."""
    at = MIDNIGHT + timedelta(hours=9, minutes=30)
    plan = _plan(_calm_day(), readings=[SheetReading(at, 330.0)])
    assert plan.hours[9].sheet == pytest.approx(330.0)
    assert plan.hours[8].sheet < plan.hours[10].sheet < 330.0


# --- with test welds -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def morning(ladder_welds: tuple[TestWeld, ...]) -> Morning:
    """Welds at a sheet of 80 F (299.8 K), the window found."""
    return Morning(Question(ladder_welds))


@pytest.fixture(scope="module")
def early_welds(weld: Callable[..., TestWeld]) -> Morning:
    """Two welds only: one cold, one full; the top is anywhere."""
    return Morning(Question((weld(1, 650, "ccp", sheet=80), weld(2, 900, "ffp", sheet=80))))


def test_without_welds_there_is_no_set_point() -> None:
    """Weather and tests are planned, settings are not made up."""
    plan = _plan(_calm_day())
    assert plan.morning_air is None
    assert plan.holds_until is None
    assert plan.cost is None
    assert {hour.held for hour in plan.hours} == {None}


def test_set_point_holds_while_the_sheet_stays(morning: Morning) -> None:
    """At the sheet of the tests all day, the morning's set point holds all day."""
    dark = _calm_day(air=_from(0, 0, 301.0), irradiance=_from(0, 0, 0.0))
    plan = _plan(dark, morning=morning)
    assert plan.holds_until is None
    assert plan.morning_air is not None
    assert {hour.in_force for hour in plan.hours if hour.is_workable} == {plan.morning_air}


def test_set_point_fails_when_the_sheet_goes_far(morning: Morning) -> None:
    """A sheet that warms beyond the reach of the tests ends the set point and carries nothing."""
    plan = _plan(_calm_day(irradiance=_from(10, 50.0, 1300.0)), morning=morning, roof=BLACK)
    assert plan.holds_until == 10
    hour = plan.hours[10]
    assert hour.sheet > 299.8 + 22.3  # 40 F above the tests
    assert (hour.p_sound, hour.set_point, hour.p_best) == (None, None, None)
    assert hour.anew == hour.held  # nothing better is known


def test_warmer_sheet_lowers_edges_and_best_set_point(morning: Morning) -> None:
    """More sun: less air is needed for the bottom, and less is borne at the top."""
    plan = _plan(_calm_day(irradiance=_from(12, 50.0, 500.0)), morning=morning)
    cold, warm = plan.hours[11], plan.hours[13]
    assert cold.sheet + 5 < warm.sheet
    for name in ("bottom", "top", "set_point"):
        assert getattr(warm, name) < getattr(cold, name)


def test_a_test_moves_the_set_point_only_where_it_gains(morning: Morning) -> None:
    """The set point in force after a test is the hour's best, or as sound within a percent."""
    suns = [400.0 + 350.0 * (-1) ** n for n in range(24)]
    plan = _plan(_calm_day(irradiance=suns), morning=morning)
    tests = [hour for hour in plan.hours if hour.is_test_due][1:]
    assert len(tests) > 4
    for hour in tests:
        assert hour.p_in_force is not None
        assert hour.p_best is not None
        assert hour.p_best - 0.01 <= hour.p_in_force <= hour.p_best


def test_a_planned_test_sets_the_best_of_its_hour(morning: Morning) -> None:
    """After a re-test the set point in force is the hour's best; it is held until the next one."""
    plan = _plan(_calm_day(irradiance=_from(9, 50.0, 1100.0)), morning=morning)
    assert plan.hours[9].is_test_due
    assert plan.hours[9].anew == plan.hours[9].set_point
    assert plan.hours[9].held == plan.hours[8].in_force
    assert plan.hours[10].held == plan.hours[9].anew


def test_low_p_sound_asks_for_a_test(morning: Morning) -> None:
    """The model's own trigger speaks when the set point in force falls below the rule."""
    cooling = _calm_day(
        air=[300.0 - 1.6 * max(0, n - 8) for n in range(24)], irradiance=_from(0, 0, 0.0)
    )
    off = "".join(
        f'{name} = {{ value = false, clause = "1" }}\n'
        for name in ("air_moved", "sheet_moved", "lunch", "time_since_pass", "cold_day")
    )
    plan = _plan(cooling, _rules(off), morning=morning)
    asked = [hour for hour in plan.hours if hour.triggers and hour.hour.at.hour > 7]
    assert asked
    for hour in asked:
        assert hour.triggers[0].name == "p_sound_low"
        assert hour.p_held is not None
        assert hour.p_held < 0.9


def test_a_set_point_that_stays_low_is_not_asked_for_every_hour(
    early_welds: Morning,
) -> None:
    """Where two welds leave every setting below the level, a steady day asks no more often."""
    hours = _calm_day(irradiance=_from(0, 0, 200.0))
    low, none = _plan(hours, morning=early_welds), _plan(hours)
    assert all((hour.p_best or 0.0) < 0.9 for hour in low.hours)
    assert _due(low) == _due(none)


def test_cost_is_ordered_and_never_below_the_morning(morning: Morning) -> None:
    """Anew every hour is at least as sound as one for the day, that at least the morning's."""
    plan = _plan(_calm_day(irradiance=_from(11, 50.0, 900.0)), morning=morning)
    assert plan.cost is not None
    assert plan.cost.morning < plan.cost.whole_day < plan.cost.hour_by_hour <= 1


# --- days and years --------------------------------------------------------------------------


def test_each_day_starts_with_its_own_test(morning: Morning) -> None:
    """Yesterday's test does not count today, and the morning's set point is set again."""
    first = _calm_day()
    second = [replace(hour, at=hour.at + timedelta(days=1)) for hour in first]
    plan = _plan([*first, *second], morning=morning)
    starts = [
        h.hour.at.day for h in plan.hours if h.triggers and h.triggers[0].name == "shift_start"
    ]
    assert starts == [14, 15]
    assert {hour.held for hour in plan.hours if hour.hour.at.hour == 7} == {plan.morning_air}


def _year(year: int) -> list[Hour]:
    start = datetime(year, 1, 1, tzinfo=UTC)
    count = 24 * (366 if year % 4 == 0 else 365)
    return [
        Hour(start + timedelta(hours=n), 300.0, 280.0, 3.0, irradiance=400.0) for n in range(count)
    ]


@pytest.mark.parametrize(("year", "hours", "days"), [(2027, 8760, 365), (2028, 8784, 366)])
def test_years_of_either_length_are_planned_whole(year: int, hours: int, days: int) -> None:
    """A leap year has 8,784 hours; every day of it is counted once, in its month."""
    plan = _plan(_year(year))
    assert len(plan.hours) == hours
    total, months = in_all(plan), by_month(plan)
    assert (total.days, total.shift, total.workable) == (days, 10 * days, 10 * days)
    assert total.tests == 4 * days
    assert total.reasons == {"shift_start": days, "time_since_pass": 2 * days, "lunch": days}
    assert [month.days for month in months][1] == 28 + (days == 366)
    assert sum(month.tests for month in months) == total.tests
    assert (total.below, total.beyond) == (None, None)


def test_counts_with_welds_tell_low_from_beyond(morning: Morning) -> None:
    """Every workable hour is at the level, below it, or beyond the tests, never two of them."""
    plan = _plan(_calm_day(irradiance=_from(10, 50.0, 1300.0)), morning=morning, roof=BLACK)
    total = in_all(plan)
    beyond = sum(plan.hours[n].p_held is None for n in plan.workable)
    below = sum(0 <= (plan.hours[n].p_held or 1.0) < 0.9 for n in plan.workable)
    assert (total.below, total.beyond) == (below, beyond)
    assert beyond == 7


@pytest.mark.parametrize(("on", "count"), [(date(2026, 3, 8), 23), (date(2026, 11, 1), 25)])
def test_days_on_which_clocks_change_keep_the_crews_hours(on: date, count: int) -> None:
    """A day of 23 or 25 hours has ten hours of shift, by the clock on the wall."""
    zone = ZoneInfo("America/Chicago")
    start = datetime.combine(on - timedelta(days=1), datetime.min.time(), tzinfo=UTC)
    instants = [start + timedelta(hours=n) for n in range(72)]
    local = [at.astimezone(zone) for at in instants]
    hours = [
        Hour(at.astimezone(timezone(at.utcoffset() or timedelta())), 300.0, 280.0, 3.0,
             irradiance=400.0)
        for at in local
    ]  # fmt: skip
    day = hours_of_day(hours, shift=Shift(), on=on)
    assert len(day) == count
    plan = _plan(day)
    assert [plan.hours[n].hour.at.hour for n in plan.workable] == list(range(7, 17))


def test_first_day_with_work_is_planned_unless_another_is_asked() -> None:
    """An evening's forecast plans tomorrow."""
    evening = _calm_day()[18:] + [
        replace(hour, at=hour.at + timedelta(days=1)) for hour in _calm_day()
    ]
    assert {h.at.day for h in hours_of_day(evening, shift=Shift())} == {15}
    assert len(hours_of_day(evening, shift=Shift(), on=date(2026, 4, 14))) == 6


def test_a_day_outside_the_weather_is_refused() -> None:
    """The error names the day and how far the weather reaches."""
    with pytest.raises(LapwrightError) as error:
        hours_of_day(_calm_day(), shift=Shift(), on=date(2026, 4, 20))
    assert error.value.data == {"value": "2026-04-20", "first": "2026-04-14", "last": "2026-04-14"}

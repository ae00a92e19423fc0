"""Displayed against measured: offset, trend and alarm of one series, against outside reckoning."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import scipy.stats
import statsmodels.api as sm

from lapwright.proof.control import WEIGHT, WIDTH
from lapwright.proof.displays import LEAST, Display, Reading, judge_display, scores

START = datetime(2026, 5, 4, 7, tzinfo=UTC)
DAY = 86400.0
SHOWN = 727.0


def series(offs: Sequence[float], *, hours: float = 24.0) -> list[Reading]:
    """Readings so many hours apart whose display is off by so much."""
    return [
        Reading(START + timedelta(hours=hours * place), SHOWN, SHOWN + off)
        for place, off in enumerate(offs)
    ]


def judged(offs: Sequence[float], *, least: float = 1e-6, hours: float = 24.0) -> Display:
    """A series, judged."""
    return judge_display(series(offs, hours=hours), least=least)


OFFS = [-10.2, -11.1, -8.7, -10.4, -9.9, -10.8, -9.1, -10.0, -11.6, -9.4]


def test_offset_is_measured_minus_displayed() -> None:
    """A display that shows 727 K where 717 K is measured is 10 K off, downwards."""
    assert Reading(START, 727.0, 717.0).off == -10.0
    found = judged([-10.0] * 5, least=0.5)
    assert found.true(727.0) is not None
    assert found.true(727.0)[0] == pytest.approx(717.0)  # type: ignore[index]


def test_the_mean_lies_where_students_t_puts_it() -> None:
    """Mean and interval as scipy's one-sample t has them, 95 % two-sided."""
    found = judged(OFFS).offset
    assert found is not None
    outside = scipy.stats.ttest_1samp(OFFS, 0.0).confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((outside.low, outside.high))
    assert (found.mean, found.count) == (pytest.approx(np.mean(OFFS)), len(OFFS))


def test_the_next_reading_lies_where_a_prediction_interval_puts_it() -> None:
    """Reach is half the 95 % prediction interval of statsmodels."""
    found = judged(OFFS).true(700.0)
    assert found is not None
    fit = sm.OLS(OFFS, np.ones(len(OFFS))).fit()
    frame = fit.get_prediction([[1.0]]).summary_frame(alpha=0.05).iloc[0]
    assert (700.0 + frame["obs_ci_lower"], 700.0 + frame["obs_ci_upper"]) == pytest.approx(
        (found[0] - found[1], found[0] + found[1])
    )


def test_trend_is_a_straight_line_through_the_offsets() -> None:
    """Rate and its interval as scipy's regression has them, whatever the gaps in time."""
    rng = np.random.default_rng(2)
    days = np.sort(rng.uniform(0, 30, 12))
    offs = 2.0 + 0.3 * days + rng.normal(0, 0.8, 12)
    readings = [
        Reading(START + timedelta(days=float(day)), SHOWN, SHOWN + off)
        for day, off in zip(days, offs, strict=True)
    ]
    found = judge_display(readings, least=1e-6).trend
    assert found is not None
    outside = scipy.stats.linregress(days, offs)
    half = scipy.stats.t.ppf(0.975, 10) * outside.stderr
    assert found.rate * DAY == pytest.approx(outside.slope, rel=1e-6)
    assert (found.low * DAY, found.high * DAY) == pytest.approx(
        (outside.slope - half, outside.slope + half), rel=1e-6
    )
    assert found.is_sure


def test_a_trend_is_sure_when_no_change_lies_outside_its_interval() -> None:
    """Steady offsets have no sure trend; falling ones have, as rising ones do."""
    steady, rising, falling = (
        judged([slope * n + 0.5 * (-1) ** n for n in range(10)]).trend for slope in (0.0, 1.0, -1.0)
    )
    assert steady is not None
    assert rising is not None
    assert falling is not None
    assert (steady.is_sure, rising.is_sure, falling.is_sure) == (False, True, True)
    assert falling.rate < 0 < rising.rate


def test_no_trend_is_told_of_less_than_a_week() -> None:
    """Five readings within seven days say nothing of a trend, at seven days they do."""
    assert judged([1.0, 2.0, 3.0, 4.0, 5.0], hours=41.9).trend is None
    assert judged([1.0, 2.0, 3.0, 4.0, 5.0], hours=42.0).trend is not None


def test_of_few_readings_nothing_is_said() -> None:
    """With four readings no offset, trend or alarm, however far the fourth lies; five say it."""
    few = judged([0.0, 0.1, 0.0, 50.0])
    assert (few.offset, few.trend, few.moved, few.true(SHOWN)) == (None, None, None, None)
    assert few.points[-1].state == "out"
    enough = judged([0.0, 0.1, 0.0, 50.0, 50.0])
    assert enough.moved == enough.readings[3]
    assert enough.offset is not None
    assert judged([]).points == judged([1.0, 2.0]).points == ()


def test_scores_are_those_of_each_against_all_before() -> None:
    """Each score: the t chance of a new value against those before, carried to the normal law."""
    found = scores(OFFS, least=1e-6)
    for place, score in enumerate(found, start=2):
        before = np.array(OFFS[:place])
        t = (OFFS[place] - before.mean()) / (before.std(ddof=1) * math.sqrt(1 + 1 / place))
        chance = scipy.stats.t.cdf(t, place - 1)
        assert score == pytest.approx(scipy.stats.norm.ppf(chance), abs=1e-9)
    assert len(found) == len(OFFS) - 2
    assert scores(OFFS[:2], least=1e-6) == []


def test_steady_offsets_score_as_independent_normal_values() -> None:
    """Whatever the display is off and spreads: mean 0, variance 1, no memory (Hawkins 1987)."""
    rng = np.random.default_rng(8)
    table = np.array([scores(rng.normal(-40.0, 6.0, 12), least=1e-9) for _ in range(3000)])
    assert table.mean(axis=0) == pytest.approx(np.zeros(10), abs=0.07)
    assert np.cov(table.T) == pytest.approx(np.eye(10), abs=0.09)
    assert scipy.stats.kstest(table.ravel(), "norm").pvalue > 1e-3


def test_the_chart_is_the_published_one() -> None:
    """Weighted mean and limits by the closed form of NIST's handbook, 6.3.2.4, from score to score.

    z <- w x + (1 - w) z, limits +- L sqrt(w / (2 - w) (1 - (1 - w)^(2 i))).
    """
    found = judged(OFFS)
    mean = 0.0
    for i, (score, point) in enumerate(
        zip(scores(OFFS, least=1e-6), found.points, strict=True), start=1
    ):
        mean = WEIGHT * score + (1 - WEIGHT) * mean
        reach = WIDTH * math.sqrt(WEIGHT / (2 - WEIGHT) * (1 - (1 - WEIGHT) ** (2 * i)))
        assert (point.value, point.low, point.high) == pytest.approx((mean, -reach, reach))
        assert (point.state == "out") is (abs(mean) > reach)


def test_weight_and_width_are_the_readers() -> None:
    """With weight 1 and width 3 the chart is Shewhart's: a score alone beyond three sigmas."""
    offs = [*OFFS, -10.0, -3.0]
    found = judge_display(series(offs), least=1e-6, weight=1.0, width=3.0)
    scored = scores(offs, least=1e-6)
    assert [point.value for point in found.points] == pytest.approx(scored)
    assert {point.high for point in found.points} == {3.0}
    assert found.moved == found.readings[-1]


def test_a_steady_display_alarms_for_nothing_as_rarely_as_said() -> None:
    """One false alarm in about 370 readings (Lucas and Saccucci 1990): in 100, near one in four.

    Narrow first limits alarm a little sooner. 400 series: one sigma is 0.02.
    """
    rng = np.random.default_rng(9)
    alarms = [judged(rng.normal(5.0, 2.0, 102)).moved is not None for _ in range(400)]
    assert 1 - math.exp(-100 / 370) == pytest.approx(0.237, abs=1e-3)
    assert np.mean(alarms) == pytest.approx(0.25, abs=0.06)


def test_a_display_that_moved_is_noticed_soon() -> None:
    """Two standard deviations after thirty readings: nine in ten alarm within ten readings."""
    rng = np.random.default_rng(10)
    lasted = []
    for _ in range(200):
        offs = rng.normal(0.0, 1.0, 60)
        offs[30:] += 2.0
        found = judged(offs)
        out = None if found.moved is None else found.readings.index(found.moved)
        if out is None or out >= 30:  # an alarm before was for nothing
            lasted.append(60 if out is None else out - 29)
    assert np.mean(np.array(lasted) <= 10) > 0.9
    assert np.median(lasted) <= 5


def test_after_an_alarm_only_the_last_readings_count() -> None:
    """The offset is then that of the last five; the alarm stays where it first was."""
    offs = [*OFFS, 20.0, 21.0, 19.5, 20.5, 20.0, 19.8]
    found = judged(offs)
    assert found.moved == found.readings[len(OFFS)]
    assert found.offset is not None
    assert found.offset.count == LEAST == 5
    assert found.offset.mean == pytest.approx(np.mean(offs[-5:]))
    assert judged([*offs, *[20.1, 19.9] * 20]).moved == found.moved


def test_readings_count_in_the_order_of_time() -> None:
    """The order in which readings are handed over changes nothing."""
    readings = series([*OFFS, 20.0, 21.0])
    assert judge_display(readings[::-1], least=0.5) == judge_display(readings, least=0.5)


def test_no_spread_is_believed_below_the_step_of_the_instruments() -> None:
    """Readings all alike: interval and scores go by the least spread, not by none at all."""
    found = judged([4.0] * 8, least=0.5)
    assert found.offset is not None
    t = scipy.stats.t.ppf(0.975, 7)
    assert found.offset.high - found.offset.mean == pytest.approx(t * 0.5 / math.sqrt(8))
    assert found.offset.reach == pytest.approx(t * 0.5 * math.sqrt(1 + 1 / 8))
    assert found.moved is None
    assert {point.value for point in found.points} == {0.0}
    assert found.trend is not None
    assert found.trend.high > 0 > found.trend.low
    t = 0.5 / (0.5 * math.sqrt(1 + 1 / 3))
    one = scores([4.0, 4.0, 4.0, 4.5], least=0.5)[-1]
    assert one == pytest.approx(scipy.stats.norm.ppf(scipy.stats.t.cdf(t, 2)))


def test_a_wild_reading_scores_no_more_than_eight() -> None:
    """Beyond eight standard deviations a score says no more, on both sides alike."""
    up, down = (
        scores([*np.tile([0.0, 1.0], 200), far], least=0.1)[-1] for far in (1e6, -1e6)
    )  # fmt: skip
    assert (up, down) == (8.0, -8.0)


def test_the_truth_lies_within_reach_as_often_as_said() -> None:
    """After eight readings the ninth measured value is within reach 95 times in a hundred."""
    rng = np.random.default_rng(12)
    within = []
    for _ in range(1500):
        offs = rng.normal(-12.0, 3.0, 9)
        found = judged(offs[:8])
        if found.moved is None:
            likely, reach = found.true(SHOWN)  # type: ignore[misc]
            within.append(abs(SHOWN + offs[8] - likely) <= reach)
    assert len(within) > 1400
    assert np.mean(within) == pytest.approx(0.95, abs=0.02)

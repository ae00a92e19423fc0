"""Charts of voids and bad strips."""

from __future__ import annotations

import math

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.proof.control import (
    TAIL,
    Stretch,
    centre_of,
    chart_points,
    high_count,
    smoothed_counts,
    smoothed_points,
)


def _poisson_over(count: int, mean: float) -> float:
    return 1 - sum(math.exp(-mean) * mean**k / math.factorial(k) for k in range(count + 1))


def test_centre_weighs_by_size() -> None:
    """A long day counts more than a short one; no day, or one of no size, is refused."""
    assert centre_of([Stretch(1, 100.0), Stretch(0, 900.0)]) == pytest.approx(0.001)
    with pytest.raises(LapwrightError, match="no_stretches"):
        centre_of([])
    with pytest.raises(OutOfRange):
        centre_of([Stretch(0, 0.0)])


@pytest.mark.parametrize("mean", [0.5, 2.0, 6.0, 20.0])
def test_exact_limit_is_the_last_count_that_is_not_rare(mean: float) -> None:
    """Beyond the limit lies at most the risk of three sigmas; one less would have more."""
    high = high_count(mean / 300, size=300.0, kind="rate")
    assert _poisson_over(high, mean) <= TAIL < _poisson_over(high - 1, mean)


def test_exact_limits_alarm_less_than_sigma_limits_on_few_voids() -> None:
    """At two voids a day three sigmas alarm at 7, which chance does once in 220 days."""
    day = [Stretch(7, 304.8)]
    by_sigma = chart_points(day, kind="rate", centre=2 / 304.8, limits="sigma")
    exact = chart_points(day, kind="rate", centre=2 / 304.8)
    assert (by_sigma[0].state, exact[0].state) == ("out", "steady")
    assert _poisson_over(6, 2.0) == pytest.approx(1 / 220, rel=0.01)


def test_limits_follow_the_size_of_the_day() -> None:
    """A short day has wider limits than a long one."""
    short, long = chart_points([Stretch(0, 100.0), Stretch(2, 1000.0)], kind="rate", centre=0.002)
    assert short.high > long.high


def test_shares_never_leave_none_to_all() -> None:
    """Limits of a share stay within 0 and 1."""
    for limits in ("exact", "sigma"):
        for centre in (0.02, 0.98):
            (point,) = chart_points([Stretch(1, 3)], kind="share", centre=centre, limits=limits)
            assert 0 <= point.low <= point.high <= 1


def test_good_days_can_be_out_too() -> None:
    """A day without a void where twenty are expected is out: was it probed at all?"""
    (point,) = chart_points([Stretch(0, 100.0)], kind="rate", centre=0.2)
    assert point.state == "out"


def test_smoothed_mean_and_its_spread_by_hand() -> None:
    """Two values of unequal spread, weight 0.2: mean and limits worked out by hand."""
    one, two = smoothed_points([10.0, 20.0], [1.0, 3.0], centre=5.0, weight=0.2, width=2.0)
    assert one.value == pytest.approx(6.0)
    assert one.high - 5.0 == pytest.approx(2 * 0.2)
    assert two.value == pytest.approx(0.2 * 20 + 0.8 * 6)
    assert two.high - 5.0 == pytest.approx(2 * math.sqrt((0.2 * 3) ** 2 + (0.8 * 0.2) ** 2))
    assert two.low == pytest.approx(10.0 - two.high)
    with pytest.raises(OutOfRange):
        smoothed_points([1.0], [1.0], centre=0.0, weight=0.0)


def test_watch_comes_before_out_and_only_upward() -> None:
    """Worse work passes watch on its way out; better work is never watched."""
    worse = [point.state for point in smoothed_points([1.5] * 9, [1.0] * 9, centre=0.0)]
    assert worse.index("watch") < worse.index("out")
    better = [point.state for point in smoothed_points([-1.5] * 9, [1.0] * 9, centre=0.0)]
    assert "watch" not in better
    assert better[-1] == "out"


def test_smoothed_chart_sees_a_small_change_that_single_days_hide() -> None:
    """Voids half again as many, for twelve days: no day is out alone, the smoothed chart warns."""
    days = [Stretch(9, 1000.0)] * 12
    assert all(p.state == "steady" for p in chart_points(days, kind="rate", centre=0.006))
    assert smoothed_counts(days, kind="rate", centre=0.006)[-1].state == "out"


def test_bad_strips_are_smoothed_by_their_own_spread() -> None:
    """The first limit is weight x width x sqrt(p (1 - p) / n)."""
    (point,) = smoothed_counts([Stretch(1, 10)], kind="share", centre=0.1, weight=0.5, width=2.0)
    assert point.high - 0.1 == pytest.approx(0.5 * 2 * math.sqrt(0.1 * 0.9 / 10))

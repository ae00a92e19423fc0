"""How long a smoothed chart runs until it alarms."""

from __future__ import annotations

import pytest
from scipy.special import ndtr
from scipy.stats import poisson

from lapwright.proof.runlength import rate_run_length, run_length


@pytest.mark.parametrize("shift", [0.0, 0.5, 1.0, 3.0])
def test_without_smoothing_each_day_stands_alone(shift: float) -> None:
    """At weight 1 the run length is one over the chance of a single value outside three sigmas."""
    outside = ndtr(-3 - shift) + ndtr(-3 + shift)
    assert run_length(shift, weight=1.0, width=3.0) == pytest.approx(1 / outside, rel=2e-3)


@pytest.mark.parametrize("actual", [4.0, 8.0])
def test_without_smoothing_voids_stand_alone_too(actual: float) -> None:
    """At weight 1 and limits 4 +- 3 x 2 voids alarm at 11 or more."""
    assert rate_run_length(actual, expected=4.0, weight=1.0, width=3.0) == pytest.approx(
        1 / poisson.sf(10, actual), rel=1e-6
    )


def test_worse_work_is_seen_sooner() -> None:
    """The larger the change the shorter the run."""
    runs = [rate_run_length(actual, expected=3.0) for actual in (3.0, 4.0, 6.0, 9.0)]
    assert runs == sorted(runs, reverse=True)
    shifts = [run_length(shift) for shift in (0.0, 0.5, 1.0, 2.0)]
    assert shifts == sorted(shifts, reverse=True)

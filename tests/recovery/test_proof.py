"""A known truth, its counts, and whether what is claimed of it holds."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.counts import bad_share_limit, rate_limit
from lapwright.proof.control import Stretch, chart_points, smoothed_counts
from lapwright.proof.cuts import Group, bad_seam_limit
from lapwright.proof.peel import PeelTrace, weigh
from lapwright.proof.runlength import rate_run_length

SEED = 20260605


def test_limits_cover_at_their_rate() -> None:
    """A 95 % limit holds the truth in at least 95 of 100 roofs, up to the luck of 4,000."""
    rng = np.random.default_rng(SEED)
    for truth in (0.02, 0.1, 0.3):
        bad = rng.binomial(40, truth, 4000)
        held = np.mean([bad_share_limit(int(each), of=40) >= truth for each in bad])
        assert held >= 0.95 - 0.01
    for mean in (0.5, 3.0):
        found = rng.poisson(mean, 4000)
        held = np.mean([rate_limit(int(each), length=1.0) >= mean for each in found])
        assert held >= 0.95 - 0.01


def test_groups_of_unequal_truth_are_covered() -> None:
    """Whatever the split of bad seam, the limit of the whole holds it in 95 of 100 roofs."""
    rng = np.random.default_rng(SEED)
    lengths, taken = (600.0, 300.0, 100.0), (5, 20, 3)
    for shares in ((0.02, 0.02, 0.02), (0.3, 0.0, 0.0), (0.0, 0.1, 0.6)):
        truth = float(np.average(shares, weights=lengths))
        held = 0
        for _ in range(1500):
            bad = [int(rng.binomial(n, p)) for n, p in zip(taken, shares, strict=True)]
            groups = [
                Group(str(k), n, b, length)
                for k, (n, b, length) in enumerate(zip(taken, bad, lengths, strict=True))
            ]
            held += bad_seam_limit(groups) >= truth
        assert held / 1500 >= 0.95 - 0.017


@pytest.mark.parametrize("expected", [1.0, 4.0])
def test_void_chart_runs_as_long_as_computed(expected: float) -> None:
    """Doubled voids are seen after as many days, from a steady start, as the chain says."""
    rng = np.random.default_rng(SEED)
    lengths = []
    for _ in range(2500):
        found = rng.poisson(2 * expected, 80)
        days = [Stretch(int(each), 300.0) for each in found]
        points = smoothed_counts(days, kind="rate", centre=expected / 300.0)
        lengths.append(next(k for k, point in enumerate(points, 1) if point.state == "out"))
    # The chart's limits start narrow and widen, the chain's are wide from the start: it may
    # only be slower, and by less than half.
    computed = rate_run_length(2 * expected, expected=expected)
    assert 0.5 * computed < np.mean(lengths) <= 1.02 * computed


def test_single_days_seldom_alarm_for_nothing() -> None:
    """Exact limits: at two voids a day fewer than 1 steady day in 370 is out, of 40,000."""
    rng = np.random.default_rng(SEED)
    days = [Stretch(int(each), 300.0) for each in rng.poisson(2.0, 40_000)]
    points = chart_points(days, kind="rate", centre=2 / 300.0)
    assert np.mean([point.state == "out" for point in points]) <= 1 / 370
    sigma = chart_points(days, kind="rate", centre=2 / 300.0, limits="sigma")
    assert np.mean([point.state == "out" for point in sigma]) > 1 / 370


def test_a_noisy_trace_gives_the_figures_of_the_clean_one() -> None:
    """Noise of 1 % moves average and median of peaks by less than 3 %."""
    rng = np.random.default_rng(SEED)
    travel = np.linspace(0.0, 0.08, 1600)
    waves = 100 + 10 * np.cos(2 * np.pi * (travel - 0.004) / 0.006)
    clean = waves * np.interp(travel, [0, 0.004, 0.078, 0.08], [0, 1, 1, 0])
    known = weigh(PeelTrace("1", tuple(travel), tuple(clean), 0.025))
    for _ in range(30):
        noisy = clean + rng.normal(0.0, 1.0, 1600)
        found = weigh(PeelTrace("1", tuple(travel), tuple(noisy), 0.025))
        assert found.average == pytest.approx(known.average, rel=0.01)
        assert found.median == pytest.approx(known.median, rel=0.03)
        assert found.peaks.count == known.peaks.count

"""Exact binomial limits against published ones."""

from __future__ import annotations

import pytest

from lapwright.counts import bad_share_limit

# Clopper-Pearson two-sided 95 % limits as R's binom.confint gives them, quoted in the test data
# of statsmodels (results_proportion.py). A two-sided limit is our one-sided one at 97.5 %; a lower
# limit of k is 1 less the upper limit of n - k. Claimed 1e-6, reached 5e-8.


@pytest.mark.parametrize(
    ("k", "n", "low", "high"),
    [
        (18, 20, 0.6830173, 0.9876515),
        (4, 20, 0.057334, 0.436614),
        (4, 200, 0.0054756, 0.0504136),
        (190, 200, 0.9099725, 0.9757658),
        (0, 30, 0.0, 0.1157033),
        (1, 30, 0.0008436, 0.1721695),
        (30, 30, 0.8842967, 1.0),
    ],
)
def test_clopper_pearson(k: int, n: int, low: float, high: float) -> None:
    """Both limits of a share, few and many."""
    assert bad_share_limit(k, of=n, confidence=0.975) == pytest.approx(high, abs=1e-6)
    assert 1 - bad_share_limit(n - k, of=n, confidence=0.975) == pytest.approx(low, abs=1e-6)


# None bad of n, one-sided 95 %: 1 - 0.05^(1/n), by hand. Claimed 1e-5.


@pytest.mark.parametrize(
    ("n", "limit"), [(5, 0.45072), (10, 0.25887), (29, 0.09814), (59, 0.04951), (300, 0.00994)]
)
def test_none_bad(n: int, limit: float) -> None:
    """The limit that clean strips leave."""
    assert bad_share_limit(0, of=n) == pytest.approx(limit, abs=1e-5)

"""What a plain count proves."""

from __future__ import annotations

import math

import pytest

from lapwright.counts import bad_share_limit, rate_limit
from lapwright.errors import OutOfRange


def test_a_count_must_be_possible() -> None:
    """More bad ones than were pulled, or fewer than none, are refused."""
    for bad in (-1, 4):
        with pytest.raises(OutOfRange):
            bad_share_limit(bad, of=3)
    with pytest.raises(OutOfRange):
        rate_limit(-1, length=10.0)
    with pytest.raises(OutOfRange):
        rate_limit(0, length=0.0)


def test_more_clean_strips_prove_more() -> None:
    """The limit falls with clean strips and rises with bad ones."""
    limits = [bad_share_limit(0, of=n) for n in range(30)]
    assert limits == sorted(limits, reverse=True)
    assert bad_share_limit(1, of=10) > bad_share_limit(0, of=10)


def test_limit_makes_the_count_just_unlikely_enough() -> None:
    """At the limit, so few bad ones or voids have a chance of 5 %: summed by hand."""
    p = bad_share_limit(2, of=24)
    chance = sum(math.comb(24, k) * p**k * (1 - p) ** (24 - k) for k in range(3))
    assert chance == pytest.approx(0.05, abs=1e-9)
    mean = rate_limit(2, length=100.0) * 100
    chance = sum(math.exp(-mean) * mean**k / math.factorial(k) for k in range(3))
    assert chance == pytest.approx(0.05, abs=1e-9)


def test_limit_of_a_rate_is_per_length() -> None:
    """Twice the seam without a void halves the limit."""
    assert rate_limit(0, length=200.0) == pytest.approx(rate_limit(0, length=100.0) / 2)

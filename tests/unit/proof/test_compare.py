"""Two people side by side."""

from __future__ import annotations

import math

import pytest

from lapwright.errors import OutOfRange
from lapwright.proof.compare import compare_rates, compare_shares
from lapwright.proof.control import Stretch


def test_a_clear_difference_is_told() -> None:
    """40 voids against 5 on as much seam are apart, and the ratio lies within its limits."""
    found = compare_rates(Stretch(40, 1000.0), Stretch(5, 1000.0))
    assert found.is_apart
    assert 1 < found.low < 8 < found.high
    assert found.p < 1e-6


def test_few_voids_tell_nothing() -> None:
    """3 against 1 is luck: the limits hold no difference."""
    found = compare_rates(Stretch(3, 1000.0), Stretch(1, 1000.0))
    assert not found.is_apart
    assert found.low < 1 < found.high


def test_no_void_at_all_leaves_everything_open() -> None:
    """Without any void neither is better; with voids on one side the ratio is open above."""
    none = compare_rates(Stretch(0, 500.0), Stretch(0, 900.0))
    assert (none.low, none.high, none.p) == (0.0, math.inf, 1.0)
    assert not none.is_apart
    assert compare_rates(Stretch(4, 500.0), Stretch(0, 500.0)).high == math.inf


def test_order_only_turns_the_answer_round() -> None:
    """Second over first is the inverse ratio, and the opposite difference."""
    one, two = Stretch(12, 800.0), Stretch(5, 1100.0)
    there, back = compare_rates(one, two), compare_rates(two, one)
    assert there.low == pytest.approx(1 / back.high)
    assert there.p == pytest.approx(back.p)
    one, two = Stretch(5, 20), Stretch(1, 30)
    there, back = compare_shares(one, two), compare_shares(two, one)
    assert there.low == pytest.approx(-back.high)


def test_rates_agree_with_their_own_p() -> None:
    """Apart at 95 % is the same as p under 5 %."""
    for first in range(30):
        found = compare_rates(Stretch(first, 700.0), Stretch(10, 1000.0))
        assert found.is_apart == (found.p < 0.05)


def test_more_bad_than_strips_is_refused() -> None:
    """5 bad of 4 is a slip, no strips at all tell nothing."""
    with pytest.raises(OutOfRange):
        compare_shares(Stretch(5, 4), Stretch(0, 4))
    with pytest.raises(OutOfRange):
        compare_shares(Stretch(0, 4), Stretch(0, 0))

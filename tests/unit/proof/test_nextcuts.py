"""Where the next cut tells most."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.proof.nextcuts import Span, next_cuts

EVEN = [Span("A", 0.0, 100.0, 0.1)]


def test_even_risk_gives_the_middle_first() -> None:
    """One cut on one seam of one risk belongs in its middle, the next two to either side."""
    first, *rest = next_cuts(EVEN, count=3)
    assert first.station == pytest.approx(50.0, abs=0.5)
    left, right = sorted(place.station for place in rest)
    assert left == pytest.approx(100 - right, abs=1.5)
    assert left < 30


def test_risk_draws_the_cut() -> None:
    """A short stretch welded at high risk is cut before a long one at low risk."""
    spans = [Span("A", 0.0, 90.0, 0.02), Span("A", 90.0, 100.0, 0.9)]
    assert next_cuts(spans)[0].station > 89.0


def test_cuts_taken_already_push_the_next_away() -> None:
    """Where a cut was taken another tells little."""
    (place,) = next_cuts(EVEN, cuts=[("A", 50.0), ("B", 20.0)])
    assert abs(place.station - 50.0) > 20.0


def test_worth_never_grows() -> None:
    """Each cut tells at most as much as the one before, and together no more than all risk."""
    places = next_cuts([*EVEN, Span("B", 0.0, 60.0, 0.2)], count=12)
    worths = [place.worth for place in places]
    assert worths == sorted(worths, reverse=True)
    assert sum(worths) <= 1.0


def test_picking_one_by_one_is_near_the_best_pair() -> None:
    """Two places found one after the other speak for at least 63 % of what the best two do."""
    spans = [Span("A", 0.0, 40.0, 1.0), Span("A", 40.0, 60.0, 0.2), Span("A", 60.0, 100.0, 1.0)]
    stations = np.arange(0.25, 100, 0.5)
    risk = np.where((stations < 40) | (stations >= 60), 1.0, 0.2)

    def told(pair: tuple[float, float]) -> float:
        near = np.max([np.exp(-np.abs(stations - at) / 15.0) for at in pair], axis=0)
        return float(near @ risk / risk.sum())

    best = max(told(pair) for pair in itertools.combinations(stations[::4], 2))
    found = sum(place.worth for place in next_cuts(spans, count=2))
    assert (1 - np.exp(-1)) * best <= found <= best + 0.01


def test_no_risk_left_means_no_cut() -> None:
    """Seam without risk is not cut, and never a place that was not welded."""
    assert next_cuts([Span("A", 0.0, 10.0, 0.0)], count=3) == ()
    gap = [Span("A", 0.0, 10.0, 1.0), Span("A", 90.0, 100.0, 1.0)]
    assert all(not 10 < place.station < 90 for place in next_cuts(gap, count=5))


def test_impossible_spans_are_refused() -> None:
    """No span, one that ends before it starts, negative risk, and no reach are refused."""
    with pytest.raises(LapwrightError, match="no_spans"):
        next_cuts([])
    for span in (Span("A", 5.0, 5.0, 1.0), Span("A", 0.0, 5.0, -1.5)):
        with pytest.raises(OutOfRange):
            next_cuts([span])
    with pytest.raises(OutOfRange):
        next_cuts(EVEN, reach=0.0)

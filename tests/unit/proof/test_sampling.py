"""Plans for cuts and what they let through."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.proof.sampling import (
    CutPlan,
    SpacingRule,
    attributes_rule,
    chart_rule,
    even_places,
    hit_chance,
    smallest_plan,
)


def test_curve_counts_the_ways() -> None:
    """Binomial without known places, hypergeometric with them, both summed by hand."""
    endless = sum(math.comb(20, k) * 0.1**k * 0.9 ** (20 - k) for k in range(3))
    assert CutPlan(20, 2).accepts(0.1) == pytest.approx(endless)
    ways = sum(math.comb(6, k) * math.comb(54, 20 - k) for k in range(3))
    counted = ways / math.comb(60, 20)
    assert CutPlan(20, 2, places=60).accepts(0.1) == pytest.approx(counted)


def test_curve_falls_from_sure_to_never() -> None:
    """Sound seam is always accepted, bad seam never, and more bad never more often."""
    chances = [CutPlan(20, 2).accepts(share) for share in np.linspace(0, 1, 41)]
    assert chances[0] == 1.0
    assert chances[-1] == 0.0
    assert chances == sorted(chances, reverse=True)
    with pytest.raises(OutOfRange):
        CutPlan(20, 2).accepts(1.1)


@pytest.mark.parametrize("places", [None, 100, 272])
def test_smallest_plan_keeps_both_risks(places: int | None) -> None:
    """Good seam passes at 95 %, poor seam at 10 %; one cut fewer would not hold poor seam."""
    plan = smallest_plan(good=0.02, poor=0.15, places=places)
    assert plan.accepts(0.02) >= 0.95
    assert plan.accepts(0.15) <= 0.1
    fewer = CutPlan(plan.taken - 1, plan.allowed, places)
    assert fewer.accepts(0.15) > 0.1


def test_no_smaller_number_allowed_would_do() -> None:
    """With one bad cut fewer allowed, no number of cuts keeps both risks."""
    plan = smallest_plan(good=0.02, poor=0.15)
    assert plan.allowed > 0
    for taken in range(1, plan.taken + 1):
        stricter = CutPlan(taken, plan.allowed - 1)
        assert stricter.accepts(0.02) < 0.95 or stricter.accepts(0.15) > 0.1


def test_impossible_plans_are_refused() -> None:
    """Good worse than poor, shares beyond 0 to 1, and places too few to tell are refused."""
    with pytest.raises(LapwrightError, match="good_not_below_poor"):
        smallest_plan(good=0.2, poor=0.1)
    with pytest.raises(OutOfRange):
        smallest_plan(good=0.0, poor=0.1)
    with pytest.raises(LapwrightError, match="too_few_places"):
        smallest_plan(good=0.01, poor=0.05, places=8)


def test_even_cuts_hit_in_proportion() -> None:
    """From a random start a stretch is hit as often as its length fits into the spacing."""
    rng = np.random.default_rng(1)
    starts = rng.uniform(0.0, 150.0, 20_000)
    hits = np.mean([math.floor((400 + 30 - s) / 150) > math.floor((400 - s) / 150) for s in starts])
    assert hit_chance(30.0, spacing=150.0) == pytest.approx(hits, abs=0.01)
    assert hit_chance(200.0, spacing=150.0) == 1.0
    with pytest.raises(OutOfRange):
        hit_chance(0.0, spacing=150.0)


def test_even_places_stay_on_the_seam() -> None:
    """Cuts are a spacing apart and on the seam; a start beyond the spacing is refused."""
    places = even_places(1000.0, spacing=150.0, first=20.0)
    assert np.allclose(np.diff(places), 150.0)
    assert places[0] == 20.0
    assert places[-1] < 1000.0
    assert even_places(10.0, spacing=150.0, first=20.0) == ()
    for spacing, first in ((150.0, 151.0), (0.0, 0.0)):
        with pytest.raises(OutOfRange):
            even_places(1000.0, spacing=spacing, first=first)


def test_spacing_rule_does_one_of_three_things() -> None:
    """Widen, keep and tighten share the whole chance; sound seam widens, poor seam tightens."""
    rule = SpacingRule(20, 0, 2)
    for share in (0.0, 0.05, 0.4):
        assert sum(rule.chances(share)) == pytest.approx(1.0)
    assert rule.chances(0.0)[0] == 1.0
    assert rule.chances(0.4)[2] > 0.99
    assert SpacingRule(5, -1, 2).chances(0.0) == (0.0, 1.0, 0.0)


def test_spacing_by_attributes_keeps_its_risks() -> None:
    """Poor seam is widened, and good seam tightened, no more often than asked."""
    rule = attributes_rule(30, good=0.02, poor=0.15)
    assert rule.chances(0.15)[0] <= 0.1
    assert rule.chances(0.02)[2] <= 0.05
    assert rule.widen_at_most >= 0
    assert attributes_rule(5, good=0.02, poor=0.15).widen_at_most == -1
    with pytest.raises(LapwrightError, match="good_not_below_poor"):
        attributes_rule(30, good=0.2, poor=0.1)


def test_spacing_by_chart_seldom_tightens_steady_work() -> None:
    """At the expected share closer cuts come in less than 1 batch of 370; far above it, often."""
    rule = chart_rule(40, expected=0.05)
    assert rule.chances(0.05)[2] <= 0.00135
    assert rule.chances(0.4)[2] > 0.9
    assert rule.widen_at_most == 2
    with pytest.raises(OutOfRange):
        chart_rule(40, expected=0.0)

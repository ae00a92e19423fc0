"""Rules of proof that hold for any count and any trace."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lapwright.counts import bad_share_limit
from lapwright.proof.cuts import Group, bad_places_limit, bad_seam_limit
from lapwright.proof.nextcuts import Span, next_cuts
from lapwright.proof.peel import PeelTrace, weigh
from lapwright.proof.sampling import CutPlan, smallest_plan
from lapwright.units import to_si

SHARES = st.floats(0.005, 0.6)
GROUPS = st.lists(
    st.builds(Group, st.just("g"), st.integers(0, 60), st.just(0), st.floats(1.0, 5000.0)),
    min_size=1,
    max_size=5,
)


@given(st.integers(1, 200), st.data())
def test_a_known_number_of_places_never_proves_less(of: int, data: st.DataObject) -> None:
    """The share left open among counted places is at most that of endless seam, give one place."""
    bad = data.draw(st.integers(0, of))
    places = of + data.draw(st.integers(0, 500))
    assert bad_places_limit(bad, of=of, places=places) / places <= (
        bad_share_limit(bad, of=of) + 1 / places
    )


@given(GROUPS)
def test_whole_seam_is_never_surer_than_its_best_group(groups: list[Group]) -> None:
    """The limit of the whole lies between none and all, and above that of all cuts pooled."""
    limit = bad_seam_limit(groups)
    pooled = bad_share_limit(0, of=sum(group.taken for group in groups))
    assert pooled - 1e-9 <= limit <= 1.0 + 1e-9


@given(GROUPS, st.integers(1, 30))
def test_more_clean_cuts_never_prove_less(groups: list[Group], more: int) -> None:
    """Cuts added to one group lower the limit of the whole or leave it."""
    first, *rest = groups
    added = Group(first.name, first.taken + more, 0, first.length)
    assert bad_seam_limit([added, *rest]) <= bad_seam_limit(groups) + 1e-9


@settings(max_examples=40)
@given(SHARES, SHARES, st.one_of(st.none(), st.integers(50, 2000)))
def test_a_plan_keeps_the_risks_it_was_asked_for(
    one: float, two: float, places: int | None
) -> None:
    """Whatever the shares, good seam passes at 95 % and poor seam at 10 %."""
    good, poor = sorted((one, two))
    assume(poor > 1.5 * good)
    assume(places is None or round(good * places) != round(poor * places))
    plan = smallest_plan(good=good, poor=poor, places=places)
    assert plan.accepts(good) >= 0.95 - 1e-12
    assert plan.accepts(poor) <= 0.1 + 1e-12
    assert isinstance(plan, CutPlan)


@given(st.floats(50.0, 1000.0), st.integers(2, 8))
def test_even_risk_is_cut_evenly(length: float, count: int) -> None:
    """On seam of one risk no two of the next cuts lie close, and all lie on the seam."""
    places = [place.station for place in next_cuts([Span("A", 0.0, length, 0.3)], count=count)]
    assert all(0 <= place <= length for place in places)
    assert np.diff(sorted(places)).min() > length / (4 * count)


@given(
    st.floats(60.0, 500.0),
    st.lists(st.floats(0.6, 1.4), min_size=3, max_size=30),
    st.floats(0.5, 2.0),
)
def test_a_trace_means_the_same_in_any_unit(
    level: float, teeth: list[float], stretch: float
) -> None:
    """Force read in lbf and travel in inches, then turned to SI, weighs as the same strip."""
    along = np.linspace(0.003, 0.06 * stretch, len(teeth))
    travel = np.linspace(0.0, along[-1] + 0.002, 400)
    corners = [0.0, *along, along[-1] + 0.002]
    force = np.interp(travel, corners, [0.0, *(level * tooth for tooth in teeth), 0.0])
    metric = weigh(PeelTrace("1", tuple(travel), tuple(force), width=0.0254))
    pounds, inches = force / to_si(1.0, "lbf"), travel / to_si(1.0, "in")
    back = PeelTrace(
        "1",
        tuple(to_si(float(each), "in") for each in inches),
        tuple(to_si(float(each), "lbf") for each in pounds),
        width=to_si(1.0, "in"),
    )
    us = weigh(back)
    assert us.average == pytest.approx(metric.average, rel=1e-6)
    assert us.energy == pytest.approx(metric.energy, rel=1e-6)
    assert us.peak == pytest.approx(metric.peak, rel=1e-9)


@given(st.lists(st.floats(0.5, 1.5), min_size=3, max_size=40))
def test_average_and_median_lie_below_the_peak(teeth: list[float]) -> None:
    """No figure of a strip exceeds its greatest force, and none is negative."""
    along = np.linspace(0.003, 0.08, len(teeth))
    travel = np.linspace(0.0, 0.082, 500)
    force = np.interp(travel, [0.0, *along, 0.082], [0.0, *(150 * each for each in teeth), 0.0])
    strip = weigh(PeelTrace("1", tuple(travel), tuple(force), width=0.025))
    assert 0 < strip.average <= strip.peak
    assert 0 < strip.peaks.lowest / 0.025 <= strip.median <= strip.peak * (1 + 1e-12)
    assert 0 <= strip.first_peak <= strip.averaged_to <= strip.apart <= 0.082


@given(st.integers(1, 60), st.floats(0.1, 1e5))
def test_one_group_alone_proves_what_its_cuts_prove(taken: int, length: float) -> None:
    """With one group its length does not matter, also where one cut is all there is."""
    limit = bad_seam_limit([Group("g", taken, 0, length)])
    assert limit == pytest.approx(bad_share_limit(0, of=taken), abs=1e-9)

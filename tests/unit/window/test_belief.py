"""Prior and strips make one joint belief."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lapwright.physics.heat import REFERENCE_SHEET
from lapwright.units import from_si, to_si
from lapwright.window.belief import Belief, bond_likelihood, heat_likelihood
from lapwright.window.prior import BOTTOM, TOP, Earlier, Prior
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
WEAK = Belief.before(Prior())


def test_before_the_first_strip_the_belief_is_the_prior() -> None:
    """Nothing observed: the joint is the prior over kappa and edges."""
    prior = Prior()
    expected = prior.kappa_weight[:, None, None] * prior.parts[0][1]
    assert pytest.approx(expected) == WEAK.joint
    assert pytest.approx(prior.kappa_weight) == WEAK.kappa_weight
    assert WEAK.earlier_weight is None


def test_the_joint_sums_to_one(ladder_welds: tuple[TestWeld, ...]) -> None:
    """After any weld the belief is a probability."""
    belief = WEAK
    for each in ladder_welds:
        belief = belief.observe(each)
        assert belief.joint.sum() == pytest.approx(1)
        assert belief.joint.min() >= 0
        assert belief.kappa_weight == pytest.approx(belief.joint.sum(axis=(1, 2)))


def test_a_weld_that_says_nothing_changes_nothing(weld: Build) -> None:
    """Split and invalid strips that nobody looked at leave the belief as it was."""
    after = WEAK.observe(weld(1, 800, "sxs", None))
    assert np.array_equal(after.joint, WEAK.joint)


def test_full_lowers_and_cold_raises_the_bottom(weld: Build) -> None:
    """At 750 F, full strips say the bottom is lower, cold ones that it is higher."""
    prior_bottom = WEAK.mean_edges[0]
    assert WEAK.observe(weld(1, 750, "fff", None)).mean_edges[0] < prior_bottom - 10
    assert WEAK.observe(weld(1, 750, "ccc", None)).mean_edges[0] > prior_bottom + 10


def test_signs_lower_and_none_raises_the_top(weld: Build) -> None:
    """At 1000 F, signs say the top is lower, none that it is higher."""
    prior_top = WEAK.mean_edges[1]
    assert WEAK.observe(weld(1, 1000, "sss", "signs")).mean_edges[1] < prior_top - 10
    assert WEAK.observe(weld(1, 1000, "sss", "none")).mean_edges[1] > prior_top + 10


def test_pulls_never_speak_of_the_top(weld: Build) -> None:
    """Given the bottom (and kappa), pulls leave the belief about the top untouched."""
    after = WEAK.observe(weld(1, 1000, "fff", None)).observe(weld(2, 650, "ccc", None))
    assert np.array_equal(after.heat, WEAK.heat)
    for kappa, bottom in ((2, 40), (2, 60), (0, 45)):
        before_top = WEAK.joint[kappa, bottom] / WEAK.joint[kappa, bottom].sum()
        after_top = after.joint[kappa, bottom] / after.joint[kappa, bottom].sum()
        assert after_top == pytest.approx(before_top, rel=1e-9, abs=1e-15)


def test_looks_never_speak_of_the_pulls(weld: Build) -> None:
    """Heat signs leave the table of the pulls untouched."""
    after = WEAK.observe(weld(1, 1000, "sss", "signs"))
    assert np.array_equal(after.bond, WEAK.bond)
    assert not np.array_equal(after.heat, WEAK.heat)


def test_strips_of_one_weld_are_not_independent(weld: Build) -> None:
    """Three strips of one weld teach less than one strip of each of three welds."""
    together = WEAK.observe(weld(1, 700, "fff", None))
    apart = WEAK.observe_all(weld(n, 700, "f", None) for n in (1, 2, 3))
    assert together.mean_edges[0] > apart.mean_edges[0] + 1


def test_measured_air_is_what_counts(weld: Build) -> None:
    """A weld measured at 700 F teaches what a weld set and met at 700 F teaches."""
    measured = WEAK.observe(weld(1, 900, "fff", measured_air_f=700))
    assert pytest.approx(measured.joint) == WEAK.observe(weld(1, 700, "fff")).joint


def test_a_faster_or_colder_weld_counts_as_cooler(weld: Build) -> None:
    """The same full strips push the bottom further down when the lap got less heat."""
    as_usual = WEAK.observe(weld(1, 800, "fff")).mean_edges[0]
    assert WEAK.observe(weld(1, 800, "fff", speed=12)).mean_edges[0] < as_usual
    assert WEAK.observe(weld(1, 800, "fff", sheet=50)).mean_edges[0] < as_usual


def test_two_speeds_teach_kappa(weld: Build) -> None:
    """At the reference kappa stays unknown; a speed apart moves the belief about it."""
    here = {"sheet": from_si(REFERENCE_SHEET, "f")}
    same = WEAK.observe_all([weld(1, 650, "ccc", **here), weld(2, 750, "fff", **here)])
    assert same.kappa_weight == pytest.approx(WEAK.kappa_weight, rel=1e-6)
    apart = same.observe(weld(3, 850, "ccc", speed=14, **here))
    assert abs(apart.mean_kappa / WEAK.mean_kappa - 1) > 0.02


def test_mean_and_spread_are_those_of_the_joint(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Mean edges and spreads, written out by hand from the joint."""
    belief = WEAK.observe_all(ladder_welds)
    edges = belief.joint.sum(axis=0)
    bottoms, tops = np.meshgrid(BOTTOM, TOP, indexing="ij")
    bottom, top = np.sum(edges * bottoms), np.sum(edges * tops)
    assert belief.mean_edges == pytest.approx((bottom, top))
    bottom_sd = np.sqrt(np.sum(edges * (bottoms - bottom) ** 2))
    width_sd = np.sqrt(np.sum(edges * (tops - bottoms - top + bottom) ** 2))
    assert belief.sd_edges == pytest.approx((bottom_sd, width_sd))


def test_weld_share_needs_welds_that_differ(weld: Build) -> None:
    """Welds alike within but not between raise P(most spread is between welds)."""
    prior_share = WEAK.weld_share
    assert prior_share == pytest.approx((0.45, 0.45), abs=1e-6)  # the prior's own weight
    near = (700, 705, 710, 715, 720, 725)
    differ = WEAK.observe_all(weld(n, t, "fff" if n % 2 else "ccc") for n, t in enumerate(near))
    mixed = WEAK.observe_all(weld(n, t, "fpc") for n, t in enumerate(near))
    assert differ.weld_share[0] > 0.7
    assert mixed.weld_share[0] < 0.2
    hot = WEAK.observe_all(
        weld(n, 1000 + t - 700, "fff", "signs" if n % 2 else "none") for n, t in enumerate(near)
    )
    assert hot.weld_share[1] > 0.7


def test_a_wrong_yesterday_loses_its_weight(weld: Build) -> None:
    """Strips that fit yesterday raise its share, strips that do not take it away."""
    yesterday = Earlier(bottom=to_si(700, "f"), bottom_sd=5.0, width=180.0, width_sd=10.0)
    belief = Belief.before(Prior("tpo", yesterday))
    assert belief.earlier_weight == pytest.approx(0.75)
    fits = belief.observe_all([weld(1, 650, "ccc"), weld(2, 760, "fff")])
    differs = belief.observe_all([weld(1, 850, "ccc"), weld(2, 950, "fff")])
    assert fits.earlier_weight is not None
    assert differs.earlier_weight is not None
    assert fits.earlier_weight > 0.8 > 0.2 > differs.earlier_weight


def test_contradiction_beyond_measure_leaves_a_belief(weld: Build) -> None:
    """Ten cold strips far above ten full ones: doubtful, but still a probability."""
    hot = weld(1, 1300, "c" * 10, "none", speed=1)
    cool = weld(2, 440, "f" * 10, "signs", speed=40)
    belief = WEAK.observe_all([hot, cool] * 5)
    assert np.isfinite(belief.joint).all()
    assert belief.joint.sum() == pytest.approx(1)


@pytest.mark.parametrize("start", [-2000.0, 2000.0])
def test_likelihoods_stay_probabilities_far_out(start: float) -> None:
    """However far a weld lies from the lattice, a likelihood is between 0 and 1."""
    pulls = bond_likelihood([(3, 0, 0), (0, 3, 0), (0, 0, 3)], start=start, n=101)
    looks = heat_likelihood([(3, 0), (0, 3)], start=start, n=151)
    for table in (pulls, looks):
        assert np.isfinite(table).all()
        assert table.min() >= 0
        assert table.max() <= 1


def test_no_strip_is_no_evidence() -> None:
    """An outcome without a strip has likelihood 1 everywhere."""
    assert np.all(bond_likelihood([(0, 0, 0)], start=100.0, n=30) == 1)
    assert np.all(heat_likelihood([(0, 0)], start=100.0, n=30) == 1)

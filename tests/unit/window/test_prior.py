"""Belief before the first strip."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.errors import LapwrightError
from lapwright.physics.membrane import MEMBRANES
from lapwright.window.prior import (
    BOTTOM,
    EARLIER_SHARE,
    FAMILIES,
    STEP,
    TOP,
    WIDE,
    Earlier,
    Prior,
)

YESTERDAY = Earlier(bottom=672.0, bottom_sd=8.0, width=150.0, width_sd=10.0)


@pytest.mark.parametrize("membrane", FAMILIES)
def test_each_family_has_a_proper_belief(membrane: str) -> None:
    """Weights and joint beliefs sum to 1, and no top lies below its bottom."""
    prior = Prior(membrane)
    assert prior.kappa_weight.sum() == pytest.approx(1)
    ((share, joint),) = prior.parts
    assert share == 1
    assert joint.sum() == pytest.approx(1)
    assert joint[TOP[None, :] <= BOTTOM[:, None]].max(initial=0.0) == 0
    assert np.all(joint >= 0)


@pytest.mark.parametrize("membrane", FAMILIES)
def test_kappa_nodes_carry_median_and_spread(membrane: str) -> None:
    """The five nodes have the log mean and log variance of the family's sheet."""
    prior, sheet = Prior(membrane), MEMBRANES[membrane]
    log_kappa = np.log(prior.kappa / sheet.kappa)
    assert prior.kappa_weight @ log_kappa == pytest.approx(0, abs=1e-9)
    assert prior.kappa_weight @ log_kappa**2 == pytest.approx(sheet.kappa_log_sd**2, rel=1e-5)
    assert prior.kappa_weight @ log_kappa**4 == pytest.approx(3 * sheet.kappa_log_sd**4, rel=1e-4)


def test_unknown_membrane_is_refused() -> None:
    """A family that nobody described names the ones that are."""
    with pytest.raises(LapwrightError) as caught:
        Prior("lead")
    assert caught.value.code == "unknown_membrane"
    assert caught.value.data == {"value": "lead", "known": "kee, pvc, tpo"}


def test_an_earlier_day_is_mixed_in_never_alone() -> None:
    """History takes its share, the weak belief keeps the rest."""
    (weak_share, weak), (share, learnt) = Prior("tpo", YESTERDAY).parts
    assert (weak_share, share) == (1 - EARLIER_SHARE, EARLIER_SHARE) == (0.25, 0.75)
    assert weak is Prior("tpo").parts[0][1]
    assert learnt.sum() == pytest.approx(1)


def test_an_earlier_day_widens_overnight() -> None:
    """The learnt part sits at yesterday's edges, spread by yesterday's doubt and the night."""
    joint = Prior("tpo", YESTERDAY).parts[1][1]
    bottom = joint.sum(axis=1)
    centre = bottom @ BOTTOM
    assert centre == pytest.approx(YESTERDAY.bottom, abs=0.2)
    night = np.hypot(40 / 1.8, YESTERDAY.bottom_sd)  # 40 F from day to day: assumed
    assert np.sqrt(bottom @ (BOTTOM - centre) ** 2) == pytest.approx(night, rel=0.01)
    width = TOP[None, :] - BOTTOM[:, None]
    assert np.sum(joint * width) == pytest.approx(YESTERDAY.width, abs=0.5)


def test_weak_belief_is_practice() -> None:
    """TPO's bottom is expected near 700 F, its window some 330 F wide; common practice."""
    joint = Prior("tpo").parts[0][1]
    assert BOTTOM[np.argmax(joint.sum(axis=1))] == pytest.approx(644.26, abs=STEP)
    width = (TOP[None, :] - BOTTOM[:, None]).round(6)
    likeliest = width.ravel()[np.argmax(joint)]
    assert likeliest == pytest.approx(183.3, abs=STEP)


def test_nuisance_weights_sum_to_one() -> None:
    """Spreads, shares and zones are weighed to certainty, equal zones alike."""
    pulls, looks = WIDE.weight(partial=True), WIDE.weight(partial=False)
    assert pulls.sum() == pytest.approx(1)
    assert looks.sum() == pytest.approx(1)
    assert pulls.sum(axis=2) == pytest.approx(looks)
    assert np.ptp(pulls, axis=2).max() == pytest.approx(0)


def test_weld_effect_and_own_spread_make_up_sigma() -> None:
    """Shared and own variance add up to sigma squared, the shared part being rho."""
    per_effect = WIDE.shared[..., 0] / np.where(WIDE.effect == 0, 1, WIDE.effect)
    kept = WIDE.effect != 0
    total = per_effect[..., kept] ** 2 + WIDE.own[..., 0] ** 2
    assert total == pytest.approx(np.broadcast_to(WIDE.sigma[:, None, None] ** 2, total.shape))
    share = per_effect[..., kept] ** 2 / total
    assert share == pytest.approx(np.broadcast_to(WIDE.rho[None, :, None], share.shape))

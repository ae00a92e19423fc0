"""Which test weld teaches most, and when to stop."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from math import log

import numpy as np
import pytest
from scipy.special import entr

from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED, equivalent_air
from lapwright.units import from_si, to_si
from lapwright.window.belief import Belief
from lapwright.window.edges import Conditions
from lapwright.window.nextweld import (
    air_settings,
    information,
    ladder,
    most_telling,
    outcome_chances,
    speed_settings,
)
from lapwright.window.prior import Prior
from lapwright.window.soundness import AXIS
from lapwright.window.strips import Overheat, Pull, Strip, TestWeld

Build = Callable[..., TestWeld]
WEAK = Belief.before(Prior())
HERE = Conditions(speed=to_si(10, "ft_min"), sheet=to_si(80, "f"), ambient=to_si(80, "f"))


def test_air_settings_are_whole_tens_of_f_within_the_machine() -> None:
    """Every 10 F from limit to limit, limits included, nothing beyond."""
    settings = [from_si(air, "f") for air in air_settings(to_si(600, "f"), to_si(1148, "f"))]
    assert settings == pytest.approx(list(range(600, 1150, 10)))
    assert list(air_settings(to_si(601, "f"), to_si(604, "f"))) == [to_si(601, "f")]


def test_speed_settings_are_half_feet() -> None:
    """3 to 30 ft/min, half a foot apart."""
    settings = [from_si(speed, "ft_min") for speed in speed_settings()]
    assert settings == pytest.approx(list(np.arange(3, 30.5, 0.5)))


def test_ladder_ends_with_the_machine() -> None:
    """A rung is never hotter than the machine; a weak machine may have none."""
    assert [round(from_si(t, "f")) for t in ladder(to_si(600, "f"), to_si(800, "f"))] == [
        600,
        700,
        800,
    ]
    assert len(ladder(to_si(600, "f"), to_si(550, "f"))) == 0


@pytest.mark.parametrize("x", [450.0, 640.0, 1300.0])
@pytest.mark.parametrize("pulls", [True, False])
def test_outcome_chances_make_up_certainty(
    ladder_welds: tuple[TestWeld, ...], x: float, pulls: bool
) -> None:
    """Whatever the belief and the heat, one of the outcomes happens."""
    for belief in (WEAK, WEAK.observe_all(ladder_welds)):
        chances = outcome_chances(belief, x, strips=3, pulls=pulls)
        assert len(chances) == (10 if pulls else 4)
        assert all(sum(counts) == 3 for counts in chances)
        assert sum(chances.values()) == pytest.approx(1, abs=1e-6)
        assert min(chances.values()) >= 0


def test_hotter_welds_are_expected_fuller_and_more_often_signed() -> None:
    """Chances of all full and of all signs rise with heat, those of all cold fall."""
    heats = np.linspace(480.0, 1150.0, 12)
    pulls = [outcome_chances(WEAK, x, strips=3, pulls=True) for x in heats]
    looks = [outcome_chances(WEAK, x, strips=3, pulls=False) for x in heats]
    for chances in ([each[0, 0, 3] for each in pulls], [each[0, 3] for each in looks]):
        assert chances == sorted(chances)
    cold = [each[3, 0, 0] for each in pulls]
    assert cold == sorted(cold, reverse=True)


def test_chances_between_lattice_points_lie_between() -> None:
    """Between two points of the axis the chance is interpolated."""
    low, middle, high = (
        outcome_chances(WEAK, x, strips=1, pulls=True)[0, 0, 1]
        for x in (AXIS[60], (AXIS[60] + AXIS[61]) / 2, AXIS[61])
    )
    assert low < middle < high
    assert middle == pytest.approx((low + high) / 2)


def test_information_is_never_negative_nor_more_than_the_outcomes_hold(
    ladder_welds: tuple[TestWeld, ...],
) -> None:
    """Between 0 and the log of the number of outcomes; less after more welds."""
    before, after = information(WEAK), information(WEAK.observe_all(ladder_welds))
    for gain in (before, after):
        assert gain.min() > -1e-9
        assert gain.max() < log(10 * 4)
    assert after.max() < 0.5 * before.max()
    assert before[0] < 0.05 * before.max()  # far too cold a weld tells nothing


def test_more_strips_tell_more() -> None:
    """Three strips tell more than one, but less than three times as much."""
    one, three = information(WEAK, strips=1).max(), information(WEAK, strips=3).max()
    assert one < three < 3 * one


def test_information_is_the_expected_fall_of_entropy() -> None:
    """Entropy of the edges before, less what one strip is expected to leave (Lindley).

    At the reference conditions, where kappa moves nothing. The chance of each joint outcome
    comes from the belief given the bottom, so it is exact, pulls and looks being tied.
    """
    x = float(AXIS[62])

    def after(pull: Pull, look: Overheat | None) -> Belief:
        strips = (Strip("1", pull, look),)
        return WEAK.observe(TestWeld("1", x, REFERENCE_SPEED, 300.0, REFERENCE_SHEET, strips))

    def entropy(belief: Belief) -> float:
        return float(entr(belief.joint.sum(axis=0)).sum())

    def chance(belief: Belief, name: str, *, pulls: bool) -> float:
        places = {"cold": (1, 0, 0), "partial": (0, 1, 0), "full": (0, 0, 1),
                  "none": (1, 0), "signs": (0, 1)}  # fmt: skip
        return outcome_chances(belief, x, strips=1, pulls=pulls)[places[name]]

    pulls: tuple[Pull, ...] = ("cold", "partial", "full")
    looks: tuple[Overheat, ...] = ("none", "signs")
    left = 0.0
    for pull, look in product(pulls, looks):
        both = chance(WEAK, pull, pulls=True) * chance(after(pull, None), look, pulls=False)
        left += both * entropy(after(pull, look))
    assert information(WEAK, strips=1)[62] == pytest.approx(entropy(WEAK) - left, rel=1e-6)


def test_most_telling_takes_the_best_candidate() -> None:
    """The setting with most information among those offered, at the conditions' heat."""
    air = air_settings(to_si(600, "f"), to_si(1148, "f"))
    speed = np.full(len(air), HERE.speed)
    best = most_telling(WEAK, HERE, air=air, speed=speed)
    x = equivalent_air(air, sheet=HERE.sheet, speed=speed, kappa=WEAK.mean_kappa)
    gain = np.interp(x, AXIS, information(WEAK))
    assert best.air == air[np.argmax(gain)]
    assert best.information == pytest.approx(gain.max())
    assert (best.reason, best.done, best.speed) == ("learn", False, HERE.speed)


def test_a_colder_sheet_asks_for_hotter_air() -> None:
    """The telling weld keeps its heat: on a cold sheet its air is set hotter."""
    air = air_settings(to_si(500, "f"), to_si(1300, "f"))
    cold = Conditions(speed=HERE.speed, sheet=HERE.sheet - 30, ambient=HERE.ambient)
    here, there = (
        most_telling(WEAK, where, air=air, speed=np.full(len(air), HERE.speed))
        for where in (HERE, cold)
    )
    assert there.air > here.air + 20


def test_contradicted_belief_still_scores(weld: Build) -> None:
    """Where strips all but rule out edges, chances and information stay numbers."""
    welds = [weld(n, 1140, "c" * 10, speed=5) for n in range(14)]
    belief = WEAK.observe_all([*welds, weld(15, 560, "f" * 10, "signs")])
    assert belief.bond[..., 0].max() < 1e-50
    assert np.isfinite(information(belief)).all()
    chances = outcome_chances(belief, 700.0, strips=3, pulls=True)
    assert sum(chances.values()) == pytest.approx(1, abs=1e-6)

"""P(sound) over settings and conditions."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lapwright.physics.heat import REFERENCE_SHEET, REFERENCE_SPEED, air_at, equivalent_air
from lapwright.units import to_si
from lapwright.window.belief import Belief
from lapwright.window.prior import BOTTOM, TOP, WIDE, Prior
from lapwright.window.soundness import AXIS, LIMIT, Soundness, Tested
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
WEAK = Belief.before(Prior())
HERE = {"speed": REFERENCE_SPEED, "sheet": REFERENCE_SHEET}
SHEET80 = to_si(80, "f")


@pytest.fixture(scope="module")
def ladder(ladder_welds: tuple[TestWeld, ...]) -> Soundness:
    """Map after the practice ladder."""
    return Soundness(WEAK.observe_all(ladder_welds), Tested.of(ladder_welds))


def test_p_sound_is_the_share_between_the_limits() -> None:
    """At a point of the axis: P(95 % bond limit below and 5 % overheat limit above), summed."""
    x = float(AXIS[55])
    joint, share = WEAK.joint.sum(axis=0), 0.0
    weight = WIDE.sigma_weight / WIDE.sigma_weight.sum()
    for bond_weight, bond_sigma in zip(weight, WIDE.sigma, strict=True):
        for heat_weight, heat_sigma in zip(weight, WIDE.sigma, strict=True):
            inside = np.ix_(BOTTOM + LIMIT * bond_sigma <= x, TOP - LIMIT * heat_sigma >= x)
            share += bond_weight * heat_weight * joint[inside].sum()
    found = float(Soundness(WEAK, None).at(x, **HERE))
    assert found == pytest.approx(share, abs=0.01)  # cells are cut whole here, in part there


def test_p_sound_rises_and_falls_once(ladder: Soundness) -> None:
    """Cold side near 0, one hill in the window, hot side near 0, always a probability."""
    air = np.linspace(500.0, 1000.0, 101)
    sound = ladder.at(air, speed=REFERENCE_SPEED, sheet=SHEET80)
    assert sound.min() >= 0
    assert sound.max() <= 1
    assert sound[0] < 0.01
    assert sound[-1] < 0.01
    assert sound.max() > 0.95
    peak = int(np.argmax(sound))
    assert np.all(np.diff(sound[: peak + 1]) >= -1e-9)
    assert np.all(np.diff(sound[peak:]) <= 1e-9)


def test_settings_and_conditions_broadcast(ladder: Soundness) -> None:
    """A table of air, speed and sheet gives what each cell gives alone."""
    air, speed = np.array([720.0, 780.0]), np.array([[0.045], [0.0508], [0.06]])
    table = ladder.at(air, speed=speed, sheet=295.0)
    assert table.shape == (3, 2)
    alone = [[float(ladder.at(a, speed=s[0], sheet=295.0)) for a in air] for s in speed]
    assert table == pytest.approx(np.array(alone))


@pytest.mark.parametrize(("faster", "colder"), [(1.3, 0.0), (1.0, 20.0)])
def test_carrying_costs_soundness(
    ladder_welds: tuple[TestWeld, ...], faster: float, colder: float
) -> None:
    """Faster or colder than tested, edges move in: every setting is believed less."""
    belief = WEAK.observe_all(ladder_welds)
    there = {"speed": REFERENCE_SPEED * faster, "sheet": SHEET80 - colder}
    air = np.linspace(650.0, 950.0, 61)
    carried = Soundness(belief, Tested.of(ladder_welds)).at(air, **there)
    free = Soundness(belief, None).at(air, **there)
    assert carried.max() < free.max() - 0.01
    assert np.all(
        carried <= free + 0.02
    )  # blurred by 10 F: far down the slope it may gain a little


def test_no_margin_within_what_was_tested(weld: Build) -> None:
    """Between tested speeds and sheets nothing is given away."""
    welds = (weld(1, 700, "cfp", speed=9, sheet=70), weld(2, 800, "fff", speed=12, sheet=100))
    belief = WEAK.observe_all(welds)
    there = {"speed": to_si(10, "ft_min"), "sheet": to_si(90, "f")}
    tested, free = Soundness(belief, Tested.of(welds)), Soundness(belief, None)
    assert float(tested.at(760.0, **there)) == float(free.at(760.0, **there))


def test_p_window_counts_windows_once() -> None:
    """With no limit, P(window) is P(bond limit below overheat limit), by hand on the lattice."""
    joint, share = WEAK.joint.sum(axis=0), 0.0
    weight = WIDE.sigma_weight / WIDE.sigma_weight.sum()
    for bond_weight, bond_sigma in zip(weight, WIDE.sigma, strict=True):
        for heat_weight, heat_sigma in zip(weight, WIDE.sigma, strict=True):
            open_ = TOP[None, :] - LIMIT * heat_sigma >= BOTTOM[:, None] + LIMIT * bond_sigma
            share += bond_weight * heat_weight * joint[open_].sum()
    found = Soundness(WEAK, None).p_window(1200.0, **HERE)
    assert found == pytest.approx(share, abs=0.01)


def test_a_window_beyond_the_machine_is_none(ladder: Soundness) -> None:
    """P(window) grows with the air the machine reaches, P(bottom beyond) falls."""
    airs = [to_si(f, "f") for f in (500, 650, 700, 750, 800, 900, 1148)]
    here = {"speed": REFERENCE_SPEED, "sheet": SHEET80}
    window = [ladder.p_window(air, **here) for air in airs]
    beyond = [ladder.p_bottom_beyond(air, **here) for air in airs]
    assert window == sorted(window)
    assert beyond == sorted(beyond, reverse=True)
    assert window[0] < 0.01 < 0.99 < window[-1]
    assert beyond[0] > 0.99 > 0.01 > beyond[-1]
    assert np.all(np.array(window) + np.array(beyond) <= 1 + 1e-6)  # a window needs its bottom


def test_tested_range_is_that_of_the_welds(weld: Build) -> None:
    """Slowest, fastest, coldest and warmest; nothing without welds."""
    assert Tested.of([]) is None
    welds = [weld(1, 700, "f", speed=12, sheet=60), weld(2, 700, "f", speed=8, sheet=90)]
    tested = Tested.of(welds)
    assert tested is not None
    assert (tested.slowest, tested.fastest) == (welds[1].speed, welds[0].speed)
    assert (tested.coldest, tested.warmest) == (welds[0].sheet, welds[1].sheet)


def test_distance_outside_is_signed() -> None:
    """Faster and warmer count up, slower and colder down, within counts zero."""
    tested = Tested(slowest=0.04, fastest=0.05, coldest=290.0, warmest=300.0)
    log_speed, warmer = tested.outside(speed=[0.02, 0.045, 0.10], sheet=[280.0, 295.0, 303.0])
    assert log_speed == pytest.approx([-np.log(2), 0, np.log(2)])
    assert warmer == pytest.approx([-10, 0, 3])


@pytest.mark.parametrize(
    ("speed", "sheet", "reached"),
    [
        (0.05 * 1.4, 295.0, True),
        (0.05 * 1.41, 295.0, False),
        (0.04 / 1.4, 295.0, True),
        (0.04 / 1.41, 295.0, False),
        (0.05, 290.0 - 22.2, True),
        (0.05, 290.0 - 22.3, False),
        (0.05, 300.0 + 22.2, True),
        (0.05, 300.0 + 22.3, False),
    ],
)
def test_reach_ends_at_the_stated_limits(speed: float, sheet: float, reached: bool) -> None:
    """The window is carried 1.4 times in speed and 40 F of sheet, either way, no further."""
    tested = Tested(slowest=0.04, fastest=0.05, coldest=290.0, warmest=300.0)
    assert bool(tested.reaches(speed=speed, sheet=sheet)) is reached


def test_the_map_follows_kappa(ladder: Soundness) -> None:
    """The hill sits where the heat model carries it: hotter air for a faster lap."""
    air = np.linspace(600.0, 1000.0, 401)
    peaks = [
        float(air[np.argmax(ladder.at(air, speed=speed, sheet=SHEET80))])
        for speed in (REFERENCE_SPEED, REFERENCE_SPEED * 1.3)
    ]
    kappa = WEAK.mean_kappa
    x = equivalent_air(peaks[0], sheet=SHEET80, speed=REFERENCE_SPEED, kappa=kappa)
    moved = air_at(x, sheet=SHEET80, speed=REFERENCE_SPEED * 1.3, kappa=kappa)
    assert moved > peaks[0] + 30
    assert peaks[1] == pytest.approx(float(moved), abs=15)

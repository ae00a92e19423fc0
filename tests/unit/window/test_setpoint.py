"""The setting that stays sound: policies, margins, certificate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from lapwright.physics.heat import air_at, equivalent_air
from lapwright.units import from_si, to_si
from lapwright.window.belief import Belief
from lapwright.window.drift import Drift, cases
from lapwright.window.edges import Conditions
from lapwright.window.nextweld import air_settings
from lapwright.window.prior import Prior
from lapwright.window.setpoint import (
    Choice,
    choose,
    confirming_weld,
    fastest,
    is_certified,
    sensitivities,
    set_point_at,
)
from lapwright.window.soundness import Soundness, Tested
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
HERE = Conditions(speed=to_si(10, "ft_min"), sheet=to_si(80, "f"), ambient=to_si(80, "f"))
MAX_AIR = to_si(1148, "f")
AIR = air_settings(to_si(600, "f"), MAX_AIR)


def chosen_from(*welds: TestWeld, drift: Drift | None = None, here: Conditions = HERE) -> Choice:
    """All a set point is chosen from, after some welds."""
    belief = Belief.before(Prior()).observe_all(welds)
    return Choice(
        belief, Soundness(belief, Tested.of(welds)), here, cases(drift or Drift()),
        AIR, np.full(len(AIR), here.speed), MAX_AIR,
    )  # fmt: skip


@pytest.fixture(scope="module")
def choice(ladder_welds: tuple[TestWeld, ...]) -> Choice:
    """After the practice ladder."""
    return chosen_from(*ladder_welds)


def test_low_is_the_first_setting_that_reaches_the_level(choice: Choice) -> None:
    """One step cooler falls below the level; no cooler setting reaches it."""
    low = choose(choice, "low")
    assert low is not None
    place = int(np.argmin(np.abs(AIR - low.air)))
    assert low.p_sound >= 0.9 > float(choice.now(AIR[:place], choice.speed[:place]).max())


def test_low_finds_nothing_without_evidence(weld: Build) -> None:
    """Where no setting reaches the level there is no low setting, but a steady one."""
    thin = chosen_from(weld(1, 800, "fff"))
    assert choose(thin, "low") is None
    assert choose(thin, "steady") is not None


def test_steady_is_soundest_over_the_drift(choice: Choice) -> None:
    """No other setting is sounder over the hours ahead."""
    steady = choose(choice, "steady")
    assert steady is not None
    assert steady.p_sound_drift == pytest.approx(choice.over_drift(AIR, choice.speed).max())
    assert steady.p_sound >= steady.p_sound_drift


def test_middle_is_between_the_expected_edges(choice: Choice) -> None:
    """Within half a step of the middle of both mean edges."""
    middle, kappa = choose(choice, "middle"), choice.belief.mean_kappa
    assert middle is not None
    bottom, top = (
        float(air_at(edge, sheet=HERE.sheet, speed=HERE.speed, kappa=kappa))
        for edge in choice.belief.mean_edges
    )
    assert middle.air == pytest.approx((bottom + top) / 2, abs=5.0 / 1.8 + 0.01)
    assert middle.margin_bottom == pytest.approx(middle.air - bottom)
    assert middle.margin_top == pytest.approx(top - middle.air)


def test_policies_lie_in_order(choice: Choice) -> None:
    """The lowest sound heat lies below the middle and the steady one."""
    low, steady, middle = (choose(choice, policy) for policy in ("low", "steady", "middle"))
    assert low is not None
    assert steady is not None
    assert middle is not None
    assert low.air < min(steady.air, middle.air)


def test_margins_in_speed_reach_the_edges(choice: Choice) -> None:
    """That much faster the lap falls to the expected bottom, that much slower to the top."""
    point = set_point_at(choice, 740.0, HERE.speed)
    assert point.faster is not None
    assert point.slower is not None
    kappa = choice.belief.mean_kappa
    reached = [
        float(equivalent_air(740.0, sheet=HERE.sheet, speed=speed, kappa=kappa))
        for speed in (HERE.speed + point.faster, HERE.speed - point.slower)
    ]
    assert reached == pytest.approx(choice.belief.mean_edges, abs=0.01)


def test_a_margin_no_speed_reaches_is_none(choice: Choice, weld: Build) -> None:
    """Air no hotter than the top's face never gets there; a sheet past the bottom never left it."""
    assert set_point_at(choice, 430.0, HERE.speed).slower is None
    low_bottom = [weld(n, air_f, "fff", speed=12) for n, air_f in enumerate((450, 450, 460, 460))]
    scorched = chosen_from(*low_bottom, here=replace(HERE, sheet=393.0))
    point = set_point_at(scorched, 700.0, HERE.speed)
    assert point.faster is None
    assert point.slower is not None


def test_a_colder_sheet_ahead_moves_the_steady_setting_hotter(
    ladder_welds: tuple[TestWeld, ...],
) -> None:
    """Known to cool by 30 F: the steady setting is hotter; known to warm: cooler."""
    cold, plain, warm = (
        choose(chosen_from(*ladder_welds, drift=drift), "steady")
        for drift in (
            Drift(sheet_low=-30 / 1.8, sheet_high=-20 / 1.8),
            Drift(),
            Drift(sheet_low=20 / 1.8, sheet_high=30 / 1.8),
        )
    )
    assert cold is not None
    assert plain is not None
    assert warm is not None
    assert cold.air > plain.air + 10 > warm.air + 20


def test_rising_wind_moves_the_steady_setting_hotter(ladder_welds: tuple[TestWeld, ...]) -> None:
    """Wind takes heat: two words more ask for hotter air than two words less."""
    rising, falling = (
        choose(chosen_from(*ladder_welds, drift=Drift(wind_words=words)), "steady")
        for words in (2, -2)
    )
    assert rising is not None
    assert falling is not None
    assert rising.air > falling.air + 10


def test_falling_volts_hurt_only_a_machine_at_its_limit(ladder_welds: tuple[TestWeld, ...]) -> None:
    """The heater's ceiling falls with the square of the volts; settings below it hold."""
    welds = ladder_welds[1:5]
    now, low = (
        replace(chosen_from(*welds, drift=Drift(volts_ratio=ratio)), max_air=to_si(780, "f"))
        for ratio in (1.0, 0.93)
    )
    at_limit, easy = np.array([to_si(780, "f")]), np.array([to_si(650, "f")])
    speed = np.array([HERE.speed])
    assert low.over_drift(at_limit, speed)[0] < now.over_drift(at_limit, speed)[0] - 0.05
    assert low.over_drift(easy, speed)[0] == pytest.approx(now.over_drift(easy, speed)[0])
    ceiling = HERE.ambient + (to_si(780, "f") - HERE.ambient) * 0.93**2
    held = low.over_drift(np.array([ceiling]), speed)[0]
    assert low.over_drift(at_limit, speed)[0] == pytest.approx(held)


def test_no_drift_at_all_is_now(choice: Choice) -> None:
    """With every case standing still, the chance over the drift is the chance now."""
    still = replace(choice.cases, shift=np.zeros_like(choice.cases.shift))
    frozen = replace(choice, cases=still)
    assert frozen.over_drift(AIR, choice.speed) == pytest.approx(choice.now(AIR, choice.speed))


def test_the_fastest_speed_holds_the_level_and_one_step_more_does_not(choice: Choice) -> None:
    """Found at the stated level; a higher level never allows a faster speed."""
    speeds = []
    for level in (0.6, 0.8, 0.9, 0.97):
        found = fastest(replace(choice, level=level))
        assert found is not None
        assert found.p_sound >= level
        faster = found.speed + to_si(0.5, "ft_min")
        held = choice.now(AIR, np.full(len(AIR), faster)).max() >= level
        assert faster > HERE.speed * 1.4 or not held
        speeds.append(found.speed)
    assert speeds == sorted(speeds, reverse=True)
    assert speeds[-1] < speeds[0]
    assert speeds[0] <= HERE.speed * 1.4 + 1e-9
    assert from_si(speeds[0], "ft_min") == pytest.approx(
        round(from_si(speeds[0], "ft_min") * 2) / 2
    )


def test_no_fastest_without_tests_or_evidence(weld: Build, choice: Choice) -> None:
    """Nothing tested, or no speed holds the level: none."""
    assert fastest(replace(choice, level=0.9999)) is None
    assert fastest(chosen_from()) is None
    assert fastest(chosen_from(weld(1, 800, "fff"))) is None


def test_sensitivities_are_one_change_each_worst_first(choice: Choice) -> None:
    """Near the bottom whatever cools hurts, near the top whatever heats."""
    low, high = (set_point_at(choice, to_si(f, "f"), HERE.speed) for f in (760, 1010))
    at_low, at_high = sensitivities(choice, low), sensitivities(choice, high)
    for found in (at_low, at_high):
        assert len({each.change for each in found}) == 6
        assert [each.p_sound for each in found] == sorted(each.p_sound for each in found)
    assert {each.change for each in at_low[:3]} == {"faster", "sheet_colder", "air_cooler"}
    assert {each.change for each in at_high[:3]} == {"slower", "sheet_warmer", "air_hotter"}
    assert at_low[0].p_sound < low.p_sound < at_low[-1].p_sound


@pytest.mark.parametrize(
    ("air_f", "confirms"),
    [(839, False), (840, True), (870, True), (900, True), (901, False)],
)
def test_a_clean_weld_within_30_f_confirms(
    weld: Build, choice: Choice, air_f: float, confirms: bool
) -> None:
    """30 F either way on the air axis of the day, no further."""
    point = set_point_at(choice, to_si(870, "f"), HERE.speed)
    clean = weld(3, air_f, "fff")
    found = confirming_weld(choice.belief, HERE, point, [clean])
    assert found == (clean if confirms else None)


@pytest.mark.parametrize(("pulls", "heats"), [("ffp", "none"), ("fff", None), ("fff", "signs")])
def test_an_unclean_weld_confirms_nothing(
    weld: Build, choice: Choice, pulls: str, heats: str | None
) -> None:
    """Short of full, not looked at, or with signs: no confirmation."""
    point = set_point_at(choice, to_si(870, "f"), HERE.speed)
    assert confirming_weld(choice.belief, HERE, point, [weld(1, 870, pulls, heats)]) is None


def test_confirmation_is_by_heat_and_the_nearest_weld(weld: Build, choice: Choice) -> None:
    """The same dial at another speed confirms nothing; of two welds the nearer confirms."""
    point = set_point_at(choice, to_si(870, "f"), HERE.speed)
    fast = weld(1, 870, "fff", speed=14)
    assert confirming_weld(choice.belief, HERE, point, [fast]) is None
    near, far = weld(5, 875, "fff"), weld(2, 850, "fff")
    assert confirming_weld(choice.belief, HERE, point, [far, near]) == near
    twins = [near, replace(near, ambient=290.0)]  # one number, one distance: still one answer
    assert confirming_weld(choice.belief, HERE, point, twins) == near


def test_the_same_heat_elsewhere_confirms_nothing(weld: Build, choice: Choice) -> None:
    """As hot a lap at 14 ft/min, or on a sheet 30 F colder, is no proof of this setting."""
    point = set_point_at(choice, to_si(870, "f"), HERE.speed)
    kappa = choice.belief.mean_kappa
    heat = equivalent_air(point.air, sheet=HERE.sheet, speed=HERE.speed, kappa=kappa)
    for speed, sheet in ((1.4 * HERE.speed, HERE.sheet), (HERE.speed, HERE.sheet - 30 / 1.8)):
        air = float(air_at(heat, sheet=sheet, speed=speed, kappa=kappa))
        elsewhere = replace(weld(1, 870, "fff"), air=air, speed=speed, sheet=sheet)
        assert confirming_weld(choice.belief, HERE, point, [elsewhere]) is None


def test_certified_needs_level_count_and_confirmation(weld: Build, choice: Choice) -> None:
    """Each of the three alone is not enough."""
    clean = weld(1, 870, "fff")
    point = set_point_at(choice, to_si(870, "f"), HERE.speed)
    assert point.p_sound >= 0.9
    assert is_certified(point, [clean, clean], clean)
    assert not is_certified(point, [clean], clean)
    assert not is_certified(point, [clean, clean], None)
    assert not is_certified(replace(point, p_sound=0.899), [clean, clean], clean)
    assert not is_certified(point, [clean, clean], clean, level=0.999)

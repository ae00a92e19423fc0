"""One pulled strip: known traces and what must come out of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from lapwright.errors import LapwrightError
from lapwright.proof.peel import PeelTrace, weigh

WIDTH = 0.025  # m


def _trace(
    corners: Sequence[tuple[float, float]], *, samples: int = 401, **more: object
) -> PeelTrace:
    """A trace along corners (travel in mm, force in N)."""
    along, force = zip(*corners, strict=True)
    travel = np.linspace(along[0], along[-1], samples)
    pulled = np.interp(travel, along, force)
    return PeelTrace("1", tuple(travel / 1000), tuple(pulled), WIDTH, **more)  # type: ignore[arg-type]


# Peels off at 200 N, falls to 100 N within 2 mm, apart at 60 mm.
TEAR = [(0, 0), (2, 200), (4, 100), (59, 100), (60, 0)]


def _codes(trace: PeelTrace) -> set[str]:
    return {caution.code for caution in weigh(trace).cautions}


def test_tear_by_hand() -> None:
    """Peak, average from the first peak until apart, work: areas of the trace, by hand."""
    strip = weigh(_trace(TEAR, samples=6001))
    apart = 59.8  # mm; here the force is down to a tenth of its peak
    area = 2 * 150 + 55 * 100 + 0.8 * 60  # N mm from the first peak on
    assert strip.peak == pytest.approx(200 / WIDTH)
    assert strip.first_peak == pytest.approx(0.002)
    assert strip.apart == pytest.approx(apart / 1000, abs=2e-5)
    assert strip.average == pytest.approx(area / (apart - 2) / WIDTH, rel=1e-3)
    assert strip.energy == pytest.approx((area + 200) / 1000, rel=1e-3)
    assert strip.bond == pytest.approx((apart - 2) / 2000, abs=2e-5)
    assert not strip.has_slipped


def test_average_ends_after_five_inches_of_bond() -> None:
    """127 mm of bond are 254 mm of jaw travel; what comes later does not count."""
    strip = weigh(_trace([(0, 0), (2, 100), (256, 100), (257, 300), (400, 300), (401, 0)]))
    assert strip.bond == pytest.approx(0.127)
    assert strip.average == pytest.approx(100 / WIDTH, rel=0.01)


def test_slack_before_the_first_peak_does_not_count() -> None:
    """A small bump while the jaws take up slack is no first peak."""
    strip = weigh(_trace([(0, 0), (2, 20), (3, 5), (6, 200), (8, 100), (60, 100), (61, 0)]))
    assert strip.first_peak == pytest.approx(0.006, abs=2e-4)


def test_smooth_pull_begins_where_it_runs_level() -> None:
    """Without a peak the average begins at 95 % of the level force."""
    strip = weigh(_trace([(0, 0), (10, 100), (60, 100.5), (61, 0)]))
    assert strip.average == pytest.approx(100 / WIDTH, rel=0.01)
    assert strip.peaks.method in ("A", "E")


def test_a_turned_sign_is_turned_back_and_said() -> None:
    """A pull written as negative gives the same figures, with a doubt."""
    plain = _trace(TEAR)
    turned = PeelTrace("1", plain.travel, tuple(-force for force in plain.force), WIDTH)
    assert weigh(turned).average == pytest.approx(weigh(plain).average)
    assert "peel_reversed" in _codes(turned)
    backward = PeelTrace("1", tuple(-each for each in plain.travel), plain.force, WIDTH)
    assert weigh(backward).average == pytest.approx(weigh(plain).average)


def test_width_divides_the_force_and_not_the_work() -> None:
    """Twice the width, half the force over it, the same energy."""
    narrow = _trace(TEAR)
    wide = PeelTrace("1", narrow.travel, narrow.force, 2 * WIDTH)
    assert weigh(wide).average == pytest.approx(weigh(narrow).average / 2)
    assert weigh(wide).median == pytest.approx(weigh(narrow).median / 2)
    assert weigh(wide).energy == pytest.approx(weigh(narrow).energy)


def test_gauge_at_its_end_is_caught() -> None:
    """A trace cut off at 150 N is, a rounded plateau and a coarse gauge are not."""
    whole = _trace([(0, 0), (3, 200), (6, 100), (10, 200), (13, 100), (60, 100), (61, 0)])
    cut = PeelTrace("1", whole.travel, tuple(min(force, 150.0) for force in whole.force), WIDTH)
    assert "peel_saturated" in _codes(cut)
    assert "peel_saturated" not in _codes(whole)
    level = _trace([(0, 0), (10, 100), (60, 100), (61, 0)])
    coarse = PeelTrace("1", level.travel, tuple(round(force) for force in level.force), WIDTH)
    assert "peel_saturated" not in _codes(coarse)


def test_noise_is_caught() -> None:
    """Noise above 5 % of the average is said, less is not."""
    rng = np.random.default_rng(20260603)
    plain = _trace(TEAR, samples=1000)
    for spread, is_noisy in ((0.5, False), (12.0, True)):
        noisy = np.array(plain.force) + rng.normal(0.0, spread, 1000)
        assert (
            "peel_noisy" in _codes(PeelTrace("1", plain.travel, tuple(noisy), WIDTH))
        ) is is_noisy


def test_a_jaw_that_let_go_is_caught() -> None:
    """One sudden fall and a climb back is a slip; a film tear and a striped weld are not."""
    slip = [(0, 0), (2, 200), (4, 180), (30, 180), (30.5, 20), (35, 170), (60, 180), (61, 0)]
    assert weigh(_trace(slip)).has_slipped
    assert "peel_slip" in _codes(_trace(slip))
    stripes = [(0.0, 0.0), (2.0, 200.0)]
    for k in range(8):
        stripes += [(6 + 6 * k, 190), (6.5 + 6 * k, 30), (8 + 6 * k, 190)]
    assert not weigh(_trace([*stripes, (61, 0)])).has_slipped


def test_a_gauge_not_set_to_zero_is_caught() -> None:
    """A trace that starts at 30 N of 200 is doubted."""
    assert "peel_not_zeroed" in _codes(_trace([(0, 30), *TEAR[1:]]))
    assert "peel_not_zeroed" not in _codes(_trace(TEAR))


def test_clock_and_travel_must_agree_with_the_stated_speed() -> None:
    """60 mm in 14.2 s are 10 in/min; stated as 10 mm/min they are doubted."""
    clock = tuple(np.linspace(0.0, 60 / 254 * 60, 401))
    right, wrong = 0.254 / 60, 0.010 / 60
    assert "peel_rate" not in _codes(_trace(TEAR, rate=right, clock=clock))
    assert "peel_rate" in _codes(_trace(TEAR, rate=wrong, clock=clock))


def test_impossible_forces_are_refused() -> None:
    """kN read as N for a thousand times too much, and N read as kN for too little."""
    plain = _trace(TEAR)
    for factor in (1000.0, 0.001):
        with pytest.raises(LapwrightError, match="peel_impossible"):
            weigh(PeelTrace("1", plain.travel, tuple(factor * f for f in plain.force), WIDTH))


def test_a_trace_needs_readings_and_travel() -> None:
    """Ten readings, or jaws that never moved, tell nothing."""
    with pytest.raises(LapwrightError, match="peel_too_short"):
        weigh(_trace(TEAR, samples=10))
    with pytest.raises(LapwrightError, match="peel_no_travel"):
        weigh(PeelTrace("1", (0.0,) * 400, tuple(range(400)), WIDTH))


def test_jaws_that_come_back_are_left_out() -> None:
    """What the gauge writes while the jaws return does not change the figures."""
    plain = _trace(TEAR)
    back = PeelTrace("1", (*plain.travel, 0.03, 0.01), (*plain.force, -3.0, -3.0), WIDTH)
    assert weigh(back).average == pytest.approx(weigh(plain).average)

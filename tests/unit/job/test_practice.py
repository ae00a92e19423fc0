"""A practice morning: the same luck gives the same strips, and who did not look knows nothing."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.job.hiddensite import Luck, Setting
from lapwright.job.practice import MOST_WELDS, Tried, as_test_weld, practise
from lapwright.physics.startspeed import common_speed_rule


def luck_of(seed: int) -> Luck:
    """Luck of a morning."""
    return lambda number: np.random.default_rng([seed, number])


def tried(*airs: float, looked: bool = True) -> list[Tried]:
    """Welds at 10 ft/min."""
    return [Tried(Setting(air, 0.0508), looked) for air in airs]


def test_the_same_morning_comes_again() -> None:
    """Seed and settings decide everything; an earlier weld never changes by a later one."""
    first = practise(tried(650.0, 800.0), luck=luck_of(3))
    assert practise(tried(650.0, 800.0), luck=luck_of(3)) == first
    assert practise(tried(650.0, 800.0, 700.0), luck=luck_of(3)).welds[:2] == first.welds
    assert practise([], luck=luck_of(4)).site != first.site


def test_who_did_not_look_knows_nothing_of_the_top() -> None:
    """The same welds without a look: the same pulls, and of heat neither yes nor no."""
    hot = practise(tried(870.0, 880.0), luck=luck_of(3)).welds
    blind = practise(tried(870.0, 880.0, looked=False), luck=luck_of(3)).welds
    assert {strip.overheat for weld in hot for strip in weld.strips} <= {"none", "signs"}
    assert {strip.overheat for weld in blind for strip in weld.strips} == {None}
    pulls = [[strip.pull for weld in welds for strip in weld.strips] for welds in (hot, blind)]
    assert pulls[0] == pulls[1]


def test_each_weld_meets_its_own_weather() -> None:
    """On a morning that turns, welds before the turn meet the first weather, the rest the other."""
    seed = next(
        seed for seed in range(50)
        if (site := practise([], luck=luck_of(seed)).site).early != site.late
    )  # fmt: skip
    morning = practise(tried(*[700.0] * 6), luck=luck_of(seed))
    site = morning.site
    met = [weld.weather for weld in morning.welds]
    assert met == [site.early] * site.turns_after + [site.late] * (6 - site.turns_after)
    assert morning.turned_at == site.turns_after
    assert practise([], luck=luck_of(seed)).turned_at is None


def test_a_weld_is_read_like_any_other() -> None:
    """For the window a practice weld is a test weld with its setting, weather and strips."""
    (seen,) = practise(tried(700.0), luck=luck_of(1)).welds
    weld = as_test_weld(seen)
    assert (weld.number, weld.air, weld.speed, weld.sheet) == (
        "1", 700.0, 0.0508, seen.weather.sheet,
    )  # fmt: skip
    assert weld.strips == seen.strips


def test_the_start_speed_is_the_common_rule() -> None:
    """Ambient F / 10 + 2, to the half ft/min of the machine."""
    morning = practise([], luck=luck_of(2))
    rule = common_speed_rule(morning.site.early.ambient)
    assert abs(morning.start_speed - rule) <= 0.25 * 0.00508 + 1e-9
    assert morning.start_speed / (0.5 * 0.00508) == pytest.approx(
        round(morning.start_speed / (0.5 * 0.00508))
    )


def test_a_morning_has_an_end() -> None:
    """More welds than a morning has are refused."""
    practise(tried(*[700.0] * MOST_WELDS), luck=luck_of(1))
    with pytest.raises(OutOfRange):
        practise(tried(*[700.0] * (MOST_WELDS + 1)), luck=luck_of(1))

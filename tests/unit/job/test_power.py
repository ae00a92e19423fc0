"""One set-up and all that a foreman asks about it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lapwright.job.power import WHAT_IFS, plan_power
from lapwright.physics.cords import find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.supply import Cord, Generator, PowerSetup

F80, F1000 = (80 + 459.67) / 1.8, (1000 + 459.67) / 1.8
TEN = Cord(find_gauge("10 AWG"), 30.48)
TWELVE = Cord(find_gauge("12 AWG"), 60.96)
SETUP = PowerSetup(Generator(), (TEN,), ambient=F80)
HAND = Cord(
    find_gauge("12 AWG"), 30.48, tools=(Tool(volts=120, watts=1600, air_flow=0.0038),), outlet=0.5
)


def test_the_worst_welder_is_looked_at() -> None:
    """With two welders, the one behind the long thin cord decides."""
    plan = plan_power(replace(SETUP, cords=(TEN, TWELVE)), air=F1000)
    assert plan.least.cord == 2
    assert [limit.gauge.name for limit in plan.limits] == ["14 AWG", "12 AWG", "10 AWG"]
    assert plan.cord_of(plan.least)[0].length == TWELVE.length


def test_a_hand_gun_is_load_and_not_asked_for_the_setting() -> None:
    """A tool of another nameplate takes watts; its own air decides nothing."""
    alone = plan_power(SETUP, air=F1000)
    beside = plan_power(replace(SETUP, cords=(TEN, HAND)), air=F1000)
    welder, hand = beside.answer.tools
    assert hand.margin_k is None
    assert hand.air_max < welder.air_max < alone.least.air_max
    assert beside.least == welder
    assert all(check.air_max > hand.air_max for check in beside.checks)
    assert not [c for c in beside.answer.cautions if c.code == "setting_not_reached"]


def test_each_what_if_costs_air() -> None:
    """A second welder, longer cords and colder air all take from the hottest air."""
    plan = plan_power(SETUP, air=F1000)
    assert [what_if.code for what_if in plan.what_ifs] == list(WHAT_IFS)
    assert all(what_if.change.air_max_k < 0 for what_if in plan.what_ifs)
    assert plan.what_ifs[2].ambient == pytest.approx(F80 - 30 / 1.8)


def test_a_second_welder_overloads_a_small_generator() -> None:
    """6.5 kW carries one welder of 4.6 kW and not two."""
    small = replace(SETUP, generator=Generator(watts=6500))
    (second,) = plan_power(small, air=F1000, what_ifs=["second_tool"]).what_ifs
    assert not plan_power(small, air=F1000).answer.is_overloaded
    assert second.is_overloaded


def test_colder_stays_where_air_is_known() -> None:
    """Colder than the model goes is not asked of it."""
    frost = replace(SETUP, ambient=252.0)
    (colder,) = plan_power(frost, air=F1000, what_ifs=["colder"]).what_ifs
    assert colder.ambient == 250.0
    assert colder.change.air_max_k < 0


def test_what_ifs_leave_measured_volts_aside() -> None:
    """Volts measured on this cord say nothing about a longer one."""
    measured = replace(SETUP, cords=(replace(TEN, tools=(Tool(measured=200.0),)),))
    (here,) = plan_power(SETUP, air=F1000, what_ifs=["longer_cord"]).what_ifs
    (there,) = plan_power(measured, air=F1000, what_ifs=["longer_cord"]).what_ifs
    assert there.change.volts == pytest.approx(here.change.volts, abs=0.2)
    assert plan_power(measured, air=F1000).least.volts == 200.0


def test_a_coiled_cord_loses_volts() -> None:
    """Coiled, the copper is hotter and less arrives."""
    coiled = replace(SETUP, cords=(replace(TEN, coiled=True),))
    assert plan_power(coiled, air=F1000).least.volts < plan_power(SETUP, air=F1000).least.volts


def test_a_house_supply_is_not_held_against_generator_rules() -> None:
    """Rules about generators are silent where there is none; cord rules speak."""
    house = replace(SETUP, generator=Generator(watts=math.inf, regulation=0))
    checks = plan_power(house, air=F1000).checks
    assert [check.practice.code for check in checks] == ["cord_10_awg_100_ft", "cord_12_awg"]


@pytest.mark.parametrize(
    ("size", "around"),
    [
        ("16 AWG", ["16 AWG", "14 AWG"]),
        ("8 AWG", ["10 AWG", "8 AWG"]),
        ("4 mm2", ["2.5 mm2", "4 mm2", "6 mm2"]),
    ],
)
def test_sizes_are_those_at_hand(size: str, around: list[str]) -> None:
    """One thinner, its own, one thicker, named the same way."""
    plan = plan_power(replace(SETUP, cords=(replace(TEN, gauge=find_gauge(size)),)), air=F1000)
    assert [limit.gauge.name for limit in plan.limits] == around

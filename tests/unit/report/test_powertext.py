"""A power set-up in words: short, in either language and unit system."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from lapwright.job.power import PowerPlan, plan_power
from lapwright.physics.cords import find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.supply import Cord, Derating, Generator, PowerSetup
from lapwright.report.figures import Reader
from lapwright.report.powertext import max_air_option, option_name, power_text

US, ES = Reader(), Reader(language="es", units="metric")
F80, F1000 = (80 + 459.67) / 1.8, (1000 + 459.67) / 1.8
# 230 V held, 80 F, 10 AWG 100 ft: figures of the design notes, worked by another program:
# 225.7 V, 96.3 % heat, 1168 F (631 C), 19.6 A, 1.88 % drop.
HELD = Generator(volts=230, watts=math.inf, regulation=0)
TEN = Cord(find_gauge("10 AWG"), 30.48)
SETUP = PowerSetup(HELD, (TEN,), ambient=F80)


def _plan(setup: PowerSetup = SETUP, air: float = F1000) -> PowerPlan:
    return plan_power(setup, air=air)


def _said(setup: PowerSetup = SETUP, reader: Reader = US) -> str:
    return power_text(_plan(setup), (), reader).plain


def test_figures_of_the_notes_are_printed() -> None:
    """Volts, heat, hottest air, amps and drop stand in the block of the tool."""
    said = _said()
    for figure in ("about 226 V", "96 %", "20 A, rated 30 A", "1.9 % of the"):
        assert figure in said
    hottest = re.search(r"hottest air +about (\d+) °F", said)
    assert hottest is not None
    assert abs(int(hottest[1]) - 1168) <= 1


def test_a_metric_reader_in_spanish_reads_the_same_tool() -> None:
    """631 C, 30 m, 325 L/min, decimal comma; no blank of a sentence stays open."""
    said = _said(reader=ES)
    for figure in ("unos 226 V", "unos 631 °C", "30 m", "325 L/min", "1,9 %"):
        assert figure in said
    assert "?" not in said.replace("¿", "")
    assert "{" not in said


def test_the_next_command_gets_the_hottest_air() -> None:
    """Rounded down, in the reader's unit: never hotter than the machine gets."""
    tool = _plan().least
    assert max_air_option(tool, US) in _said()
    hottest = 1.8 * tool.air_max - 459.67
    assert hottest - 1 < int(max_air_option(tool, US).removeprefix("--max-air-f ")) <= hottest
    celsius = int(max_air_option(tool, ES).removeprefix("--max-air-c "))
    assert tool.air_max - 274.15 < celsius <= tool.air_max - 273.15


def test_a_setting_out_of_reach_is_said() -> None:
    """Below the setting it says how much is missing, not a negative margin."""
    thin = replace(SETUP, cords=(replace(TEN, gauge=find_gauge("12 AWG"), length=150.0),))
    assert re.search(r"not reached: \d+ °F short of 1000 °F", _said(thin))
    assert "to spare" not in _said(thin)
    assert "no llega: faltan" in _said(thin, ES)


def test_measured_volts_stand_first_and_computed_beside() -> None:
    """What was measured is said to be measured."""
    measured = replace(SETUP, cords=(replace(TEN, tools=(Tool(measured=210.0),)),))
    assert "210 V measured (computed 226 V)" in _said(measured)


def test_a_cord_size_too_thin_for_the_amps_has_no_length() -> None:
    """20 A on 14 AWG, rated 18 A (NEC 400.5(A)), is refused whatever the length."""
    twelve = replace(SETUP, cords=(replace(TEN, gauge=find_gauge("12 AWG")),))
    assert "14 AWG  too thin: 20 A on 18 A" in _said(twelve)


def test_the_lines_about_lives_always_stand_and_come_last() -> None:
    """At most three doubts, then exhaust and electrician, however much is wrong."""
    bad = replace(
        SETUP,
        generator=Generator(watts=3000),
        cords=(replace(TEN, gauge=find_gauge("16 AWG"), length=90.0, coiled=True),),
        altitude=2000.0,
    )
    plan = _plan(bad)
    assert len(plan.answer.cautions) > 5
    warnings = [line for line in power_text(plan, (), US).plain.splitlines() if line[:1] == "!"]
    assert len(warnings) == 5
    assert "(CO)" in warnings[-2]
    assert "licensed electrician" in warnings[-1]
    assert "rated 13 A" in warnings[0]


def test_a_house_supply_has_no_exhaust_and_no_plate() -> None:
    """Nothing about generators where there is none, and never a figure without end."""
    said = _said()
    assert said.splitlines()[1].startswith("House supply, 230 V")
    assert "(CO)" not in said
    assert "inf" not in said


def test_a_derated_generator_says_what_is_left() -> None:
    """10 kW at 5280 ft with 3.5 % per 1000 ft above 1000 ft: 85 % is left, 8.5 kW."""
    manual = Derating(0.035 / 304.8, 304.8, 0.0, 0.0)
    high = replace(SETUP, generator=Generator(derating=manual), altitude=1609.3)
    assert "Generator 10 kW" in _said(high)
    assert "about 8.5 kW" in _said(high)
    assert "8,5 kW" in _said(high, ES)


@pytest.mark.parametrize(
    ("name", "us", "metric"),
    [
        ("ambient", "--ambient-f", "--ambient-c"),
        ("altitude", "--altitude-ft", "--altitude-m"),
        ("regulation", "--regulation-percent", "--regulation-percent"),
        ("volts_open", "--volts-open", "--volts-open"),
    ],
)
def test_assumptions_name_the_option_to_type(name: str, us: str, metric: str) -> None:
    """What was assumed is named as the option that would say it."""
    assert (option_name(name, US), option_name(name, ES)) == (us, metric)
    assert us in power_text(_plan(), (name,), US).plain


@pytest.mark.parametrize(
    ("setting_f", "english", "spanish"),
    [
        (1117, "Enough heat for 1117 °F", "Alcanza el calor"),
        (1120, "Hardly enough heat for 1120 °F", "Apenas alcanza"),
        (1170, "Not enough heat for 1170 °F", "No alcanza"),
    ],
)
def test_the_verdict_comes_first(setting_f: float, english: str, spanish: str) -> None:
    """1168 F of hottest air: enough with 50 F to spare, hardly enough with less, then not."""
    plan = _plan(air=(setting_f + 459.67) / 1.8)
    assert power_text(plan, (), US).plain.startswith(english)
    assert power_text(plan, (), ES).plain.startswith(spanish)


def test_an_overload_is_the_first_thing_said() -> None:
    """Two welders of 4.6 kW on 6.5 kW: whatever the air, the generator comes first."""
    two = replace(SETUP, generator=Generator(watts=6500), cords=(TEN, TEN))
    assert _said(two).startswith("Too much for this generator")
    assert _said(two, ES).startswith("Demasiado para este generador")


def test_a_longer_cord_is_printed_as_the_notes_have_it() -> None:
    """Design notes: 10 AWG 200 ft gives 221.5 V and 1130 F, against 225.7 V and 1168 F."""
    said = re.search(r"twice as long +(\S+) V, hottest air (\S+) °F to about (\d+) °F", _said())
    assert said is not None
    volts, change, hottest = (int(each.replace("−", "-")) for each in said.groups())
    assert volts == -4
    assert abs(change + 38) <= 1
    assert abs(hottest - 1130) <= 1


def test_the_longest_cord_says_what_limits_it() -> None:
    """Far below the hottest air the 3 % advice limits; just below it the setting does."""
    near = power_text(_plan(air=(1160 + 459.67) / 1.8), (), US).plain
    assert "10 AWG  162 ft (3 % of the volts)" in _said()
    assert re.search(r"10 AWG +1\d\d ft \(then 1160 °F is out of reach\)", near)

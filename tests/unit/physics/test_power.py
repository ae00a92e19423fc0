"""Power at the tools: the figures of the design notes, measured volts, cautions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lapwright.physics.air import density, enthalpy_rise, standard_pressure
from lapwright.physics.cords import find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.power import PowerAnswer, solve, warmed
from lapwright.physics.supply import Cord, Derating, Generator, PowerSetup

F30, F80 = (30 + 459.67) / 1.8, (80 + 459.67) / 1.8
HOUSE = Generator(volts=230, watts=math.inf, regulation=0)
TEN = Cord(find_gauge("10 AWG"), 30.48)
TWELVE = Cord(find_gauge("12 AWG"), 60.96)
THIN = Cord(find_gauge("2.5 mm2"), 20.0)
SETUP = PowerSetup(Generator(), (TEN,), ambient=F80)


def _codes(setup: PowerSetup) -> list[str]:
    return [caution.code for caution in solve(setup).cautions]


def _with_tool(**changes: float) -> PowerSetup:
    return replace(SETUP, cords=(replace(TEN, tools=(Tool(**changes),)),))


def _matches(answer: PowerAnswer, volts: float, heat: float, air_f: float) -> None:
    tool = answer.tools[0]
    assert tool.volts == pytest.approx(volts, abs=0.06)
    assert 100 * tool.heat_share == pytest.approx(heat, abs=0.06)
    assert 1.8 * tool.air_max - 459.67 == pytest.approx(air_f, abs=0.6)


# Both tables: figures of the design notes, worked by another program from the same model.
# 230 V held, cord at 40 C, 325 L/min, 80 F: amps, drop, then volts, heat %, hottest air F.
@pytest.mark.parametrize(
    ("gauge", "feet", "ohm", "amps", "drop", "one", "amps_two", "two"),
    [
        ("10 AWG", 50, 0.1100, 19.8, 0.95, (227.8, 98.1, 1187), 39.2, (225.7, 96.3, 1168)),
        ("10 AWG", 100, 0.2200, 19.6, 1.88, (225.7, 96.3, 1168), 38.5, (221.5, 92.8, 1130)),
        ("10 AWG", 200, 0.4399, 19.3, 3.68, (221.5, 92.8, 1130), 37.2, (213.7, 86.3, 1061)),
        ("12 AWG", 50, 0.1756, 19.7, 1.50, (226.5, 97.0, 1175), 38.8, (223.2, 94.2, 1145)),
        ("12 AWG", 100, 0.3512, 19.4, 2.96, (223.2, 94.2, 1145), 37.7, (216.8, 88.8, 1088)),
        ("12 AWG", 200, 0.7025, 18.85, 5.76, (216.8, 88.8, 1088), 35.6, (205.0, 79.4, 986)),
    ],
)
def test_one_and_two_tools_on_one_cord(
    gauge: str,
    feet: float,
    ohm: float,
    amps: float,
    drop: float,
    one: tuple[float, float, float],
    amps_two: float,
    two: tuple[float, float, float],
) -> None:
    """A cord takes from one tool, and twice from two, what the notes say."""
    cord = Cord(find_gauge(gauge), feet * 0.3048)
    single = solve(PowerSetup(HOUSE, (cord,), ambient=F80))
    double = solve(PowerSetup(HOUSE, (replace(cord, tools=(Tool(), Tool())),), ambient=F80))
    assert cord.resistance == pytest.approx(ohm, abs=1.1e-4)
    assert single.cords[0].amps == pytest.approx(amps, abs=0.06)
    assert 100 * single.cords[0].drop_share == pytest.approx(drop, abs=0.006)
    assert double.cords[0].amps == pytest.approx(amps_two, abs=0.06)
    _matches(single, *one)
    _matches(double, *two)


@pytest.mark.parametrize(
    ("watts", "cords", "ambient", "expected"),
    [
        (10_000, (TEN,), F80, (231.0, 100.9, 1217)),
        (10_000, (TEN,), F30, (231.0, 100.9, 1072)),
        (10_000, (TWELVE,), F80, (222.1, 93.2, 1135)),
        (10_000, (TWELVE,), F30, (222.1, 93.2, 997)),
        (10_000, (TEN, TEN), F80, (226.9, 97.3, 1179)),
        (10_000, (TEN, TEN), F30, (226.9, 97.3, 1037)),
        (10_000, (TWELVE, TWELVE), F80, (218.2, 90.0, 1101)),
        (10_000, (TWELVE, TWELVE), F30, (218.2, 90.0, 965)),
        (8000, (TEN, TEN), F80, (212.5, 85.3, 1050)),
        (7000, (TEN, TEN), F80, (198.7, 74.7, 935)),
    ],
)
def test_one_and_two_tools_on_one_generator(
    watts: float, cords: tuple[Cord, ...], ambient: float, expected: tuple[float, float, float]
) -> None:
    """A 240 V generator with 4 % regulation leaves what the notes say."""
    answer = solve(PowerSetup(Generator(watts=watts), cords, ambient=ambient))
    _matches(answer, *expected)
    assert answer.is_overloaded == (watts < 9000)


def test_thin_air_takes_watts_and_gets_hotter() -> None:
    """10 kW at 1600 m and 27 C, 0.964 left, two tools: 226.6 V, 97 %, 1395 F (design notes)."""
    manual = Derating(0.03 / 500, 1000.0, 0.03 / 5, 313.15)
    generator = Generator(derating=manual)
    answer = solve(PowerSetup(generator, (TEN, TEN), ambient=300.15, altitude=1600.0))
    assert answer.available == pytest.approx(9640)
    _matches(answer, 226.6, 97.1, 1395)


def test_no_watt_is_lost_or_made() -> None:
    """Watts of the generator are the heat of cords, heaters and blowers; air takes its share."""
    hand = Tool(volts=120, watts=1600, blower=60, air_flow=230 / 60_000)
    half = Cord(find_gauge("12 AWG"), 20.0, tools=(hand,), outlet=0.5)
    setup = PowerSetup(Generator(), (replace(TEN, tools=(Tool(), Tool())), half), ambient=F30)
    answer = solve(setup)
    in_cords = sum(
        load.amps**2 * cord.resistance for cord, load in zip(setup.cords, answer.cords, strict=True)
    )
    assert in_cords + sum(t.volts * t.amps for t in answer.tools) == pytest.approx(answer.watts)
    flow = density(F30, pressure=standard_pressure(0.0)) * 230 / 60_000
    last = answer.tools[-1]
    assert 0.96 * last.heat == pytest.approx(flow * enthalpy_rise(F30, hot=last.air_max), rel=1e-8)
    assert (last.cord, last.place) == (2, 1)


def test_the_generator_needed_is_just_enough() -> None:
    """With the needed watts the load fits, with a little less it does not."""
    manual = Derating(0.035 / 300, 0.0, 0.01, 298.15)

    def answer(watts: float) -> PowerAnswer:
        generator = Generator(watts=watts, derating=manual)
        return solve(PowerSetup(generator, (TEN, TEN), ambient=F80, altitude=1500.0))

    needed = answer(7000).needed
    assert needed > 10_000
    assert not answer(needed * 1.0001).is_overloaded
    assert answer(needed * 0.9999).is_overloaded


def test_measured_volts_override_the_model() -> None:
    """Volts measured under load set heat and air; the computed ones stay visible beside them."""
    modelled, measured = (solve(s).tools[0] for s in (SETUP, _with_tool(measured=205.0)))
    assert measured.volts == 205
    assert measured.computed == pytest.approx(modelled.volts)
    assert measured.heat == pytest.approx(4400 * (205 / 230) ** 2)
    assert measured.amps == pytest.approx(205 / 11.5)
    assert measured.air_max < modelled.air_max


def test_measured_volts_leave_the_other_tools_alone() -> None:
    """A reading at one tool says nothing about its neighbour."""
    first = replace(TEN, tools=(Tool(measured=200.0),))
    pair = solve(replace(SETUP, cords=(first, TEN)))
    assert pair.tools[1].volts == pytest.approx(226.9, abs=0.06)


def test_the_margin_is_what_is_left_above_the_setting() -> None:
    """Margin is hottest air less setting; without a setting there is none."""
    tool = solve(_with_tool(setting=900.0)).tools[0]
    assert tool.margin_k == pytest.approx(tool.air_max - 900)
    assert tool.top_rung == pytest.approx(tool.air_max - 50 / 1.8)
    assert solve(SETUP).tools[0].margin_k is None


def test_a_quiet_set_up_keeps_only_the_standing_lines() -> None:
    """Nothing to doubt: outdoors, and no electrical design."""
    assert _codes(SETUP) == ["generator_outdoors", "not_an_electrical_design"]
    assert _codes(replace(SETUP, generator=HOUSE)) == ["not_an_electrical_design"]


@pytest.mark.parametrize(
    ("setup", "code"),
    [
        (replace(SETUP, cords=(replace(TEN, tools=(Tool(), Tool())),)), "cord_overload"),
        (replace(SETUP, cords=(replace(TEN, coiled=True),)), "cord_coiled"),
        (
            PowerSetup(HOUSE, (replace(THIN, tools=(Tool(watts=5600),)),), ambient=303.0),
            "cord_hot",
        ),
        (replace(SETUP, generator=Generator(watts=4000)), "generator_overload"),
        (replace(SETUP, generator=Generator(volts=277)), "volts_high"),
        (_with_tool(setting=950.0), "setting_not_reached"),
        (_with_tool(setting=915.0), "air_close"),
        (_with_tool(measured=222.0), "volts_apart"),
        (replace(SETUP, cords=(TWELVE,)), "cord_drop"),
        (replace(SETUP, altitude=301.0), "derating_unknown"),
        (replace(SETUP, ambient=304.0), "derating_unknown"),
    ],
)
def test_each_doubt_has_its_caution(setup: PowerSetup, code: str) -> None:
    """The most urgent caution is the one thing that is wrong."""
    assert _codes(setup)[0] == code


@pytest.mark.parametrize(
    ("setup", "code"),
    [
        (_with_tool(setting=900.0), "air_close"),
        (_with_tool(measured=225.0), "volts_apart"),
        (replace(SETUP, generator=Generator(volts=255)), "volts_high"),
        (replace(SETUP, cords=(replace(TWELVE, length=30.48),)), "cord_drop"),
        (replace(SETUP, altitude=299.0), "derating_unknown"),
        (replace(SETUP, generator=Generator(watts=4600)), "generator_overload"),
    ],
)
def test_within_its_limit_a_caution_is_silent(setup: PowerSetup, code: str) -> None:
    """Just inside a limit nothing is said."""
    assert code not in _codes(setup)


def test_a_manual_ends_the_doubt_about_altitude() -> None:
    """With the derating entered the tool no longer asks for it."""
    manual = Derating(0.03 / 500, 1000.0, 0.03 / 5, 313.15)
    setup = replace(SETUP, generator=Generator(derating=manual), altitude=1600.0)
    assert "derating_unknown" not in _codes(setup)


def test_cautions_carry_figures_and_name_their_cord() -> None:
    """Fire comes before heat and advice; each caution says where and how much."""
    bad = replace(TWELVE, tools=(Tool(setting=900.0), Tool()), coiled=True)
    answer = solve(replace(SETUP, cords=(TEN, bad), generator=Generator(watts=9000)))
    codes = [caution.code for caution in answer.cautions]
    assert codes == [
        "cord_overload",
        "cord_coiled",
        "generator_overload",
        "setting_not_reached",
        "cord_drop",
        "generator_outdoors",
        "not_an_electrical_design",
    ]
    overload, coiled, generator, air, drop = (caution.data for caution in answer.cautions[:5])
    assert overload == {"cord": 2, "amps": answer.cords[1].amps, "ampacity": 25.0}
    assert coiled["copper"] == answer.cords[1].copper
    assert generator == {"needed": answer.needed, "rated": 9000}
    assert air == {"cord": 2, "tool": 1, "air_max": answer.tools[1].air_max, "setting": 900.0}
    assert drop["drop_share"] == answer.cords[1].drop_share


def test_no_caution_calls_anything_safe() -> None:
    """Codes and data never say that a cord or a wiring is safe."""
    for caution in solve(SETUP).cautions:
        assert "safe" not in caution.code
        assert caution.data == {}


def test_a_coiled_cord_costs_volts_once_it_is_warm() -> None:
    """Warmed by its own current a coiled cord resists more; entered copper is the least."""
    laid_out, coiled = (
        replace(SETUP, cords=(replace(TWELVE, coiled=c),), ambient=308.15) for c in (False, True)
    )
    assert solve(laid_out).tools[0].volts == solve(coiled).tools[0].volts
    assert warmed(coiled).cords[0].copper == solve(coiled).cords[0].copper > 350
    assert solve(warmed(coiled)).tools[0].volts < solve(warmed(laid_out)).tools[0].volts - 1
    cool = replace(SETUP, ambient=270.0)
    assert warmed(cool) == cool

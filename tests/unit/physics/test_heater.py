"""Heater: nameplate and air flow to hot air, and back."""

import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.air import density, enthalpy_rise, standard_pressure
from lapwright.physics.heater import HOTTEST_AIR, Tool, heat_for, hottest_air

F80 = (80 + 459.67) / 1.8
LITRES = 1 / 60_000


def test_ten_percent_fewer_volts_are_nineteen_percent_fewer_watts() -> None:
    """The heater is a resistor: its watts go with the square of the volts."""
    tool = Tool()
    full, sagged = (volts**2 / tool.heater for volts in (230.0, 207.0))
    assert full == pytest.approx(4400)
    assert sagged / full == pytest.approx(0.81, rel=1e-9)


def test_heater_and_blower_side_by_side_are_the_nameplate() -> None:
    """1/load is 1/heater and 1/blower together, and draws the nameplate amps."""
    tool = Tool(volts=120, watts=1600, blower=60)
    blower = 120**2 / 60
    assert 1 / tool.load == pytest.approx(1 / tool.heater + 1 / blower)
    assert 120 / tool.load == pytest.approx(1600 / 120)


# Figures of the design notes, worked by another program from the same polynomial: 4400 W, 25 C.
@pytest.mark.parametrize(
    ("litres", "celsius"), [(250, 821.0), (300, 696.5), (325, 648.0), (350, 606.0), (341, 620.4)]
)
def test_hottest_air_by_flow(litres: float, celsius: float) -> None:
    """More air through the same heater comes out colder, by the figures of the notes."""
    tool = Tool(air_flow=litres * LITRES)
    hot = hottest_air(4400, tool=tool, ambient=298.15, altitude=0)
    assert hot - 273.15 == pytest.approx(celsius, abs=0.06)


def test_a_tenth_of_the_heat_is_about_106_f() -> None:
    """325 L/min on an 80 F day: 652.7 C with all watts, 593.6 C with 90 % (design notes)."""
    hot, less = (hottest_air(w, tool=Tool(), ambient=F80, altitude=0) for w in (4400, 3960))
    assert hot - 273.15 == pytest.approx(652.7, abs=0.06)
    assert less - 273.15 == pytest.approx(593.6, abs=0.06)
    assert 1.8 * (hot - less) == pytest.approx(106, abs=0.5)


@pytest.mark.parametrize("altitude", [0.0, 1600.0])
@pytest.mark.parametrize("heat", [0.0, 900.0, 3100.0])
def test_the_heat_given_is_the_heat_taken_up(heat: float, altitude: float) -> None:
    """efficiency x watts = density x flow x enthalpy rise at the temperature returned."""
    tool = Tool(efficiency=0.9, air_flow=280 * LITRES)
    hot = hottest_air(heat, tool=tool, ambient=F80, altitude=altitude)
    flow = density(F80, pressure=standard_pressure(altitude)) * 280 * LITRES
    assert flow * enthalpy_rise(F80, hot=hot) == pytest.approx(0.9 * heat, rel=1e-8, abs=1e-8)
    assert heat_for(hot, tool=tool, ambient=F80, altitude=altitude) == pytest.approx(
        heat, rel=1e-8, abs=1e-8
    )


def test_beyond_the_known_air_the_cap_stands() -> None:
    """A starved heater is reported at the end of the known air, not beyond."""
    starved = Tool(air_flow=50 * LITRES)
    assert hottest_air(4400, tool=starved, ambient=F80, altitude=0) == HOTTEST_AIR


@pytest.mark.parametrize(
    "wrong",
    [
        {"volts": 0.0},
        {"watts": 200.0},
        {"blower": -1.0},
        {"air_flow": 0.0},
        {"efficiency": 0.0},
        {"efficiency": 1.1},
        {"measured": 0.0},
    ],
)
def test_impossible_tools_are_refused(wrong: dict[str, float]) -> None:
    """No volts, no heat, no air or more heat out than in is not a welder."""
    with pytest.raises(OutOfRange):
        Tool(**wrong)


def test_negative_heat_is_refused() -> None:
    """A heater does not cool."""
    with pytest.raises(OutOfRange):
        hottest_air(-1.0, tool=Tool(), ambient=F80, altitude=0)

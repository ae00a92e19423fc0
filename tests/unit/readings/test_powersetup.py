"""Short texts about generator, cords and tools become SI, or are refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.readings.powersetup import power_from

MANUAL = {
    "generator_kw": 10.0,
    "derate_altitude": "3.5% per 1000 ft above 1000 ft",
    "derate_heat": "1% per 10 F above 77 F",
}


@pytest.mark.parametrize(
    ("text", "name", "metres", "coiled", "outlet"),
    [
        ("10 AWG 100 ft", "10 AWG", 30.48, False, 1.0),
        ("4 mm2 30 m", "4 mm2", 30.0, False, 1.0),
        ("2.5mm² 20m coiled", "2.5 mm2", 20.0, True, 1.0),
        ("  12 awg   50 FT at 120 V coiled ", "12 AWG", 15.24, True, 0.5),
    ],
)
def test_a_cord_is_read_in_either_system(
    text: str, name: str, metres: float, coiled: bool, outlet: float
) -> None:
    """Size, length, outlet and coil are what the text says; 1 ft is 0.3048 m (NIST)."""
    (cord,) = power_from({"cord": [text]}).setup.cords
    assert (cord.gauge.name, cord.coiled, cord.outlet) == (name, coiled, outlet)
    assert cord.length == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "watts", "litres", "measured"),
    [
        ("230 V 4600 W", 4600, 325, None),  # 325 L/min is the stated assumption
        ("230 V 4.6 kW 300 L/min", 4600, 300, None),
        ("230v 4600w 10 CFM", 4600, 283.168, None),  # 1 cfm = 28.3168 L/min (NIST SP 811)
        ("230 V 4600 W 325 L/min on 1 measured 221 V", 4600, 325, 221),
    ],
)
def test_a_tool_is_read_from_its_nameplate(
    text: str, watts: float, litres: float, measured: float | None
) -> None:
    """Watts, air flow and measured volts are what the text says."""
    tool = power_from({"tool": [text]}).setup.cords[0].tools[0]
    assert (tool.volts, tool.watts, tool.measured) == (230, watts, measured)
    assert 60_000 * tool.air_flow == pytest.approx(litres, rel=1e-5)


def test_derating_is_read_as_the_manual_gives_it() -> None:
    """3.5 % per 1000 ft above 1000 ft; 1 % per 10 F above 77 F, which is 25 C."""
    rule = power_from(MANUAL).setup.generator.derating
    assert rule is not None
    assert rule.altitude_slope * 304.8 == pytest.approx(0.035)
    assert rule.altitude_base == pytest.approx(304.8)
    assert rule.heat_slope * 10 / 1.8 == pytest.approx(0.01)
    assert rule.heat_base == pytest.approx(298.15)


def test_a_metric_manual_says_the_same() -> None:
    """3 % per 5 C is 0.6 % per kelvin; no loss named is no loss, not unknown."""
    rule = power_from(
        MANUAL | {"derate_altitude": "none", "derate_heat": "3% per 5 °C above 40 °C"}
    ).setup.generator.derating
    assert rule is not None
    assert (rule.altitude_slope, rule.heat_slope) == (0.0, pytest.approx(0.006))
    assert rule.heat_base == pytest.approx(313.15)


def test_tools_hang_where_they_are_said_to() -> None:
    """Each tool goes to its own number or to the cord it names."""
    cords = ["10 AWG 100 ft", "12 AWG 100 ft"]
    own = power_from({"cord": cords, "tool": ["230 V 4600 W", "230 V 3400 W"]}).setup
    shared = power_from(
        {"cord": cords, "tool": ["230 V 4600 W on 2", "230 V 3400 W on 2", "230 V 1600 W on 1"]}
    ).setup
    assert [[tool.watts for tool in cord.tools] for cord in own.cords] == [[4600], [3400]]
    assert [[tool.watts for tool in cord.tools] for cord in shared.cords] == [[1600], [4600, 3400]]


def test_all_that_was_not_said_is_named() -> None:
    """Every assumption is listed; a house supply has no regulation to assume."""
    nothing = power_from({"generator_kw": None, "cord": (), "tool": ()})
    assert nothing.assumed == ("volts_open", "ambient", "altitude", "cord", "tool", "set_air")
    assert math.isinf(nothing.setup.generator.watts)
    said = power_from(
        {
            "generator_kw": 10.0,
            "volts_open": 240.0,
            "regulation_percent": 0.0,
            "ambient_c": 0.0,
            "altitude_m": 0.0,
            "cord": ["4 mm2 30 m"],
            "tool": ["230 V 4600 W"],
            "set_air_c": 0.5,
        }
    )
    assert said.assumed == ()
    assert (said.setup.generator.regulation, said.setup.ambient) == (0.0, 273.15)
    assert said.air == pytest.approx(273.65)


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"cord": ["10 AWG 100"]}, "power_not_read"),
        ({"cord": ["10 AWG 100 ft twice"]}, "power_not_read"),
        ({"cord": ["100 ft 10 AWG"]}, "power_not_read"),
        ({"cord": ["11 AWG 100 ft"]}, "unknown_gauge"),
        ({"tool": [""]}, "power_not_read"),
        ({"tool": ["230 V"]}, "power_not_read"),
        ({"tool": ["230 V 4600 W measured 221 V on 1"]}, "power_not_read"),
        ({"tool": ["230 V 4600 W on 0"]}, "no_such_cord"),
        ({"tool": ["230 V 4600 W on 2"]}, "no_such_cord"),
        ({"tool": ["230 V 4600 W"], "cord": ["10 AWG 9 ft"] * 2}, "cord_without_tool"),
        (MANUAL | {"derate_heat": "1% above 77 F"}, "power_not_read"),
        (MANUAL | {"derate_heat": "1% per 0 F above 77 F"}, "power_not_read"),
        (MANUAL | {"derate_altitude": "3,5% per 1000 ft above 1000 ft"}, "power_not_read"),
        (MANUAL | {"derate_altitude": "3% per 1000 F above 1000 F"}, "power_not_read"),
        (MANUAL | {"derate_heat": None}, "derating_half"),
        (MANUAL | {"generator_kw": None}, "needs_generator"),
        ({"regulation_percent": 4.0}, "needs_generator"),
        ({"ambient_f": 80.0, "ambient_c": 20.0}, "stated_twice"),
        ({"ambient_f": math.nan}, "stated_not_a_number"),
        ({"generator_kw": math.nan}, "stated_not_a_number"),
    ],
)
def test_what_is_not_understood_is_refused(stated: dict[str, Any], code: str) -> None:
    """Nothing is half read: every text outside its form has its own refusal."""
    with pytest.raises(LapwrightError) as refused:
        power_from(stated)
    assert refused.value.code == code


@pytest.mark.parametrize(
    "stated",
    [
        {"volts_open": 0.0},
        {"volts_open": math.nan},
        {"volts_open": 13_800.0},
        {"generator_kw": 0.0},
        {"generator_kw": 10.0, "regulation_percent": 100.0},
        {"ambient_f": 300.0},
        {"cord": ["12 AWG 50 ft at 277 V"]},
        {"cord": ["12 AWG 50 ft at 0 V"]},
        {"tool": ["230 V 150 W"]},  # less than the blower alone
        {"tool": ["0 V 4600 W"]},
        {"tool": ["230 V 4600 W measured 0 V"]},
    ],
)
def test_what_no_supply_has_is_out_of_range(stated: dict[str, Any]) -> None:
    """A figure that no supply, cord or tool has is refused with its limits."""
    with pytest.raises(OutOfRange):
        power_from(stated)

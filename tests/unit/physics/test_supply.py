"""Supply: derating, volts of the generator under load, volts at the end of a cord."""

import math
from dataclasses import replace

import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.cords import find_gauge
from lapwright.physics.heater import Tool
from lapwright.physics.supply import (
    Cord,
    Derating,
    Generator,
    PowerSetup,
    derated_share,
    end_volts,
    full_load_watts,
    source_volts,
)

CORD = Cord(find_gauge("10 AWG"), 30.48)
SETUP = PowerSetup(Generator(), (CORD, CORD), ambient=299.8)
MANUAL = Derating(0.03 / 500, 1000.0, 0.03 / 5, 313.15)


def _with(**changes: float) -> PowerSetup:
    return replace(SETUP, generator=replace(SETUP.generator, **changes))


def test_volts_under_load_obey_the_droop() -> None:
    """The volts found lose the regulation's share in proportion to the load they make."""
    volts = source_volts(SETUP)
    load = SETUP.conductance * volts**2 / 10_000
    assert volts == pytest.approx(240 * (1 - 0.04 * load), rel=1e-12)


def test_an_overloaded_generator_sags_until_the_load_fits() -> None:
    """Beyond the available watts, the watts drawn are the available ones."""
    setup = _with(watts=7000.0)
    volts = source_volts(setup)
    assert full_load_watts(setup) > 7000
    assert setup.conductance * volts**2 == pytest.approx(7000)
    assert volts < 240 * 0.96


def test_overload_begins_without_a_step() -> None:
    """Just at its full load the generator has its full-load volts from either side."""
    full = full_load_watts(SETUP)
    below, above = (source_volts(_with(watts=full * f)) for f in (1 + 1e-9, 1 - 1e-9))
    assert below == pytest.approx(240 * 0.96)
    assert above == pytest.approx(240 * 0.96)


def test_a_house_supply_holds_its_volts() -> None:
    """Infinite watts: no droop and no overload, and it is no engine."""
    house = Generator(volts=230, watts=math.inf, regulation=0)
    assert source_volts(replace(SETUP, generator=house)) == 230
    assert not house.is_engine
    assert Generator().is_engine


def test_altitude_takes_watts_before_the_load_meets_them() -> None:
    """A derated generator is overloaded by a load that its rating would carry."""
    setup = replace(_with(watts=9200.0), altitude=2000.0)
    derated = replace(setup, generator=replace(setup.generator, derating=MANUAL))
    assert source_volts(setup) > 240 * 0.96
    assert derated.conductance * source_volts(derated) ** 2 == pytest.approx(9200 * 0.94)


def test_no_manual_no_derating() -> None:
    """Nothing is taken off by guess."""
    assert derated_share(Generator(), altitude=4000, ambient=320) == 1


def test_below_both_bases_nothing_is_lost() -> None:
    """Low and cold, a generator gives its rating and not more."""
    assert derated_share(Generator(derating=MANUAL), altitude=-100, ambient=260) == 1


def test_a_derating_that_leaves_nothing_is_refused() -> None:
    """A slope typed per metre instead of per 500 m cannot be meant."""
    absurd = Generator(derating=replace(MANUAL, altitude_slope=0.03))
    with pytest.raises(OutOfRange) as refused:
        derated_share(absurd, altitude=2000, ambient=300)
    assert refused.value.data["name"] == "altitude_share"


def test_tools_on_one_cord_share_its_drop() -> None:
    """Two tools on one cord: 11.5 ohm halved behind 0.22 ohm, by hand."""
    shared = replace(CORD, tools=(Tool(), Tool()))
    by_hand = 230 * 5.75 / (5.75 + 0.248 * 274.5 / 309.5)
    assert end_volts(shared, source=230) == pytest.approx(by_hand)


def test_a_half_volt_outlet_loads_the_generator_as_its_watts_do() -> None:
    """A 120 V hand welder on half the volts draws its nameplate watts from the whole."""
    hand = Tool(volts=120, watts=1600, blower=60)
    cord = Cord(find_gauge("12 AWG"), 0.0, tools=(hand,), outlet=0.5)
    setup = PowerSetup(Generator(), (cord,), ambient=299.8)
    assert end_volts(cord, source=240) == 120
    assert setup.conductance * 240**2 == pytest.approx(1600)


@pytest.mark.parametrize(
    "wrong",
    [{"volts": 0.0}, {"watts": -1.0}, {"regulation": 1.0}, {"regulation": -0.1}],
)
def test_impossible_generators_are_refused(wrong: dict[str, float]) -> None:
    """No volts, no watts, or volts that all drop away is not a generator."""
    with pytest.raises(OutOfRange):
        Generator(**wrong)


def test_impossible_cords_and_manuals_are_refused() -> None:
    """No cord, a cord without a tool, an outlet without volts, a derating that gives."""
    with pytest.raises(OutOfRange):
        replace(SETUP, cords=())
    with pytest.raises(OutOfRange):
        replace(CORD, tools=())
    with pytest.raises(OutOfRange):
        replace(CORD, outlet=0.0)
    with pytest.raises(OutOfRange):
        replace(MANUAL, heat_slope=-0.01)


@pytest.mark.parametrize("ambient", [80.0, 249.0, 334.0])
def test_air_that_nobody_works_in_is_refused(ambient: float) -> None:
    """Degrees F given as kelvin, and weather off the map, are refused by name."""
    with pytest.raises(OutOfRange) as refused:
        replace(SETUP, ambient=ambient)
    assert refused.value.data["name"] == "ambient"

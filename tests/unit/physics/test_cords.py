"""Cords: names, resistance, rated amps, warmth."""

import math
from itertools import pairwise

import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.cords import (
    GAUGES,
    HOTTEST_COPPER,
    Gauge,
    ampacity,
    awg_diameter,
    copper_temperature,
    cord_resistance,
    find_gauge,
)

TEN, TWELVE = find_gauge("10 AWG"), find_gauge("12 AWG")


@pytest.mark.parametrize("name", ["10 AWG", "10awg", " 10 Awg"])
def test_a_size_is_found_however_it_is_typed(name: str) -> None:
    """Case and spaces do not matter."""
    assert find_gauge(name) is TEN


def test_an_unknown_size_names_the_known_ones() -> None:
    """A size that is not in the table is refused with the list of those that are."""
    with pytest.raises(LapwrightError) as refused:
        find_gauge("11 AWG")
    assert refused.value.code == "unknown_gauge"
    assert refused.value.data["gauge"] == "11 AWG"
    assert str(refused.value.data["known"]).split(", ") == list(GAUGES)


def test_thicker_cords_resist_less_and_carry_more() -> None:
    """Within a system of sizes, more copper is less resistance, more amps, a thicker jacket."""
    for system in ("AWG", "mm2"):
        sizes = sorted((g for g in GAUGES.values() if system in g.name), key=lambda g: g.area)
        assert len(sizes) > 4
        for thin, thick in pairwise(sizes):
            assert thick.resistance < thin.resistance
            assert thick.ampacity > thin.ampacity
            assert thick.jacket > thin.jacket


def test_both_systems_speak_of_the_same_copper() -> None:
    """Resistance times area at 20 C is copper's 1.724e-8 ohm m, and at most 16 % for stranding.

    1.724e-8: annealed copper standard of IEC 60028, from memory.
    """
    for gauge in GAUGES.values():
        one_metre = cord_resistance(gauge, length=0.5, copper=293.15)
        assert 1.724e-8 < one_metre * gauge.area < 1.16 * 1.724e-8


def test_a_cord_is_out_and_back() -> None:
    """100 ft of 10 AWG at 40 C: 2 x 0.124 x 274.5 / 309.5, by hand."""
    by_hand = 2 * 0.124 * 274.5 / 309.5
    assert cord_resistance(TEN, length=30.48, copper=313.15) == pytest.approx(by_hand)


@pytest.mark.parametrize(
    ("length", "copper", "name"),
    [(-1.0, 313.15, "length"), (1.0, 40.0, "copper"), (1.0, 500.0, "copper")],
)
def test_impossible_cords_are_refused(length: float, copper: float, name: str) -> None:
    """A negative length, or degrees C given as kelvin, is not a cord."""
    with pytest.raises(OutOfRange) as refused:
        cord_resistance(TEN, length=length, copper=copper)
    assert refused.value.data["name"] == name


@pytest.mark.parametrize("number", [-1, 37])
def test_gauge_numbers_end(number: int) -> None:
    """The formula knows 0 to 36."""
    with pytest.raises(OutOfRange):
        awg_diameter(number)


def test_rated_amps_never_exceed_the_table() -> None:
    """Cold air earns nothing, air at the cord's own limit leaves nothing."""
    assert ampacity(TEN, ambient=253.15) == 30
    assert ampacity(TEN, ambient=340.0) == 0


# Figures of the design notes, 35 C air: worked by another program from the same assumptions.
@pytest.mark.parametrize(
    ("gauge", "amps", "coiled", "celsius"),
    [
        (TWELVE, 20, False, 47),
        (TWELVE, 20, True, 91),
        (TEN, 20, False, 42),
        (TEN, 20, True, 63),
        (TWELVE, 40, False, 91),
        (TEN, 40, False, 63),
    ],
)
def test_warmth_of_a_loaded_cord(gauge: Gauge, amps: float, coiled: bool, celsius: float) -> None:
    """Coiling, or a second tool, warms the copper to the figures of the notes."""
    copper = copper_temperature(gauge, amps=amps, ambient=308.15, coiled=coiled)
    assert round(copper - 273.15) == celsius


def test_warm_copper_heats_as_much_as_its_jacket_sheds() -> None:
    """At the temperature found, the heat of both conductors equals film x jacket x rise."""
    copper = copper_temperature(TWELVE, amps=25, ambient=300)
    made = 25**2 * cord_resistance(TWELVE, length=1, copper=copper)
    assert made == pytest.approx(8 * math.pi * 0.0155 * (copper - 300))


@pytest.mark.parametrize("amps", [42.0, 60.0])
def test_a_cord_that_runs_away_is_as_hot_as_it_gets(amps: float) -> None:
    """Far past its amps a coiled cord has no sensible temperature: the cap stands."""
    copper = copper_temperature(TWELVE, amps=amps, ambient=308.15, coiled=True)
    assert copper == HOTTEST_COPPER


def test_no_current_no_warmth() -> None:
    """An idle cord is as warm as the air; negative amps are refused."""
    assert copper_temperature(TEN, amps=0, ambient=280) == 280
    with pytest.raises(OutOfRange):
        copper_temperature(TEN, amps=-1, ambient=280)

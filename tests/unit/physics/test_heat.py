"""Lap heat: worked tables, limits and refusals."""

from __future__ import annotations

from math import erfc, exp, pi, sqrt

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.heat import (
    REFERENCE_KAPPA,
    air_at,
    air_for,
    equivalent_air,
    fourier,
    interface_temperature,
    kappa_scaled,
    rise_fraction,
    speed_for,
    transfer_margins,
)
from lapwright.physics.startspeed import common_speed_rule
from lapwright.units import from_si, to_si

# Tables marked "prototype" were worked by a separate program from the same published formula
# before this one was written: they guard the solving of it, not the lap. Half a last digit.


def test_rise_fraction_prototype_values() -> None:
    """The share of the gap climbed rises from 0 to 1 with beta as tabled."""
    table = [0.10354, 0.26540, 0.38431, 0.57242, 0.74460]  # prototype
    assert rise_fraction(1.0, kappa=[0.1, 0.3, 0.5, 1.0, 2.0]) == pytest.approx(table, abs=1e-5)
    assert 1 - exp(0.25) * erfc(0.5) == pytest.approx(table[2], abs=1e-5)  # by hand


def test_rise_fraction_series_for_small_beta() -> None:
    """Close to zero the share is 2 b / sqrt(pi) - b^2, short of a third-order term."""
    left = float(rise_fraction(1.0, kappa=0.01)) - (2 * 0.01 / sqrt(pi) - 0.01**2)
    assert left == pytest.approx(4 / (3 * sqrt(pi)) * 0.01**3, abs=1e-7)
    assert left == pytest.approx(7.5e-7, abs=1e-7)  # prototype


def test_rise_fraction_does_not_overflow() -> None:
    """Standing almost still, the face takes the temperature of the air."""
    assert rise_fraction(1e-12, kappa=0.1) == pytest.approx(1.0, abs=1e-4)


# Prototype. kappa 0.1016, faces 150 and 225 C: air at bottom and top in F.
EDGES: dict[tuple[int, int], tuple[float, float]] = {  # (ft/min, sheet F): (bottom F, top F)
    (10, 80): (699.8, 1076.7),
    (10, 40): (771, 1148),
    (8, 40): (718, 1068),
    (14, 80): (779, 1203),
    (6, 80): (604, 922),
    (13, 110): (698, 1112),
}


@pytest.mark.parametrize("move", EDGES, ids=str)
def test_window_of_the_practice_numbers(move: tuple[int, int]) -> None:
    """700 F is the bottom and 1077 F the top at 10 ft/min and 80 F, and both move as tabled."""
    ft_min, sheet_f = move
    air = air_for(
        [to_si(150, "c"), to_si(225, "c")],
        sheet=to_si(sheet_f, "f"),
        speed=to_si(ft_min, "ft_min"),
        kappa=REFERENCE_KAPPA,
    )
    found = [from_si(float(value), "f") for value in air]
    assert found == pytest.approx(EDGES[move], abs=0.1 if move == (10, 80) else 0.5)


# Prototype. Along the ridge: different melt temperatures with the kappa that makes 700 F the
# bottom at 80 F and 10 ft/min, and the bottom in F after a move.
RIDGE: dict[
    tuple[int, float], tuple[int, ...]
] = {  # (T_lo C, kappa): bottom at (8 ft/min, 40 F), (10, 40), (14, 80), (13, 110)
    (130, 0.0794): (734, 793, 785, 684),
    (150, 0.1016): (718, 772, 779, 698),
    (170, 0.1273): (708, 756, 773, 707),
}


@pytest.mark.parametrize("point", RIDGE, ids=str)
def test_ridge_of_kappa_and_melt_temperature(point: tuple[int, float]) -> None:
    """Pairs of melt temperature and kappa that agree at one setting barely part elsewhere."""
    celsius, kappa = point
    ft_min, sheet_f = np.array([10, 8, 10, 14, 13]), np.array([80, 40, 40, 80, 110])
    air = air_for(
        to_si(celsius, "c"),
        sheet=[to_si(value, "f") for value in sheet_f],
        speed=ft_min * to_si(1, "ft_min"),
        kappa=kappa,
    )
    assert [from_si(value, "f") for value in air] == pytest.approx([700, *RIDGE[point]], abs=1.0)


def test_speed_prototype_values() -> None:
    """The speed that just reaches a face temperature is as tabled."""
    table = [(150, 800, 80, 15.202), (225, 1000, 80, 7.895), (150, 800, 40, 11.158)]
    for celsius, air_f, sheet_f, ft_min in table:
        speed = speed_for(
            to_si(celsius, "c"), air=to_si(air_f, "f"), sheet=to_si(sheet_f, "f"), kappa=0.1016
        )
        assert speed is not None
        assert from_si(speed, "ft_min") == pytest.approx(ft_min, abs=0.002)


def test_sensitivities_at_a_usual_setting() -> None:
    """At 850 F, 80 F and 10 ft/min the faces move as a foreman's rules of thumb say."""
    air, sheet, speed = to_si(850, "f"), to_si(80, "f"), to_si(10, "ft_min")
    step = to_si(10, "f") - to_si(0, "f")
    foot = to_si(1, "ft_min")

    def face(air: float, sheet: float, speed: float, kappa: float = REFERENCE_KAPPA) -> float:
        return float(interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa)) - 273.15

    here = face(air, sheet, speed)
    assert here == pytest.approx(180.0, abs=0.2)
    assert face(air + step, sheet, speed) - here == pytest.approx(2.0, abs=0.05)
    assert face(air, sheet + step, speed) - here == pytest.approx(3.6, abs=0.05)
    assert face(air, sheet, speed + foot) - here == pytest.approx(-5.0, abs=0.25)
    assert face(air, sheet, speed, 1.1 * REFERENCE_KAPPA) - here == pytest.approx(10, abs=0.5)


# Prototype. Speed that keeps the face of 80 F and 10 ft/min with the sheet at ambient
# temperature; kappa fitted so that 700 F gives 150 C there exactly: 0.101554.
AMBIENT_F = (30, 40, 50, 60, 70, 80, 90, 100, 110)
STEADY = {  # air F: ft/min at each ambient
    700: (6.9, 7.4, 7.9, 8.5, 9.2, 10.0, 10.9, 11.9, 13.1),
    850: (7.3, 7.8, 8.3, 8.8, 9.4, 10.0, 10.7, 11.5, 12.4),
    1000: (7.7, 8.1, 8.5, 9.0, 9.5, 10.0, 10.6, 11.2, 11.9),
}


def _usual_face(air_f: float) -> float:
    """Face at 80 F and 10 ft/min with the kappa of the table. [K]"""
    sheet, speed = to_si(80, "f"), to_si(10, "ft_min")
    return float(interface_temperature(to_si(air_f, "f"), sheet=sheet, speed=speed, kappa=0.101554))


@pytest.mark.parametrize("air_f", STEADY)
def test_speed_that_keeps_the_face(air_f: int) -> None:
    """Warmer mornings allow faster travel, by less than the rule of thumb adds."""
    face, air = _usual_face(air_f), to_si(air_f, "f")
    found = [
        speed_for(face, air=air, sheet=to_si(ambient, "f"), kappa=0.101554) for ambient in AMBIENT_F
    ]
    in_ft_min = [from_si(speed, "ft_min") for speed in found if speed is not None]
    assert in_ft_min == pytest.approx(STEADY[air_f], abs=0.051)


def test_speed_rule_runs_hot_in_the_cold() -> None:
    """At 30 F the rule of thumb heats the faces 16, 23 and 31 K more than at 80 F."""
    for air_f, hotter in zip(STEADY, (16, 23, 31), strict=True):
        sheet = to_si(30, "f")
        face = interface_temperature(
            to_si(air_f, "f"), sheet=sheet, speed=common_speed_rule(sheet), kappa=0.101554
        )
        assert float(face) - _usual_face(air_f) == pytest.approx(hotter, abs=0.6)


# Prototype. Calibrated at 10 ft/min and 80 F; margins in F of air, drawn around rival criteria.
MARGINS: dict[tuple[int, int], tuple[int, int]] = {  # (ft/min, sheet F): (bottom up, top down)
    (10, 40): (32, 40),
    (8, 40): (7, 24),
    (14, 80): (37, 24),
    (6, 80): (0, 0),
    (13, 110): (5, 0),
    (5, 30): (0, 1),
    (20, 80): (76, 49),
}


@pytest.mark.parametrize("move", MARGINS, ids=str)
def test_margins_of_seven_moves(move: tuple[int, int]) -> None:
    """A colder sheet or faster travel costs margin at both edges, the other way nothing."""
    ft_min, sheet_f = move
    bottom, top = transfer_margins(log_speed=np.log(ft_min / 10), colder=(80 - sheet_f) / 1.8)
    assert (1.8 * float(bottom), 1.8 * float(top)) == pytest.approx(MARGINS[move], abs=1.0)


def test_kappa_follows_mass_flow() -> None:
    """A fifth less flow takes kappa to 0.855, the air of 1600 m to 0.8735 of what it was."""
    assert kappa_scaled(1.0, flow_ratio=0.8) == pytest.approx(0.8554, abs=1e-4)
    assert kappa_scaled(1.0, pressure_ratio=0.8243) == pytest.approx(0.8735, abs=1e-4)
    assert kappa_scaled(0.1016) == pytest.approx(0.1016)


def test_fourier_of_slow_travel() -> None:
    """Thin sheet at slow travel passes the limits where the table says."""
    # ft/min at 1.1, 1.5, 2.0 mm for Fo 0.2 and 0.3; prototype, printed to 0.1
    for fo, row in {0.2: (3.6, 1.9, 1.1), 0.3: (2.4, 1.3, 0.7)}.items():
        for thickness, ft_min in zip((0.0011, 0.0015, 0.0020), row, strict=True):
            speed = to_si(ft_min, "ft_min")
            low = fourier(speed + to_si(0.05, "ft_min"), thickness=thickness)
            high = fourier(speed - to_si(0.05, "ft_min"), thickness=thickness)
            assert low <= fo <= high
    assert fourier(0.05, thickness=0.0015, diffusivity=2.2e-7) == pytest.approx(
        2 * fourier(0.05, thickness=0.0015)
    )


def test_no_speed_reaches_more_than_the_air() -> None:
    """Air no hotter than the wanted face gives no speed, and air barely hotter a tiny one."""
    assert speed_for(423.15, air=423.15, sheet=300.0, kappa=0.1) is None
    assert speed_for(423.15, air=400.0, sheet=300.0, kappa=0.1) is None
    crawl = speed_for(423.15, air=423.150001, sheet=300.0, kappa=0.1)
    assert crawl is not None
    assert 0 < crawl < 1e-9


def test_face_no_warmer_than_the_sheet_is_refused() -> None:
    """To ask for a face that the sheet already has is an error that names the sheet."""
    for face in (299.0, 300.0, float("nan")):
        with pytest.raises(OutOfRange) as caught:
            speed_for(face, air=700.0, sheet=300.0, kappa=0.1)
        assert caught.value.data["name"] == "interface"
        assert caught.value.data["above"] == 300.0
        with pytest.raises(OutOfRange):
            air_for([423.15, face], sheet=300.0, speed=0.05, kappa=0.1)


@pytest.mark.parametrize("bad", [0.0, -0.05, float("nan")])
def test_what_must_be_above_zero_is_refused(bad: float) -> None:
    """Speed, kappa, thickness, diffusivity and ratios at or below zero, or unknown, are errors."""
    usual = {"sheet": 300.0, "speed": 0.05, "kappa": 0.1}
    for name in ("speed", "kappa"):
        given = {**usual, name: bad}
        for function in (interface_temperature, air_for, equivalent_air, air_at):
            with pytest.raises(OutOfRange) as caught:
                function(700.0, **given)
            assert caught.value.data["name"] == name
        with pytest.raises(OutOfRange):
            rise_fraction(given["speed"], kappa=[0.1, given["kappa"]])
    with pytest.raises(OutOfRange, match="kappa"):
        speed_for(423.15, air=700.0, sheet=300.0, kappa=bad)
    with pytest.raises(OutOfRange, match="flow_ratio"):
        kappa_scaled(0.1, flow_ratio=bad)
    with pytest.raises(OutOfRange, match="pressure_ratio"):
        kappa_scaled(0.1, pressure_ratio=bad)
    with pytest.raises(OutOfRange, match="kappa"):
        kappa_scaled(bad)
    with pytest.raises(OutOfRange, match="speed"):
        fourier(bad, thickness=0.0015)
    with pytest.raises(OutOfRange, match="thickness"):
        fourier(0.05, thickness=bad)
    with pytest.raises(OutOfRange, match="diffusivity"):
        fourier(0.05, thickness=0.0015, diffusivity=bad)

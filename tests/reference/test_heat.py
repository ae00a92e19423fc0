"""Lap heat against textbooks: half-space, slab, and the trade's speed rule."""

from __future__ import annotations

from math import cos, erfc, exp, pi, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq

from lapwright.physics.heat import (
    REFUSE_FOURIER,
    SLOW_FOURIER,
    fourier,
    interface_temperature,
    rise_fraction,
)
from lapwright.physics.layers import Layer, Stack
from lapwright.physics.startspeed import common_speed_rule
from lapwright.units import from_si, to_si

# --- half-space with convection at its face ---------------------------------------------------
# Geankoplis, Transport Processes and Unit Operations, example 5.3-1: soil at 288.75 K, air at
# 255.35 K, h 11.36 W/m2K, k 0.865 W/mK, diffusivity 4.65e-7 m2/s, 5 h: face 267.982 K.
# Claimed 0.001 K. Reached 0.0001 K.


def test_face_of_frozen_soil_is_the_textbooks() -> None:
    """A half-space cooled by air reaches the worked textbook temperature at its face."""
    effusivity = 0.865 / sqrt(4.65e-7)
    seconds = 18_000.0
    # The nozzle's time is length over speed, and kappa is h sqrt(length) / effusivity: any
    # length will do, so one metre.
    face = interface_temperature(255.35, sheet=288.75, speed=1 / seconds, kappa=11.36 / effusivity)
    assert face == pytest.approx(267.982, abs=0.001)


# Semi-infinite solid, surface convection (Incropera and DeWitt, transient conduction), at
# depth x: erfc(a) - exp(hx/k + b^2) erfc(a + b), a = x / (2 sqrt(alpha t)), b = h sqrt(alpha t)/k.


def _half_space(depth: float, *, film: float, k: float, alpha: float, time: float) -> float:
    a, b = depth / (2 * sqrt(alpha * time)), film * sqrt(alpha * time) / k
    return erfc(a) - exp(film * depth / k + b**2) * erfc(a + b)


@pytest.mark.parametrize("beta", [0.1, 0.3, 0.5, 1.0, 2.0])
def test_rise_fraction_is_the_textbook_formula(beta: float) -> None:
    """The share of the gap climbed is 1 - exp(b^2) erfc(b), written out without erfcx."""
    expected = 1 - exp(beta**2) * erfc(beta)
    assert rise_fraction(1.0, kappa=beta) == pytest.approx(expected, rel=1e-12)


# Seam scale: h 400 W/m2K, k 0.2 W/mK, diffusivity 1e-7 m2/s, 25 -> 500 C. The figures were worked
# from the formula above with scaled erfc, not printed by a book. Claimed 0.01 K; layers of
# 40 and 80 cells over 10 mm claim 0.3 K and 0.05 K. Reached 0.20 K and 0.047 K.
SEAM_TIMES = (0.1, 0.2, 0.5, 1.0)
SEAM = {  # depth [m]: C
    0.0: (115.72, 145.39, 194.20, 237.04),
    0.0002: (33.57, 51.74, 97.16, 146.01),
    0.0005: (25.01, 25.68, 36.72, 65.10),
}


def test_face_at_seam_scale() -> None:
    """At weld-like numbers the closed form gives the listed face temperatures."""
    effusivity = 0.2 / sqrt(1e-7)
    for time, celsius in zip(SEAM_TIMES, SEAM[0.0], strict=True):
        face = interface_temperature(773.15, sheet=298.15, speed=1 / time, kappa=400.0 / effusivity)
        assert from_si(float(face), "c") == pytest.approx(celsius, abs=0.01)


@pytest.mark.parametrize(("cells", "claimed"), [(40, 0.3), (80, 0.05)])
def test_layers_follow_the_half_space(cells: int, claimed: float) -> None:
    """Cut into cells, a thick slab keeps to the half-space at the face and within."""
    layer = Layer(thickness=0.010, conductivity=0.2, heat_capacity=2.0e6, cells=cells)
    slab = Stack((layer,), 400.0, 0.0)
    temperatures = slab.temperature(25.0, above=500.0, below=0.0, times=SEAM_TIMES)
    assert slab.face_above(temperatures, air=500.0) == pytest.approx(SEAM[0.0], abs=claimed)
    for time, row in zip(SEAM_TIMES, temperatures, strict=True):
        exact = [
            25.0 + 475.0 * _half_space(depth, film=400.0, k=0.2, alpha=1e-7, time=time)
            for depth in slab.depth
        ]
        assert row == pytest.approx(exact, abs=claimed)


def test_half_space_written_here_gives_the_listed_depths() -> None:
    """The formula that judges the layers itself gives the listed temperatures at depth."""
    for depth, row in SEAM.items():
        rise = [_half_space(depth, film=400.0, k=0.2, alpha=1e-7, time=t) for t in SEAM_TIMES]
        assert 25.0 + 475.0 * np.array(rise) == pytest.approx(row, abs=0.006)


# --- slab with an insulated back --------------------------------------------------------------
# One-term constants: zeta tan zeta = Bi, C1 = 4 sin z / (2 z + sin 2 z). Equations seen in a
# companion of Incropera and DeWitt; rows from memory of its table. Claimed 1e-4.
ONE_TERM = {  # Bi: (zeta, C1)
    0.01: (0.0998, 1.0017),
    0.05: (0.2218, 1.0082),
    0.1: (0.3111, 1.0161),
    0.2: (0.4328, 1.0311),
    0.5: (0.6533, 1.0701),
    1.0: (0.8603, 1.1191),
    2.0: (1.0769, 1.1785),
    5.0: (1.3138, 1.2402),
    10.0: (1.4289, 1.2620),
    50.0: (1.5400, 1.2727),
    100.0: (1.5552, 1.2731),
}
# Reached with 320 cells; the 40 of the lap model come within 0.14 %.


def _unit_slab(biot: float, *, cells: int = 40) -> Stack:
    """A slab of thickness, conductivity and heat capacity 1: time is the Fourier number."""
    return Stack((Layer(thickness=1.0, conductivity=1.0, heat_capacity=1.0, cells=cells),), biot, 0)


@pytest.mark.parametrize("biot", ONE_TERM)
def test_layers_settle_at_the_rate_of_the_table(biot: float) -> None:
    """Late in time a slab decays with the tabled first root, from the tabled amplitude."""
    zeta, amplitude = ONE_TERM[biot]
    slab = _unit_slab(biot, cells=320)
    times = np.array([1.0, 2.0])
    left = slab.temperature(1.0, above=0.0, below=0.0, times=times)
    found = sqrt(np.log(left[0, -1] / left[1, -1]))
    assert found == pytest.approx(zeta, abs=1e-4)
    at_back = left[0, -1] / cos(found * (1 - slab.depth[-1]))
    assert at_back * exp(found**2) == pytest.approx(amplitude, abs=1e-4)


def _root(n: int, biot: float) -> float:
    # cos form of zeta tan zeta = Bi: one root in each half period, none at the ends
    return float(brentq(lambda z: z * sin(z) - biot * cos(z), n * pi, n * pi + pi / 2))


def _slab_face(biot: float, fo: float) -> float:
    """Rise of the heated face, full series."""
    left = 0.0
    for z in (_root(n, biot) for n in range(200)):
        left += 4 * sin(z) / (2 * z + sin(2 * z)) * exp(-(z**2) * fo) * cos(z)
    return 1 - left


def test_layers_follow_the_slab_at_high_biot() -> None:
    """Bi 5, Fo 0.5: the face has climbed 0.867 of the gap (one term by hand: 0.86701)."""
    z, amplitude = 1.3138, 1.2402
    assert 1 - amplitude * exp(-(z**2) * 0.5) * cos(z) == pytest.approx(0.86701, abs=1e-4)
    assert _slab_face(5.0, 0.5) == pytest.approx(0.86701, abs=1e-4)
    slab = _unit_slab(5.0)
    face = slab.face_above(slab.temperature(0.0, above=1.0, below=0.0, times=0.5), air=1.0)
    assert face == pytest.approx(0.86701, abs=1e-3)


# --- half-space against slab: where the closed form holds -------------------------------------
# Weld-like: kappa 0.1016 on 450 K of drive. Bi = beta / sqrt(Fo) follows from thickness.


def _too_cold(fo: float, *, thickness: float) -> float:
    """How far the closed form lies below the exact slab. [K]"""
    speed = 1.1e-7 * 0.040 / (fo * thickness**2)
    assert fourier(speed, thickness=thickness) == pytest.approx(fo)
    beta = 0.1016 / sqrt(speed)
    closed = interface_temperature(750.0, sheet=300.0, speed=speed, kappa=0.1016)
    return 450.0 * _slab_face(beta / sqrt(fo), fo) + 300.0 - float(closed)


@pytest.mark.parametrize("thickness", [0.0011, 0.0015, 0.0020])
def test_closed_form_holds_while_heat_has_not_crossed(thickness: float) -> None:
    """Up to Fo 0.15 the half-space is the slab; the two limits mark 0.3 K and 2 K."""
    assert abs(_too_cold(0.15, thickness=thickness)) < 0.1
    assert 0.1 < _too_cold(SLOW_FOURIER, thickness=thickness) < 0.4
    assert 1.5 < _too_cold(REFUSE_FOURIER, thickness=thickness) < 2.5
    assert _too_cold(0.4, thickness=thickness) > 4.5


# --- speed rule -------------------------------------------------------------------------------
# A membrane maker's technical bulletin on test welding, January 2021: ambient in F over 10,
# plus 2, in ft/min.


def test_speed_rule_is_the_bulletins() -> None:
    """The rule of thumb gives the bulletin's speed at each ambient temperature."""
    for ambient_f, ft_min in [(30, 5), (40, 6), (60, 8), (80, 10), (110, 13)]:
        speed = common_speed_rule(to_si(ambient_f, "f"))
        assert from_si(speed, "ft_min") == pytest.approx(ft_min, abs=1e-9)
    assert common_speed_rule(to_si(-40, "f")) == 0.0

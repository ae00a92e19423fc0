"""Air: identities, range limits, and that it stays cheap to import."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.errors import OutOfRange
from lapwright.physics.air import (
    density,
    dew_point,
    enthalpy_rise,
    heat_capacity,
    standard_pressure,
)

NOZZLE = st.floats(250.0, 1150.0)
NAN = float("nan")


def _magnus(celsius: float, share: float) -> float:
    """Dew point over water by the Magnus formula (17.62, 243.12 C; from memory). [C]"""
    gamma = log(share) + 17.62 * celsius / (243.12 + celsius)
    return 243.12 * gamma / (17.62 - gamma)


@given(st.floats(5.0, 45.0), st.floats(0.2, 1.0))
def test_dew_point_agrees_with_a_rival_formula(celsius: float, share: float) -> None:
    """Above freezing the dew point lies within 0.15 K of the Magnus formula."""
    rival = _magnus(celsius, share)
    if rival > 0.1:
        found = dew_point(celsius + 273.15, relative_humidity=share) - 273.15
        assert found == pytest.approx(rival, abs=0.15)


@given(st.floats(223.15, 333.15), st.floats(0.001, 1.0))
def test_dew_point_never_lies_above_the_air(air: float, share: float) -> None:
    """Dew point exists in all weather, never above the air, and at full humidity is the air."""
    assert dew_point(air, relative_humidity=share) <= air
    assert dew_point(air, relative_humidity=1.0) == pytest.approx(air, abs=0.002)


@given(st.floats(230.0, 330.0), st.floats(0.01, 0.9))
def test_damper_air_dews_warmer(air: float, share: float) -> None:
    """More moisture raises the dew point."""
    damper = dew_point(air, relative_humidity=share * 1.1)
    assert damper > dew_point(air, relative_humidity=share)


@given(NOZZLE, NOZZLE, NOZZLE)
def test_heat_adds_up_along_the_way(first: float, second: float, third: float) -> None:
    """Heat from first to third is the sum over the stop between; there and back is nothing."""
    whole = enthalpy_rise(first, hot=third)
    parts = enthalpy_rise(first, hot=second) + enthalpy_rise(second, hot=third)
    assert parts == pytest.approx(whole, abs=1e-6)
    assert enthalpy_rise(third, hot=first) == pytest.approx(-whole, abs=1e-6)


@given(st.floats(251.0, 1149.0))
def test_heat_per_kelvin_is_the_heat_capacity(temperature: float) -> None:
    """The heat of a narrow step is heat capacity times the step."""
    step = enthalpy_rise(temperature - 0.5, hot=temperature + 0.5)
    assert step == pytest.approx(heat_capacity(temperature), rel=1e-6)


def test_density_follows_pressure_and_temperature() -> None:
    """Half the pressure or twice the temperature halves the density."""
    here = density(300.0, pressure=100_000.0)
    assert density(300.0, pressure=50_000.0) == pytest.approx(here / 2)
    assert density(600.0, pressure=100_000.0) == pytest.approx(here / 2)


REFUSED: list[tuple[Callable[[], float], str]] = [
    (lambda: standard_pressure(-501.0), "altitude"),
    (lambda: standard_pressure(11_001.0), "altitude"),
    (lambda: standard_pressure(NAN), "altitude"),
    (lambda: density(200.0, pressure=101_325.0), "temperature"),
    (lambda: density(300.0, pressure=0.0), "pressure"),
    (lambda: density(300.0, pressure=NAN), "pressure"),
    (lambda: heat_capacity(249.0), "temperature"),
    (lambda: heat_capacity(1151.0), "temperature"),
    (lambda: enthalpy_rise(249.0, hot=800.0), "cold"),
    (lambda: enthalpy_rise(300.0, hot=1151.0), "hot"),
    (lambda: dew_point(80.0, relative_humidity=0.5), "air"),
    (lambda: dew_point(300.0, relative_humidity=0.0), "relative_humidity"),
    (lambda: dew_point(300.0, relative_humidity=50.0), "relative_humidity"),
]


def test_out_of_range_is_refused() -> None:
    """A value that weather, machine or formula never sees is an error that names it."""
    for call, name in REFUSED:
        with pytest.raises(OutOfRange) as caught:
            call()
        assert caught.value.data["name"] == name


def test_air_costs_no_heavy_import() -> None:
    """Asking for a dew point loads neither SciPy nor the heat model."""
    # A fresh interpreter: this one has loaded everything already.
    program = (
        "import sys, lapwright.physics.air;"
        "print(sorted({'scipy', 'lapwright.physics.heat'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"

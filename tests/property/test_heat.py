"""Rules of lap heat that hold for every setting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lapwright.physics.heat import (
    REFERENCE_SHEET,
    REFERENCE_SPEED,
    air_at,
    air_for,
    equivalent_air,
    interface_temperature,
    kappa_scaled,
    rise_fraction,
    speed_for,
    transfer_margins,
)

AIRS = st.floats(450.0, 900.0)  # K; 350 to 1160 F
SHEETS = st.floats(255.0, 350.0)  # K; 0 to 170 F
SPEEDS = st.floats(0.01, 0.15)  # m/s; 2 to 30 ft/min
KAPPAS = st.floats(0.04, 0.25)  # m^0.5 s^-0.5
MORE = st.floats(1.001, 1.5)


@given(AIRS, SHEETS, SPEEDS, KAPPAS, MORE)
def test_hotter_or_slower_never_cools_the_lap(
    air: float, sheet: float, speed: float, kappa: float, more: float
) -> None:
    """Hotter air, slower travel, a warmer sheet and better heat transfer all heat the faces."""
    face = interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa)
    assert sheet < face < air
    assert interface_temperature(air * more, sheet=sheet, speed=speed, kappa=kappa) > face
    assert interface_temperature(air, sheet=sheet, speed=speed / more, kappa=kappa) > face
    assert interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa * more) > face
    warmer = min(sheet * more, air - 1.0)
    assert interface_temperature(air, sheet=warmer, speed=speed, kappa=kappa) > face


@given(AIRS, SHEETS, SPEEDS, KAPPAS)
def test_air_and_face_go_there_and_back(
    air: float, sheet: float, speed: float, kappa: float
) -> None:
    """The air that gives a face temperature is the air that made it."""
    face = interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa)
    back = air_for(face, sheet=sheet, speed=speed, kappa=kappa)
    assert back == pytest.approx(air, rel=1e-9)


@given(AIRS, SHEETS, SPEEDS, KAPPAS)
def test_speed_and_face_go_there_and_back(
    air: float, sheet: float, speed: float, kappa: float
) -> None:
    """The speed that gives a face temperature is the speed that made it."""
    face = float(interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa))
    assert speed_for(face, air=air, sheet=sheet, kappa=kappa) == pytest.approx(speed, rel=1e-9)


@given(AIRS, SHEETS, SPEEDS, KAPPAS)
def test_equivalent_air_goes_there_and_back(
    air: float, sheet: float, speed: float, kappa: float
) -> None:
    """Equivalent air heats the faces alike at the reference, and turns back into the air."""
    equivalent = equivalent_air(air, sheet=sheet, speed=speed, kappa=kappa)
    here = interface_temperature(air, sheet=sheet, speed=speed, kappa=kappa)
    there = interface_temperature(
        equivalent, sheet=REFERENCE_SHEET, speed=REFERENCE_SPEED, kappa=kappa
    )
    assert there == pytest.approx(here, rel=1e-9)
    back = air_at(equivalent, sheet=sheet, speed=speed, kappa=kappa)
    assert back == pytest.approx(air, rel=1e-9)


@given(AIRS, KAPPAS)
def test_at_the_reference_air_is_equivalent_air(air: float, kappa: float) -> None:
    """At the reference sheet and speed the equivalent air is the air, whatever kappa."""
    found = equivalent_air(air, sheet=REFERENCE_SHEET, speed=REFERENCE_SPEED, kappa=kappa)
    assert found == pytest.approx(air, rel=1e-12)


@given(SHEETS, SPEEDS, KAPPAS, st.floats(380.0, 440.0), st.floats(460.0, 560.0))
def test_ratio_of_edges_needs_no_kappa(
    sheet: float, speed: float, kappa: float, bottom: float, top: float
) -> None:
    """Measured from the sheet, air at top over air at bottom is the ratio of the faces."""
    low = air_for(bottom, sheet=sheet, speed=speed, kappa=kappa) - sheet
    high = air_for(top, sheet=sheet, speed=speed, kappa=kappa) - sheet
    assert high / low == pytest.approx((top - sheet) / (bottom - sheet), rel=1e-9)


@given(SPEEDS, KAPPAS, MORE)
def test_only_kappa_over_root_speed_counts(speed: float, kappa: float, more: float) -> None:
    """Four times the speed and twice kappa heat alike."""
    scaled = rise_fraction(speed * more**2, kappa=kappa * more)
    assert scaled == pytest.approx(rise_fraction(speed, kappa=kappa), rel=1e-9)


@given(SHEETS, SHEETS, SPEEDS)
def test_colder_sheet_asks_for_hotter_air(sheet: float, other: float, speed: float) -> None:
    """The colder of two sheets needs the hotter air for one face temperature."""
    assume(abs(sheet - other) > 0.01)
    cold, warm = air_for(430.0, sheet=np.array(sorted((sheet, other))), speed=speed, kappa=0.1)
    assert cold > warm


@given(MORE, MORE)
def test_thin_air_and_weak_flow_lower_kappa(flow: float, thinner: float) -> None:
    """Less flow or less pressure lowers kappa, and the two act as one mass flow."""
    both = kappa_scaled(0.1, flow_ratio=1 / flow, pressure_ratio=1 / thinner)
    assert both < kappa_scaled(0.1, flow_ratio=1 / flow) < 0.1
    assert both == pytest.approx(kappa_scaled(0.1, flow_ratio=1 / (flow * thinner)))


@given(st.floats(-1.0, 1.0), st.floats(-40.0, 40.0), st.floats(0.0, 1.0), st.floats(0.0, 20.0))
def test_margins_never_shrink_when_conditions_worsen(
    log_speed: float, colder: float, faster: float, more: float
) -> None:
    """Faster or colder never takes away margin, and margins are never negative."""
    before = np.array(transfer_margins(log_speed=log_speed, colder=colder))
    after = np.array(transfer_margins(log_speed=log_speed + faster, colder=colder + more))
    assert np.all(before >= 0)
    assert np.all(after >= before)

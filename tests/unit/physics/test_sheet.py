"""Sheet: the balance closes, the deck lags, dew is a gate."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.sheet import (
    ABSORPTANCE,
    DRY_MARGIN,
    EMISSIVITY,
    HEAT_BELOW,
    HEAT_LOSS,
    ROOM,
    STEFAN_BOLTZMANN,
    WEAK_CONVECTION,
    Outside,
    Roof,
    dew_margin,
    is_clear_of_dew,
    roof,
    sheet_span,
    sky_emissivity,
    steady_sheet,
    time_constant,
)

NOON = Outside(air=299.82, dew_point=291.82, wind=3.0, irradiance=950.0)
NIGHT = Outside(air=288.15, dew_point=286.5, wind=0.5)


def test_heat_balance_closes() -> None:
    """At the steady temperature gains equal losses to a millionth of a watt."""
    for outside in (NOON, NIGHT, Outside(250.0, 245.0, 0.0), Outside(325.0, 300.0, 0.0, 1200.0)):
        sheet = float(steady_sheet(outside, roof=Roof(absorptance=0.92)))
        air = float(np.asarray(outside.air))
        film = WEAK_CONVECTION[0] + WEAK_CONVECTION[1] * float(np.asarray(outside.wind))
        sky = float(sky_emissivity(outside.dew_point, cloud=outside.cloud))
        gain = 0.92 * float(np.asarray(outside.irradiance))
        gain += EMISSIVITY * STEFAN_BOLTZMANN * (sky * air**4 - sheet**4)
        loss = film * (sheet - air) + HEAT_LOSS["foam"] * (sheet - ROOM)
        assert gain == pytest.approx(loss, abs=1e-6)


def test_arrays_give_the_same_as_one_hour_at_a_time() -> None:
    """A year in one call is a year of single calls."""
    suns = np.array([0.0, 300.0, 950.0])
    many = steady_sheet(Outside(299.82, 291.82, 3.0, suns), roof=Roof())
    one_by_one = [float(steady_sheet(Outside(299.82, 291.82, 3.0, s), roof=Roof())) for s in suns]
    assert many.tolist() == pytest.approx(one_by_one, abs=1e-9)


def test_clear_night_cools_the_sheet_below_the_dew_point() -> None:
    """A roof under a clear, calm, damp night is wet at dawn though the air is not."""
    sheet = float(steady_sheet(NIGHT, roof=Roof()))
    assert sheet < 286.5 < float(np.asarray(NIGHT.air))
    cloudy = Outside(288.15, 286.5, 0.5, 0.0, 1.0)
    assert float(steady_sheet(cloudy, roof=Roof())) > sheet + 2.0


@pytest.mark.parametrize(
    ("outside", "name"),
    [
        (Outside(300.0, 290.0, -1.0), "wind"),
        (Outside(300.0, 290.0, 1.0, -5.0), "irradiance"),
        (Outside(300.0, 290.0, float("nan")), "wind"),
    ],
)
def test_impossible_weather_is_refused(outside: Outside, name: str) -> None:
    """A wind or a sun below zero is an error that names it."""
    with pytest.raises(OutOfRange) as error:
        steady_sheet(outside, roof=Roof())
    assert error.value.data["name"] == name


@pytest.mark.parametrize("absorptance", [-0.1, 1.1])
def test_impossible_colour_is_refused(absorptance: float) -> None:
    """Absorptance is a share."""
    with pytest.raises(OutOfRange) as error:
        steady_sheet(NOON, roof=Roof(absorptance=absorptance))
    assert error.value.data["name"] == "absorptance"


def test_span_by_day_has_the_estimate_inside() -> None:
    """In the sun the estimate is inside the span; at night colour says nothing."""
    day, night = sheet_span(NOON, roof=Roof()), sheet_span(NIGHT, roof=Roof())
    assert day.colder + 2 < day.estimate < day.warmer - 2
    assert night.colder == night.estimate < night.warmer
    black = sheet_span(NOON, roof=Roof(absorptance=1.0))
    assert black.warmer == black.estimate  # nothing is blacker than black


def test_words_of_a_roof() -> None:
    """Each colour and each substrate a crew can name has its figures."""
    assert set(HEAT_LOSS) == set(HEAT_BELOW)
    for colour, absorptance in ABSORPTANCE.items():
        assert roof(colour=colour).absorptance == absorptance
    for substrate in HEAT_LOSS:
        found = roof(substrate=substrate)
        assert (found.heat_loss, found.heat_below) == (
            HEAT_LOSS[substrate],
            HEAT_BELOW[substrate],
        )


def test_thick_sheet_calm_air_and_concrete_take_longer() -> None:
    """Time to settle grows with thickness and with what warms along, and falls with wind."""
    usual = time_constant(2.4, roof=Roof(thickness=0.0015))
    assert time_constant(2.4, roof=Roof(thickness=0.0020)) == pytest.approx(usual * 4 / 3)
    assert time_constant(8.0, roof=Roof(thickness=0.0015)) < usual
    assert time_constant(2.4, roof=roof(substrate="concrete")) > 3600
    with pytest.raises(OutOfRange):
        time_constant(-1.0, roof=Roof())


def test_dew_gate_closes_at_the_margin() -> None:
    """Exactly at the margin is not clear; no number is not clear either."""
    assert float(dew_margin(285.0, dew_point=286.5)) == -1.5
    sheet = [286.5 + DRY_MARGIN, 286.5 + DRY_MARGIN + 0.01, float("nan")]
    assert is_clear_of_dew(sheet, dew_point=286.5).tolist() == [False, True, False]
    assert is_clear_of_dew(290.0, dew_point=286.5, margin=5.0).tolist() is False

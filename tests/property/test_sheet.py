"""What no weather may do to a sheet."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lapwright.physics.outside import Hour, Outside
from lapwright.physics.sheet import Roof, is_clear_of_dew, settled, sheet_span, steady_sheet
from lapwright.physics.sheetday import SheetReading, sheet_by_hour
from lapwright.physics.sun import cloud_factor, haurwitz

AIR = st.floats(250.0, 320.0)
BELOW_AIR = st.floats(0.0, 30.0)
WIND = st.floats(0.0, 20.0)
SUN = st.floats(0.0, 1200.0)
SHARE = st.floats(0.0, 1.0)
TINY = 1e-7  # K; what rounding may do


@st.composite
def outsides(draw: st.DrawFn) -> Outside:
    """Any weather."""
    air = draw(AIR)
    return Outside(air, air - draw(BELOW_AIR), draw(WIND), draw(SUN), draw(SHARE))


ROOFS = st.builds(Roof, absorptance=SHARE, heat_loss=st.floats(0.0, 3.0))


@given(outsides(), ROOFS, SUN)
def test_more_sun_never_cools_the_sheet(outside: Outside, roof: Roof, more: float) -> None:
    """Sheet temperature rises with sun, never falls."""
    sunnier = replace(outside, irradiance=np.asarray(outside.irradiance) + more)
    assert steady_sheet(sunnier, roof=roof) >= steady_sheet(outside, roof=roof) - TINY


@given(outsides(), ROOFS, SHARE)
def test_darker_sheet_is_never_colder(outside: Outside, roof: Roof, darker: float) -> None:
    """Sheet temperature rises with absorptance, never falls."""
    dark = replace(roof, absorptance=roof.absorptance + (1 - roof.absorptance) * darker)
    assert steady_sheet(outside, roof=dark) >= steady_sheet(outside, roof=roof) - TINY


@given(outsides(), ROOFS, WIND)
def test_wind_draws_the_sheet_to_the_air(outside: Outside, roof: Roof, more: float) -> None:
    """More wind never warms a sheet that is warmer than the air, and never carries it past."""
    before = float(steady_sheet(outside, roof=roof))
    after = float(steady_sheet(replace(outside, wind=np.asarray(outside.wind) + more), roof=roof))
    low, high = sorted((before, float(np.asarray(outside.air))))
    assert low - TINY <= after <= high + TINY


@given(outsides(), ROOFS, st.floats(0.0, 10.0))
def test_warmer_air_never_cools_the_sheet(outside: Outside, roof: Roof, more: float) -> None:
    """Sheet temperature rises with air temperature, never falls."""
    warmer = replace(outside, air=np.asarray(outside.air) + more)
    assert steady_sheet(warmer, roof=roof) >= steady_sheet(outside, roof=roof) - TINY


@given(outsides(), ROOFS)
def test_estimate_lies_in_its_span(outside: Outside, roof: Roof) -> None:
    """Colder, estimate and warmer come in this order."""
    span = sheet_span(outside, roof=roof)
    assert span.colder <= span.estimate <= span.warmer


@given(st.floats(250.0, 330.0), st.floats(250.0, 320.0), BELOW_AIR, st.floats(0.0, 10.0))
def test_nearer_dew_never_makes_a_sheet_workable(
    sheet: float, dew: float, nearer: float, margin: float
) -> None:
    """A higher dew point, a colder sheet or a wider margin never opens the gate."""
    if not is_clear_of_dew(sheet, dew_point=dew, margin=margin):
        assert not is_clear_of_dew(sheet, dew_point=dew + nearer, margin=margin)
        assert not is_clear_of_dew(sheet - nearer, dew_point=dew, margin=margin)
        assert not is_clear_of_dew(sheet, dew_point=dew, margin=margin + nearer)


@given(AIR, AIR, st.floats(0.0, 3600.0), st.floats(0.0, 3600.0), st.floats(10.0, 2000.0))
def test_unrolled_sheet_goes_one_way(
    start: float, steady: float, first: float, then: float, constant: float
) -> None:
    """An unrolled sheet nears its steady temperature, never passes it; waiting adds up."""
    middle = settled(start, steady=steady, elapsed=first, time_constant=constant)
    after = settled(middle, steady=steady, elapsed=then, time_constant=constant)
    at_once = settled(start, steady=steady, elapsed=first + then, time_constant=constant)
    assert abs(after - at_once) < TINY
    low, high = sorted((start, steady))
    assert low - TINY <= after <= high + TINY
    assert abs(after - steady) <= abs(middle - steady) + TINY


@given(st.floats(-90.0, 90.0), st.floats(0.0, 10.0), SHARE, SHARE)
def test_higher_sun_and_clearer_sky_never_bring_less(
    height: float, higher: float, cloud: float, clearer: float
) -> None:
    """Radiation rises with sun height and falls with cloud; at night there is none."""
    top = min(height + higher, 90.0)
    assert haurwitz(top) >= haurwitz(height) >= 0
    assert cloud_factor(cloud * clearer) >= cloud_factor(cloud)
    assert haurwitz(-abs(height)) == 0


@given(st.floats(270.0, 340.0), st.integers(0, 719), st.lists(SUN, min_size=12, max_size=12))
def test_reading_moves_later_hours_towards_itself_and_no_earlier_hour(
    reading: float, minute: int, suns: list[float]
) -> None:
    """A reading pulls the hours after it its own way, by its own miss at most; the past stays."""
    start = datetime(2026, 7, 1, 6, tzinfo=UTC)
    hours = [
        Hour(start + timedelta(hours=n), 295.0, 285.0, 3.0, cloud=0.0, irradiance=sun)
        for n, sun in enumerate(suns)
    ]
    at = start + timedelta(minutes=minute)
    plain = sheet_by_hour(hours, roof=Roof())
    read = sheet_by_hour(hours, roof=Roof(), readings=[SheetReading(at, reading)])
    change = read.estimate - plain.estimate
    middles = 30 + 60 * np.arange(12)
    miss = reading - np.interp(minute, middles, plain.estimate)
    assert np.all(change[middles + 30 <= minute] == 0)
    assert np.all(change * np.sign(miss) >= -TINY)
    assert np.all(np.abs(change) <= abs(miss) + TINY)
    assert np.all((read.colder <= read.estimate) & (read.estimate <= read.warmer))

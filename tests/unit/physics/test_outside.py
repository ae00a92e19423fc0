"""Hours -> arrays: the sun where it is not given, and the wind in words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from lapwright.errors import LapwrightError, OutOfRange
from lapwright.physics.outside import Hour, outside_of, wind_word
from lapwright.physics.sun import cloud_factor, haurwitz, sun_position

NOON = datetime(2026, 7, 1, 18, tzinfo=UTC)
DENVER = (39.74, -105.18)


def test_given_radiation_is_kept_and_missing_is_computed() -> None:
    """A measured or listed sun is never replaced; only a missing one is computed."""
    hours = [
        Hour(NOON, 300.0, 285.0, 2.0, cloud=0.5, irradiance=123.0),
        Hour(NOON, 300.0, 285.0, 2.0, cloud=0.5),
    ]
    listed, computed = np.asarray(outside_of(hours, place=DENVER).irradiance)
    middle = NOON + timedelta(minutes=30)
    height, _ = sun_position([middle], latitude=DENVER[0], longitude=DENVER[1])
    assert listed == 123.0
    assert computed == pytest.approx(float(haurwitz(height)[0] * cloud_factor(0.5)))


def test_sun_needs_a_place() -> None:
    """Without a place and without radiation there is an error, not a guess."""
    with pytest.raises(LapwrightError) as error:
        outside_of([Hour(NOON, 300.0, 285.0, 2.0, cloud=0.5)], place=None)
    assert error.value.code == "place_needed"
    listed = Hour(NOON, 300.0, 285.0, 2.0, irradiance=700.0)
    assert np.asarray(outside_of([listed], place=None).irradiance).tolist() == [700.0]


def test_unknown_cloud_counts_as_clear() -> None:
    """The sky of an hour without cloud is taken as clear, which is the colder guess."""
    listed = Hour(NOON, 300.0, 285.0, 2.0, irradiance=700.0)
    assert np.asarray(outside_of([listed], place=None).cloud).tolist() == [0.0]


def test_the_hour_that_autumn_has_twice_keeps_its_two_suns() -> None:
    """Middle of an hour is reached in real time, not on a wall clock that jumps back."""
    zone = ZoneInfo("America/Anchorage")  # the second 01:00 of that night is 10:00 UTC
    second = datetime(2026, 11, 1, 1, tzinfo=zone, fold=1)
    same = datetime(2026, 11, 1, 10, tzinfo=UTC)
    place = (10.0, -30.0)  # where the sun is up at that moment
    wall, real = (
        np.asarray(outside_of([Hour(at, 300.0, 285.0, 2.0, cloud=0.0)], place=place).irradiance)[0]
        for at in (second, same)
    )
    assert wall == pytest.approx(real)
    assert real > 100


@pytest.mark.parametrize(
    ("wind", "word"),
    [
        (0.0, "calm"),
        (1.5, "calm"),
        (1.6, "light"),
        (5.4, "light"),
        (5.5, "breezy"),
        (10.7, "breezy"),
        (10.8, "strong"),
        (40.0, "strong"),
    ],
)
def test_wind_in_words(wind: float, word: str) -> None:
    """Each word is two forces of the Beaufort scale; its limits in m/s are the scale's."""
    assert wind_word(wind) == word


@pytest.mark.parametrize("wind", [-0.1, float("nan")])
def test_wind_below_nothing_is_refused(wind: float) -> None:
    """A wind below zero, or no number, is an error."""
    with pytest.raises(OutOfRange):
        wind_word(wind)

"""Sun: what it refuses, and that clocks do not matter."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.physics.sun import cloud_factor, haurwitz, sun_position

NOON = datetime(2026, 7, 1, 18, tzinfo=UTC)


def test_sun_does_not_care_how_the_clock_is_set() -> None:
    """The same instant in two time zones has the same sun."""
    denver = NOON.astimezone(ZoneInfo("America/Denver"))
    height, azimuth = sun_position([NOON, denver], latitude=39.74, longitude=-105.18)
    assert height[0] == pytest.approx(height[1], abs=1e-9)
    assert azimuth[0] == pytest.approx(azimuth[1], abs=1e-9)


def test_no_times_give_no_sun() -> None:
    """An empty forecast is no error."""
    height, azimuth = sun_position([], latitude=0.0, longitude=0.0)
    assert height.shape == azimuth.shape == (0,)


def test_morning_sun_stands_in_the_east() -> None:
    """Azimuth counts clockwise from north; the sun goes from east over south to west."""
    times = [NOON.replace(hour=hour) for hour in (13, 19, 23)]
    _, azimuth = sun_position(times, latitude=39.74, longitude=-105.18)
    assert azimuth[0] < 100 < azimuth[1] < 250 < azimuth[2]


@pytest.mark.parametrize(
    ("latitude", "longitude", "name"),
    [(90.5, 0.0, "latitude"), (-91.0, 0.0, "latitude"), (0.0, 181.0, "longitude")],
)
def test_place_off_the_globe_is_refused(latitude: float, longitude: float, name: str) -> None:
    """A place that does not exist is an error that names which number is wrong."""
    with pytest.raises(OutOfRange) as error:
        sun_position([NOON], latitude=latitude, longitude=longitude)
    assert error.value.data["name"] == name


def test_night_has_no_sun_and_no_warning() -> None:
    """Below the horizon radiation is exactly zero."""
    assert haurwitz([-90.0, -0.1, 0.0]).tolist() == [0.0, 0.0, 0.0]


@pytest.mark.parametrize("cloud", [-0.1, 1.1, float("nan")])
def test_cloud_is_a_share(cloud: float) -> None:
    """Cloud beyond 0 to 1 is refused, for example percent or tenths given by mistake."""
    with pytest.raises(OutOfRange) as error:
        cloud_factor([0.5, cloud])
    assert error.value.data["name"] == "cloud"
    assert error.value.data["value"] == pytest.approx(cloud, nan_ok=True)


def test_overcast_lets_a_quarter_through() -> None:
    """A quarter of the clear sky is left under full cloud (Kasten and Czeplak, from memory)."""
    assert np.allclose(cloud_factor([0.0, 1.0]), [1.0, 0.25])

"""The sheet over a day: lag of the deck, and readings that win."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lapwright.errors import LapwrightError
from lapwright.physics.outside import Hour, outside_of
from lapwright.physics.sheet import Roof, roof, sheet_span
from lapwright.physics.sheetday import (
    READING_ERROR,
    READING_LASTS,
    SheetReading,
    sheet_by_hour,
)

DAWN = datetime(2026, 7, 1, 6, tzinfo=UTC)
SUNS = [0.0, 150.0, 400.0, 700.0, 900.0, 950.0, 900.0, 700.0, 400.0, 150.0, 0.0, 0.0]
DAY = [
    Hour(DAWN + timedelta(hours=n), 295.0, 285.0, 2.0, cloud=0.0, irradiance=sun)
    for n, sun in enumerate(SUNS)
]


def test_on_foam_the_sheet_follows_the_sun_within_the_hour() -> None:
    """On foam the sheet of each hour is the steady one of that hour."""
    steady = sheet_span(outside_of(DAY, place=None), roof=Roof()).estimate
    assert np.abs(sheet_by_hour(DAY, roof=Roof()).estimate - steady).max() < 1e-3


def test_on_concrete_the_sheet_comes_late() -> None:
    """On concrete the hottest hour comes after the sunniest, and the evening is warmer."""
    concrete = roof(substrate="concrete")
    lagging = sheet_by_hour(DAY, roof=concrete).estimate
    steady = sheet_span(outside_of(DAY, place=None), roof=concrete).estimate
    assert np.argmax(lagging) > np.argmax(steady)
    assert lagging[-1] > steady[-1] + 1


def test_reading_wins_at_its_moment() -> None:
    """At the middle of an hour the estimate becomes the reading, within its own error."""
    at = DAY[4].at + timedelta(minutes=30)
    read = sheet_by_hour(DAY, roof=Roof(), readings=[SheetReading(at, 320.0)])
    assert read.estimate[4] == pytest.approx(320.0)
    assert read.colder[4] == pytest.approx(320.0 - READING_ERROR)
    assert read.warmer[4] == pytest.approx(320.0 + READING_ERROR)


def test_reading_in_the_second_half_of_an_hour_counts_for_that_hour() -> None:
    """The hour in which a reading was made already shows it."""
    at = DAY[4].at + timedelta(minutes=50)
    plain = sheet_by_hour(DAY, roof=Roof())
    read = sheet_by_hour(DAY, roof=Roof(), readings=[SheetReading(at, 320.0)])
    assert read.estimate[4] > plain.estimate[4] + 3
    assert np.all(read.estimate[:4] == plain.estimate[:4])


def test_reading_fades_and_shrinks_with_the_sun() -> None:
    """Two hours later the miss has faded by its age and by the lower sun."""
    at = DAY[5].at + timedelta(minutes=30)
    plain = sheet_by_hour(DAY, roof=Roof()).estimate
    miss = 325.0 - plain[5]
    read = sheet_by_hour(DAY, roof=Roof(), readings=[SheetReading(at, 325.0)])
    fresh = np.exp(-2 * 3600 / READING_LASTS)
    assert read.estimate[7] - plain[7] == pytest.approx(miss * fresh * 700 / 950)
    assert read.estimate[10] == plain[10]  # no sun left: soiling no longer matters


def test_reading_at_night_is_not_put_down_to_the_sun() -> None:
    """Without sun a miss fades with age alone, also into the morning."""
    at = DAY[0].at + timedelta(minutes=30)
    plain = sheet_by_hour(DAY, roof=Roof()).estimate
    read = sheet_by_hour(DAY, roof=Roof(), readings=[SheetReading(at, 285.0)]).estimate
    fresh = np.exp(-3 * 3600 / READING_LASTS)
    assert read[3] - plain[3] == pytest.approx((285.0 - plain[0]) * fresh)


def test_weak_sun_is_not_blown_up() -> None:
    """A miss in a low sun is carried on at its own size at most."""
    at = DAY[1].at + timedelta(minutes=30)
    plain = sheet_by_hour(DAY, roof=Roof()).estimate
    read = sheet_by_hour(DAY, roof=Roof(), readings=[SheetReading(at, plain[1] + 4)]).estimate
    assert 0 < read[5] - plain[5] < 4


def test_latest_reading_counts() -> None:
    """A second reading replaces the first from its own time on; order of entry is nothing."""
    first = SheetReading(DAY[2].at + timedelta(minutes=30), 330.0)
    second = SheetReading(DAY[5].at + timedelta(minutes=30), 312.0)
    both = sheet_by_hour(DAY, roof=Roof(), readings=[second, first]).estimate
    only_first = sheet_by_hour(DAY, roof=Roof(), readings=[first]).estimate
    only_second = sheet_by_hour(DAY, roof=Roof(), readings=[second]).estimate
    assert np.all(both[:5] == only_first[:5])
    assert np.all(both[5:] == only_second[5:])


@pytest.mark.parametrize("minutes", [-1, 12 * 60])
def test_reading_of_another_day_is_refused(minutes: int) -> None:
    """A reading outside the hours is an error, not silently dropped."""
    reading = SheetReading(DAWN + timedelta(minutes=minutes), 300.0)
    with pytest.raises(LapwrightError) as error:
        sheet_by_hour(DAY, roof=Roof(), readings=[reading])
    assert error.value.code == "reading_outside_hours"

"""The day is the roof's, wherever the server stands."""

from __future__ import annotations

from datetime import datetime

from tests import cast

from lapwright.job.roofclock import day_at, roof_zone


def test_the_newest_fact_says_where_the_roof_is() -> None:
    """A moment of a far server falls on the day that the crew's phones show."""
    zone = roof_zone(cast.record(cast.SETUP))
    assert day_at(datetime.fromisoformat("2026-05-05T04:59:00+00:00"), zone) == "2026-05-04"
    assert day_at(datetime.fromisoformat("2026-05-05T05:00:00+00:00"), zone) == "2026-05-05"


def test_an_empty_record_knows_no_place() -> None:
    """Without a fact the moment's own offset counts."""
    assert roof_zone(cast.record()) is None
    assert day_at(datetime.fromisoformat("2026-05-05T01:00:00+09:00"), None) == "2026-05-05"

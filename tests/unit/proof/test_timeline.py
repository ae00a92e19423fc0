"""Looks at a part of a timeline agree with looking at all of it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from lapwright.proof.timeline import Timeline, Timelines

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def hour(count: float) -> datetime:
    """So many hours after noon."""
    return NOON + timedelta(hours=count)


def test_between_leaves_out_its_start_and_holds_its_end() -> None:
    """What happened at the pass itself is no news; what happens now is."""
    line = Timeline([3, 1, 2, 2], moment=hour)
    assert line.between(hour(1), hour(2)) == [2, 2]
    assert line.between(None, hour(1)) == [1]
    assert line.between(hour(3), hour(9)) == []
    assert list(line) == [1, 2, 2, 3]


def test_the_last_is_the_newest_up_to_the_moment() -> None:
    """Nothing before the first, the first at its own moment."""
    line = Timeline([1, 2], moment=hour)
    assert line.last(hour(0.9)) is None
    assert line.last(hour(1)) == 1
    assert list(line.back_from(hour(5))) == [2, 1]


def test_a_key_that_nothing_has_is_empty() -> None:
    """Asking for an unknown machine finds nothing and makes nothing."""
    lines = Timelines([1, 2, 3], key=lambda number: number % 2, moment=hour)
    assert list(lines[1]) == [1, 3]
    assert list(lines["nobody"]) == []
